"""From the values of a request to those of the domain: units, choices, nothing else."""

from collections.abc import Mapping
from typing import Any

from service.domain.errors import ChooseOne, YarnUnderdetermined
from service.domain.fabrics import BaseStitch, Column, Crossing, Fabric, make_fabric
from service.domain.gauge import GivenGauge, give_gauge
from service.domain.heads import Head, head_at_age, head_of_size, measured_head
from service.domain.sizing import SizeOrder
from service.domain.tables import ReferenceTables
from service.domain.yarn_swatches import Swatch
from service.domain.yarn_work import StitchSize
from service.domain.yarns import Yarn, yarn_tex

__all__ = [
    "fabric_of",
    "given_gauge_of",
    "head_of",
    "known_yarn_of",
    "mm",
    "plain_fabric",
    "refuse_both",
    "refuse_neither",
    "size_order_of",
    "swatch_of",
    "yarn_of",
]

Values = Mapping[str, Any]


def mm(value_cm: float | None) -> float | None:
    """Return centimetres as millimetres, nothing as nothing."""
    return None if value_cm is None else 10 * value_cm


def refuse_both(order: Values, first: str, second: str) -> None:
    """Raise if two fields that exclude each other were both given.

    Raises
    ------
    ChooseOne
        With the names of both.
    """
    if order.get(first) is not None and order.get(second) is not None:
        raise ChooseOne(fields=(first, second), given=(first, second))


def refuse_neither(order: Values, first: str, second: str) -> None:
    """Raise if neither of two fields was given and one is needed.

    Raises
    ------
    ChooseOne
        With the names of both.
    """
    if order.get(first) is None and order.get(second) is None:
        raise ChooseOne(fields=(first, second), given=())


def head_of(choice: Values, tables: ReferenceTables) -> Head:
    """Return the head that a request measures, names by size, or gives an age for."""
    if "circumference_cm" in choice:
        return measured_head(10 * choice["circumference_cm"], tables=tables)
    if "size_id" in choice:
        return head_of_size(choice["size_id"], tables=tables)
    return head_at_age(choice["age_months"], sex=choice.get("sex"), tables=tables)


def size_order_of(
    order: Values, *, head: Head, fabric: Fabric | None = None, yarn_diameter_mm: float | None = None
) -> SizeOrder:
    """Return how a request wants a hat to sit on a head.

    The fabric and the yarn serve to suppose a thickness where none is given.

    Raises
    ------
    ChooseOne
        If both a fit and an ease, or both a cover and a depth, are given.
    """
    return SizeOrder(
        head=head,
        fit=order.get("fit"),
        ease_mm=mm(order.get("ease_cm")),
        style=order["style"],
        covers=order.get("covers"),
        depth_mm=mm(order.get("depth_cm")),
        cuff_mm=mm(order.get("cuff_cm")),
        thickness_mm=order.get("fabric_thickness_mm"),
        fabric=fabric,
        yarn_diameter_mm=yarn_diameter_mm,
    )


def fabric_of(choice: Values, tables: ReferenceTables) -> Fabric:
    """Return the fabric that a request names or spells out."""
    if "fabric_id" in choice:
        return tables.fabric_by_id[choice["fabric_id"]]
    return make_fabric(
        stitch=choice["stitch"],
        columns=tuple(map(_column_of, choice["columns"])),
        round_repeat_count=choice["round_repeat_count"],
        flip_round_count=choice.get("flip_round_count"),
    )


def plain_fabric(stitch: BaseStitch) -> Fabric:
    """Return the plain fabric of one stitch."""
    return Fabric(stitch, (Column("flat", 1),))


def _column_of(values: Values) -> Column:
    crossing = values.get("crossing")
    return Column(
        face=values["face"],
        width=values["width"],
        crossing=None
        if crossing is None
        else Crossing(
            over=crossing["over"],
            lean=crossing["lean"],
            round_in_repeat=crossing["round"],
            stitch=crossing.get("stitch"),
        ),
    )


def given_gauge_of(values: Values, tables: ReferenceTables) -> GivenGauge:
    """Return the gauge that a request states."""
    return give_gauge(
        stitches_per_10cm=values["stitches_per_10cm"],
        rounds_per_10cm=values["rounds_per_10cm"],
        fabric_id=values.get("fabric_id"),
        width_error=_part(values.get("width_error_percent")),
        height_error=_part(values.get("height_error_percent")),
        washed=values.get("washed"),
        tables=tables,
    )


def _part(percent: float | None) -> float | None:
    return None if percent is None else percent / 100


def yarn_of(values: Values) -> Yarn:
    """Return the yarn that a request describes."""
    ball = values.get("ball") or {}
    return Yarn(
        weight_category=values.get("weight_category"),
        tex=values.get("tex"),
        ball_mass_g=ball.get("mass_g"),
        ball_length_m=ball.get("length_m"),
        strand_count=values.get("strand_count", 1),
        fibre=values.get("fibre"),
        fibre_diameter_um=values.get("fibre_diameter_um"),
    )


def known_yarn_of(values: Values, *, place: str) -> Yarn:
    """Return one of several yarns that a request describes.

    Raises
    ------
    YarnUnderdetermined
        If nothing is known of it, by the names that would do at its place.
    """
    yarn = yarn_of(values)
    try:
        yarn_tex(yarn)
    except YarnUnderdetermined as refusal:
        names = [f"{place}.{name.removeprefix('yarn.')}" for name in refusal.missing]
        raise YarnUnderdetermined(missing=names) from None
    return yarn


def swatch_of(values: Values | None, size: StitchSize | None) -> Swatch | None:
    """Return the weighed swatch of a request, in the size of its stitches where that is known."""
    if values is None:
        return None
    return Swatch(
        mass_g=values["mass_g"],
        stitch_counts=values["stitch_counts"],
        size=size,
        is_unravelled=values["unravelled"],
    )
