"""A whole hat as JSON."""

from collections.abc import Sequence
from itertools import pairwise
from typing import Any

from service.api.answers.common import cm, report_to_json, steps_to_json
from service.api.answers.crowns import columns_to_json, diagnosis_to_json, fullness_to_json
from service.api.answers.finished_sizes import finished_size_to_json
from service.api.answers.yarn_estimates import checkpoints_to_json, yarn_needed_to_json
from service.api.orders_colours import states_of
from service.api.orders_hats import hat_order_of
from service.api.work import count_work
from service.domain.crown_orders import CrownSchedule
from service.domain.errors import YarnUnderdetermined
from service.domain.hats import Alternative, HatPlan, plan_hat
from service.domain.rounding import printed
from service.domain.rounds import Round
from service.domain.tables import ReferenceTables
from service.domain.work_units import plan_work
from service.domain.yarn_checkpoints import Checkpoint, YarnState, check_states
from service.notation.terms import TERMS, Terms, TermsId
from service.notation.writer import write_foundation
from service.patterns.plan_notes import plan_notes
from service.patterns.plan_words import (
    alternative_reason,
    plan_abbreviations,
    plan_materials,
    told_finishing,
)
from service.patterns.proofs import Proof, prove

__all__ = ["counts_to_json", "hat_plan_to_json", "hours_to_json", "proof_to_json", "rounds_to_json"]

Json = dict[str, Any]


def hat_plan_to_json(values: Json, tables: ReferenceTables) -> Json:
    """Return the answer to the order of a hat."""
    plan = plan_hat(hat_order_of(values, tables), tables)
    count_work(plan_work(plan))
    terms_id: TermsId = values["terms"]
    proof = prove(plan)
    states = states_of(values.get("checkpoints", ()))
    checks = _checks(plan, states)
    return {
        "size": finished_size_to_json(plan.size),
        "gauge": _gauge_to_json(plan),
        "counts": counts_to_json(plan),
        **_made_to_json(plan),
        "sections": [
            {"name": part.name, "round_count": part.round_count, "height_cm": cm(part.height_mm)}
            for part in plan.sections
        ],
        "foundation": _foundation_to_json(plan, TERMS[terms_id]),
        "rounds": rounds_to_json(plan, proof.texts[terms_id]),
        "crown": None if plan.crown is None else _crown_to_json(plan.crown),
        "notes": list(plan_notes(plan)),
        "finishing": list(told_finishing(plan, terms_id)),
        "yarn": None if plan.yarn.estimate is None else yarn_needed_to_json(plan.yarn.estimate),
        "checkpoints": checkpoints_to_json(states, checks),
        "hours": hours_to_json(plan),
        "materials": [
            {"name": material.name, "text": material.text}
            for material in plan_materials(plan, tables, values.get("hook_mm"), terms_id)
        ],
        "abbreviations": [
            {"abbreviation": each.abbreviation, "meaning": each.meaning}
            for each in plan_abbreviations(plan, terms_id)
        ],
        "alternatives": [_alternative_to_json(each, plan) for each in plan.alternatives],
        "proof": proof_to_json(proof),
        **report_to_json(
            notices=(*plan.notices, *(notice for check in checks for notice in check.notices)),
            assumptions=plan.assumptions,
            working=plan.working if values["show_working"] else None,
        ),
    }


def _checks(plan: HatPlan, states: tuple[YarnState, ...]) -> tuple[Checkpoint, ...]:
    if not states:
        return ()
    if plan.yarn.order is None or plan.yarn.estimate is None:
        raise YarnUnderdetermined(missing=("yarn",))
    return check_states(plan.yarn.order, plan.yarn.estimate, states)


def _gauge_to_json(plan: HatPlan) -> Json:
    body, brim = plan.gauges.body, plan.gauges.brim
    return {
        "stitches_per_10cm": printed(body.stitches_per_10cm, 3),
        "rounds_per_10cm": printed(body.rounds_per_10cm, 3),
        "brim_stitches_per_10cm": None if brim is None else printed(brim.stitches_per_10cm, 3),
        "brim_rounds_per_10cm": None if brim is None else printed(brim.rounds_per_10cm, 3),
        "plain_round_height_mm": printed(plan.gauges.joining_mm, 2),
        "width_error_percent": printed(100 * body.width_error, 1),
    }


def counts_to_json(plan: HatPlan) -> Json:
    """Return the stitch counts of a plan."""
    return {
        "foundation": plan.foundation_stitch_count,
        "brim": plan.counts.brim,
        "body": plan.counts.body,
        "repeats": plan.counts.chosen.count.repeat_count,
    }


def _made_to_json(plan: HatPlan) -> Json:
    chosen = plan.counts.chosen.count
    return {
        "finished_circumference_cm": cm(chosen.circumference_mm),
        "finished_depth_cm": cm(plan.depth_mm),
        "fit_probability": printed(plan.counts.fit_probability, 3),
        "fits_head_cm": {"low": cm(plan.fits_head.low_mm), "high": cm(plan.fits_head.high_mm)},
    }


def _foundation_to_json(plan: HatPlan, terms: Terms) -> Json:
    yarn_m = _cumulative_yarn_m(plan)[0]
    return {
        "stitch_count": plan.foundation_stitch_count,
        "text": write_foundation(plan.foundation_stitch_count, terms=terms),
        "yarn_m": yarn_m,
    }


def _cumulative_yarn_m(plan: HatPlan) -> list[float | None]:
    """Return the yarn after the foundation and after each round, as it is printed."""
    estimate = plan.yarn.estimate
    if estimate is None:
        return [None] * (len(plan.rounds) + 1)
    lengths: list[float | None] = [printed(part.cumulative_length_m, 1) for part in estimate.parts]
    return lengths if plan.foundation_stitch_count else [0.0, *lengths]


def rounds_to_json(plan: HatPlan, texts: Sequence[str], *, after_round: int = 0) -> list[Json]:
    """Return the rounds after one of them; printed yarn by round adds up to the printed sum."""
    cumulative = _cumulative_yarn_m(plan)[after_round:]
    steps: dict[int, list[Json]] = {}
    return [
        {
            **_round_to_json(worked, text, _shared_steps(worked, steps)),
            "yarn_m": None if after is None or before is None else printed(after - before, 1),
            "cumulative_yarn_m": after,
        }
        for worked, text, (before, after) in zip(
            plan.rounds[after_round:], texts[after_round:], pairwise(cumulative), strict=True
        )
    ]


def _shared_steps(worked: Round, known: dict[int, list[Json]]) -> list[Json]:
    """Return the steps of a round as JSON; equal rounds share their steps as one value."""
    key = id(worked.steps)
    if key not in known:
        known[key] = steps_to_json(worked.steps)
    return known[key]


def _round_to_json(worked: Round, text: str, steps: list[Json]) -> Json:
    start = worked.start
    return {
        "round": worked.number,
        "section": worked.section,
        "kind": worked.kind,
        "worked_into": worked.worked_into,
        "consumed_stitch_count": worked.consumed_stitch_count,
        "stitch_count": worked.stitch_count,
        "start": None
        if start is None
        else {"chain_count": start.chain_count, "counts_as_stitch": start.counts_as_stitch},
        "steps": steps,
        "join": worked.join,
        "text": text,
        "height_cm": cm(worked.height_mm),
    }


def _crown_to_json(crown: CrownSchedule) -> Json:
    return {
        "crown_shape": crown.crown_shape,
        "stitch_counts": list(crown.stitch_counts),
        "closing_stitch_count": crown.closing_stitch_count,
        "depth_cm": cm(crown.depth_mm),
        "cost": printed(crown.cost, 3),
        "shape_error": printed(crown.shape_error, 3),
        "verdict": crown.verdict,
        "rounds": [
            {**fullness_to_json(worked), "columns": columns_to_json(worked.columns)}
            for worked in crown.rounds
        ],
        "diagnosis": diagnosis_to_json(crown.diagnosis),
    }


def hours_to_json(plan: HatPlan) -> Json:
    """Return how long the work of a plan takes."""
    return {
        "hours": printed(plan.yarn.time.hours, 1),
        "sc_units": printed(plan.yarn.units, 1),
        "pace_units_per_minute": plan.yarn.time.pace_units_per_minute,
    }


def _alternative_to_json(alternative: Alternative, plan: HatPlan) -> Json:
    count, brim = alternative.fit.count, alternative.fit.brim
    difference_m = alternative.yarn_difference_m
    return {
        "stitch_count": count.stitch_count,
        "repeat_count": count.repeat_count,
        "brim_stitch_count": None if brim is None else brim.count.stitch_count,
        "finished_circumference_cm": cm(count.circumference_mm),
        "fit_probability": printed(plan.counts.fit_of(alternative.fit), 3),
        "yarn_difference_m": None if difference_m is None else printed(difference_m, 1),
        "why": alternative_reason(alternative, plan),
    }


def proof_to_json(proof: Proof) -> Json:
    """Return a proof without the words that it proved."""
    return {
        "verdict": proof.verdict,
        "terms": list(proof.terms),
        "round_count": proof.round_count,
        "checker_version": proof.checker_version,
    }
