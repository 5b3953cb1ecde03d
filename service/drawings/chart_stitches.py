"""Every stitch of a round as a chart shows it: what it is, where it stands, and what it is worked into.

Places count stitches: stitch 0 of a round is the first worked, and a place may lie between two.
Nothing here knows whether the chart is round or flat.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from service.domain.rounds import Round
from service.domain.steps import (
    Chain,
    Cross,
    IntoOne,
    Repeat,
    Skip,
    Step,
    Together,
    Work,
    canonical,
    flat,
    repeated,
)
from service.domain.stitches import TURNING_CHAINS, read_stitch

__all__ = ["ChartRound", "ChartStitch", "GroupKind", "chart_round", "part_of_round", "part_steps"]

#: The stitch that a starting chain of so many stands for.
_STITCH_OF_CHAINS = {chains: stitch for stitch, chains in TURNING_CHAINS.items()}

GroupKind = Literal["single", "into_one", "together", "cross_right", "cross_left"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartStitch:
    """One symbol: its legs' codes, the place of its top, and the places that its legs stand in.

    ``parents`` is empty in a ring, where each stitch stands below itself.
    ``group`` numbers what is worked as one: stitches with one base, or a crossing.
    ``is_behind`` tells that a crossing passes in front of it.
    """

    legs: tuple[str, ...]
    place: float
    parents: tuple[int, ...]
    kind: GroupKind
    group: int
    group_size: int
    is_behind: bool = False

    @property
    def code(self) -> str:
        """Return the code of its first leg."""
        return self.legs[0]


@dataclass(frozen=True, slots=True)
class ChartRound:
    """A round, or the first of ``times`` equal parts of it, with every stitch."""

    worked: Round
    times: int
    stitches: tuple[ChartStitch, ...]

    @property
    def made_count(self) -> int:
        """Return the stitches shown of those the round makes."""
        return self.worked.stitch_count // self.times

    @property
    def below_count(self) -> int:
        """Return the stitches below; in a ring as many as the round makes."""
        return (self.worked.consumed_stitch_count or self.worked.stitch_count) // self.times

    @property
    def start_chain_count(self) -> int:
        """Return the chains that the round begins with."""
        return 0 if self.worked.start is None else self.worked.start.chain_count

    @property
    def symbol_count(self) -> int:
        """Return the symbols: stitches, starting chains and the joining slip stitch."""
        return len(self.stitches) + self.start_chain_count + (self.worked.join is not None)


@dataclass(slots=True)
class _Reading:
    """How far the stitches of a round have been read."""

    made: int
    used: int
    in_ring: bool
    group: int = 0

    def below(self, count: int) -> tuple[int, ...]:
        """Return the next stitches of the round before, used up now."""
        if self.in_ring:
            return ()
        self.used += count
        return tuple(range(self.used - count, self.used))


def chart_round(worked: Round) -> ChartRound:
    """Return a whole round as a chart shows it.

    A starting chain that counts is no symbol here but stands for place 0, on stitch 0 of the round before.

    Parameters
    ----------
    worked
        The round.

    Examples
    --------
    >>> decrease = Round(2, "crown", "decrease", "previous_round", 4, 3, None,
    ...                  (Work("dc", 2), Together(("dc", "dc"))), None, 12.0)
    >>> [(stitch.place, stitch.parents) for stitch in chart_round(decrease).stitches]
    [(0, (0,)), (1, (1,)), (2, (2, 3))]
    """
    return ChartRound(worked, 1, _stitches(worked, worked.steps))


def part_of_round(worked: Round, times: int) -> ChartRound | None:
    """Return the first of so many equal parts of a round; nothing where it does not consist of them.

    A starting chain that counts stands for the first stitch, which is plain.

    Examples
    --------
    >>> unit = (Work("sc", 2), Together(("sc", "sc")))
    >>> crown = Round(1, "crown", "decrease", "previous_round", 24, 18, None, (Repeat(6, unit),), None, 5.0)
    >>> len(part_of_round(crown, 3).stitches), part_of_round(crown, 4)
    (6, None)
    """
    steps = part_steps(worked, times)
    return None if steps is None else ChartRound(worked, times, _stitches(worked, steps))


def part_steps(worked: Round, times: int) -> tuple[Step, ...] | None:
    """Return the steps of the first of so many equal parts, before any stitch is made of them.

    Examples
    --------
    >>> ring = Round(1, "crown", "plain", "ring", 0, 12, None, (Work("dc", 12),), None, 9.0)
    >>> part_steps(ring, 4), part_steps(ring, 5)
    ((Work(stitch='dc', count=3),), None)
    """
    if times == 1:
        return worked.steps
    start = worked.start
    counts = start is not None and start.counts_as_stitch
    steps = worked.steps
    if start is not None and counts:
        steps = canonical((Work(_STITCH_OF_CHAINS[start.chain_count]), *steps))
    part = _part(steps, times)
    return _without_first(part) if part is not None and counts else part


def _part(steps: tuple[Step, ...], times: int) -> tuple[Step, ...] | None:
    """Return one of so many equal parts; the standard form shows whether there are as many."""
    match steps:
        case (Work(stitch, count),) if count % times == 0:
            return (Work(stitch, count // times),)
        case (Repeat(inner_times, inner),) if inner_times % times == 0:
            return repeated(inner_times // times, inner)
    return None


def _without_first(steps: tuple[Step, ...]) -> tuple[Step, ...]:
    first, *rest = flat(steps)
    if isinstance(first, Work) and first.count > 1:
        return (Work(first.stitch, first.count - 1), *rest)
    return tuple(rest)


def _stitches(worked: Round, steps: tuple[Step, ...]) -> tuple[ChartStitch, ...]:
    counting = worked.start is not None and worked.start.counts_as_stitch
    in_ring = worked.worked_into == "ring"
    return tuple(_read(flat(steps), _Reading(int(counting), int(counting and not in_ring), in_ring)))


def _read(steps: Iterable[Step], reading: _Reading) -> Iterator[ChartStitch]:
    for step in steps:
        match step:
            case Work(stitch, count):
                yield from (_one(stitch, reading) for _ in range(count))
            case IntoOne(stitches):
                yield from _fan(stitches, reading)
            case Together(stitches):
                yield _joined(stitches, reading)
            case Cross():
                yield from _crossed(step, reading)
            case Skip(count):
                reading.below(count)
            case Chain():
                yield from _chains(step, reading)


def _one(stitch: str, reading: _Reading) -> ChartStitch:
    legs = _legs(stitch)
    return _made(legs, reading, parents=reading.below(1), kind="single" if len(legs) == 1 else "together")


def _legs(stitch: str) -> tuple[str, ...]:
    """Return the legs of a stitch that is worked in one place: ``dc2tog`` is two of ``dc``."""
    if stitch == "rev_sc":
        return (stitch,)
    read = read_stitch(stitch)
    return (f"{read.manner}{read.base}",) * read.leg_count


def _made(
    legs: tuple[str, ...],
    reading: _Reading,
    *,
    parents: tuple[int, ...],
    kind: GroupKind,
    size: int = 1,
    is_behind: bool = False,
    closes: bool = True,
) -> ChartStitch:
    stitch = ChartStitch(
        legs=legs,
        place=reading.made,
        parents=parents,
        kind=kind,
        group=reading.group,
        group_size=size,
        is_behind=is_behind,
    )
    reading.made += 1
    reading.group += closes
    return stitch


def _fan(stitches: tuple[str, ...], reading: _Reading) -> Iterator[ChartStitch]:
    parents = reading.below(1)
    for number, stitch in enumerate(stitches, start=1):
        yield _made(
            _legs(stitch),
            reading,
            parents=parents,
            kind="into_one",
            size=len(stitches),
            closes=number == len(stitches),
        )


def _joined(stitches: tuple[str, ...], reading: _Reading) -> ChartStitch:
    legs = tuple(leg for stitch in stitches for leg in _legs(stitch))
    return _made(legs, reading, parents=reading.below(len(stitches)), kind="together")


def _crossed(step: Cross, reading: _Reading) -> Iterator[ChartStitch]:
    """Yield the second half, worked first, then the skipped half behind (right) or in front (left) of it."""
    below = reading.below(2 * step.over)
    order = (*below[step.over :], *below[: step.over])
    for number, parent in enumerate(order):
        is_second = number >= step.over
        yield _made(
            (step.stitch,),
            reading,
            parents=(parent,),
            kind="cross_right" if step.lean == "right" else "cross_left",
            size=step.over,
            is_behind=is_second == (step.lean == "right"),
            closes=number == 2 * step.over - 1,
        )


def _chains(step: Chain, reading: _Reading) -> Iterator[ChartStitch]:
    """Yield chains side by side over the places they count for, or close behind the last stitch."""
    room = step.counts_as_stitch_count or 0.5
    for number in range(step.count):
        place = reading.made - 0.5 + room * (number + 0.5) / step.count
        yield ChartStitch(
            legs=("ch",), place=place, parents=(), kind="single", group=reading.group, group_size=1
        )
        reading.group += 1
    reading.made += step.counts_as_stitch_count
