"""The rounds of an exact crown with every copy in its place, from the wide edge to the centre.

The search knows only which copies a group holds. To be worked, each needs a place that it keeps.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from service.domain.crown_copies import CopyStates, RepeatPeriod
from service.domain.crown_search import CrownPath
from service.domain.crown_states import CrownStates

__all__ = ["CopyRound", "TexturedRound", "placed_rounds"]


@dataclass(frozen=True, slots=True)
class CopyRound:
    """One copy of the period after a round: the widths of its columns in order, or its single stitches.

    ``widths`` is empty where columns have been worked together.
    """

    stitch_count: int
    widths: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class TexturedRound:
    """A crown round: its stitches, and the copies of a group in place; none in a round of single stitches."""

    stitch_count: int
    copies: tuple[CopyRound, ...]


def placed_rounds(
    path: CrownPath, states: CrownStates, copies: CopyStates, period: RepeatPeriod
) -> tuple[TexturedRound, ...]:
    """Return the rounds of a path, each copy in the same place of its group all the way in.

    Copies that narrow one after the other stand apart, every other place first.
    """
    known = {
        number: _copy_round(number, copies, period)
        for number in {copy for state in (0, *path.states) for copy in states.copies_of(state)}
    }
    places, rounds = states.copies_of(0), []
    every_other = (*range(0, len(places), 2), *range(1, len(places), 2))
    apart = sorted(range(len(places)), key=every_other.__getitem__)
    for state in (0, *path.states):
        goals = states.copies_of(state)
        places = _in_place(places, goals, copies) if goals else ()
        in_place = tuple(known[places[place]] for place in apart) if goals else ()
        rounds.append(TexturedRound(states.stitch_counts[state], in_place))
    return tuple(rounds)


def _copy_round(number: int, copies: CopyStates, period: RepeatPeriod) -> CopyRound:
    by_class = copies.class_widths(number)
    widths = tuple(by_class[own] for own in period.class_of_column) if by_class else ()
    return CopyRound(stitch_count=copies.stitch_counts[number], widths=widths)


def _in_place(places: Sequence[int], goals: Sequence[int], copies: CopyStates) -> tuple[int, ...]:
    """Return the goals in the order of the copies that can reach them.

    Augmenting paths (Kuhn 1955); the round before was chosen so that a full match exists.
    """
    if len(goals) == 1:
        return tuple(goals)
    place_of_goal: dict[int, int] = {}

    def settle(place: int, tried: set[int]) -> bool:
        for goal, state in enumerate(goals):
            if goal not in tried and state in copies.moves[places[place]]:
                tried.add(goal)
                if goal not in place_of_goal or settle(place_of_goal[goal], tried):
                    place_of_goal[goal] = place
                    return True
        return False

    matched = all(settle(place, set()) for place in range(len(places)))
    assert matched, "every copy reaches one of the states of the next round"
    return tuple(goals[goal] for goal in sorted(place_of_goal, key=place_of_goal.__getitem__))
