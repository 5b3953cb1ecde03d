"""The stitch counts of a hat: body and brim chosen together, in whole repeats."""

from dataclasses import dataclass, replace

from service.domain.errors import ShapingOutOfReach
from service.domain.fit import FitTarget, bare_target, fit_probability, head_target, thickness_allowance_mm
from service.domain.hat_gauges import HatGauges
from service.domain.hat_orders import HatOrder
from service.domain.repeat_fits import (
    CountFit,
    CountOrder,
    RepeatFit,
    RepeatFitOrder,
    brim_counts,
    fit_brims,
    fit_count,
    fit_notices,
    fit_repeats,
    order_counts,
    ranked_counts,
    refuse_wide_repeat,
)
from service.domain.report import Notice, Working
from service.domain.rounding import ceil_half, half_up
from service.domain.sizing import FinishedSize, gripping_circumference_mm
from service.domain.tables import ReferenceTables
from service.domain.texture import fabric_thickness_mm

__all__ = ["HatCounts", "fit_hat", "refit_hat"]

#: Candidates looked at: the plan and some to name as alternatives.
_CANDIDATES = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class HatCounts:
    """The counts of a hat, and other counts that would do, best first.

    ``brim_grips`` tells that the brim alone holds the hat: under a slouch, and where it is folded.
    """

    chosen: RepeatFit
    others: tuple[RepeatFit, ...]
    body_target: FitTarget
    brim_target: FitTarget | None
    holding_target: FitTarget
    brim_grips: bool
    error: float
    notices: tuple[Notice, ...]
    working: tuple[Working, ...]

    @property
    def body(self) -> int:
        """Return the stitches of the body."""
        return self.chosen.count.stitch_count

    @property
    def brim(self) -> int | None:
        """Return the stitches of the brim, ``None`` where there is none."""
        return None if self.chosen.brim is None else self.chosen.brim.count.stitch_count

    @property
    def gripping(self) -> CountFit:
        """Return the count of the part that holds the hat on the head, and how likely that fits."""
        return replace(self.held_by(self.chosen), fit_probability=self.fit_probability)

    @property
    def fit_probability(self) -> float:
        """Return how likely the hat fits: the part that holds it against what the head accepts."""
        return self.fit_of(self.chosen)

    @property
    def inner_mm(self) -> float:
        """Return the circumference inside the part that holds the hat."""
        return self.held_by(self.chosen).circumference_mm - self.holding_target.allowance_mm

    def held_by(self, fit: RepeatFit) -> CountFit:
        """Return the count of the part that would hold the hat."""
        return fit.brim.count if fit.brim is not None and self.brim_grips else fit.count

    def fit_of(self, fit: RepeatFit) -> float:
        """Return how likely a hat with these counts fits."""
        return fit_probability(
            circumference_mm=self.held_by(fit).circumference_mm,
            target=self.holding_target,
            error=self.error,
        )


def fit_hat(order: HatOrder, size: FinishedSize, gauges: HatGauges, tables: ReferenceTables) -> HatCounts:
    """Return the stitch counts of a hat.

    The body is fitted to what the head accepts, the brim to the same grip with its own thickness.
    A slouch's body is wider than its band, so its brim alone grips.

    Parameters
    ----------
    order, size, gauges
        The hat, its size and its gauges.
    tables
        Priors.

    Raises
    ------
    RepeatWiderThanHat
        If one repeat of the body is wider than the upper end of what fits.
    ShapingOutOfReach
        If no brim near its own size can be joined to the body in one round.
    """
    body, brim = _count_orders(order, size, gauges, tables)
    refuse_wide_repeat(body)
    fits = fit_repeats(RepeatFitOrder(body=body, brim=brim, limit=_CANDIDATES), tables)
    joined = [fit for fit in fits.candidates if brim is None or fit.brim is not None]
    if brim is not None and not joined:
        raise _out_of_reach(fits.candidates[0].count.stitch_count, body, brim)
    found = _Found(body, brim, joined, fits.notices, fits.working)
    return _hat_counts(found, size, tables)


def refit_hat(
    order: HatOrder,
    size: FinishedSize,
    gauges: HatGauges,
    tables: ReferenceTables,
    *,
    body_stitch_count: int | None,
    brim_stitch_count: int | None,
) -> HatCounts:
    """Return the counts of a hat of which a part is worked: that stays, and the rest joins it.

    Parameters
    ----------
    order, size, gauges
        The hat, its size and its gauges as they are now known to be.
    tables
        Priors.
    body_stitch_count, brim_stitch_count
        The counts that are on the hook already; ``None`` for what is still to be chosen.

    Raises
    ------
    RepeatWiderThanHat
        If the body is to be chosen, and one repeat of it is wider than the upper end of what fits.
    ShapingOutOfReach
        If nothing joins what is worked in one round.
    """
    body, brim = _count_orders(order, size, gauges, tables)
    if body_stitch_count is None:
        refuse_wide_repeat(body)
        bodies = ranked_counts(body, limit=_CANDIDATES)
    else:
        bodies = (fit_count(body_stitch_count, body),)
    brims: tuple[CountFit, ...] = ()
    if brim is not None:
        brims = brim_counts(brim) if brim_stitch_count is None else (fit_count(brim_stitch_count, brim),)
    fits = fit_brims(RepeatFitOrder(body=body, brim=brim), bodies, brims)
    joined = [fit for fit in fits if brim is None or fit.brim is not None]
    if brim is not None and not joined:
        raise _out_of_reach(bodies[0].stitch_count, body, brim)
    return _hat_counts(
        _Found(body, brim, joined, fit_notices(joined[0].count, body, tables), ()), size, tables
    )


@dataclass(frozen=True, slots=True)
class _Found:
    """Counts that go together, best first, and what was asked of them."""

    body: CountOrder
    brim: CountOrder | None
    joined: list[RepeatFit]
    notices: tuple[Notice, ...]
    working: tuple[Working, ...]


def _count_orders(
    order: HatOrder, size: FinishedSize, gauges: HatGauges, tables: ReferenceTables
) -> tuple[CountOrder, CountOrder | None]:
    """Return what is asked of the body, and of the brim where there is one."""
    body = order_counts(
        gauge=gauges.body,
        stitch_multiple=order.fabric.stitch_multiple,
        target=_body_target(order, size, tables),
        head_error=size.head.error,
    )
    if order.brim is None or gauges.brim is None:
        return body, None
    brim = order_counts(
        gauge=gauges.brim,
        stitch_multiple=order.brim.fabric.stitch_multiple,
        target=_brim_target(order, size, tables),
        head_error=size.head.error,
    )
    return body, brim


def _hat_counts(found: _Found, size: FinishedSize, tables: ReferenceTables) -> HatCounts:
    body, brim, chosen = found.body, found.brim, found.joined[0]
    brim_grips = brim is not None and (size.style == "slouch" or size.layer_count > 1)
    holding = brim if brim is not None and brim_grips else replace(body, target=size.target)
    return HatCounts(
        chosen=chosen,
        others=tuple(found.joined[1:]),
        body_target=body.target,
        brim_target=None if brim is None else brim.target,
        holding_target=holding.target,
        brim_grips=brim_grips,
        error=holding.error,
        notices=_notices(found.notices, chosen, holding, brim_grips=brim_grips, tables=tables),
        working=found.working,
    )


def _out_of_reach(stitch_count: int, body: CountOrder, brim: CountOrder) -> ShapingOutOfReach:
    """Return the refusal of a body whose brim, as wide as it, has too many or too few stitches."""
    as_wide = half_up(stitch_count * body.stitch_width_mm / brim.stitch_width_mm)
    low, high = ceil_half(as_wide), 2 * as_wide
    return ShapingOutOfReach(
        from_stitch_count=as_wide,
        to_stitch_count=stitch_count,
        low=low,
        high=high,
        reason=f"No round joins the brim to the body: as wide as the body of {stitch_count} stitches, "
        f"it has {as_wide}, and one round goes from {as_wide} to {low} at least and {high} at most.",
        remedy="Measure the brim's gauge again, or choose fabrics whose gauges are nearer each other.",
    )


def _notices(
    of_body: tuple[Notice, ...],
    chosen: RepeatFit,
    holding: CountOrder,
    *,
    brim_grips: bool,
    tables: ReferenceTables,
) -> tuple[Notice, ...]:
    """Return what to know of the counts; a loose body is not judged by what the head accepts."""
    if not brim_grips:
        return of_body
    assert chosen.brim is not None, "only a brim that is there grips"
    return fit_notices(chosen.brim.count, holding, tables)


def _body_target(order: HatOrder, size: FinishedSize, tables: ReferenceTables) -> FitTarget:
    """Return what the body is to measure: wider than the band on a slouch, twofold where it is folded."""
    if size.style == "slouch":
        return bare_target(target_mm=size.body_circumference_mm, tables=tables)
    if size.layer_count > 1 and order.brim is None:
        return size.target
    return head_target(
        head_mm=size.head.circumference_mm,
        grip=_single_grip(size),
        finished_mm=size.body_circumference_mm,
        allowance_mm=thickness_allowance_mm(thickness_mm=size.thickness_mm, layer_count=1),
        tables=tables,
    )


def _single_grip(size: FinishedSize) -> float:
    """Return the grip of the body's one layer, which a folded brim makes tighter."""
    allowance_mm = thickness_allowance_mm(thickness_mm=size.thickness_mm, layer_count=1)
    return (size.body_circumference_mm - allowance_mm) / size.head.circumference_mm - 1


def _brim_target(order: HatOrder, size: FinishedSize, tables: ReferenceTables) -> FitTarget:
    """Return what the brim is to measure: the same grip through its own thickness."""
    assert order.brim is not None, "only a brim has a target"
    if order.size.ease_mm is not None:
        return size.target
    thickness_mm = order.size.thickness_mm
    if thickness_mm is None:
        thickness_mm = fabric_thickness_mm(
            order.brim.fabric, tables=tables, yarn_diameter_mm=order.size.yarn_diameter_mm
        )
    allowance_mm = thickness_allowance_mm(thickness_mm=thickness_mm, layer_count=size.layer_count)
    head_mm = size.head.circumference_mm
    return head_target(
        head_mm=head_mm,
        grip=size.grip,
        finished_mm=gripping_circumference_mm(head_mm=head_mm, grip=size.grip, allowance_mm=allowance_mm),
        allowance_mm=allowance_mm,
        tables=tables,
    )
