"""One design in several sizes as JSON."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from service.api.answers.common import cm, report_to_json
from service.api.answers.finished_sizes import finished_size_to_json
from service.api.answers.hat_plans import counts_to_json, hours_to_json, proof_to_json
from service.api.answers.yarn_estimates import yarn_needed_to_json
from service.api.orders import fabric_of, head_of
from service.api.orders_hats import hat_order_of
from service.api.problems import problem_from_domain, problem_to_json
from service.api.work import count_work
from service.domain.errors import PatternMathError
from service.domain.fabric_grades import FabricGrade, RefusedFabric
from service.domain.fabrics import Fabric
from service.domain.hat_orders import HatOrder
from service.domain.hats import HatPlan
from service.domain.heads import Head
from service.domain.report import Working
from service.domain.rounding import printed
from service.domain.size_runs import (
    Measurements,
    PoorFit,
    SizeRun,
    SizeRunOrder,
    plan_size_run,
    run_measurements,
)
from service.domain.tables import ReferenceTables
from service.patterns.proofs import Proof
from service.patterns.size_run_proofs import prove_size_run
from service.patterns.size_run_rounds import run_round_numbers
from service.patterns.size_run_words import run_abbreviations, tell_run_notices, write_size_run_legend

__all__ = ["size_run_order_of", "size_run_to_json"]

Json = dict[str, Any]


def size_run_order_of(values: Json, tables: ReferenceTables) -> SizeRunOrder:
    """Return the size run that a request asks for."""
    wishes = {**values["design"], "head": values["heads"][0]}
    design = hat_order_of(wishes, tables)
    fabrics = values.get("fabrics", ())
    return SizeRunOrder(
        heads=tuple(head_of(head, tables) for head in values["heads"]),
        design=design,
        compared=tuple(
            _in_fabric(design, {**wishes, "fabric": fabric}, _compared_fabric(fabric, place, tables), tables)
            for place, fabric in enumerate(fabrics)
        ),
    )


def _compared_fabric(choice: Json, position: int, tables: ReferenceTables) -> Fabric:
    """Return a fabric to compare; one that is none at all is refused with its place."""
    try:
        return fabric_of(choice, tables)
    except PatternMathError as refusal:
        refusal.fabric_position = position
        raise


def _in_fabric(
    design: HatOrder, wishes: Json, fabric: Fabric, tables: ReferenceTables
) -> HatOrder | RefusedFabric:
    """Return the design in another fabric; its gauge stays that of the fabric it was measured in."""
    try:
        return replace(hat_order_of(wishes, tables), gauge=design.gauge)
    except PatternMathError as refusal:
        return RefusedFabric(fabric, refusal)


def size_run_to_json(values: Json, tables: ReferenceTables) -> Json:
    """Return the answer to the order of a size run."""
    terms_id = values["design"]["terms"]
    run = plan_size_run(size_run_order_of(values, tables), tables)
    count_work(run.work_units)
    proof = prove_size_run(run.plans)
    text = proof.texts[terms_id]
    return {
        "sizes": [
            _size_to_json(number, plan, rounds, proved)
            for number, (plan, rounds, proved) in enumerate(
                zip(run.plans, run_round_numbers(run.plans), proof.sizes, strict=True), 1
            )
        ],
        "text": text,
        "legend": list(write_size_run_legend(run.plans, text)),
        "abbreviations": [
            {"abbreviation": each.abbreviation, "meaning": each.meaning}
            for each in run_abbreviations(run.plans, terms_id)
        ],
        "measurements": [_measurements_to_json(row) for row in run_measurements(run)],
        "shared_counts": [list(numbers) for numbers in run.shared_counts],
        "poor_fits": [_poor_fit_to_json(poor) for poor in run.poor_fits],
        "fabric_ranking": [_grade_to_json(grade) for grade in run.ranking],
        **_report_to_json(run, has_working=values["design"]["show_working"]),
    }


def _cm_or_none(length_mm: float | None) -> float | None:
    return None if length_mm is None else cm(length_mm)


def _size_to_json(number: int, plan: HatPlan, round_numbers: Sequence[int], proof: Proof) -> Json:
    """Return a size; ``round_numbers`` are those of its rounds in the text for all sizes."""
    estimate = plan.yarn.estimate
    return {
        "number": number,
        "head": _head_to_json(plan.size.head),
        "counts": counts_to_json(plan),
        "size": finished_size_to_json(plan.size),
        "crown": None
        if plan.crown is None
        else {
            "stitch_counts": list(plan.crown.stitch_counts),
            "shape_error": printed(plan.crown.shape_error, 3),
            "verdict": plan.crown.verdict,
        },
        "yarn": None if estimate is None else yarn_needed_to_json(estimate, told_numbers=round_numbers),
        "hours": hours_to_json(plan),
        "fit_probability": printed(plan.counts.fit_probability, 3),
        "proof": proof_to_json(proof),
    }


def _head_to_json(head: Head) -> Json:
    return {
        "circumference_cm": cm(head.circumference_mm),
        "size_id": head.size_id,
        "age_months": head.age_months,
        "sex": head.sex,
    }


def _measurements_to_json(row: Measurements) -> Json:
    return {
        "size": row.size_number,
        "head_circumference_cm": cm(row.head_mm),
        "finished_circumference_cm": cm(row.circumference_mm),
        "brim_circumference_cm": _cm_or_none(row.brim_circumference_mm),
        "finished_depth_cm": cm(row.depth_mm),
        "brim_height_cm": cm(row.brim_mm),
        "crown_height_cm": _cm_or_none(row.crown_mm),
    }


def _poor_fit_to_json(poor: PoorFit) -> Json:
    exact = poor.exact_stitches_per_10cm
    return {
        "size": poor.size_number,
        "fit_probability": printed(poor.fit_probability, 3),
        "exact_stitches_per_10cm": None if exact is None else printed(exact, 3),
        "largest_stitch_multiple": poor.largest_stitch_multiple,
    }


def _grade_to_json(grade: FabricGrade) -> Json:
    return {
        "position": grade.position,
        "fabric_id": grade.fabric.fabric_id,
        "stitch_multiple": grade.fabric.stitch_multiple,
        "lowest_fit_probability": printed(grade.lowest_fit_probability, 3),
        "mean_fit_probability": printed(grade.mean_fit_probability, 3),
        "size": grade.size_number,
        "problem": None if grade.refusal is None else problem_to_json(problem_from_domain(grade.refusal)),
    }


def _report_to_json(run: SizeRun, *, has_working: bool) -> Json:
    """Return what the run says of itself; a notice that is not for all sizes names its own."""
    return {
        **report_to_json(
            assumptions=(each for plan in run.plans for each in plan.assumptions),
            working=_working(run) if has_working else None,
        ),
        "notices": [
            {"code": told.code, "severity": told.severity, "text": told.text}
            for told in tell_run_notices(run)
        ],
    }


def _working(run: SizeRun) -> list[Working]:
    return [
        replace(line, name=f"size_{number}.{line.name}")
        for number, plan in enumerate(run.plans, 1)
        for line in plan.working
    ]
