"""The outline of a crown search: a simpler crown that bounds it from below.

The simpler crown tells rounds apart only by their stitches, and where there is one copy in a group by their
crossed stitches as well. Whatever the rules allow the real crown, it is allowed too; so its cheapest path
never costs more, and a round that even the simpler crown cannot pass within a limit needs no look.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from operator import add

from service.domain.crown_copies import CopyStates
from service.domain.crown_states import CrownStates
from service.domain.rounding import ceil_half

__all__ = ["CrownOutline", "OutlineCosts", "outline_costs", "outline_crown", "reckoned_outline_work"]

#: Moves of the outline that weigh as much as one of the search (measured).
_MOVES_PER_UNIT = 3
#: Work up to which a single copy is outlined closely (convention).
_CLOSE_WORK = 150_000


@dataclass(frozen=True, slots=True)
class CrownOutline:
    """The simpler crown: rounds told apart only by what each of ``keys`` says of them.

    A key is the stitches of a round, and how many of them lie in crossed columns where that is kept.
    ``onward`` has for each the places of those that the next round can have.
    """

    keys: tuple[tuple[int, int], ...]
    onward: tuple[tuple[int, ...], ...]
    place_of_start: int
    tells_crossed: bool

    def work_units(self, round_count: int) -> int:
        """Return what reckoning the costs of so many rounds weighs."""
        return round_count * sum(map(len, self.onward)) // _MOVES_PER_UNIT


def reckoned_outline_work(states: CrownStates, copies: CopyStates) -> int:
    """Return what making the outline weighs: the moves of a copy, or every fall of a group's count."""
    if states.group_size == 1:
        return 3 * sum(map(len, copies.moves))
    return (states.group_size * max(copies.stitch_counts)) ** 2 // 2


def outline_crown(states: CrownStates, copies: CopyStates, *, round_count: int) -> CrownOutline:
    """Return the outline of a crown.

    In a group of several copies every count between the most and the fewest is allowed.
    A single copy is outlined more closely, by its stitches in crossed columns as well,
    as long as that is not too much to reckon.
    """
    if states.group_size > 1:
        return _outline(_after_several_copies(states, copies), states, tells_crossed=False)
    after = _after_one_copy(states, copies)
    close = _outline(after, states, tells_crossed=True)
    if close.work_units(round_count) <= _CLOSE_WORK:
        return close
    by_count: _After = {}
    for (count, _), targets in after.items():
        by_count.setdefault((count, 0), set()).update((target, 0) for target, _ in targets)
    return _outline(by_count, states, tells_crossed=False)


def _outline(after: "_After", states: CrownStates, *, tells_crossed: bool) -> CrownOutline:
    for size in range(1, states.group_size + 1):
        count = states.group_count * size
        after[count, 0] = {(states.group_count * left, 0) for left in range(ceil_half(size), size + 1)}
    after |= _halved_singles(states.group_count)
    start, least = states.stitch_counts[0], states.stitch_count_min
    keys = sorted(key for key in after if least <= key[0] <= start or key[0] == start)
    places = {key: place for place, key in enumerate(keys)}
    start_key = (start, states.crossed_widths[0] if tells_crossed else 0)
    return CrownOutline(
        keys=tuple(keys),
        onward=tuple(tuple(sorted(places[to] for to in after[key] if to in places)) for key in keys),
        place_of_start=places[start_key],
        tells_crossed=tells_crossed,
    )


_After = dict[tuple[int, int], set[tuple[int, int]]]


def _keys_of_copies(states: CrownStates, copies: CopyStates) -> list[tuple[int, int]]:
    groups = states.group_count
    pairs = zip(copies.stitch_counts, copies.crossed_widths, strict=True)
    return [(groups * count, groups * crossed) for count, crossed in pairs]


def _after_one_copy(states: CrownStates, copies: CopyStates) -> _After:
    keys = _keys_of_copies(states, copies)
    after: _After = {}
    for key, targets in zip(keys, copies.moves, strict=True):
        after.setdefault(key, set()).update(map(keys.__getitem__, targets))
    return after


def _after_several_copies(states: CrownStates, copies: CopyStates) -> _After:
    fewest_of_copy: dict[int, int] = {}
    for count, targets in zip(copies.stitch_counts, copies.moves, strict=True):
        fewest = min(map(copies.stitch_counts.__getitem__, targets))
        fewest_of_copy[count] = min(fewest, fewest_of_copy.get(count, fewest))
    fewest_after = {0: 0}
    for _ in range(states.group_size):
        sums: dict[int, int] = {}
        for total, fewest in fewest_after.items():
            for count, own in fewest_of_copy.items():
                sums[total + count] = min(fewest + own, sums.get(total + count, total + count))
        fewest_after = sums
    keys = {total: (states.group_count * total, 0) for total in sorted(fewest_after)}
    return {
        keys[total]: {keys[target] for target in keys if fewest <= target <= total}
        for total, fewest in fewest_after.items()
    }


def _halved_singles(count: int) -> _After:
    halved: _After = {}
    while (count, 0) not in halved:
        halved[count, 0] = {(count, 0), (ceil_half(count), 0)}
        count = ceil_half(count)
    return halved


@dataclass(frozen=True, slots=True)
class OutlineCosts:
    """What the rounds cost by the keys of the outline, in their places.

    ``rounds[k]`` is the cost of round k itself, from 0; ``ahead[k]`` the least that the rounds from k onward
    can cost the simpler crown, after a round in that place.
    """

    rounds: tuple[Sequence[float], ...]
    ahead: tuple[Sequence[float], ...]


def outline_costs(
    outline: CrownOutline, *, ideal_counts: Sequence[float], stitch_count_max: int
) -> OutlineCosts:
    """Return the costs of every round, and the least still to come after it.

    Parameters
    ----------
    ideal_counts
        Target circumference over stitch width, from the brim inward. [stitches, > 0]
    stitch_count_max
        Most stitches of the last round.
    """
    rounds = _round_costs(outline, ideal_counts)
    ahead = [[0.0 if count <= stitch_count_max else math.inf for count, _ in outline.keys]]
    for cost in reversed(rounds):
        through = list(map(add, cost, ahead[-1]))
        ahead.append([min(map(through.__getitem__, onward)) for onward in outline.onward])
    return OutlineCosts(rounds=rounds, ahead=tuple(reversed(ahead)))


def _round_costs(outline: CrownOutline, ideal_counts: Sequence[float]) -> tuple[Sequence[float], ...]:
    logarithms = [math.log(count) for count, _ in outline.keys]
    return tuple(
        [(logarithm - ideal) ** 2 for logarithm in logarithms] for ideal in map(math.log, ideal_counts)
    )
