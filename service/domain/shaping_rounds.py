"""One round that increases or decreases evenly: where the changes stand and what the hook does."""

from dataclasses import dataclass
from itertools import pairwise
from math import gcd

from service.domain.errors import ShapingOutOfReach
from service.domain.rounding import ceil_half
from service.domain.steps import IntoOne, Step, Together, Work, canonical, repeated

__all__ = ["ShapingRound", "even_positions", "plan_shaping_round", "refuse_out_of_reach", "shaping_steps"]


@dataclass(frozen=True, slots=True)
class ShapingRound:
    """A round from one count to another.

    ``changes`` are the places of the increases or decreases, counted from 0 in the round before;
    a decrease is named by the first stitch of its pair.
    ``runs`` are the unchanged stitches before the first change and after each change.
    """

    from_stitch_count: int
    to_stitch_count: int
    changes: tuple[int, ...]
    runs: tuple[int, ...]
    is_uniform: bool
    steps: tuple[Step, ...]


def even_positions(*, change_count: int, stitch_count: int, staggered: bool) -> tuple[int, ...]:
    """Return where evenly spaced changes fall in a round.

    Change j of m stands at ``floor((j + phase) * n / m)``; neighbouring gaps differ by at most one.
    The phase is one half when staggered, so that rounds above do not stack their changes.
    It stays 0 when every pair of stitches changes, since a pair must not run over the join.

    Parameters
    ----------
    change_count
        Increases or decreases to place, m. [0 <= m <= stitch_count]
    stitch_count
        Stitches of the round before, n. [stitches, >= 1]
    staggered
        Whether the phase is one half.

    Raises
    ------
    ShapingOutOfReach
        If there are more changes than stitches.

    Examples
    --------
    >>> even_positions(change_count=6, stitch_count=70, staggered=False)
    (0, 11, 23, 35, 46, 58)
    >>> even_positions(change_count=2, stitch_count=8, staggered=True)
    (2, 6)

    Notes
    -----
    Euclidean rhythm (Bresenham 1965, line drawing).
    """
    if change_count > stitch_count:
        raise ShapingOutOfReach(
            from_stitch_count=stitch_count,
            to_stitch_count=stitch_count + change_count,
            low=ceil_half(stitch_count),
            high=2 * stitch_count,
        )
    half = 1 if staggered and stitch_count != 2 * change_count else 0
    return tuple((2 * j + half) * stitch_count // (2 * change_count) for j in range(change_count))


def plan_shaping_round(
    *, from_stitch_count: int, to_stitch_count: int, stitch: str, staggered: bool
) -> ShapingRound:
    """Return the round that brings one count to another with its changes evenly spaced.

    Parameters
    ----------
    from_stitch_count
        Stitches of the round before. [stitches, >= 1]
    to_stitch_count
        Stitches to make. [ceil(from / 2) <= to <= 2 * from]
    stitch
        Code of the stitch that is worked, such as ``sc``.
    staggered
        Whether the changes stand half a gap along, away from the join.

    Raises
    ------
    ShapingOutOfReach
        If the round would more than double or less than halve.

    Examples
    --------
    >>> plan_shaping_round(from_stitch_count=80, to_stitch_count=100, stitch="dc", staggered=False).steps
    (Repeat(times=20, steps=(IntoOne(stitches=('dc', 'dc')), Work(stitch='dc', count=3))),)

    Notes
    -----
    Common practice, no source: one round at most doubles by increases and at most halves by pairs.
    """
    steps = shaping_steps(
        from_stitch_count=from_stitch_count,
        to_stitch_count=to_stitch_count,
        stitch=stitch,
        staggered=staggered,
    )
    change_count = abs(to_stitch_count - from_stitch_count)
    changes = even_positions(change_count=change_count, stitch_count=from_stitch_count, staggered=staggered)
    taken = 1 if to_stitch_count > from_stitch_count else 2
    return ShapingRound(
        from_stitch_count=from_stitch_count,
        to_stitch_count=to_stitch_count,
        changes=changes,
        runs=_runs_between(changes, stitch_count=from_stitch_count, taken=taken),
        is_uniform=change_count == 0 or from_stitch_count % change_count == 0,
        steps=steps,
    )


def shaping_steps(
    *, from_stitch_count: int, to_stitch_count: int, stitch: str, staggered: bool
) -> tuple[Step, ...]:
    """Return the steps of an evenly shaped round, in standard form.

    Raises
    ------
    ShapingOutOfReach
        If the round would more than double or less than halve.

    Examples
    --------
    >>> shaping_steps(from_stitch_count=12, to_stitch_count=9, stitch="sc", staggered=False)
    (Repeat(times=3, steps=(Together(stitches=('sc', 'sc')), Work(stitch='sc', count=2))),)
    """
    refuse_out_of_reach(from_stitch_count=from_stitch_count, to_stitch_count=to_stitch_count)
    change_count = abs(to_stitch_count - from_stitch_count)
    if change_count == 0:
        return (Work(stitch, from_stitch_count),)
    change: Step
    if to_stitch_count > from_stitch_count:
        change, taken = IntoOne((stitch, stitch)), 1
    else:
        change, taken = Together((stitch, stitch)), 2
    times = gcd(from_stitch_count, change_count)
    unit_stitch_count = from_stitch_count // times
    positions = even_positions(
        change_count=change_count // times, stitch_count=unit_stitch_count, staggered=staggered
    )
    runs = _runs_between(positions, stitch_count=unit_stitch_count, taken=taken)
    unit: list[Step] = [Work(stitch, runs[0])]
    for run in runs[1:]:
        unit += [change, Work(stitch, run)]
    one = canonical(unit)
    return one if times == 1 else canonical(repeated(times, one))


def refuse_out_of_reach(*, from_stitch_count: int, to_stitch_count: int) -> None:
    """Raise if one round cannot go from one count to the other.

    Raises
    ------
    ShapingOutOfReach
        If the round would more than double or less than halve.
    """
    low, high = ceil_half(from_stitch_count), 2 * from_stitch_count
    if not low <= to_stitch_count <= high:
        raise ShapingOutOfReach(
            from_stitch_count=from_stitch_count, to_stitch_count=to_stitch_count, low=low, high=high
        )


def _runs_between(changes: tuple[int, ...], *, stitch_count: int, taken: int) -> tuple[int, ...]:
    """Return the unchanged stitches before the first change and after each, a change using up ``taken``."""
    if not changes:
        return (stitch_count,)
    after = (later - earlier - taken for earlier, later in pairwise((*changes, stitch_count)))
    return (changes[0], *after)
