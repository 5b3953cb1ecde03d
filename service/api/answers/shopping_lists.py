"""A shopping list as JSON, and as the one table that holds all its rows."""

from collections.abc import Iterator, Mapping
from typing import Any

from service.api.answers.common import assumption_order, report_to_json
from service.api.answers.planned_classes import PlannedClass, planned_class_of, problem_words
from service.api.problems import problem_to_json
from service.domain.class_kits import ClassTotals
from service.domain.class_yarns import YarnTotal, total_working
from service.domain.report import Working
from service.domain.tables import ReferenceTables
from service.patterns.class_words import PlannedKit, notion_needs
from service.patterns.customary_units import ounces, yards
from service.patterns.shopping_words import hooks_to_buy, notices_of_buying, yarn_sentence
from service.sheets.csv_tables import csv_table

__all__ = ["SHOPPING_COLUMNS", "shopping_list_to_csv", "shopping_list_to_json"]

Json = dict[str, Any]

#: The lists of the answer and what their rows are called in the table.
_KINDS: Mapping[str, str] = {
    "yarns": "yarn",
    "hooks": "hook",
    "notions": "notion",
    "left_out": "left_out",
    "notices": "notice",
}

#: The columns of the table: each is a member of some row, in the order of reading.
SHOPPING_COLUMNS = (
    "kind",
    "name",
    "colour",
    "buy_count",
    "ball_mass_g",
    "ball_length_m",
    "position",
    "kit_count",
    "by_kit_ball_count",
    "pooled_ball_count",
    "spare_ball_count",
    "by_kit_leftover_m",
    "by_kit_leftover_yd",
    "pooled_leftover_m",
    "pooled_leftover_yd",
    "length_m",
    "length_yd",
    "mass_g",
    "mass_oz",
    "hook_mm_low",
    "hook_mm_high",
    "number",
    "reference",
    "problem",
    "code",
    "severity",
    "text",
)


def shopping_list_to_json(values: Json, tables: ReferenceTables) -> Json:
    """Return what to buy for the class that a request asks for."""
    planned = planned_class_of(values, tables)
    made, design = planned.made, values["design"]
    hooks = hooks_to_buy(made, tables, hook_mm=design.get("hook_mm"), terms_id=design["terms"])
    return {
        "yarns": [_yarn_to_json(place, total) for place, total in enumerate(planned.sums.yarns)],
        "hooks": [
            {
                "buy_count": need.kit_count,
                "hook_mm_low": need.low_mm,
                "hook_mm_high": need.high_mm,
                "text": need.text,
            }
            for need in hooks
        ],
        "notions": [
            {"name": notion.name, "buy_count": count, "text": notion.text}
            for notion, count in notion_needs(made, tables)
        ],
        "left_out": _left_out_to_json(planned),
        "totals": _totals_to_json(planned.sums.totals, problem_count=len(planned.left_out)),
        **_report_to_json(
            made, working=total_working(planned.sums.yarns) if design["show_working"] else None
        ),
    }


def _yarn_to_json(position: int, total: YarnTotal) -> Json:
    yarn, balls = total.offered.yarn, total.balls
    by_kit_left_m = None if balls is None else balls.by_kit_leftover_m
    pooled_left_m = None if balls is None else balls.pooled_leftover_m
    return {
        "position": position,
        "name": total.offered.name,
        "colour": total.offered.colour,
        "buy_count": None if balls is None else balls.one_lot,
        "ball_mass_g": yarn.ball_mass_g,
        "ball_length_m": yarn.ball_length_m,
        "kit_count": total.kit_count,
        "by_kit_ball_count": None if balls is None else balls.by_kit,
        "pooled_ball_count": None if balls is None else balls.pooled,
        "spare_ball_count": None if balls is None else balls.spare,
        "by_kit_leftover_m": by_kit_left_m,
        "by_kit_leftover_yd": None if by_kit_left_m is None else yards(by_kit_left_m),
        "pooled_leftover_m": pooled_left_m,
        "pooled_leftover_yd": None if pooled_left_m is None else yards(pooled_left_m),
        "length_m": total.length_m,
        "length_yd": yards(total.length_m),
        "mass_g": total.mass_g,
        "mass_oz": ounces(total.mass_g),
        "text": yarn_sentence(total),
    }


def _left_out_to_json(planned: PlannedClass) -> list[Json]:
    return [
        {
            "number": seat.number,
            "reference": seat.entry.reference,
            "problem": problem_to_json(problem)["type"],
            "text": problem_words(problem),
        }
        for seat, problem in planned.left_out
    ]


def _totals_to_json(totals: ClassTotals, *, problem_count: int) -> Json:
    return {
        "kit_count": totals.kit_count,
        "problem_count": problem_count,
        "ball_count": totals.ball_count,
        "length_m": totals.length_m,
        "length_yd": None if totals.length_m is None else yards(totals.length_m),
        "mass_g": totals.mass_g,
        "mass_oz": None if totals.mass_g is None else ounces(totals.mass_g),
    }


def _report_to_json(made: list[PlannedKit], *, working: tuple[Working, ...] | None) -> Json:
    plans = {id(kit.plan): kit.plan for kit in made}.values()
    supposed = dict.fromkeys(each for plan in plans for each in plan.assumptions)
    return {
        **report_to_json(assumptions=sorted(supposed, key=assumption_order), working=working),
        "notices": [
            {"code": told.code, "severity": told.severity, "text": told.text}
            for told in notices_of_buying(made)
        ],
    }


def shopping_list_to_csv(body: Mapping[str, Any]) -> str:
    """Return the same list as a table: a row for each thing to buy, then who was left out, then notices."""
    return csv_table(
        SHOPPING_COLUMNS, ([row.get(column) for column in SHOPPING_COLUMNS] for row in _rows(body))
    )


def _rows(body: Mapping[str, Any]) -> Iterator[Json]:
    for member, kind in _KINDS.items():
        for row in body[member]:
            yield {"kind": kind, **row}
