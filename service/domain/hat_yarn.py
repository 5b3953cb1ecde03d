"""The yarn and the hours of a hat, folded over its rounds."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from service.domain.fabrics import BaseStitch, Fabric
from service.domain.gauge import Gauge
from service.domain.hat_gauges import HatGauges
from service.domain.hat_orders import HatOrder
from service.domain.hat_rounds import plain_base
from service.domain.report import Assumption, Notice, Working
from service.domain.rounds import Round
from service.domain.yarn_buying import Finishing
from service.domain.yarn_estimates import estimate_yarn
from service.domain.yarn_hours import WorkingTime, working_time
from service.domain.yarn_orders import YarnEstimate, YarnOrder
from service.domain.yarn_work import (
    StitchSize,
    WorkPart,
    part_units,
    work_from_foundation,
    work_from_round,
)
from service.domain.yarns import fibre_notices

__all__ = ["HatYarn", "reckon_yarn"]


@dataclass(frozen=True, slots=True, kw_only=True)
class HatYarn:
    """The yarn of a hat, ``None`` where no yarn is known, and the hours it takes.

    ``order`` is what the estimate was made from. ``round_units`` has the work of each round; the foundation
    is worked with the first.
    """

    order: YarnOrder | None
    estimate: YarnEstimate | None
    units: float
    round_units: tuple[float, ...]
    time: WorkingTime
    notices: tuple[Notice, ...]
    assumptions: tuple[Assumption, ...]
    working: tuple[Working, ...]


def reckon_yarn(order: HatOrder, gauges: HatGauges, rounds: tuple[Round, ...]) -> HatYarn:
    """Return the yarn of every round and of the whole, what to buy, and the hours at the hook.

    Parameters
    ----------
    order
        The hat; its yarn may be unknown.
    gauges
        Stitch widths by part.
    rounds
        The worked rounds.
    """
    work = _work(order, gauges, rounds)
    yarn_order = None if order.yarn is None else _yarn_order(order, gauges, work)
    estimate = None if yarn_order is None else estimate_yarn(yarn_order)
    by_part = _units(order, work) if estimate is None else [part.units for part in estimate.parts]
    units = sum(by_part)
    time = working_time(units=units, pace_units_per_minute=order.pace_units_per_minute)
    found = () if estimate is None or order.yarn is None else (*fibre_notices(order.yarn), *estimate.notices)
    return HatYarn(
        order=yarn_order,
        estimate=estimate,
        units=units,
        round_units=_by_round(by_part, len(rounds)),
        time=time,
        notices=(*found, *time.notices),
        assumptions=(*(() if estimate is None else estimate.assumptions), *time.assumptions),
        working=() if estimate is None else estimate.working,
    )


def _units(order: HatOrder, work: tuple[WorkPart, ...]) -> list[float]:
    return [part_units(part, order.stitch_weights) for part in work]


def _by_round(by_part: Sequence[float], round_count: int) -> tuple[float, ...]:
    first = len(by_part) - round_count + 1
    return (sum(by_part[:first]), *by_part[first:])


def _work(order: HatOrder, gauges: HatGauges, rounds: tuple[Round, ...]) -> tuple[WorkPart, ...]:
    """Return the stretches of the work: the foundation chain, where there is one, and every round."""
    parts = [_round_work(order, gauges, worked) for worked in rounds]
    chains = rounds[0].consumed_stitch_count
    if rounds[0].worked_into != "foundation":
        return tuple(parts)
    return (work_from_foundation(chains, parts[0].size), *parts)


def _round_work(order: HatOrder, gauges: HatGauges, worked: Round) -> WorkPart:
    in_brim = worked.section in ("brim", "edging") and gauges.brim is not None and order.brim is not None
    gauge: Gauge = gauges.brim if in_brim and gauges.brim is not None else gauges.body
    fabric = order.brim.fabric if in_brim and order.brim is not None else order.fabric
    return work_from_round(
        worked, stitch_width_mm=gauge.stitch_width_mm, stitch=_height_stitch(worked, fabric, gauges)
    )


def _height_stitch(worked: Round, fabric: Fabric, gauges: HatGauges) -> BaseStitch:
    """Return the stitch that makes the height of a round: plain rounds beside a low rib are taller."""
    if worked.section == "edging":
        return "sc"
    if worked.section == "joining":
        return gauges.joining_stitch
    return plain_base(fabric) if worked.section == "brim" and worked.kind == "plain" else fabric.stitch


def _yarn_order(order: HatOrder, gauges: HatGauges, work: tuple[WorkPart, ...]) -> YarnOrder:
    assert order.yarn is not None, "only a known yarn is reckoned"
    measured = order.gauge.given.gauge
    size = StitchSize(measured.stitch_width_mm, measured.round_height_mm, order.gauge.measured_in.stitch)
    return YarnOrder(
        yarn=order.yarn,
        work=work,
        swatch=None if order.swatch is None else replace(order.swatch, size=size),
        stitch_weights=order.stitch_weights,
        certainty_percent=order.certainty_percent,
        finishing=Finishing(
            gathers_crown=order.has_crown and order.is_from_brim, has_edging=order.has_edging
        ),
        colouring=order.colouring,
    )
