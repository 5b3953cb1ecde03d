"""On which crown rounds each cable crosses: in the round after it changed its width, else in its rhythm."""

from collections.abc import Sequence

from service.domain.crown_places import CopyRound
from service.domain.fabrics import Column

__all__ = ["CrossingCalendar"]


class CrossingCalendar:
    """When each cable of some neighbouring copies is next due to cross.

    A cable that changes its width in a round does not cross in it, but in the round after.
    Otherwise it crosses one vertical repeat after it last did.

    Parameters
    ----------
    copies
        The columns of each copy.
    round_repeat_count
        Rounds of the vertical repeat, p. [>= 1]
    round_in_repeat
        Which of them the first crown round is, from 1; ``None`` where no cable has crossed before.

    Examples
    --------
    >>> from service.domain.fabrics import Crossing
    >>> cable = Column("front", 4, Crossing(2, "left", round_in_repeat=3))
    >>> calendar = CrossingCalendar([(cable,)], round_repeat_count=4, round_in_repeat=1)
    >>> straight = CopyRound(4, (4,))
    >>> [sorted(calendar.crossing(number, [straight], [straight])) for number in range(1, 9)]
    [[], [], [(0, 0)], [], [], [], [(0, 0)], []]
    """

    __slots__ = ("_copies", "_due", "_has_cables", "_rhythm")

    def __init__(
        self,
        copies: Sequence[Sequence[Column]],
        *,
        round_repeat_count: int,
        round_in_repeat: int | None,
    ) -> None:
        self._copies = copies
        self._has_cables = any(column.is_crossed for columns in copies for column in columns)
        self._rhythm = round_repeat_count
        self._due: dict[tuple[int, int], int] = {}
        if round_in_repeat is None:
            return
        for place, columns in enumerate(copies):
            for number, column in enumerate(columns):
                if column.crossing is not None:
                    rounds_off = (column.crossing.round_in_repeat - round_in_repeat) % round_repeat_count
                    self._due[place, number] = rounds_off + 1

    def crossing(
        self, round_number: int, before: Sequence[CopyRound], after: Sequence[CopyRound]
    ) -> frozenset[tuple[int, int]]:
        """Return the cables that cross in a round, each as the place of its copy and its column.

        Parameters
        ----------
        round_number
            The crown round in working order, from 1; every round is to be asked for once, in order.
        before, after
            The copies of a group before and after the round; none in a round of single stitches.
        """
        if not after or not self._has_cables:
            return frozenset()
        crossing = set()
        for place, columns in enumerate(self._copies):
            old = before[place % len(before)].widths if before else ()
            new = after[place % len(after)].widths
            for number, column in enumerate(columns):
                if column.crossing is None or not new:
                    continue
                key = (place, number)
                if not old or old[number] != new[number]:
                    self._due[key] = round_number + 1
                elif new[number] > 1 and self._due.get(key) == round_number:
                    self._due[key] = round_number + self._rhythm
                    crossing.add(key)
        return frozenset(crossing)
