"""The rows of the reference tables as JSON."""

from typing import Any

from service.domain.fabrics import Column
from service.domain.rounding import printed
from service.domain.tables import ReferenceTables
from service.domain.texture import fabric_texture, fabric_thickness_mm

__all__ = ["fabric_rows", "head_size_rows", "hook_size_rows", "stitch_rows", "yarn_weight_rows"]

Rows = list[dict[str, Any]]


def head_size_rows(tables: ReferenceTables) -> Rows:
    """Return the head sizes, smallest first."""
    return [
        {
            "size_id": row.size_id,
            "name": row.name,
            "circumference_cm": printed(row.mean_mm / 10, 2),
            "circumference_sd_cm": printed(row.sd_mm / 10, 2),
            "age_months": row.age_months,
            "source": row.source,
        }
        for row in tables.head_sizes
    ]


def yarn_weight_rows(tables: ReferenceTables) -> Rows:
    """Return the yarn weights, finest first."""
    return [
        {
            "weight_category": row.weight_category,
            "name": row.name,
            "gauge_stitch": row.gauge_stitch,
            "stitches_per_10cm_low": row.stitches_per_10cm_low,
            "stitches_per_10cm_high": row.stitches_per_10cm_high,
            "hook_low_mm": row.hook_mm_low,
            "hook_high_mm": row.hook_mm_high,
            "hook_us": row.hook_us,
            "wraps_per_inch_low": row.wraps_per_inch_low,
            "wraps_per_inch_high": row.wraps_per_inch_high,
            "tex": row.tex,
            "fabric_g_per_m2": row.fabric_g_per_m2,
            "confidence": row.confidence,
            "source": row.source,
        }
        for row in tables.yarn_weights
    ]


def hook_size_rows(tables: ReferenceTables) -> Rows:
    """Return the hooks, thinnest first."""
    return [
        {"diameter_mm": row.diameter_mm, "us": row.us, "uk": row.uk, "source": row.source}
        for row in tables.hook_sizes
    ]


def stitch_rows(tables: ReferenceTables) -> Rows:
    """Return the stitches."""
    return [
        {
            "code": row.code,
            "us_abbreviation": row.us_abbreviation,
            "us_name": row.us_name,
            "uk_abbreviation": row.uk_abbreviation,
            "uk_name": row.uk_name,
            "consumed_stitch_count": row.consumed_stitch_count,
            "made_stitch_count": row.made_stitch_count,
            "turning_chain_count": row.turning_chain_count,
            "relative_height": row.relative_height,
            "sc_units": row.sc_units,
            "sc_units_sd": row.sc_units_sd,
            "source": row.source,
        }
        for row in tables.stitches
    ]


def fabric_rows(tables: ReferenceTables) -> Rows:
    """Return the fabrics with their priors."""
    rows = []
    for row in tables.fabrics:
        texture = fabric_texture(row.fabric, tables=tables)
        rows.append(
            {
                "fabric_id": row.fabric_id,
                "name": row.name,
                "stitch": row.fabric.stitch,
                "stitch_multiple": row.fabric.stitch_multiple,
                "columns": [_column_to_json(column) for column in row.fabric.columns],
                "round_repeat_count": row.fabric.round_repeat_count,
                "flip_round_count": row.fabric.flip_round_count,
                "width_ratio": printed(texture.width_ratio, 3),
                "height_ratio": printed(texture.height_ratio, 3),
                "thickness_mm": printed(fabric_thickness_mm(row.fabric, tables=tables), 2),
                "source": row.source,
            }
        )
    return rows


def _column_to_json(column: Column) -> dict[str, Any]:
    crossing = column.crossing
    return {
        "face": column.face,
        "width": column.width,
        "crossing": None
        if crossing is None
        else {"over": crossing.over, "lean": crossing.lean, "round": crossing.round_in_repeat},
    }
