"""What the hook does in one round, as data that text, chart, yarn and count checker share.

A step consumes stitches of the round before and makes stitches of this one::

    work      count stitches, one into each of the next count      count -> count
    into_one  several stitches into the next stitch                1 -> len
    together  one stitch over the next stitches, a leg in each     len -> 1
    cross     the second group of m before the first group of m    2m -> 2m
    skip      leave stitches unworked                              count -> 0
    chain     chain stitches                                       0 -> those that count
    repeat    the steps inside, so many times                      sums x times

Repeats multiply. Only :func:`flat` unrolls them, and only rounds that were bounded before.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import chain as chained
from typing import Literal, TypeAlias, assert_never

__all__ = [
    "DEEPEST_BRACKET",
    "Chain",
    "Cross",
    "IntoOne",
    "Lean",
    "Repeat",
    "Skip",
    "Step",
    "Together",
    "Work",
    "WorkedInto",
    "canonical",
    "consumed_by",
    "flat",
    "made_by",
    "repeated",
    "step_count",
    "stitch_tallies",
]

#: Brackets in brackets that a reader can still follow (convention).
DEEPEST_BRACKET = 3

Lean = Literal["left", "right"]
WorkedInto = Literal["ring", "foundation", "previous_round", "foundation_edge"]


@dataclass(frozen=True, slots=True)
class Work:
    """Work ``count`` stitches, one into each of the next ``count`` stitches."""

    stitch: str
    count: int = 1


@dataclass(frozen=True, slots=True)
class IntoOne:
    """Work all these stitches into the next stitch."""

    stitches: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Together:
    """Work the next stitches together, one leg in each, so that one stitch is left."""

    stitches: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Cross:
    """Skip ``over`` stitches, work the next ``over``, then the skipped ones, behind or in front.

    A right lean works the skipped ones behind those just made, a left lean in front of them.
    """

    over: int
    stitch: str
    lean: Lean


@dataclass(frozen=True, slots=True)
class Skip:
    """Leave the next ``count`` stitches unworked."""

    count: int


@dataclass(frozen=True, slots=True)
class Chain:
    """Chain ``count``, of which ``counts_as_stitch_count`` are stitches of the round."""

    count: int
    counts_as_stitch_count: int = 0


@dataclass(frozen=True, slots=True)
class Repeat:
    """Do the steps inside ``times`` times over."""

    times: int
    steps: tuple["Step", ...]


Step: TypeAlias = Work | IntoOne | Together | Cross | Skip | Chain | Repeat


def consumed_by(steps: Iterable[Step], *, worked_into: WorkedInto = "previous_round") -> int:
    """Return how many stitches of the round before the steps use up.

    In a ring, ``work`` and ``into_one`` use up nothing.

    Examples
    --------
    >>> consumed_by([Repeat(6, (Work("sc", 3), Together(("sc", "sc"))))])
    30
    >>> consumed_by([Work("dc", 12)], worked_into="ring")
    0
    """
    in_ring = worked_into == "ring"
    return sum(_consumed(step, in_ring) for step in steps)


def _consumed(step: Step, in_ring: bool) -> int:
    match step:
        case Work(_, count):
            return 0 if in_ring else count
        case IntoOne():
            return 0 if in_ring else 1
        case Together(stitches):
            return len(stitches)
        case Cross(over):
            return 2 * over
        case Skip(count):
            return count
        case Chain():
            return 0
        case Repeat(times, steps):
            return times * sum(_consumed(inner, in_ring) for inner in steps)
        case _:
            assert_never(step)


def made_by(steps: Iterable[Step]) -> int:
    """Return how many stitches the steps leave for the next round.

    Examples
    --------
    >>> made_by([Repeat(6, (Work("sc", 3), Together(("sc", "sc"))))])
    24
    >>> made_by([IntoOne(("dc", "dc")), Skip(2), Chain(2, 1), Cross(2, "fptr", "right")])
    7
    """
    return sum(map(_made, steps))


def _made(step: Step) -> int:
    match step:
        case Work(_, count):
            return count
        case IntoOne(stitches):
            return len(stitches)
        case Together():
            return 1
        case Cross(over):
            return 2 * over
        case Skip():
            return 0
        case Chain(_, counting):
            return counting
        case Repeat(times, steps):
            return times * made_by(steps)
        case _:
            assert_never(step)


def stitch_tallies(steps: Iterable[Step], times: int = 1) -> Iterator[tuple[str | tuple[str, ...], int]]:
    """Yield what is worked and how often: a stitch code, or the legs of stitches worked together.

    Chains yield ``ch``; skipped stitches yield nothing. One code may come several times.

    Examples
    --------
    >>> list(stitch_tallies([Repeat(6, (Work("sc", 3), Together(("sc", "sc")))), Chain(2)]))
    [('sc', 18), (('sc', 'sc'), 6), ('ch', 2)]
    """
    for step in steps:
        match step:
            case Work(stitch, count):
                yield stitch, times * count
            case IntoOne(stitches):
                yield from ((stitch, times) for stitch in stitches)
            case Together(stitches):
                yield stitches, times
            case Cross(over, stitch):
                yield stitch, times * 2 * over
            case Chain(count):
                yield "ch", times * count
            case Repeat(inner_times, inner):
                yield from stitch_tallies(inner, times * inner_times)
            case Skip():
                pass
            case _:
                assert_never(step)


def step_count(steps: Iterable[Step]) -> int:
    """Return how many steps there are to write, a repeat and the steps inside it once each.

    Examples
    --------
    >>> step_count([Work("sc", 1), Repeat(2, (Work("sc", 2), IntoOne(("sc", "sc"))))])
    4
    """
    return sum([1 + (step_count(step.steps) if isinstance(step, Repeat) else 0) for step in steps])


def repeated(times: int, steps: Sequence[Step]) -> tuple[Step, ...]:
    """Return steps done so many times, without a needless bracket.

    Examples
    --------
    >>> repeated(4, [Work("sc", 2)]), repeated(1, [Skip(1), Chain(1, 1)])
    ((Work(stitch='sc', count=8),), (Skip(count=1), Chain(count=1, counts_as_stitch_count=1)))
    >>> repeated(4, [Repeat(3, (Work("sc", 1), Skip(1)))])
    (Repeat(times=12, steps=(Work(stitch='sc', count=1), Skip(count=1))),)
    """
    if times == 1:
        return tuple(steps)
    match steps:
        case [Work(stitch, count)]:
            return (Work(stitch, times * count),)
        case [Repeat(inner_times, inner)]:
            return (Repeat(times * inner_times, inner),)
    return (Repeat(times, tuple(steps)),)


def flat(steps: Iterable[Step]) -> tuple[Step, ...]:
    """Return the same stitches in the same order without repeats, neighbours of one stitch joined.

    Two lists of steps make the same cloth exactly when this is equal for both.
    The length is bounded by the stitches of the round, so bound those first.

    Examples
    --------
    >>> flat([Work("sc", 1), Repeat(2, (Work("sc", 2), IntoOne(("sc", "sc"))))])[:2]
    (Work(stitch='sc', count=3), IntoOne(stitches=('sc', 'sc')))
    """
    joined: list[Step] = []
    for step in _unrolled(steps):
        last = joined[-1] if joined else None
        if isinstance(step, Work) and isinstance(last, Work) and last.stitch == step.stitch:
            joined[-1] = Work(step.stitch, last.count + step.count)
        else:
            joined.append(step)
    return tuple(joined)


def _unrolled(steps: Iterable[Step]) -> Iterator[Step]:
    for step in steps:
        if isinstance(step, Repeat):
            inner = flat(step.steps)
            yield from chained.from_iterable([inner] * step.times)
        elif not (isinstance(step, Work) and step.count == 0):
            yield step


def canonical(steps: Iterable[Step]) -> tuple[Step, ...]:
    """Return the one standard form of these stitches in this order.

    A round that is one unit over and over is that unit repeated, with the unit as short as it can be.
    Otherwise the longest run of equal neighbours becomes a repeat of its smallest period,
    and so do the stretches before and after it. Brackets stand at most three deep.

    Examples
    --------
    >>> pair = Together(("sc", "sc"))
    >>> canonical([Work("sc", 2), pair, Work("sc", 3), pair, Work("sc", 1)])[0].times
    2

    Notes
    -----
    Convention: the form that a designer writes: the bracket begins where the round begins.
    """
    items, outer_times = _once(tuple(steps))
    unit, times = _whole_period(items)
    times *= outer_times
    return repeated(times, _folded(unit, DEEPEST_BRACKET - 1)) if times > 1 else _folded(items)


def _once(steps: tuple[Step, ...]) -> tuple[tuple[Step, ...], int]:
    """Return the items of a round, or those of its only repeat and how often, where its ends do not merge.

    The shortest unit of a repeat is that of what it repeats.
    """
    if len(steps) == 1 and isinstance(steps[0], Repeat) and steps[0].times:
        items = flat(steps[0].steps)
        if items and not _is_one_stitch(items[0], items[-1]):
            return items, steps[0].times
    return flat(steps), 1


def _is_one_stitch(first: Step, last: Step) -> bool:
    return isinstance(first, Work) and isinstance(last, Work) and first.stitch == last.stitch


def _whole_period(items: tuple[Step, ...]) -> tuple[tuple[Step, ...], int]:
    """Return the smallest unit that makes up all the items, and how often.

    The join of the round may cut a run of one stitch.
    """
    if len(items) < 2:
        return items, 1
    first, last = items[0], items[-1]
    if isinstance(first, Work) and isinstance(last, Work) and first.stitch == last.stitch:
        ring = (Work(first.stitch, first.count + last.count), *items[1:-1])
        period = _smallest_period(ring)
        return (first, *ring[1:period], last), len(ring) // period
    period = _smallest_period(items)
    return items[:period], len(items) // period


def _smallest_period(items: Sequence[Step]) -> int:
    """Return the shortest length that divides the sequence into equal parts.

    Failure function of Knuth, Morris and Pratt (1977).
    """
    borders = [0]
    for item in items[1:]:
        border = borders[-1]
        while border and items[border] != item:
            border = borders[border - 1]
        borders.append(border + (items[border] == item))
    period = len(items) - borders[-1]
    return period if len(items) % period == 0 else len(items)


def _folded(items: tuple[Step, ...], depth: int = DEEPEST_BRACKET) -> tuple[Step, ...]:
    """Return the items with the longest run written as a repeat, then the rest of them likewise."""
    begin, period, times = _longest_run(items) if depth else (0, 1, 1)
    if times < 2:
        return items
    end = begin + period * times
    unit = _folded(items[begin : begin + period], depth - 1)
    return (*_folded(items[:begin], depth), *repeated(times, unit), *_folded(items[end:], depth))


def _longest_run(items: tuple[Step, ...]) -> tuple[int, int, int]:
    """Return begin, period and times of the run that covers most items; ties: shorter period, earlier."""
    planes = _bit_planes(items)
    best = (0, 1, 1)
    covered = 1
    for period in range(1, len(items) // 2 + 1):
        if len(items) // period * period <= covered:
            continue
        same = _equal_after(period, planes, item_count=len(items))
        if _begins_of_ones(same, length=max(period, covered // period * period)):
            stretch = max(map(len, f"{same:b}".split("0")))
            covered = (stretch // period + 1) * period
            begins = _begins_of_ones(same, length=covered - period)
            best = ((begins & -begins).bit_length() - 1, period, covered // period)
    return best


def _bit_planes(items: tuple[Step, ...]) -> list[int]:
    """Return the kinds of the items as numbers, sliced by bit: bit i of a plane belongs to item i.

    A round is compared with itself in a few operations that way, however many stitches it has.
    """
    seen: dict[Step, int] = {}
    numbers = [seen.setdefault(item, len(seen)) for item in items]
    return [
        int("".join("1" if number >> bit & 1 else "0" for number in reversed(numbers)), 2)
        for bit in range(len(seen).bit_length())
    ]


def _equal_after(period: int, planes: Sequence[int], *, item_count: int) -> int:
    """Return a number whose bit i says that item i equals the item one period later."""
    unequal = 0
    for plane in planes:
        unequal |= plane ^ plane >> period
    return ~unequal & (1 << item_count - period) - 1


def _begins_of_ones(bits: int, *, length: int) -> int:
    """Return a number whose bit i says that so many ones begin there."""
    have = 1
    while bits and have < length:
        step = min(have, length - have)
        bits &= bits >> step
        have += step
    return bits
