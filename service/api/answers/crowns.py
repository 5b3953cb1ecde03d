"""Crowns as JSON: schedules and reviews."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from service.api.answers.common import cm, report_to_json, steps_to_json
from service.api.orders import fabric_of, given_gauge_of, mm, plain_fabric
from service.api.work import count_work
from service.domain.crown_orders import CrownOrder, CrownRound, CrownSchedule
from service.domain.crown_reviews import Diagnosis, RoundFigures
from service.domain.crowns import plan_crown, review_crown
from service.domain.hat_gauges import crossing_bases
from service.domain.report import Assumption, Notice, Working
from service.domain.rounding import printed
from service.domain.rounds import ColumnState
from service.domain.tables import ReferenceTables
from service.domain.texture import gauge_for_fabric
from service.domain.work_units import crown_rounds_work
from service.notation.terms import TERMS, Terms
from service.notation.writer import write_steps
from service.patterns.diagnoses import diagnosis_sentence

__all__ = [
    "columns_to_json",
    "crown_review_to_json",
    "crown_schedule_to_json",
    "diagnosis_to_json",
    "fullness_to_json",
]

Json = dict[str, Any]


@dataclass(frozen=True, slots=True)
class _Asked:
    """A crown's order with what had to be supposed for its gauge."""

    order: CrownOrder
    notices: tuple[Notice, ...]
    assumptions: tuple[Assumption, ...]


def crown_schedule_to_json(values: Json, tables: ReferenceTables) -> Json:
    """Return the answer to the order of a crown."""
    asked = _asked_of(values, tables)
    schedule = plan_crown(asked.order)
    count_work(schedule.work_units + crown_rounds_work(len(schedule.rounds)))
    terms = TERMS[values["terms"]]
    return {
        "rounds": [_crown_round_to_json(worked, terms) for worked in schedule.rounds],
        "closing_stitch_count": schedule.closing_stitch_count,
        "depth_cm": cm(schedule.depth_mm),
        "cost": printed(schedule.cost, 3),
        "shape_error": printed(schedule.shape_error, 3),
        "verdict": schedule.verdict,
        "diagnosis": diagnosis_to_json(schedule.diagnosis),
        **report_to_json(
            notices=(*schedule.notices, *asked.notices),
            assumptions=(*schedule.assumptions, *asked.assumptions),
            working=_working(asked.order, schedule) if values["show_working"] else None,
        ),
    }


def crown_review_to_json(values: Json, tables: ReferenceTables) -> Json:
    """Return the answer to a crown under review."""
    asked = _asked_of(values, tables)
    review = review_crown(asked.order, values["stitch_counts"])
    count_work(crown_rounds_work(2 * len(review.judgement.figures)))
    count_work(0 if review.proposal is None else review.proposal.work_units)
    judgement = review.judgement
    return {
        "rounds": [_figures_to_json(figures) for figures in judgement.figures],
        "shape_error": printed(judgement.shape_error, 3),
        "verdict": judgement.verdict,
        "accepted": judgement.accepted,
        "diagnosis": diagnosis_to_json(judgement.diagnosis),
        "proposed": None
        if review.proposal is None
        else {
            "stitch_counts": list(review.proposal.stitch_counts),
            "shape_error": printed(review.proposal.shape_error, 3),
            "verdict": review.proposal.verdict,
        },
        **report_to_json(
            notices=(*review.notices, *asked.notices),
            assumptions=asked.assumptions,
            working=[_shape_error_working(judgement.shape_error)] if values["show_working"] else None,
        ),
    }


def _asked_of(values: Json, tables: ReferenceTables) -> _Asked:
    given = given_gauge_of(values["gauge"], tables)
    fabric = None if values.get("fabric") is None else fabric_of(values["fabric"], tables)
    wanted = fabric or plain_fabric(values["stitch"])
    fabric_id = values["gauge"].get("fabric_id")
    measured = wanted if fabric_id is None else tables.fabric_by_id[fabric_id]
    converted = gauge_for_fabric(given.gauge, measured=measured, wanted=wanted, tables=tables)
    return _Asked(
        order=CrownOrder(
            start_stitch_count=values["start_stitch_count"],
            stitch_width_mm=converted.gauge.stitch_width_mm,
            round_height_mm=converted.gauge.round_height_mm,
            stitch=wanted.stitch,
            crown_shape=values["crown_shape"],
            worked=values["worked"],
            fabric=fabric,
            section_count=values.get("section_count"),
            decrease_placement=values.get("decrease_placement", "sections"),
            round_count=values.get("crown_round_count"),
            depth_mm=mm(values.get("crown_depth_cm")),
            closing_stitch_count_min=values.get("closing_stitch_count_min"),
            closing_stitch_count_max=values.get("closing_stitch_count_max"),
            settle_round_count=values.get("settle_round_count"),
            crown_group_count=values.get("crown_group_count"),
            crossing_stitches=crossing_bases(wanted, gauge=converted.gauge, tables=tables),
        ),
        notices=(*given.notices, *converted.notices),
        assumptions=(*given.assumptions, *converted.assumptions),
    )


def _crown_round_to_json(worked: CrownRound, terms: Terms) -> Json:
    return {
        **fullness_to_json(worked),
        "consumed_stitch_count": worked.consumed_stitch_count,
        "kind": worked.kind,
        "columns": columns_to_json(worked.columns),
        "steps": steps_to_json(worked.steps),
        "text": write_steps(worked.steps, terms=terms, worked_into=worked.worked_into),
    }


def fullness_to_json(figures: CrownRound | RoundFigures) -> Json:
    """Return how a round compares with its target."""
    return {
        "round": figures.number,
        "stitch_count": figures.stitch_count,
        "target_circumference_cm": cm(figures.target_circumference_mm),
        "fabric_circumference_cm": cm(figures.fabric_circumference_mm),
        "fullness": printed(figures.fullness, 3),
    }


def _figures_to_json(figures: RoundFigures) -> Json:
    curvature = figures.curvature_per_mm2
    return {
        **fullness_to_json(figures),
        "curvature_per_cm2": None if curvature is None else printed(100 * curvature, 6),
    }


def columns_to_json(columns: Iterable[ColumnState]) -> list[Json]:
    """Return columns as they stand after a round."""
    return [
        {"face": column.face, "width": column.width, "over": column.over, "action": column.action}
        for column in columns
    ]


def diagnosis_to_json(diagnosis: Iterable[Diagnosis]) -> list[Json]:
    """Return a diagnosis with its sentences."""
    return [{"round": each.round, "code": each.code, "text": diagnosis_sentence(each)} for each in diagnosis]


def _working(order: CrownOrder, schedule: CrownSchedule) -> list[Working]:
    geometry, own = "geometry", "Convention: our own measure"
    return [
        Working("hat_circumference_mm", "stitches * width", order.hat_circumference_mm, "mm", geometry),
        Working("arc_mm", "length of the shape along the fabric", schedule.target.arc_mm, "mm", geometry),
        Working("crown_round_count", "round(arc / round height)", len(schedule.rounds), "round", geometry),
        Working("cost", "sum of ln(fullness)^2", schedule.cost, "", own),
        _shape_error_working(schedule.shape_error),
    ]


def _shape_error_working(shape_error: float) -> Working:
    formula = "sqrt(sum(c * ln(fullness)^2) / sum(c)), c the target circumference"
    return Working("shape_error", formula, shape_error, "", "Convention: our own measure")
