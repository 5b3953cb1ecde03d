"""A class as JSON: a kit for every participant, and what the organizer needs for all of them."""

from collections.abc import Sequence
from typing import Any

from service.api.answers.common import assumption_order, assumption_to_json, cm, report_to_json
from service.api.answers.finished_sizes import finished_size_to_json
from service.api.answers.hat_plans import counts_to_json, hours_to_json
from service.api.answers.planned_classes import Seat, planned_class_of
from service.api.answers.yarn_estimates import yarn_needed_to_json
from service.api.problems import problem_to_json
from service.domain.class_kits import ClassTotals, Kit, SizeCount
from service.domain.class_yarns import ClassBalls, YarnTotal, total_working
from service.domain.hat_sizes import hat_size
from service.domain.hats import HatPlan
from service.domain.report import Assumption, Working
from service.domain.rounding import printed
from service.domain.tables import ReferenceTables
from service.notation.terms import TermsId
from service.patterns.class_words import (
    PlannedKit,
    beforehand_words,
    class_notices,
    notion_needs,
)
from service.patterns.shopping_words import hooks_to_buy

__all__ = ["class_kits_to_json"]

Json = dict[str, Any]


def class_kits_to_json(values: Json, tables: ReferenceTables) -> Json:
    """Return the answer to the order of a class."""
    planned = planned_class_of(values, tables)
    made, sums = planned.made, planned.sums
    hook_mm, terms_id = values["design"].get("hook_mm"), values["design"]["terms"]
    kept: dict[tuple[int, TermsId], Json] = {}
    return {
        "kits": [_kit_to_json(seat, kept) for seat in planned.seats],
        "yarns": [_yarn_to_json(position, total) for position, total in enumerate(sums.yarns)],
        "hooks": [
            {
                "low_mm": need.low_mm,
                "high_mm": need.high_mm,
                "kit_count": need.kit_count,
                "text": need.text,
            }
            for need in hooks_to_buy(made, tables, hook_mm=hook_mm, terms_id=terms_id)
        ],
        "notions": [
            {"name": notion.name, "count": count, "text": notion.text}
            for notion, count in notion_needs(made, tables)
        ],
        "size_histogram": list(map(_size_to_json, sums.size_counts)),
        "totals": _totals_to_json(sums.totals, problem_count=len(planned.seats) - len(made)),
        **_report_to_json(
            made, working=_working(made, sums.yarns) if values["design"]["show_working"] else None
        ),
    }


def _kit_to_json(seat: Seat, kept: dict[tuple[int, TermsId], Json]) -> Json:
    """Return a kit; ``kept`` has the plans so far, which equal kits share."""
    kit, terms_id = seat.kit, seat.entry.terms_id
    plan: Json | None = None
    if kit is not None and kit.plan is not None:
        key = (id(kit), terms_id)
        if key not in kept:
            kept[key] = _plan_to_json(kit, kit.plan, terms_id)
        plan = kept[key]
    return {
        "number": seat.number,
        "reference": seat.entry.reference,
        "plan": plan,
        "problem": None if seat.problem is None else problem_to_json(seat.problem),
    }


def _plan_to_json(kit: Kit, plan: HatPlan, terms_id: TermsId) -> Json:
    before = kit.beforehand
    return {
        "terms": terms_id,
        "handedness": "left" if plan.order.is_left_handed else "right",
        "counts": counts_to_json(plan),
        "size": finished_size_to_json(plan.size),
        "finished_circumference_cm": cm(plan.counts.chosen.count.circumference_mm),
        "finished_depth_cm": cm(plan.depth_mm),
        "fit_probability": printed(plan.counts.fit_probability, 3),
        "yarn_choice": kit.yarn_position,
        "yarn": None if plan.yarn.estimate is None else yarn_needed_to_json(plan.yarn.estimate),
        "hours": hours_to_json(plan),
        "fits_class": kit.fits_class,
        "beforehand": None
        if before is None
        else {
            "to_round": before.to_round,
            "section": before.section,
            "hours": before.hours,
            "text": beforehand_words(before, plan),
        },
        "notice_codes": list(dict.fromkeys(notice.code for notice in plan.notices)),
    }


def _yarn_to_json(position: int, total: YarnTotal) -> Json:
    return {
        "position": position,
        "name": total.offered.name,
        "colour": total.offered.colour,
        "kit_count": total.kit_count,
        "length_m": total.length_m,
        "mass_g": total.mass_g,
        "balls": None if total.balls is None else _balls_to_json(total.balls),
    }


def _balls_to_json(balls: ClassBalls) -> Json:
    return {"by_kit": balls.by_kit, "pooled": balls.pooled, "spare": balls.spare, "one_lot": balls.one_lot}


def _size_to_json(count: SizeCount) -> Json:
    size = hat_size(10 * count.metric_cm)
    return {"metric_cm": count.metric_cm, "us": size.us, "uk": size.uk, "kit_count": count.kit_count}


def _totals_to_json(totals: ClassTotals, *, problem_count: int) -> Json:
    return {
        "kit_count": totals.kit_count,
        "problem_count": problem_count,
        "distinct_plan_count": totals.distinct_plan_count,
        "hours": totals.hours,
        "length_m": totals.length_m,
        "mass_g": totals.mass_g,
        "ball_count": totals.ball_count,
        "fits_class_count": totals.fits_class_count,
    }


def _report_to_json(made: list[PlannedKit], *, working: list[Working] | None) -> Json:
    return {
        **report_to_json(working=working),
        "assumptions": _assumptions_to_json(made),
        "notices": [
            {"code": told.code, "severity": told.severity, "text": told.text} for told in class_notices(made)
        ],
    }


def _assumptions_to_json(made: list[PlannedKit]) -> list[Json]:
    """Return what was supposed, by name; what is not for all kits has the numbers of its own."""
    numbers: dict[Assumption, dict[int, None]] = {}
    for kit in made:
        for supposed in kit.plan.assumptions:
            numbers.setdefault(supposed, {})[kit.number] = None
    told: dict[tuple[Any, ...], set[int]] = {}
    for supposed in sorted(numbers, key=assumption_order):
        told.setdefault(tuple(assumption_to_json(supposed).items()), set()).update(numbers[supposed])
    return [
        {**dict(members), "kit_numbers": None if len(kits) == len(made) else sorted(kits)}
        for members, kits in told.items()
    ]


def _distinct(made: list[PlannedKit]) -> list[PlannedKit]:
    """Return the first kit of each plan."""
    plans = {id(kit.plan): kit for kit in reversed(made)}
    return sorted(plans.values(), key=lambda kit: kit.number)


def _working(made: list[PlannedKit], yarns: Sequence[YarnTotal]) -> list[Working]:
    """Return the working of each plan, named after its first kit, and of the yarns."""
    of_kits = (
        # A class of 500 has some 20,000 lines, and copies with one change are slow.
        Working(f"kit_{kit.number}.{line.name}", line.formula, line.value, line.unit, line.source)
        for kit in _distinct(made)
        for line in kit.plan.working
    )
    return [*of_kits, *total_working(yarns)]
