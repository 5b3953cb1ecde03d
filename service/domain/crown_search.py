"""The exact search for the crown that follows its target most nearly: a shortest path, round by round.

The cost of a round is ``ln^2(n w / c)``. The search walks all states of a round at once, and leaves out
those that cannot lead to a crown as cheap as a limit; the outline of the crown bounds what is still to come.
Where the limit was too low to find any crown it is raised; a crown within the limit is the cheapest of all.
The moves of every round are reckoned before they are made.
"""

import math
import sys
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import chain

from service.domain.crown_copies import CopyStates
from service.domain.crown_outlines import (
    CrownOutline,
    OutlineCosts,
    outline_costs,
    outline_crown,
    reckoned_outline_work,
)
from service.domain.crown_states import CrownStates
from service.domain.crown_work import CrownWork
from service.domain.rounding import TIE_TOLERANCE

__all__ = ["CrownPath", "cheapest_path"]

#: How far above the bound each walk looks; the usual crown lies on it (convention).
_MARGINS = (0.0, 0.001, 0.003, 0.01, 0.03, 0.1, 0.3, sys.float_info.max)
#: What a state weighs beside its moves (measured).
_STATE_WEIGHT = 4
#: What a round weighs beside its states (measured).
_ROUND_WEIGHT = 40


@dataclass(frozen=True, slots=True)
class CrownPath:
    """The states of the crown's rounds, from the brim inward, and the sum of their costs."""

    states: tuple[int, ...]
    cost: float


def cheapest_path(
    states: CrownStates,
    copies: CopyStates,
    *,
    ideal_counts: Sequence[float],
    stitch_count_max: int,
    work: CrownWork,
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
    work
        What the search may weigh.

    Raises
    ------
    FabricTooComplex
        If the moves of the next round, reckoned before they are made, are more than the work left.
        It names the moves of all states in all rounds.

    Notes
    -----
    Shortest path in a layered graph, with a lower bound for what is left (Hart, Nilsson and Raphael 1968).
    """
    spend = partial(work.spend, reckoned=states.reckoned_moves() * len(ideal_counts))
    spend(reckoned_outline_work(states, copies))
    outline = outline_crown(states, copies, round_count=len(ideal_counts))
    spend(outline.work_units(len(ideal_counts)))
    costs = outline_costs(outline, ideal_counts=ideal_counts, stitch_count_max=stitch_count_max)
    walk = _Walk(states, outline, costs, spend)
    least = costs.ahead[0][outline.place_of_start]
    if least == math.inf:
        return None
    for margin in _MARGINS:
        layers = walk.layers(least + margin)
        if layers and min(layers[-1].values()) <= least + margin + TIE_TOLERANCE:
            return walk.best(layers)
    return None


class _Walk:
    """The walk from the brim to the centre, by the costs that the outline has for every round."""

    __slots__ = ("_ahead", "_costs", "_place_of_key", "_places", "_spend", "_states", "_tells_crossed")

    def __init__(
        self, states: CrownStates, outline: CrownOutline, costs: OutlineCosts, spend: Callable[[int], None]
    ) -> None:
        self._states = states
        self._spend = spend
        self._costs = costs.rounds
        self._ahead = costs.ahead
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
            self._spend(self._weight(layers[-1]))
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

    def _weight(self, layer: Collection[int]) -> int:
        """Return what walking on from the states of a round weighs."""
        return sum(map(self._states.weight, layer)) + _STATE_WEIGHT * len(layer) + _ROUND_WEIGHT

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
        ties = self._cheapest(layers, cost + TIE_TOLERANCE)
        if max(map(len, ties)) > 1:
            ties = self._best_of(ties)
        state, path = 0, []
        for layer in ties[:-1]:
            state = min(layer[state], key=self._states.copies_of)
            path.append(state)
        return CrownPath(states=tuple(path), cost=cost)

    def _best_of(self, ties: "_Ties") -> "_Ties":
        """Return what is left of crowns that cost the same."""
        counts, crossed = self._states.stitch_counts, self._states.crossed_widths
        ties = _greatest_earlier(self._narrowing_least(ties), counts.__getitem__)
        return _greatest_earlier(ties, crossed.__getitem__)

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
            within = {
                state: limit - spent
                for state, spent in layers[number].items()
                if spent + ahead[places[state]] <= limit
            }
            self._spend(self._weight(within))
            for state, room in within.items():
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
