"""A class as JSON: a kit for every participant, and what the organizer needs for all of them."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from service.api.answers.common import report_to_json
from service.api.answers.finished_sizes import finished_size_to_json
from service.api.answers.hat_plans import counts_to_json, hours_to_json
from service.api.answers.yarn_estimates import yarn_needed_to_json
from service.api.orders_classes import ClassRequest, Entry, class_request_of
from service.api.problems import problem_from_domain, problem_to_json
from service.domain.class_kits import ClassKits, ClassTotals, Kit, SizeCount, plan_class
from service.domain.class_yarns import ClassBalls, YarnTotal
from service.domain.hat_sizes import hat_size
from service.domain.hats import HatPlan
from service.domain.report import Working
from service.domain.rounding import printed
from service.domain.tables import ReferenceTables
from service.notation.terms import TermsId
from service.patterns.class_words import (
    PlannedKit,
    beforehand_words,
    class_notices,
    hook_needs,
    notion_needs,
)

__all__ = ["class_kits_to_json"]

Json = dict[str, Any]


def class_kits_to_json(values: Json, tables: ReferenceTables) -> Json:
    """Return the answer to the order of a class."""
    asked = class_request_of(values, tables)
    planned = plan_class(asked.order, tables)
    kits = list(_with_entries(asked, planned))
    made = [
        PlannedKit(number, kit.plan, entry.terms_id, kit.yarn_position)
        for number, (entry, kit) in enumerate(kits, 1)
        if kit is not None and kit.plan is not None
    ]
    hook_mm = values["design"].get("hook_mm")
    kept: dict[tuple[int, TermsId], Json] = {}
    return {
        "kits": [_kit_to_json(number, entry, kit, kept) for number, (entry, kit) in enumerate(kits, 1)],
        "yarns": [_yarn_to_json(position, total) for position, total in enumerate(planned.yarns)],
        "hooks": [
            {
                "low_mm": need.low_mm,
                "high_mm": need.high_mm,
                "kit_count": need.kit_count,
                "text": need.text,
            }
            for need in hook_needs(made, tables, hook_mm)
        ],
        "notions": [
            {"name": notion.name, "count": count, "text": notion.text}
            for notion, count in notion_needs(made, tables)
        ],
        "size_histogram": list(map(_size_to_json, planned.size_counts)),
        "totals": _totals_to_json(planned.totals, problem_count=len(kits) - len(made)),
        **_report_to_json(made, has_working=values["design"]["show_working"]),
    }


def _with_entries(asked: ClassRequest, planned: ClassKits) -> Iterator[tuple[Entry, Kit | None]]:
    """Yield everybody with their kit, in the order sent; whose values cannot be used has none."""
    kits = iter(planned.kits)
    for entry in asked.entries:
        yield entry, next(kits) if entry.problem is None else None


def _kit_to_json(number: int, entry: Entry, kit: Kit | None, kept: dict[tuple[int, TermsId], Json]) -> Json:
    """Return a kit; ``kept`` has the plans so far, which equal kits share."""
    problem = entry.problem
    if kit is not None and kit.refusal is not None:
        problem = problem_from_domain(kit.refusal)
    plan: Json | None = None
    if kit is not None and kit.plan is not None:
        key = (id(kit), entry.terms_id)
        if key not in kept:
            kept[key] = _plan_to_json(kit, kit.plan, entry.terms_id)
        plan = kept[key]
    return {
        "number": number,
        "reference": entry.reference,
        "plan": plan,
        "problem": None if problem is None else problem_to_json(problem),
    }


def _plan_to_json(kit: Kit, plan: HatPlan, terms_id: TermsId) -> Json:
    before = kit.beforehand
    return {
        "terms": terms_id,
        "handedness": "left" if plan.order.is_left_handed else "right",
        "counts": counts_to_json(plan),
        "size": finished_size_to_json(plan.size),
        "finished_circumference_cm": _cm(plan.counts.chosen.count.circumference_mm),
        "finished_depth_cm": _cm(plan.depth_mm),
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


def _cm(length_mm: float) -> float:
    return printed(length_mm / 10, 2)


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


def _report_to_json(made: list[PlannedKit], *, has_working: bool) -> Json:
    plans: Mapping[int, PlannedKit] = {id(kit.plan): kit for kit in reversed(made)}
    distinct = sorted(plans.values(), key=lambda kit: kit.number)
    assumptions = dict.fromkeys(each for kit in distinct for each in kit.plan.assumptions)
    return {
        **report_to_json(assumptions=assumptions, working=_working(distinct) if has_working else None),
        "notices": [
            {"code": told.code, "severity": told.severity, "text": told.text} for told in class_notices(made)
        ],
    }


def _working(kits: list[PlannedKit]) -> list[Working]:
    return [replace(line, name=f"kit_{kit.number}.{line.name}") for kit in kits for line in kit.plan.working]
