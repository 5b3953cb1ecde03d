"""A stitch count that is to fit: what it is to measure, how likely it fits, and what to know of it."""

from dataclasses import dataclass

from service.domain.fit import FitTarget, fit_error, fit_probability, likeliest_inner_mm
from service.domain.gauge import Gauge
from service.domain.report import Notice
from service.domain.rounding import half_up
from service.domain.tables import ReferenceTables

__all__ = ["CountFit", "CountOrder", "exact_gauge", "fit_notices", "order_counts"]


@dataclass(frozen=True, slots=True, kw_only=True)
class CountOrder:
    """A round to be counted: its stitches, its repeat, what it is to measure and how unsure that is.

    ``error`` is the relative error of gauge and head together.
    """

    stitch_width_mm: float
    error: float
    stitch_multiple: int
    target: FitTarget
    extra_stitch_count: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class CountFit:
    """A stitch count, what it measures and how likely it fits."""

    stitch_count: int
    repeat_count: int
    circumference_mm: float
    difference_mm: float
    fit_probability: float


def order_counts(
    *,
    gauge: Gauge,
    stitch_multiple: int,
    target: FitTarget,
    extra_stitch_count: int = 0,
    head_error: float = 0.0,
) -> CountOrder:
    """Return the order for a round of this gauge.

    Examples
    --------
    >>> gauge = Gauge(stitch_width_mm=5.0, round_height_mm=7.0, width_error=0.03, height_error=0.03)
    >>> band = FitTarget(target_mm=500, low_mm=473, high_mm=527)
    >>> order_counts(gauge=gauge, stitch_multiple=10, target=band, head_error=0.04).error
    0.05
    """
    return CountOrder(
        stitch_width_mm=gauge.stitch_width_mm,
        error=fit_error(width_error=gauge.width_error, head_error=head_error),
        stitch_multiple=stitch_multiple,
        target=target,
        extra_stitch_count=extra_stitch_count,
    )


def exact_gauge(stitch_count: int, order: CountOrder) -> float:
    """Return the stitches to 10 cm at which a count meets its target exactly.

    Examples
    --------
    >>> band = FitTarget(target_mm=500, low_mm=473, high_mm=527)
    >>> exact_gauge(80, CountOrder(stitch_width_mm=6, error=0.03, stitch_multiple=1, target=band))
    16.0
    """
    return 100 * stitch_count / order.target.target_mm


def fit_notices(best: CountFit, order: CountOrder, tables: ReferenceTables) -> tuple[Notice, ...]:
    """Return what to know of the best count: that its repeat forces the size, that it may not fit.

    Where even the exact size would be unlikely to fit, another hook does not help: the head and the gauge
    want measuring.

    Parameters
    ----------
    best
        The count that was chosen.
    order
        What it was chosen for.
    tables
        Priors that say when a notice is due.
    """
    notices = []
    half_repeat_mm = order.stitch_multiple * order.stitch_width_mm / 2
    if half_repeat_mm > tables.prior("repeat_forcing_above") * order.target.target_mm:
        figures = {
            "stitch_multiple": order.stitch_multiple,
            "half_repeat_mm": half_repeat_mm,
            "difference_mm": best.difference_mm,
        }
        notices.append(Notice("repeat_forces_size", figures))
    if best.fit_probability < tables.prior("fit_likely_above"):
        notices.append(_unlikely(best, order, tables))
    return tuple(notices)


def _unlikely(best: CountFit, order: CountOrder, tables: ReferenceTables) -> Notice:
    fit_percent = half_up(100 * best.fit_probability)
    at_best = fit_probability(
        circumference_mm=likeliest_inner_mm(target=order.target, error=order.error)
        + order.target.allowance_mm,
        target=order.target,
        error=order.error,
    )
    if at_best < tables.prior("fit_likely_above"):
        return Notice("fit_uncertain", {"fit_percent": fit_percent, "best_percent": half_up(100 * at_best)})
    exact = exact_gauge(best.stitch_count, order)
    return Notice("fit_unlikely", {"fit_percent": fit_percent, "exact_stitches_per_10cm": exact})
