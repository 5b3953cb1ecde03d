"""The round between brim and body: how many changes it has and how they are spread."""

from dataclasses import dataclass
from typing import Literal

from service.domain.errors import ShapingOutOfReach
from service.domain.rounding import ceil_half

__all__ = ["JoiningKind", "JoiningRound", "can_join", "join_counts", "joins_uniformly"]

JoiningKind = Literal["increase", "decrease", "straight"]


@dataclass(frozen=True, slots=True, kw_only=True)
class JoiningRound:
    """A round from one count to another with its changes evenly spread.

    Each change is followed by a run of unchanged stitches: ``short_run`` after ``short_run_times`` of them
    and one stitch more after ``long_run_times`` of them. Uniform means that there is one run only.
    A straight round is a single run of all its stitches.
    """

    from_stitch_count: int
    to_stitch_count: int
    kind: JoiningKind
    change_count: int
    short_run: int
    short_run_times: int
    long_run_times: int

    @property
    def is_uniform(self) -> bool:
        """Whether every change is followed by the same run."""
        return self.long_run_times == 0

    @property
    def long_run(self) -> int:
        """Return the longer run, one stitch more than the shorter."""
        return self.short_run + 1


def can_join(from_stitch_count: int, to_stitch_count: int) -> bool:
    """Return whether one round can do it: at most doubling, at most halving.

    Examples
    --------
    >>> can_join(40, 80), can_join(40, 81), can_join(41, 21), can_join(41, 20)
    (True, False, True, False)
    """
    return ceil_half(from_stitch_count) <= to_stitch_count <= 2 * from_stitch_count


def joins_uniformly(from_stitch_count: int, to_stitch_count: int) -> bool:
    """Return whether all runs between the changes are alike: the changes divide the stitches before.

    Examples
    --------
    >>> joins_uniformly(80, 100), joins_uniformly(78, 100), joins_uniformly(80, 80)
    (True, False, True)
    """
    change_count = abs(to_stitch_count - from_stitch_count)
    return change_count == 0 or from_stitch_count % change_count == 0


def join_counts(from_stitch_count: int, to_stitch_count: int) -> JoiningRound:
    """Return the round from one count to another.

    An increase takes one stitch of the round before and a decrease two; the rest lies between the changes in
    runs that differ by at most one. It is uniform exactly when the changes divide the stitches before:
    ``[2 in next, 1 in each of next k] x changes``.

    Parameters
    ----------
    from_stitch_count
        Stitches of the round before. [>= 1]
    to_stitch_count
        Stitches to make.

    Raises
    ------
    ShapingOutOfReach
        If it would more than double or less than halve.

    Examples
    --------
    >>> join = join_counts(80, 100)
    >>> join.change_count, join.short_run, join.is_uniform
    (20, 3, True)
    >>> join = join_counts(78, 100)
    >>> join.change_count, join.short_run, join.short_run_times, join.long_run, join.long_run_times
    (22, 2, 10, 3, 12)

    Notes
    -----
    Euclidean rhythm (Bresenham 1965, line drawing).
    """
    if not can_join(from_stitch_count, to_stitch_count):
        raise ShapingOutOfReach(
            from_stitch_count=from_stitch_count,
            to_stitch_count=to_stitch_count,
            low=ceil_half(from_stitch_count),
            high=2 * from_stitch_count,
        )
    change_count = abs(to_stitch_count - from_stitch_count)
    kind: JoiningKind = "increase" if to_stitch_count > from_stitch_count else "decrease"
    if change_count == 0:
        kind, gap, long_run_times, taken = "straight", from_stitch_count, 0, 0
    else:
        gap, long_run_times = divmod(from_stitch_count, change_count)
        taken = 1 if kind == "increase" else 2
    return JoiningRound(
        from_stitch_count=from_stitch_count,
        to_stitch_count=to_stitch_count,
        kind=kind,
        change_count=change_count,
        short_run=gap - taken,
        short_run_times=max(1, change_count) - long_run_times,
        long_run_times=long_run_times,
    )
