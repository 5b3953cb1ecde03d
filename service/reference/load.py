"""Read the reference tables: once, into one frozen value."""

import csv
from collections.abc import Iterable
from importlib.resources import files
from typing import cast

from service.domain.fabrics import BaseStitch, Column, Crossing, Fabric, Face
from service.domain.report import Confidence
from service.domain.steps import Lean
from service.domain.tables import (
    FabricRow,
    GrowthPoint,
    HeadSize,
    HeadSurvey,
    HookSize,
    Prior,
    ReferenceTables,
    Sex,
    StitchRow,
    YarnWeight,
)

__all__ = ["load_reference_tables", "read_columns"]

_Cells = dict[str, str]


def load_reference_tables() -> ReferenceTables:
    """Return every reference table.

    Examples
    --------
    >>> tables = load_reference_tables()
    >>> tables.head_size_by_id["newborn"].mean_mm
    342.0
    >>> tables.fabric_by_id["cable-3x3"].stitch_multiple
    8
    """
    return ReferenceTables(
        head_sizes=tuple(map(_head_size, _rows("head_sizes"))),
        head_surveys=tuple(map(_head_survey, _rows("head_surveys"))),
        growth_points=tuple(map(_growth_point, _rows("growth"))),
        yarn_weights=tuple(map(_yarn_weight, _rows("yarn_weights"))),
        hook_sizes=tuple(map(_hook_size, _rows("hook_sizes"))),
        stitches=tuple(map(_stitch, _rows("stitches"))),
        fabrics=tuple(map(_fabric_row, _rows("fabrics"))),
        priors=tuple(map(_prior, _rows("priors"))),
    )


def _rows(name: str) -> Iterable[_Cells]:
    text = files("service.reference").joinpath(f"{name}.csv").read_text(encoding="utf-8")
    return csv.DictReader(text.splitlines())


def _optional(cell: str) -> float | None:
    return float(cell) if cell else None


def _count(cell: str) -> int | None:
    return int(cell) if cell else None


def _head_size(cells: _Cells) -> HeadSize:
    return HeadSize(
        size_id=cells["size_id"],
        name=cells["name"],
        mean_mm=float(cells["mean_mm"]),
        sd_mm=float(cells["sd_mm"]),
        age_months=_optional(cells["age_months"]),
        source=cells["source"],
    )


def _head_survey(cells: _Cells) -> HeadSurvey:
    return HeadSurvey(
        survey_id=cells["survey_id"],
        sex=cast(Sex, cells["sex"]),
        head_count=_count(cells["head_count"]),
        mean_mm=float(cells["mean_mm"]),
        sd_mm=float(cells["sd_mm"]),
        source=cells["source"],
    )


def _growth_point(cells: _Cells) -> GrowthPoint:
    return GrowthPoint(
        reference=cells["reference"],
        sex=cast(Sex, cells["sex"]),
        age_months=float(cells["age_months"]),
        mean_mm=float(cells["mean_mm"]),
        sd_mm=float(cells["sd_mm"]),
        source=cells["source"],
    )


def _yarn_weight(cells: _Cells) -> YarnWeight:
    return YarnWeight(
        weight_category=int(cells["weight_category"]),
        name=cells["name"],
        gauge_stitch=cast(BaseStitch, cells["gauge_stitch"]),
        stitches_per_10cm_low=_optional(cells["stitches_per_10cm_low"]),
        stitches_per_10cm_high=float(cells["stitches_per_10cm_high"]),
        hook_mm_low=float(cells["hook_mm_low"]),
        hook_mm_high=_optional(cells["hook_mm_high"]),
        hook_us=cells["hook_us"],
        wraps_per_inch_low=float(cells["wraps_per_inch_low"]),
        wraps_per_inch_high=_optional(cells["wraps_per_inch_high"]),
        tex=float(cells["tex"]),
        fabric_g_per_m2=float(cells["fabric_g_per_m2"]),
        confidence=cast(Confidence, cells["confidence"]),
        source=cells["source"],
    )


def _hook_size(cells: _Cells) -> HookSize:
    return HookSize(
        diameter_mm=float(cells["diameter_mm"]),
        us=cells["us"] or None,
        uk=cells["uk"] or None,
        source=cells["source"],
    )


def _stitch(cells: _Cells) -> StitchRow:
    return StitchRow(
        code=cells["code"],
        us_abbreviation=cells["us_abbreviation"],
        us_name=cells["us_name"],
        uk_abbreviation=cells["uk_abbreviation"],
        uk_name=cells["uk_name"],
        consumed_stitch_count=int(cells["consumed_stitch_count"]),
        made_stitch_count=int(cells["made_stitch_count"]),
        turning_chain_count=int(cells["turning_chain_count"]),
        relative_height=float(cells["relative_height"]),
        sc_units=float(cells["sc_units"]),
        sc_units_sd=float(cells["sc_units_sd"]),
        source=cells["source"],
    )


def _fabric_row(cells: _Cells) -> FabricRow:
    fabric = Fabric(
        stitch=cast(BaseStitch, cells["stitch"]),
        columns=read_columns(cells["columns"]),
        round_repeat_count=int(cells["round_repeat_count"]),
        flip_round_count=_count(cells["flip_round_count"]),
        fabric_id=cells["fabric_id"],
    )
    return FabricRow(fabric_id=cells["fabric_id"], name=cells["name"], fabric=fabric, source=cells["source"])


def read_columns(text: str) -> tuple[Column, ...]:
    """Return the columns of a fabric from its cell in the table.

    Columns stand from right to left as they are worked, parted by a bar; a crossed one crosses its half
    over its half.

    Examples
    --------
    >>> read_columns("back 2 | front 4 cross right round 1")[1].crossing
    Crossing(over=2, lean='right', round_in_repeat=1, stitch=None)
    """
    return tuple(_column(part.split()) for part in text.split("|"))


def _column(words: list[str]) -> Column:
    face, width = cast(Face, words[0]), int(words[1])
    if len(words) == 2:
        return Column(face, width)
    _, _, _, lean, _, round_in_repeat = words
    crossing = Crossing(over=width // 2, lean=cast(Lean, lean), round_in_repeat=int(round_in_repeat))
    return Column(face, width, crossing)


def _prior(cells: _Cells) -> Prior:
    return Prior(
        name=cells["name"],
        value=float(cells["value"]),
        sd=_optional(cells["sd"]),
        unit=cells["unit"],
        confidence=cast(Confidence, cells["confidence"]),
        source=cells["source"],
    )
