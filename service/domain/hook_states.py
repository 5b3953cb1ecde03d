"""What is on the hook now: whether it can be this plan's work, and the gauge that it shows."""

from dataclasses import dataclass, replace
from math import hypot, pi

from service.domain.errors import StateContradictsPlan
from service.domain.gauge import Gauge, combined, combined_error, refine_gauge
from service.domain.hat_orders import HatOrder, MeasuredGauge
from service.domain.hats import HatPlan
from service.domain.tables import ReferenceTables

__all__ = [
    "HookState",
    "PlannedState",
    "WorkedGauge",
    "gauge_as_worked",
    "order_as_worked",
    "planned_state",
    "refuse_contradiction",
]

#: A length further from the plan than this factor is no matter of tension (convention: half of it is a hat
#: laid flat, and a ruler in inches is off by 2.54).
_CREDIBLE_WIDTH, _CREDIBLE_HEIGHT = 1.5, 2.0
#: A ruler laid on the work is read to this (common practice, no source). [mm]
_RULER_MM = 2.0
#: A tape around the work is read to this: 1 % of a whole hat, and no surer on a small round (common practice,
#: no source). [mm]
_TAPE_MM = 5.0
#: A round that is wider or narrower than a disc's by no more than this blocks out, and measures its gauge.
_BLOCKS_OUT = 0.06


@dataclass(frozen=True, slots=True, kw_only=True)
class HookState:
    """The work as it is after a finished round; ``None`` is what nobody measured.

    ``round_number`` is that round in the plan's own count, from 1. ``circumference_mm`` is of the work at
    that round, ``height_mm`` from its beginning to there along the fabric. ``mass_left_g`` is all yarn left.
    ``rip_back_to_round`` is the round the maker would rip back to, 0 for all of it.
    """

    round_number: int
    stitch_count: int | None = None
    circumference_mm: float | None = None
    height_mm: float | None = None
    mass_left_g: float | None = None
    rip_back_to_round: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedState:
    """What the plan has after the same round."""

    stitch_count: int
    circumference_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkedGauge:
    """The gauges as the work itself shows them; ``brim`` is ``None`` for a hat without a brim."""

    body: Gauge
    brim: Gauge | None


def planned_state(plan: HatPlan, round_number: int) -> PlannedState:
    """Return what a plan has after one of its rounds.

    Raises
    ------
    StateContradictsPlan
        If the plan has no such round.
    """
    if round_number > len(plan.rounds):
        reason = f"The plan has {len(plan.rounds)} rounds, and the work is said to have {round_number}."
        raise StateContradictsPlan(round_number=len(plan.rounds), reason=reason)
    worked = plan.rounds[round_number - 1]
    return PlannedState(
        stitch_count=worked.stitch_count,
        circumference_mm=worked.stitch_count * _gauge_at(plan, round_number).stitch_width_mm,
        height_mm=sum(each.height_mm for each in plan.rounds[:round_number]),
    )


def _is_in_brim(plan: HatPlan, round_number: int) -> bool:
    return plan.gauges.brim is not None and plan.rounds[round_number - 1].section in ("brim", "edging")


def _gauge_at(plan: HatPlan, round_number: int) -> Gauge:
    brim = plan.gauges.brim
    return brim if brim is not None and _is_in_brim(plan, round_number) else plan.gauges.body


def refuse_contradiction(plan: HatPlan, state: HookState) -> None:
    """Raise if the work cannot be this plan's, with the round where it departs from it.

    A count that is not the plan's departs after the last round that has it. A length that no tension explains
    departs at the round where it was measured.

    Raises
    ------
    StateContradictsPlan
        With the round.
    """
    planned = planned_state(plan, state.round_number)
    _refuse_count(plan, state)
    held_open = 1 + _gathering(plan, state.round_number)
    widest_mm = planned.circumference_mm * _CREDIBLE_WIDTH * held_open + _TAPE_MM
    narrowest_mm = planned.circumference_mm / _CREDIBLE_WIDTH - _TAPE_MM
    lowest_mm = planned.height_mm / _CREDIBLE_HEIGHT - _RULER_MM
    highest_mm = planned.height_mm * _CREDIBLE_HEIGHT + _RULER_MM
    lengths = (
        ("measures", state.circumference_mm, planned.circumference_mm, narrowest_mm, widest_mm),
        ("is as high as", state.height_mm, planned.height_mm, lowest_mm, highest_mm),
    )
    for verb, length_mm, planned_mm, low_mm, high_mm in lengths:
        if length_mm is not None and not low_mm <= length_mm <= high_mm:
            reason = (
                f"The work {verb} {length_mm / 10:.1f} cm after round {state.round_number}, "
                f"the plan {planned_mm / 10:.1f} cm: no tension explains that. "
                "Measure all the way around, and along the fabric from where it begins."
            )
            raise StateContradictsPlan(round_number=state.round_number, reason=reason)
    ripped = state.rip_back_to_round
    if ripped is not None and ripped >= state.round_number:
        reason = f"Ripping back from round {state.round_number} cannot end at round {ripped}."
        raise StateContradictsPlan(round_number=state.round_number, reason=reason)


def _refuse_count(plan: HatPlan, state: HookState) -> None:
    count = state.stitch_count
    if count is None or count == plan.rounds[state.round_number - 1].stitch_count:
        return
    alike = (worked.number for worked in plan.rounds[: state.round_number] if worked.stitch_count == count)
    departs = min(max(alike, default=state.round_number - 1) + 1, state.round_number)
    planned = plan.rounds[state.round_number - 1].stitch_count
    reason = (
        f"After round {state.round_number} the plan has {planned} stitches and the work {count}; "
        f"they part at round {departs}."
    )
    raise StateContradictsPlan(round_number=departs, reason=reason)


def gauge_as_worked(plan: HatPlan, state: HookState, tables: ReferenceTables) -> WorkedGauge:
    """Return the gauges of a plan, corrected by what the work measures.

    The circumference is combined with the swatch by inverse variance, and so is the height. A tape reads to
    5 mm and a ruler to 2 mm, so that small rounds and low work tell little. Rounds of a crown that gather or
    ruffle tell less still. The part that was not measured keeps its own error and takes the same ratio.

    Parameters
    ----------
    plan
        The hat as it was planned.
    state
        The work.
    tables
        Priors: the work is measured to 1 % at best.

    Notes
    -----
    Convention: one hand works brim and body, so both are looser or tighter alike.
    """
    measured = _gauge_at(plan, state.round_number)
    width, width_error = 1.0, measured.width_error
    if state.circumference_mm is not None:
        tape_error = _TAPE_MM / state.circumference_mm
        refined = refine_gauge(
            measured,
            circumference_mm=state.circumference_mm,
            stitch_count=plan.rounds[state.round_number - 1].stitch_count,
            tables=tables,
            reading_error=hypot(tape_error, _gathering(plan, state.round_number)),
        )
        width, width_error = refined.stitch_width_mm / measured.stitch_width_mm, refined.width_error
    height, height_error = _height(plan, state, tables)

    def worked(gauge: Gauge) -> Gauge:
        """Return a gauge of the same hand."""
        return replace(
            gauge,
            stitch_width_mm=gauge.stitch_width_mm * width,
            round_height_mm=gauge.round_height_mm * height,
            width_error=width_error if gauge == measured else gauge.width_error,
            height_error=min(height_error, gauge.height_error),
        )

    brim = plan.gauges.brim
    return WorkedGauge(body=worked(plan.gauges.body), brim=None if brim is None else worked(brim))


def _gathering(plan: HatPlan, round_number: int) -> float:
    """Return by how much a crown's round differs from what could lie smooth, beyond what blocks out.

    A disc changes by ``2 pi h`` a round. An edge that was narrowed by more is held open by the rounds under
    it, one that was widened by more ruffles; either way a tape does not find its stitches at their width.
    """
    crown, gauge = plan.crown, plan.gauges.body
    worked = plan.rounds[round_number - 1]
    if crown is None or worked.section != "crown":
        return 0.0
    made_mm = worked.stitch_count * gauge.stitch_width_mm
    if plan.order.is_from_brim:
        narrowed = sum(1 for each in plan.rounds[:round_number] if each.section == "crown")
        least_mm = plan.counts.body * gauge.stitch_width_mm - 2 * pi * narrowed * gauge.round_height_mm
        return max(0.0, least_mm / made_mm - 1 - _BLOCKS_OUT)
    return max(0.0, made_mm / (2 * pi * round_number * gauge.round_height_mm) - 1 - _BLOCKS_OUT)


def _height(plan: HatPlan, state: HookState, tables: ReferenceTables) -> tuple[float, float]:
    """Return the height of the work over the plan's, swatch and ruler together, and its error."""
    swatch_error = plan.gauges.body.height_error
    if state.height_mm is None:
        return 1.0, swatch_error
    ratio = state.height_mm / planned_state(plan, state.round_number).height_mm
    ruler_error = max(tables.prior("work_measured_error"), _RULER_MM / state.height_mm)
    return combined(1.0, swatch_error, ratio, ruler_error), combined_error(
        1.0, swatch_error, ratio, ruler_error
    )


def order_as_worked(order: HatOrder, gauge: WorkedGauge) -> HatOrder:
    """Return the order of a hat at the gauges that the work shows, each measured in its own fabric."""
    brim_gauge = None
    if order.brim is not None and gauge.brim is not None:
        brim_gauge = MeasuredGauge(
            given=replace(order.gauge.given, gauge=gauge.brim), measured_in=order.brim.fabric
        )
    return replace(
        order,
        gauge=MeasuredGauge(given=replace(order.gauge.given, gauge=gauge.body), measured_in=order.fabric),
        brim_gauge=brim_gauge,
    )
