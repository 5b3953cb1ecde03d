"""The states of a whole crown round: copies that narrow by themselves, then single stitches.

Neighbouring copies form a group, and all groups narrow alike. A round is first a choice of states for the
copies of one group; once every copy is a single stitch it is a round of single stitches:

4. a group of g single stitches becomes any number from half of it up to g;
   at one stitch a group the round itself is halved.
"""

import math
from collections.abc import Iterable
from itertools import combinations_with_replacement, product
from typing import TypeAlias

from service.domain.crown_copies import CopyStates, RepeatPeriod, class_states
from service.domain.rounding import ceil_half

__all__ = ["CopyNumbers", "CrownStates", "first_round_work"]

#: The states of the copies of a group, in rising order; or the stitches of a round of single stitches.
CopyNumbers: TypeAlias = tuple[int, ...]

# Moves walked again that weigh one unit, and what making a move weighs (measured).
_WALKED_PER_UNIT = 2
_MAKING_ALONE = 4
_MAKING_IN_GROUPS = 12
_MAKING_A_STATE = 24


def first_round_work(period: RepeatPeriod, group_size: int) -> int:
    """Return what the moves of the first crown round weigh, without the states of a copy.

    Parameters
    ----------
    group_size
        Copies in a group. [>= 2]

    Examples
    --------
    >>> from service.domain.crown_copies import smallest_period
    >>> from service.domain.fabrics import Column
    >>> first_round_work(smallest_period([Column("front", 1), Column("back", 1)]), 2)
    36
    """
    of_copy = math.prod(len(class_states(kind.width, kind.is_crossed, 0).moves[0]) for kind in period.classes)
    return math.comb(of_copy + group_size - 1, group_size) * _MAKING_IN_GROUPS + _MAKING_A_STATE


class CrownStates:
    """The rounds a crown can have, numbered as the search meets them, and where each may go.

    The lists ``stitch_counts`` and ``crossed_widths`` grow with the search; numbers never change.
    State 0 is the round at the wide edge.

    Parameters
    ----------
    copies
        The states of one copy.
    group_count
        Groups in the round. [>= 1]
    group_size
        Copies in a group. [>= 1]
    stitch_count_min
        Fewest stitches of a round. [stitches, >= 1]
    """

    __slots__ = (
        "_copies",
        "_keys",
        "_moves",
        "_numbers",
        "crossed_widths",
        "group_count",
        "group_size",
        "stitch_count_min",
        "stitch_counts",
    )

    def __init__(
        self, copies: CopyStates, *, group_count: int, group_size: int, stitch_count_min: int
    ) -> None:
        self.group_count = group_count
        self.group_size = group_size
        self.stitch_count_min = stitch_count_min
        self.stitch_counts: list[int] = []
        self.crossed_widths: list[int] = []
        self._copies = copies
        self._keys: list[CopyNumbers | int] = []
        self._numbers: dict[CopyNumbers | int, int] = {}
        self._moves: list[tuple[int, ...] | None] = []
        self._number(self._key((copies.start,) * group_size))

    def copies_of(self, state: int) -> CopyNumbers:
        """Return the states of the copies of a group; nothing in a round of single stitches."""
        key = self._keys[state]
        return key if isinstance(key, tuple) else ()

    def moves(self, state: int) -> tuple[int, ...]:
        """Return the states that the next round can have; staying as it is comes first."""
        known = self._moves[state]
        if known is not None:
            return known
        key = self._keys[state]
        if isinstance(key, int):
            targets: Iterable[CopyNumbers | int] = self._fewer_singles(key)
        else:
            targets = map(self._key, self._narrower(key))
        numbers = dict.fromkeys(map(self._number, targets))
        fewest = min(self.stitch_count_min, self.stitch_counts[state])
        found = tuple(number for number in numbers if self.stitch_counts[number] >= fewest)
        self._moves[state] = found
        return found

    def weight(self, state: int) -> int:
        """Return what the moves of a state weigh: more where they are not made yet, without making them."""
        known = self._moves[state]
        if known is not None:
            return len(known) // _WALKED_PER_UNIT
        key = self._keys[state]
        if isinstance(key, int):
            return 1
        moves = self._copies.moves
        ways = (
            math.comb(len(moves[copy]) + key.count(copy) - 1, key.count(copy)) for copy in dict.fromkeys(key)
        )
        making = _MAKING_ALONE if len(key) == 1 else _MAKING_IN_GROUPS
        return math.prod(ways) * making + _MAKING_A_STATE

    def reckoned_moves(self) -> int:
        """Return a bound on the moves of all states: as many moves of a copy as a group has, in no order."""
        of_copy = sum(map(len, self._copies.moves))
        return math.comb(of_copy + self.group_size - 1, self.group_size)

    def _key(self, copies: CopyNumbers) -> CopyNumbers | int:
        if copies.count(self._copies.worked_together) == self.group_size:
            return self.group_count * self.group_size
        return copies

    def _number(self, key: CopyNumbers | int) -> int:
        number = self._numbers.get(key)
        if number is None:
            number = self._numbers[key] = len(self._keys)
            self._keys.append(key)
            self._moves.append(None)
            if isinstance(key, int):
                self.stitch_counts.append(key)
                self.crossed_widths.append(0)
            else:
                copies = self._copies
                self.stitch_counts.append(self.group_count * sum(map(copies.stitch_counts.__getitem__, key)))
                self.crossed_widths.append(
                    self.group_count * sum(map(copies.crossed_widths.__getitem__, key))
                )
        return number

    def _narrower(self, key: CopyNumbers) -> Iterable[CopyNumbers]:
        moves = self._copies.moves
        if len(key) == 1:
            return ((target,) for target in moves[key[0]])
        alike = [combinations_with_replacement(moves[copy], key.count(copy)) for copy in dict.fromkeys(key)]
        return (tuple(sorted(sum(choice, ()))) for choice in product(*alike))

    def _fewer_singles(self, count: int) -> list[int]:
        if count <= self.group_count:
            return list(dict.fromkeys((count, ceil_half(count))))
        size = count // self.group_count
        return [self.group_count * left for left in range(size, ceil_half(size) - 1, -1)]
