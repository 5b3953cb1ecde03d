"""Stitch counts that hold whole repeats and fit: the body's, and the brim's with the round that joins them.

A valid count is ``multiple * repeats + extra`` with at least one repeat. The probability of fit rises up to
the likeliest circumference and falls beyond it, so only counts near it, near the target and near the edge of
a plateau between the two can be best.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import takewhile

from service.domain.count_fits import CountFit, CountOrder, exact_gauge, fit_notices, order_counts
from service.domain.errors import RepeatWiderThanHat
from service.domain.fit import fit_probability, likeliest_inner_mm
from service.domain.joining_rounds import JoiningRound, can_join, join_counts, joins_uniformly
from service.domain.report import Notice, Working
from service.domain.rounding import TIE_TOLERANCE, floor_exact
from service.domain.tables import ReferenceTables

__all__ = [
    "LARGEST_STITCH_COUNT",
    "BrimFit",
    "CountFit",
    "CountOrder",
    "NeighbourCount",
    "RepeatFit",
    "RepeatFitOrder",
    "RepeatFits",
    "brim_counts",
    "fit_brims",
    "fit_count",
    "fit_notices",
    "fit_repeats",
    "order_counts",
    "ranked_counts",
    "refuse_wide_repeat",
]

#: Stitches of the largest round that is planned.
LARGEST_STITCH_COUNT = 2000

#: Brims this many repeats either side of the best are tried with a body.
BRIM_REACH = 3

#: A brim may fit this much worse than the best one for a joining round that is easier to follow.
BRIM_ALLOWANCE = 0.03


@dataclass(frozen=True, slots=True, kw_only=True)
class RepeatFitOrder:
    """A body to be fitted, perhaps with a brim. Without a tolerance the fit band decides."""

    body: CountOrder
    brim: CountOrder | None = None
    limit: int = 5
    tolerance_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BrimFit:
    """A brim's count with the round that joins it to a body."""

    count: CountFit
    joining_round: JoiningRound


@dataclass(frozen=True, slots=True, kw_only=True)
class RepeatFit:
    """A body's count; ``exact_stitches_per_10cm`` is the gauge at which it meets the target exactly.

    ``brim`` is ``None`` where none was asked for, or none near its target joins in one round.
    """

    count: CountFit
    within_tolerance: bool
    exact_stitches_per_10cm: float
    brim: BrimFit | None


@dataclass(frozen=True, slots=True, kw_only=True)
class NeighbourCount:
    """A count one repeat away from the best, and the gauge that would make it exact."""

    stitch_count: int
    repeat_count: int
    circumference_mm: float
    exact_stitches_per_10cm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RepeatFits:
    """Counts that hold whole repeats, best first and never none, and the neighbours of the best."""

    candidates: tuple[RepeatFit, ...]
    neighbours: tuple[NeighbourCount, ...]
    notices: tuple[Notice, ...]
    working: tuple[Working, ...]


def refuse_wide_repeat(order: CountOrder) -> None:
    """Raise if a single repeat is wider than the upper end of what fits.

    Raises
    ------
    RepeatWiderThanHat
        With the largest multiple that would do.

    Examples
    --------
    >>> from service.domain.fit import FitTarget
    >>> band = FitTarget(target_mm=100, low_mm=90, high_mm=110)
    >>> refuse_wide_repeat(CountOrder(stitch_width_mm=6, error=0.03, stitch_multiple=20, target=band))
    Traceback (most recent call last):
    service.domain.errors.RepeatWiderThanHat: A repeat of 20 stitches is wider than this hat. \
Choose a fabric whose repeat has at most 18 stitches.
    """
    widest_mm = order.target.high_mm + order.target.allowance_mm
    if order.stitch_multiple * order.stitch_width_mm > widest_mm + TIE_TOLERANCE:
        raise RepeatWiderThanHat(
            stitch_multiple=order.stitch_multiple,
            largest_stitch_multiple=max(1, floor_exact(widest_mm / order.stitch_width_mm)),
        )


def fit_repeats(order: RepeatFitOrder, tables: ReferenceTables) -> RepeatFits:
    """Return the stitch counts that fit best with whole repeats, each with a brim that joins it well.

    The body is the likeliest to fit; ties within 1e-9 go to the smaller difference from the target, then to
    more stitches. A bigger head or a finer gauge never gets fewer stitches.
    The brim is, among those that fit at most 0.03 worse than the best, one whose joining round is uniform,
    else the best of those.

    Parameters
    ----------
    order
        The body, perhaps a brim, and how many candidates are wanted.
    tables
        Priors that say when a notice is due.

    Examples
    --------
    >>> from service.reference.load import load_reference_tables
    >>> from service.domain.fit import FitTarget
    >>> band = FitTarget(target_mm=500, low_mm=473, high_mm=527)
    >>> body = CountOrder(stitch_width_mm=5.0, error=0.03, stitch_multiple=10, target=band)
    >>> brim = CountOrder(stitch_width_mm=6.25, error=0.03, stitch_multiple=2, target=band)
    >>> best = fit_repeats(RepeatFitOrder(body=body, brim=brim), load_reference_tables()).candidates[0]
    >>> best.count.stitch_count, best.brim.count.stitch_count, best.brim.joining_round.is_uniform
    (100, 80, True)

    Notes
    -----
    Convention: our own rule for brims; a joining round with one run is easier to work without counting.
    """
    counts = ranked_counts(order.body, limit=order.limit)
    candidates = fit_brims(order, counts, brim_counts(order.brim) if order.brim else ())
    return RepeatFits(
        candidates=candidates,
        neighbours=_neighbours(counts[0], order.body),
        notices=fit_notices(candidates[0].count, order.body, tables),
        working=_working(candidates[0], order.body),
    )


def fit_brims(
    order: RepeatFitOrder, bodies: Sequence[CountFit], brims: Sequence[CountFit]
) -> tuple[RepeatFit, ...]:
    """Return bodies, each with the brim that goes best with it; ``None`` where none of them joins.

    Parameters
    ----------
    order
        What was asked for.
    bodies, brims
        Counts to choose from, best first.
    """
    return tuple(
        RepeatFit(
            count=count,
            within_tolerance=_is_within(count, order),
            exact_stitches_per_10cm=exact_gauge(count.stitch_count, order.body),
            brim=_brim_for(count.stitch_count, brims),
        )
        for count in bodies
    )


def ranked_counts(order: CountOrder, *, limit: int) -> tuple[CountFit, ...]:
    """Return the counts likeliest to fit, best first.

    Parameters
    ----------
    order
        The round to be counted.
    limit
        How many counts at most. [>= 1]

    Examples
    --------
    >>> from service.domain.fit import FitTarget
    >>> band = FitTarget(target_mm=500, low_mm=473, high_mm=527)
    >>> order = CountOrder(stitch_width_mm=5.0, error=0.03, stitch_multiple=8, target=band)
    >>> [count.stitch_count for count in ranked_counts(order, limit=3)]
    [96, 104, 112]
    """
    return _ranked([_count_fit(repeats, order) for repeats in _promising_repeats(order, limit)], limit)


def _ranked(counts: Iterable[CountFit], limit: int) -> tuple[CountFit, ...]:
    """Return the likeliest counts; ties: the smaller difference, then more stitches."""
    pool = sorted(counts, key=lambda count: -count.fit_probability)
    ranked: list[CountFit] = []
    while pool and len(ranked) < limit:
        best = _nearest(_tied(pool))
        pool.remove(best)
        ranked.append(best)
    return tuple(ranked)


def _tied(pool: Sequence[CountFit]) -> Sequence[CountFit]:
    """Return the counts as likely as the first of a list that is sorted by likelihood."""
    least = pool[0].fit_probability - TIE_TOLERANCE
    return list(takewhile(lambda count: count.fit_probability >= least, pool))


def _nearest(tied: Sequence[CountFit]) -> CountFit:
    if len(tied) == 1:
        return tied[0]
    nearest_mm = min(abs(count.difference_mm) for count in tied)
    nearest = [count for count in tied if abs(count.difference_mm) <= nearest_mm + TIE_TOLERANCE]
    return max(nearest, key=lambda count: count.stitch_count)


def fit_count(stitch_count: int, order: CountOrder) -> CountFit:
    """Return how a count fits that is there already; it holds whole repeats.

    Examples
    --------
    >>> from service.domain.fit import FitTarget
    >>> band = FitTarget(target_mm=500, low_mm=473, high_mm=527)
    >>> order = CountOrder(stitch_width_mm=5.0, error=0.03, stitch_multiple=8, target=band)
    >>> fit_count(96, order).difference_mm
    -20.0
    """
    return _count_fit((stitch_count - order.extra_stitch_count) // order.stitch_multiple, order)


def _count_fit(repeat_count: int, order: CountOrder) -> CountFit:
    stitch_count = order.stitch_multiple * repeat_count + order.extra_stitch_count
    circumference_mm = stitch_count * order.stitch_width_mm
    return CountFit(
        stitch_count=stitch_count,
        repeat_count=repeat_count,
        circumference_mm=circumference_mm,
        difference_mm=circumference_mm - order.target.target_mm,
        fit_probability=fit_probability(
            circumference_mm=circumference_mm, target=order.target, error=order.error
        ),
    )


def _most_repeats(order: CountOrder) -> int:
    return max(1, (LARGEST_STITCH_COUNT - order.extra_stitch_count) // order.stitch_multiple)


def _repeats_below(circumference_mm: float, order: CountOrder) -> int:
    """Return the most repeats that measure no more than this, at least one."""
    stitches = circumference_mm / order.stitch_width_mm - order.extra_stitch_count
    return min(max(1, floor_exact(stitches / order.stitch_multiple)), _most_repeats(order))


def _promising_repeats(order: CountOrder, limit: int) -> Iterable[int]:
    """Return repeat counts among which the best ones are."""
    likeliest_mm = likeliest_inner_mm(target=order.target, error=order.error) + order.target.allowance_mm
    peak = _repeats_below(likeliest_mm, order)
    aim = _repeats_below(order.target.target_mm, order)
    anchors = {peak, aim} if abs(peak - aim) <= limit else {peak, aim, _plateau_edge(peak, aim, order)}
    most = _most_repeats(order)
    windows = (range(max(1, anchor - limit), min(most, anchor + limit + 1) + 1) for anchor in anchors)
    return sorted({repeats for window in windows for repeats in window})


def _plateau_edge(peak: int, aim: int, order: CountOrder) -> int:
    """Return the count nearest to the target that is as likely as the likeliest, by bisection."""
    near = max((peak, peak + 1), key=lambda repeats: _count_fit(repeats, order).fit_probability)
    top, far = _count_fit(near, order).fit_probability, aim
    while abs(far - near) > 1:
        middle = (near + far) // 2
        if _count_fit(middle, order).fit_probability >= top - TIE_TOLERANCE:
            near = middle
        else:
            far = middle
    return near


def _is_within(count: CountFit, order: RepeatFitOrder) -> bool:
    if order.tolerance_mm is not None:
        return abs(count.difference_mm) <= order.tolerance_mm + TIE_TOLERANCE
    target = order.body.target
    inner_mm = count.circumference_mm - target.allowance_mm
    return target.low_mm - TIE_TOLERANCE <= inner_mm <= target.high_mm + TIE_TOLERANCE


def _neighbours(best: CountFit, order: CountOrder) -> tuple[NeighbourCount, ...]:
    beside = (best.repeat_count - 1, best.repeat_count + 1)
    counts = [_count_fit(repeats, order) for repeats in beside if repeats]
    return tuple(
        NeighbourCount(
            stitch_count=count.stitch_count,
            repeat_count=count.repeat_count,
            circumference_mm=count.circumference_mm,
            exact_stitches_per_10cm=exact_gauge(count.stitch_count, order),
        )
        for count in counts
        if count.stitch_count <= LARGEST_STITCH_COUNT
    )


def brim_counts(order: CountOrder) -> tuple[CountFit, ...]:
    """Return the brims to try: within three repeats of the best, best first."""
    best = ranked_counts(order, limit=1)[0].repeat_count
    reach = range(max(1, best - BRIM_REACH), min(_most_repeats(order), best + BRIM_REACH) + 1)
    return _ranked([_count_fit(repeats, order) for repeats in reach], len(reach))


def _brim_for(body_stitch_count: int, brims: Sequence[CountFit]) -> BrimFit | None:
    """Return the brim for a body: near the best and joined uniformly, else near the best, else any."""
    joining = [brim for brim in brims if can_join(brim.stitch_count, body_stitch_count)]
    if not joining:
        return None
    good = brims[0].fit_probability - BRIM_ALLOWANCE - TIE_TOLERANCE
    near = [brim for brim in joining if brim.fit_probability >= good]
    uniform = (brim for brim in near if joins_uniformly(brim.stitch_count, body_stitch_count))
    best = next(uniform, (near or joining)[0])
    return BrimFit(count=best, joining_round=join_counts(best.stitch_count, body_stitch_count))


def _working(best: RepeatFit, order: CountOrder) -> tuple[Working, ...]:
    target, count = order.target, best.count
    normal = "Phi((high - mu) / (s mu)) - Phi((low - mu) / (s mu)), mu = circumference - allowance"
    own, geometry = "Convention: our own fit rule", "geometry"
    exact = best.exact_stitches_per_10cm
    return (
        Working("target_circumference_mm", "asked or from the head", target.target_mm, "mm", "the order"),
        Working("band_low_mm", "smallest circumference inside that fits", target.low_mm, "mm", own),
        Working("band_high_mm", "largest circumference inside that fits", target.high_mm, "mm", own),
        Working("thickness_allowance_mm", "pi * thickness * layers", target.allowance_mm, "mm", geometry),
        Working("error_percent", "sqrt(gauge^2 + head^2)", 100 * order.error, "percent", own),
        Working("stitch_count", "multiple * repeats + extra", count.stitch_count, "stitch", own),
        Working("circumference_mm", "stitches * width", count.circumference_mm, "mm", geometry),
        Working("fit_probability", normal, count.fit_probability, "", own),
        Working("exact_stitches_per_10cm", "100 * stitches / target", exact, "per_10cm", geometry),
    )
