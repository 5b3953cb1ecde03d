"""From the values of a plan's request to the order of a hat."""

from collections.abc import Mapping
from typing import Any

from service.api.orders import fabric_of, given_gauge_of, head_of, mm, size_order_of, swatch_of, yarn_of
from service.api.orders_colours import colouring_of
from service.domain.fabrics import Fabric
from service.domain.hat_orders import BrimOrder, CrownWishes, HatOrder, MeasuredGauge
from service.domain.hat_rounds import RoundManner
from service.domain.tables import ReferenceTables
from service.domain.yarns import yarn_diameter_mm, yarn_tex

__all__ = ["crown_wishes_of", "hat_order_of"]

Values = Mapping[str, Any]

#: The brim that nobody asked for, under a textured body and under a slouch (common practice, no source).
_USUAL_BRIM = "post-rib-1x1"


def hat_order_of(values: Values, tables: ReferenceTables) -> HatOrder:
    """Return the hat that a request asks for."""
    fabric = fabric_of(values["fabric"], tables)
    yarn = None if values.get("yarn") is None else yarn_of(values["yarn"])
    diameter_mm = None
    if yarn is not None:
        # A yarn that nothing is known of is refused here, before anything is supposed from it.
        yarn_tex(yarn)
        diameter_mm = yarn_diameter_mm(yarn)
    brim = _brim_of(values, fabric, tables)
    return HatOrder(
        size=size_order_of(
            values, head=head_of(values["head"], tables), fabric=fabric, yarn_diameter_mm=diameter_mm
        ),
        gauge=_measured(values["gauge"], fabric, tables),
        fabric=fabric,
        brim=brim,
        brim_gauge=None
        if brim is None or values.get("brim_gauge") is None
        else _measured(values["brim_gauge"], brim.fabric, tables),
        crown=crown_wishes_of(values),
        worked=values["worked"],
        manner=RoundManner(
            is_joined=values["round_style"] == "joined",
            start_chain_counts=values["start_chain_counts"],
        ),
        is_left_handed=values["handedness"] == "left",
        has_edging=values["edging"] == "reverse_sc",
        yarn=yarn,
        swatch=swatch_of(values.get("swatch"), None),
        stitch_weights=values.get("stitch_weights", {}),
        certainty_percent=values["certainty_percent"],
        pace_units_per_minute=values.get("pace_units_per_minute"),
        colouring=colouring_of(values.get("colouring")),
    )


def _measured(values: Values, own: Fabric, tables: ReferenceTables) -> MeasuredGauge:
    fabric_id = values.get("fabric_id")
    return MeasuredGauge(
        given=given_gauge_of(values, tables),
        measured_in=own if fabric_id is None else tables.fabric_by_id[fabric_id],
    )


def _brim_of(values: Values, body: Fabric, tables: ReferenceTables) -> BrimOrder | None:
    if "brim" not in values:
        wants_one = body.is_textured or values["style"] == "slouch"
        if not wants_one or values["style"] == "headband":
            return None
        return BrimOrder(fabric=tables.fabric_by_id[_USUAL_BRIM], is_default=True)
    brim = values["brim"]
    if brim is None:
        return None
    return BrimOrder(
        fabric=tables.fabric_by_id[brim["fabric_id"]],
        round_count=brim.get("round_count"),
        height_mm=mm(brim.get("height_cm")),
    )


def crown_wishes_of(values: Values) -> CrownWishes:
    """Return how a request wants its crown."""
    return CrownWishes(
        shape=values.get("crown_shape"),
        round_count=values.get("crown_round_count"),
        depth_mm=mm(values.get("crown_depth_cm")),
        section_count=values.get("section_count"),
        is_scattered=values["decrease_placement"] == "scattered",
        closing_stitch_count_min=values.get("closing_stitch_count_min"),
        closing_stitch_count_max=values.get("closing_stitch_count_max"),
        settle_round_count=values["settle_round_count"],
        group_count=values.get("crown_group_count"),
    )
