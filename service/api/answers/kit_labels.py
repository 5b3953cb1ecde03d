"""From the order of a class to its labels: as a sheet to print and cut, and as a table."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from service.api.answers.common import cm
from service.api.answers.planned_classes import PlannedClass, Seat, planned_class_of, problem_words
from service.domain.class_kits import Kit
from service.domain.class_yarns import ClassYarn, YarnTotal
from service.domain.hats import HatPlan
from service.domain.rounding import printed
from service.domain.tables import ReferenceTables
from service.patterns.class_words import PlannedKit, beforehand_words, hook_needs
from service.patterns.customary_units import eighth_inches, ounces, yards
from service.sheets.csv_tables import csv_table
from service.sheets.kit_labels import (
    KitLabel,
    LabelSheet,
    LeftOut,
    build_kit_label,
    label_cautions,
    label_title,
)

__all__ = ["LABEL_COLUMNS", "kit_labels_to_csv", "label_sheet_of"]

Values = Mapping[str, Any]
Row = dict[str, Any]

LABEL_COLUMNS = (
    "number",
    "reference",
    "hat_size_cm",
    "hat_size_us",
    "hat_size_uk",
    "finished_circumference_cm",
    "finished_circumference_in",
    "finished_depth_cm",
    "finished_depth_in",
    "yarn_name",
    "yarn_colour",
    "ball_count",
    "yarn_m",
    "yarn_yd",
    "yarn_g",
    "yarn_oz",
    "hook_mm_low",
    "hook_mm_high",
    "hook",
    "hours",
    "fits_class",
    "beforehand",
    "terms",
    "handedness",
    "cautions",
    "problem",
)


def label_sheet_of(values: Values, tables: ReferenceTables) -> LabelSheet:
    """Return the labels of the class that a request asks for, planned."""
    planned = planned_class_of(values, tables)
    design = values["design"]
    first = planned.made[0].plan if planned.made else None
    return LabelSheet(
        language="en",
        title=label_title(first, terms_id=design["terms"], tables=tables),
        labels=tuple(_labels(planned, tables, design.get("hook_mm"))),
        left_out=tuple(
            LeftOut(seat.number, seat.entry.reference, problem_words(problem))
            for seat, problem in planned.left_out
        ),
    )


def _labels(planned: PlannedClass, tables: ReferenceTables, hook_mm: float | None) -> Iterator[KitLabel]:
    for seat in planned.seats:
        if seat.kit is not None and seat.kit.plan is not None:
            # A reference that was refused has a problem and no plan.
            assert seat.entry.reference is not None
            yield build_kit_label(
                seat.kit,
                number=seat.number,
                reference=seat.entry.reference,
                terms_id=seat.entry.terms_id,
                offered=_offered(seat.kit, planned.sums.yarns),
                tables=tables,
                hook_mm=hook_mm,
            )


def _offered(kit: Kit, yarns: Sequence[YarnTotal]) -> ClassYarn | None:
    return None if kit.yarn_position is None else yarns[kit.yarn_position].offered


def kit_labels_to_csv(values: Values, tables: ReferenceTables) -> str:
    """Return a table with a row for everybody; who has no kit has the problem alone."""
    planned = planned_class_of(values, tables)
    rows = (_row(seat, planned.sums.yarns, tables, values["design"].get("hook_mm")) for seat in planned.seats)
    return csv_table(LABEL_COLUMNS, ([row.get(column) for column in LABEL_COLUMNS] for row in rows))


def _row(seat: Seat, yarns: Sequence[YarnTotal], tables: ReferenceTables, hook_mm: float | None) -> Row:
    row: Row = {"number": seat.number, "reference": seat.entry.reference}
    if seat.problem is not None:
        return {**row, "problem": problem_words(seat.problem)}
    kit = seat.kit
    assert kit is not None
    assert kit.plan is not None
    planned = PlannedKit(seat.number, kit.plan, seat.entry.terms_id, kit.yarn_position)
    return {
        **row,
        **_size_members(kit.plan),
        **_yarn_members(kit.plan, _offered(kit, yarns)),
        **_hook_members(planned, tables, hook_mm),
        "hours": kit.hours,
        "fits_class": kit.fits_class,
        "beforehand": None if kit.beforehand is None else beforehand_words(kit.beforehand, kit.plan),
        "terms": seat.entry.terms_id,
        "handedness": "left" if kit.plan.order.is_left_handed else "right",
        "cautions": " ".join(label_cautions(kit.plan)),
    }


def _size_members(plan: HatPlan) -> Row:
    size, circumference_mm = plan.size.hat_size, plan.counts.chosen.count.circumference_mm
    return {
        "hat_size_cm": size.metric_cm,
        "hat_size_us": size.us,
        "hat_size_uk": size.uk,
        "finished_circumference_cm": cm(circumference_mm),
        "finished_circumference_in": eighth_inches(circumference_mm),
        "finished_depth_cm": cm(plan.depth_mm),
        "finished_depth_in": eighth_inches(plan.depth_mm),
    }


def _yarn_members(plan: HatPlan, offered: ClassYarn | None) -> Row:
    if offered is None or plan.yarn.estimate is None:
        return {}
    buy = plan.yarn.estimate.buy
    length_m, mass_g = printed(buy.length_m, 1), printed(buy.mass_g, 1)
    return {
        "yarn_name": offered.name,
        "yarn_colour": offered.colour,
        "ball_count": buy.ball_count,
        "yarn_m": length_m,
        "yarn_yd": yards(length_m),
        "yarn_g": mass_g,
        "yarn_oz": ounces(mass_g),
    }


def _hook_members(kit: PlannedKit, tables: ReferenceTables, hook_mm: float | None) -> Row:
    [hook] = hook_needs([kit], tables, hook_mm)
    return {"hook_mm_low": hook.low_mm, "hook_mm_high": hook.high_mm, "hook": hook.text}
