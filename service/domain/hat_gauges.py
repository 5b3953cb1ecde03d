"""The gauges a hat is reckoned with: body, brim, and the plain rounds between them."""

from collections.abc import Mapping
from dataclasses import dataclass

from service.domain.fabrics import BaseStitch, Crossing, Fabric
from service.domain.gauge import Gauge
from service.domain.hat_orders import HatOrder, MeasuredGauge
from service.domain.hat_rounds import plain_base
from service.domain.report import Assumption, Notice
from service.domain.stitches import HEIGHT_RATIOS, read_stitch
from service.domain.tables import ReferenceTables
from service.domain.texture import (
    ConvertedGauge,
    CrossingStitch,
    choose_crossing_stitch,
    gauge_for_fabric,
    plain_round_height_mm,
)

__all__ = ["HatGauges", "crossing_bases", "reckon_gauges"]


@dataclass(frozen=True, slots=True, kw_only=True)
class HatGauges:
    """Stitch widths and round heights of every part of the hat.

    ``first_round_mm`` is the plain round under a post rib, ``joining_mm`` the plain joining round, worked in
    ``joining_stitch``.
    ``crossing_stitches`` has the base stitch of a crossing by its number over as many.
    """

    body: Gauge
    brim: Gauge | None
    first_round_mm: float
    joining_stitch: BaseStitch
    joining_mm: float
    crossing_stitches: Mapping[int, BaseStitch]
    brim_crossing_stitches: Mapping[int, BaseStitch]
    notices: tuple[Notice, ...]
    assumptions: tuple[Assumption, ...]


def reckon_gauges(order: HatOrder, tables: ReferenceTables) -> HatGauges:
    """Return the gauges of a hat, those that nobody measured converted by priors.

    The brim's gauge, where it is not given, comes from the body's.

    Parameters
    ----------
    order
        The hat.
    tables
        Priors of texture.
    """
    body = _converted(order.gauge, order.fabric, tables)
    brim = (
        None if order.brim is None else _converted(order.brim_gauge or order.gauge, order.brim.fabric, tables)
    )
    lowest = body if brim is None else brim
    lowest_fabric = order.fabric if order.brim is None else order.brim.fabric
    joining_stitch = _joining_stitch(order)
    given = [order.gauge.given] if order.brim_gauge is None else [order.gauge.given, order.brim_gauge.given]
    converted = [body] if brim is None else [body, brim]
    return HatGauges(
        body=body.gauge,
        brim=None if brim is None else brim.gauge,
        first_round_mm=_plain_mm(plain_base(lowest_fabric), lowest_fabric, lowest.gauge, tables),
        joining_stitch=joining_stitch,
        joining_mm=_plain_mm(joining_stitch, order.fabric, body.gauge, tables),
        crossing_stitches=crossing_bases(order.fabric, gauge=body.gauge, tables=tables),
        brim_crossing_stitches={}
        if brim is None
        else crossing_bases(lowest_fabric, gauge=brim.gauge, tables=tables),
        notices=(
            *(notice for each in given for notice in each.notices),
            *(notice for each in converted for notice in each.notices),
            *_pulls_in(order.fabric, body.gauge, tables),
            *(() if brim is None else _pulls_in(lowest_fabric, brim.gauge, tables)),
        ),
        assumptions=(
            *(assumption for each in given for assumption in each.assumptions),
            *(assumption for each in converted for assumption in each.assumptions),
            *_brim_height_assumptions(order, tables),
        ),
    )


def _brim_height_assumptions(order: HatOrder, tables: ReferenceTables) -> tuple[Assumption, ...]:
    """Return the prior of a brim's height where nobody gave rounds, a height or a fold."""
    brim = order.brim
    if brim is None or order.size.is_folded or brim.round_count is not None or brim.height_mm is not None:
        return ()
    return (tables.prior_by_name["brim_height_ratio"].as_assumption(),)


def _joining_stitch(order: HatOrder) -> BaseStitch:
    """Return the stitch between brim and body, tall enough for the post stitches that follow it."""
    if order.brim is not None and not order.is_from_brim and order.brim.fabric.is_post:
        return plain_base(order.brim.fabric)
    return plain_base(order.fabric)


def _plain_mm(stitch: BaseStitch, fabric: Fabric, gauge: Gauge, tables: ReferenceTables) -> float:
    """Return the height of a plain round of a stitch beside a fabric."""
    own_mm = plain_round_height_mm(gauge.round_height_mm, fabric=fabric, tables=tables)
    return own_mm * HEIGHT_RATIOS[stitch] / HEIGHT_RATIOS[fabric.stitch]


def _converted(gauge: MeasuredGauge, wanted: Fabric, tables: ReferenceTables) -> ConvertedGauge:
    return gauge_for_fabric(gauge.given.gauge, measured=gauge.measured_in, wanted=wanted, tables=tables)


def crossing_bases(fabric: Fabric, *, gauge: Gauge, tables: ReferenceTables) -> dict[int, BaseStitch]:
    """Return the base stitch of every crossing of a fabric, by its number of stitches over as many.

    Narrower crossings are there too, since cables narrow in the crown.

    Examples
    --------
    >>> from service.reference.load import load_reference_tables
    >>> tables = load_reference_tables()
    >>> gauge = Gauge(stitch_width_mm=6.5, round_height_mm=11, width_error=0.03, height_error=0.03)
    >>> crossing_bases(tables.fabric_by_id["cable-3x3"], gauge=gauge, tables=tables)
    {1: 'dc', 2: 'tr', 3: 'dtr'}
    """
    widest = max((crossing.over for crossing in _crossings(fabric)), default=0)
    return {
        over: read_stitch(_chosen(fabric, over, None, gauge, tables).stitch).base
        for over in range(1, widest + 1)
    }


def _crossings(fabric: Fabric) -> list[Crossing]:
    return [column.crossing for column in fabric.columns if column.crossing is not None]


def _chosen(
    fabric: Fabric, over: int, asked: BaseStitch | None, gauge: Gauge, tables: ReferenceTables
) -> CrossingStitch:
    return choose_crossing_stitch(
        over=over,
        base=fabric.stitch,
        face="front",
        stitch_width_mm=gauge.stitch_width_mm,
        round_height_mm=gauge.round_height_mm,
        override=asked,
        tables=tables,
    )


def _pulls_in(fabric: Fabric, gauge: Gauge, tables: ReferenceTables) -> tuple[Notice, ...]:
    """Return a caution for the widest crossing whose legs are too short, in the stitch it is worked in."""
    chosen = {each: _chosen(fabric, each.over, each.stitch, gauge, tables) for each in _crossings(fabric)}
    short = [each for each in chosen if chosen[each].pulls_in]
    if not short:
        return ()
    widest = max(short, key=lambda each: each.over)
    return (Notice("crossing_pulls_in", {"over": widest.over, "stitch": chosen[widest].stitch}),)
