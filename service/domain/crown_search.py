"""The exact search for the crown that follows its target most nearly: a shortest path, round by round.

The cost of a round is ``ln^2(n w / c)``. The search walks all states of a round at once, and leaves out
those that cannot lead to a crown as cheap as a limit. What is still to come is bounded from below by a
simpler crown, in which a round of n stitches may go to any count that some round of n stitches reaches.
Where the limit was too low to find any crown it is raised; a crown within the limit is the cheapest of all.
"""

import math
import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain
from operator import add

from service.domain.crown_copies import CopyStates
from service.domain.crown_states import CrownStates
from service.domain.rounding import TIE_TOLERANCE, ceil_half

__all__ = ["CrownPath", "cheapest_path", "smallest_move_count"]

#: How far above the bound the search looks, in turn (convention: the usual crown lies within the first two).
_MARGINS = (0.0, 0.004, 0.03, 0.12, 0.5, sys.float_info.max)


@dataclass(frozen=True, slots=True)
class CrownPath:
    """The states of the crown's rounds, from the brim inward, and the sum of their costs."""

    states: tuple[int, ...]
    cost: float


@dataclass(frozen=True, slots=True)
class _Outline:
    """The simpler crown: rounds told apart only by what each of ``keys`` says of them.

    A key is the stitches of a round, and how many of them lie in crossed columns where that is kept.
    ``onward`` has for each the places of those that the next round can have.
    """

    keys: tuple[tuple[int, int], ...]
    onward: tuple[tuple[int, ...], ...]
    tells_crossed: bool


def cheapest_path(
    states: CrownStates, copies: CopyStates, *, ideal_counts: Sequence[float], stitch_count_max: int
) -> CrownPath | None:
    """Return the cheapest crown, or ``None`` where the rounds are too few to close it.

    Crowns whose costs differ by at most 1e-9 are judged in turn by: fewer rounds that narrow; the larger
    count earlier; the greater width of crossed columns, round by round from the brim.

    Parameters
    ----------
    ideal_counts
        Target circumference over stitch width, from the brim inward. [stitches, > 0]
    stitch_count_max
        Most stitches of the last round. [stitches, >= 1]

    Notes
    -----
    Shortest path in a layered graph, with a lower bound for what is left (Hart, Nilsson and Raphael 1968).
    """
    outline = _outline(states, copies)
    costs = _round_costs(outline, ideal_counts)
    ahead = _costs_ahead(outline, costs, stitch_count_max)
    walk = _Walk(states=states, outline=outline, costs=costs, ahead=ahead)
    least = ahead[0][walk.places()[0]]
    if least == math.inf:
        return None
    for margin in _MARGINS:
        layers = walk.layers(least + margin)
        if layers and min(layers[-1].values()) <= least + margin + TIE_TOLERANCE:
            return walk.best(layers)
    return None


def _outline(states: CrownStates, copies: CopyStates) -> _Outline:
    """Return the outline of the crown.

    In a group of several copies every count between the most and the fewest is allowed;
    a single copy is outlined more closely, by its stitches in crossed columns as well.
    """
    if states.group_size == 1:
        after = _after_one_copy(states, copies)
    else:
        after = _after_several_copies(states, copies)
    for size in range(1, states.group_size + 1):
        count = states.group_count * size
        after[count, 0] = {(states.group_count * left, 0) for left in range(ceil_half(size), size + 1)}
    after |= _halved_singles(states.group_count)
    return _within(after, states)


_After = dict[tuple[int, int], set[tuple[int, int]]]


def _after_one_copy(states: CrownStates, copies: CopyStates) -> _After:
    groups = states.group_count
    pairs = zip(copies.stitch_counts, copies.crossed_widths, strict=True)
    keys = [(groups * count, groups * crossed) for count, crossed in pairs]
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


def _within(after: _After, states: CrownStates) -> _Outline:
    start, least = states.stitch_counts[0], states.stitch_count_min
    keys = sorted(key for key in after if least <= key[0] <= start or key[0] == start)
    places = {key: place for place, key in enumerate(keys)}
    onward = (tuple(sorted(places[to] for to in after[key] if to in places)) for key in keys)
    return _Outline(keys=tuple(keys), onward=tuple(onward), tells_crossed=states.group_size == 1)


def _round_costs(outline: _Outline, ideal_counts: Sequence[float]) -> list[list[float]]:
    """Return the cost of each key of the outline in each round."""
    logarithms = [math.log(count) for count, _ in outline.keys]
    ideals = map(math.log, ideal_counts)
    return [[(logarithm - ideal) ** 2 for logarithm in logarithms] for ideal in ideals]


def _costs_ahead(outline: _Outline, costs: Sequence[Sequence[float]], most: int) -> list[list[float]]:
    """Return the least that the rounds after each round can cost the simpler crown."""
    ahead = [[0.0 if count <= most else math.inf for count, _ in outline.keys]]
    for cost in reversed(costs):
        through = list(map(add, cost, ahead[-1]))
        ahead.append([min(map(through.__getitem__, onward)) for onward in outline.onward])
    ahead.reverse()
    return ahead


class _Walk:
    """The walk from the brim to the centre; ``costs[k]`` are of round k, ``ahead[k]`` of those after."""

    __slots__ = ("_ahead", "_costs", "_place_of_key", "_places", "_states", "_tells_crossed")

    def __init__(
        self,
        states: CrownStates,
        outline: _Outline,
        *,
        costs: Sequence[Sequence[float]],
        ahead: Sequence[Sequence[float]],
    ) -> None:
        self._states = states
        self._costs = costs
        self._ahead = ahead
        self._tells_crossed = outline.tells_crossed
        self._place_of_key = {key: place for place, key in enumerate(outline.keys)}
        self._places: list[int] = []

    def places(self) -> list[int]:
        """Return the place in the outline of every state met so far."""
        counts, crossed = self._states.stitch_counts, self._states.crossed_widths
        for state in range(len(self._places), len(counts)):
            key = (counts[state], crossed[state] if self._tells_crossed else 0)
            self._places.append(self._place_of_key.get(key, -1))
        return self._places

    def layers(self, limit: float) -> list[dict[int, float]]:
        """Return, for each round, its states within the limit and the least spent to reach them.

        Empty where no state stays within the limit.
        """
        within = limit + 2 * TIE_TOLERANCE
        layers = [{0: 0.0}]
        for cost, ahead in zip(self._costs, self._ahead[1:], strict=True):
            reached = self._reached_from(layers[-1])
            places = self.places()
            layer: dict[int, float] = {}
            for state, spent in reached.items():
                place = places[state]
                total = spent + cost[place]
                if total + ahead[place] <= within:
                    layer[state] = total
            if not layer:
                return []
            layers.append(layer)
        return layers

    def _reached_from(self, layer: Mapping[int, float]) -> dict[int, float]:
        """Return the states that the next round can have, each with the least spent before it."""
        alike: dict[float, list[int]] = {}
        for state, spent in layer.items():
            alike.setdefault(spent, []).append(state)
        reached: dict[int, float] = {}
        for spent in sorted(alike, reverse=True):
            onward = map(self._states.moves, alike[spent])
            reached.update(dict.fromkeys(chain.from_iterable(onward), spent))
        return reached

    def best(self, layers: Sequence[dict[int, float]]) -> CrownPath:
        """Return the best of the cheapest crowns that the layers hold."""
        cost = min(layers[-1].values())
        ties = self._narrowing_least(self._cheapest(layers, cost + TIE_TOLERANCE))
        counts, crossed = self._states.stitch_counts, self._states.crossed_widths
        ties = _greatest_earlier(_greatest_earlier(ties, counts.__getitem__), crossed.__getitem__)
        state, path = 0, []
        for layer in ties[:-1]:
            state = min(layer[state], key=self._states.copies_of)
            path.append(state)
        return CrownPath(states=tuple(path), cost=cost)

    def _cheapest(self, layers: Sequence[dict[int, float]], limit: float) -> "_Ties":
        """Return the states that lie on a crown within the limit, each with those it may go on to."""
        places = self.places()
        left = {state: 0.0 for state, spent in layers[-1].items() if spent <= limit}
        ties: _Ties = [dict.fromkeys(left, ())]
        for number in reversed(range(len(self._costs))):
            cost, ahead = self._costs[number], self._ahead[number]
            through = {state: rest + cost[places[state]] for state, rest in left.items()}
            onward: dict[int, tuple[int, ...]] = {}
            left = {}
            for state, spent in layers[number].items():
                if spent + ahead[places[state]] > limit:
                    continue
                room = limit - spent
                on = [to for to in self._states.moves(state) if to in through and through[to] <= room]
                if on:
                    onward[state] = tuple(on)
                    left[state] = min(map(through.__getitem__, on))
            ties.append(onward)
        ties.reverse()
        return ties

    def _narrowing_least(self, ties: "_Ties") -> "_Ties":
        """Return the ties without the moves that lead to more narrowing rounds than needed."""
        counts = self._states.stitch_counts
        if _are_alike(ties, counts.__getitem__):
            return ties
        kept: _Ties = [ties[-1]]
        left = dict.fromkeys(ties[-1], 0)
        for layer in reversed(ties[:-1]):
            ahead: dict[int, int] = {}
            chosen: dict[int, tuple[int, ...]] = {}
            for state, onward in layer.items():
                rounds = {target: left[target] + (counts[target] < counts[state]) for target in onward}
                ahead[state] = min(rounds.values())
                chosen[state] = tuple(target for target in onward if rounds[target] == ahead[state])
            left = ahead
            kept.append(chosen)
        kept.reverse()
        return kept


_Ties = list[dict[int, tuple[int, ...]]]


def _are_alike(ties: _Ties, score: Callable[[int], int]) -> bool:
    return all(len(set(map(score, layer))) == 1 for layer in ties)


def _greatest_earlier(ties: _Ties, score: Callable[[int], int]) -> _Ties:
    """Return the ties whose scores, compared round by round from the first, are the greatest."""
    if _are_alike(ties, score):
        return ties
    reached = [set(ties[0])]
    for layer in ties[:-1]:
        onward = {target for state in reached[-1] for target in layer[state]}
        greatest = max(map(score, onward))
        reached.append({state for state in onward if score(state) == greatest})
    kept: _Ties = [dict.fromkeys(reached[-1], ())]
    for layer, states in zip(reversed(ties[:-1]), reversed(reached[:-1]), strict=True):
        later = kept[-1]
        onward_of = {state: tuple(target for target in layer[state] if target in later) for state in states}
        kept.append({state: onward for state, onward in onward_of.items() if onward})
    kept.reverse()
    return kept


def smallest_move_count(states: CrownStates, *, stitch_count_max: int) -> int | None:
    """Return the fewest rounds after which no more than so many stitches are left; ``None`` if never."""
    reached, new, rounds = {0}, {0}, 0
    while new:
        if min(map(states.stitch_counts.__getitem__, new)) <= stitch_count_max:
            return rounds
        new = {target for state in new for target in states.moves(state)} - reached
        reached |= new
        rounds += 1
    return None
