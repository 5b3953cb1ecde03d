"""Crowns that keep the texture: the schedule that follows its target most nearly, found exactly.

The columns of a fabric run up into the crown and narrow there.
Which narrow when is decided for the whole crown at once, so that the sum over the rounds of
``ln^2(n w / c)`` is as small as the rules allow. From the crown outward the same rounds are walked the
other way: the last crown round has every stitch, the first is the ring.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import reduce
from operator import or_

from service.domain.crown_closing import ClosingLimits
from service.domain.crown_copies import (
    CopyStates,
    RepeatPeriod,
    copy_states,
    reckoned_copy_work,
    smallest_period,
    whole_repeat_count,
)
from service.domain.crown_places import TexturedRound, placed_rounds
from service.domain.crown_search import cheapest_path
from service.domain.crown_states import CrownStates, first_round_work
from service.domain.crown_targets import Worked
from service.domain.crown_work import WORK_LIMIT, CrownWork
from service.domain.errors import CrownCannotClose, ShapingOutOfReach
from service.domain.fabrics import Column
from service.domain.rounding import ceil_half

__all__ = [
    "DEFAULT_SETTLE_ROUND_COUNT",
    "CrownFabric",
    "TexturedCrown",
    "crown_fabric",
    "default_group_size",
    "plan_textured_crown",
    "smallest_textured_round_count",
]

#: Rounds worked on a cable between two that narrow it (convention).
DEFAULT_SETTLE_ROUND_COUNT = 1

_MOST_REPEATS_ALIKE = 14
#: Neighbouring repeats that narrow as one, at most.
MOST_REPEATS_IN_GROUP = 5
_GROUPS_WANTED = range(5, _MOST_REPEATS_ALIKE + 1)


@dataclass(frozen=True, slots=True)
class CrownFabric:
    """A fabric as the crown sees it: its smallest period, how often it stands in the round, its groups.

    ``group_size`` neighbouring copies of the period form one group; all groups are worked alike.
    """

    period: RepeatPeriod
    repeat_count: int
    group_size: int
    settle_round_count: int

    @property
    def start_stitch_count(self) -> int:
        """Return the stitches at the wide edge."""
        return self.repeat_count * self.period.stitch_count

    @property
    def group_count(self) -> int:
        """Return the groups in the round."""
        return self.repeat_count // self.group_size


@dataclass(frozen=True, slots=True)
class TexturedCrown:
    """The exact crown. ``inward`` runs from the wide edge, which is its first, to the centre.

    ``cost`` is the sum over the crown's rounds of ``ln^2(n w / c)``;
    ``work_units`` is what finding it was reckoned to weigh.
    """

    fabric: CrownFabric
    worked: Worked
    inward: tuple[TexturedRound, ...]
    cost: float
    work_units: int

    @property
    def stitch_counts(self) -> tuple[int, ...]:
        """Return the count of every crown round in working order."""
        if self.worked == "from_brim":
            return tuple(state.stitch_count for state in self.inward[1:])
        return tuple(state.stitch_count for state in reversed(self.inward))


def default_group_size(repeat_count: int) -> int:
    """Return how many neighbouring repeats narrow as one when nobody says.

    One for up to 14 repeats; for more, the smallest up to 5 that makes 5 to 14 equal groups, else one.

    Examples
    --------
    >>> [default_group_size(count) for count in (10, 14, 20, 44, 17)]
    [1, 1, 2, 4, 1]

    Notes
    -----
    Convention: with many narrow repeats all narrowing at once, the count would fall in too large steps.
    """
    if repeat_count <= _MOST_REPEATS_ALIKE:
        return 1
    sizes = (
        size
        for size in range(2, MOST_REPEATS_IN_GROUP + 1)
        if repeat_count % size == 0 and repeat_count // size in _GROUPS_WANTED
    )
    return next(sizes, 1)


def crown_fabric(
    columns: Sequence[Column],
    *,
    start_stitch_count: int,
    settle_round_count: int = DEFAULT_SETTLE_ROUND_COUNT,
    group_size: int | None = None,
) -> CrownFabric:
    """Return a fabric as the crown sees it.

    Parameters
    ----------
    columns
        The columns of one repeat.
    start_stitch_count
        Stitches at the wide edge, whole repeats. [stitches, >= 1]
    settle_round_count
        Rounds worked on a cable between two that narrow it. [>= 0]
    group_size
        Copies of the smallest period that narrow as one; ``None`` for the usual.

    Raises
    ------
    RepeatWiderThanHat
        If not even one repeat fits.
    ShapingOutOfReach
        If the stitches are not whole repeats, or the groups do not divide the repeats.

    Examples
    --------
    >>> cable = crown_fabric([Column("back", 2), Column("front", 3)] * 2, start_stitch_count=100)
    >>> cable.repeat_count, cable.group_size
    (20, 2)
    """
    multiple = sum(column.width for column in columns)
    whole_repeat_count(start_stitch_count=start_stitch_count, stitch_multiple=multiple)
    period = smallest_period(columns)
    repeat_count = start_stitch_count // period.stitch_count
    if group_size is None:
        group_size = default_group_size(repeat_count)
    elif repeat_count % group_size:
        raise _uneven_groups(period, repeat_count, group_size)
    return CrownFabric(period, repeat_count, group_size, settle_round_count)


def _uneven_groups(period: RepeatPeriod, repeat_count: int, group_size: int) -> ShapingOutOfReach:
    sizes = [
        size
        for size in range(1, MOST_REPEATS_IN_GROUP + 1)
        if repeat_count % size == 0 and (size == 1 or first_round_work(period, size) <= WORK_LIMIT)
    ]
    below = max(size for size in sizes if size < max(2, group_size))
    return ShapingOutOfReach(
        from_stitch_count=repeat_count,
        to_stitch_count=group_size,
        low=below,
        high=min((size for size in sizes if size > group_size), default=below),
        reason=f"{repeat_count} repeats do not make whole groups of {group_size}.",
    )


def smallest_textured_round_count(
    fabric: CrownFabric, limits: ClosingLimits, worked: Worked, *, work: CrownWork | None = None
) -> int:
    """Return the fewest crown rounds that close this fabric.

    Parameters
    ----------
    work
        What finding it may weigh; ``None`` for all that a request may.

    Raises
    ------
    FabricTooComplex
        If the states of a copy are too many for the work left.
    ShapingOutOfReach
        If no number of rounds ends between the limits.

    Examples
    --------
    >>> cable = crown_fabric([Column("back", 2), Column("front", 3)], start_stitch_count=50)
    >>> smallest_textured_round_count(cable, ClosingLimits(5, 12), "from_brim")
    2
    """
    copies = _copies(fabric, fabric.settle_round_count, CrownWork() if work is None else work)
    moves = _moves_to_close(fabric, copies, limits)
    return max(1, moves) if worked == "from_brim" else moves + 1


def _copies(fabric: CrownFabric, settle_round_count: int, work: CrownWork) -> CopyStates:
    """Return the states of a copy, if what making them weighs is left."""
    work.spend(reckoned_copy_work(fabric.period, settle_round_count=settle_round_count))
    return copy_states(fabric.period, settle_round_count=settle_round_count)


def _moves_to_close(fabric: CrownFabric, copies: CopyStates, limits: ClosingLimits) -> int:
    """Return after how many moves a crown can have closed.

    Copies are free of each other and no count ever rises, so a closing count can be reached when each copy
    can have its share, or when the single stitches that are left can be halved to it.
    """
    most, fewest = limits.stitch_count_max, limits.stitch_count_min
    if fabric.start_stitch_count <= most:
        return 0
    counts: set[int] = set()
    for moves, counts in enumerate(_counts_by_moves(fabric, copies)):
        if any(fewest <= count <= most for count in counts):
            return moves
    raise ShapingOutOfReach(
        from_stitch_count=fabric.start_stitch_count,
        to_stitch_count=most,
        low=max((count for count in counts if count <= most), default=1),
        high=min(count for count in counts if count > most),
        reason=f"This fabric cannot close on {limits.words}.",
    )


def _counts_by_moves(fabric: CrownFabric, copies: CopyStates) -> Iterator[set[int]]:
    """Yield the counts that a round can have after 0, 1, 2, … moves, until there are no new ones."""
    reached, new = {copies.start}, {copies.start}
    of_copy: set[int] = set()
    apart, singles = set[int](), set[int]()
    while new:
        fresh = {copies.stitch_counts[state] for state in new} - of_copy
        if fresh:
            of_copy |= fresh
            apart = _group_counts(of_copy, fabric)
        if 1 in of_copy:
            singles |= _narrower_singles(singles, fabric) or {fabric.repeat_count}
        yield apart | singles
        new = {target for state in new for target in copies.moves[state]} - reached
        reached |= new
    while not singles >= (narrower := _narrower_singles(singles, fabric)):
        singles |= narrower
        yield apart | singles


def _group_counts(of_copy: Iterable[int], fabric: CrownFabric) -> set[int]:
    """Return the counts of rounds whose copies have these counts and are not all single stitches."""
    # Bit t of the sums says that t stitches in a group can be had: far faster than a set of them.
    sums = 1
    for _ in range(fabric.group_size):
        sums = reduce(or_, (sums << count for count in of_copy))
    totals = range(fabric.group_size + 1, sums.bit_length())
    return {fabric.group_count * total for total in totals if sums >> total & 1}


def _narrower_singles(counts: Iterable[int], fabric: CrownFabric) -> set[int]:
    """Return the counts that one round can make of rounds of single stitches."""
    narrower = set()
    for count in counts:
        size = count // fabric.group_count
        if size > 1:
            narrower |= {fabric.group_count * left for left in range(ceil_half(size), size)}
        else:
            narrower.add(ceil_half(count))
    return narrower


def plan_textured_crown(
    fabric: CrownFabric,
    *,
    ideal_counts: Sequence[float],
    limits: ClosingLimits,
    worked: Worked,
    work: CrownWork | None = None,
) -> TexturedCrown:
    """Return the crown of this fabric that follows the ideal counts most nearly.

    Minimises the sum of ``ln^2(n / ideal)`` over the rounds, exactly. Sums within 1e-9 are judged by fewer
    rounds that narrow, then the larger count earlier, then the greater width of crossed columns,
    each read from the brim.

    Parameters
    ----------
    ideal_counts
        Target circumference over stitch width of each round, in working order. [stitches, > 0]
    limits
        Fewest stitches of any round, and most at the centre.
    work
        What the search may weigh; ``None`` for all that a request may.

    Raises
    ------
    CrownCannotClose
        If the rounds are too few.
    FabricTooComplex
        If the moves reckoned beforehand are more than the work left.

    Examples
    --------
    >>> cable = crown_fabric([Column("back", 2), Column("front", 3)], start_stitch_count=50)
    >>> crown = plan_textured_crown(
    ...     cable, ideal_counts=[45.0, 32.0, 18.0, 6.0], limits=ClosingLimits(5, 12), worked="from_brim"
    ... )
    >>> crown.stitch_counts, round(crown.cost, 4)
    ((50, 30, 20, 10), 0.2873)

    Notes
    -----
    Convention: the eye judges cloth by its relative fullness, so too wide and too narrow by one factor
    weigh the same, and large misses more than in proportion.
    """
    work = CrownWork() if work is None else work
    crown = _cheapest(fabric, ideal_counts, limits, worked, work)
    if crown is None:
        raise CrownCannotClose(
            round_count=len(ideal_counts),
            closing_stitch_count_max=limits.stitch_count_max,
            smallest_round_count=smallest_textured_round_count(fabric, limits, worked, work=work),
        )
    return crown


def _cheapest(
    fabric: CrownFabric,
    ideal_counts: Sequence[float],
    limits: ClosingLimits,
    worked: Worked,
    work: CrownWork,
) -> TexturedCrown | None:
    begun = work.spent
    copies = _copies(fabric, min(fabric.settle_round_count, len(ideal_counts)), work)
    states = CrownStates(
        copies,
        group_count=fabric.group_count,
        group_size=fabric.group_size,
        stitch_count_min=limits.stitch_count_min,
    )
    path = cheapest_path(
        states,
        copies,
        ideal_counts=ideal_counts if worked == "from_brim" else ideal_counts[-2::-1],
        stitch_count_max=limits.stitch_count_max,
        work=work,
    )
    if path is None:
        return None
    edge_cost = 0.0 if worked == "from_brim" else math.log(fabric.start_stitch_count / ideal_counts[-1]) ** 2
    return TexturedCrown(
        fabric=fabric,
        worked=worked,
        inward=placed_rounds(path, states, copies, fabric.period),
        cost=path.cost + edge_cost,
        work_units=work.spent - begun,
    )
