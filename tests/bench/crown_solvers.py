"""How fast the exact crown is beside solvers that find the same: ``python -m tests.bench.crown_solvers``.

Each of 200 random fabrics is planned by the service, by a shortest path of networkx over all states written
out, and by OR-Tools CP-SAT with one variable a round; all three must cost the same.
The others write out the states as the service makes them, and that is timed as well.
"""

import argparse
import math
import random
import time
from collections.abc import Callable
from operator import truediv
from statistics import median
from typing import TypeVar

import networkx
from ortools.sat.python import cp_model

from service.domain.crown_closing import ClosingLimits
from service.domain.crown_copies import copy_states
from service.domain.crown_states import CrownStates
from service.domain.crown_textured import crown_fabric, plan_textured_crown
from service.domain.errors import CrownCannotClose, FabricTooComplex
from service.domain.fabrics import Column, Crossing

#: Costs are whole numbers to CP-SAT.
SCALE = 10**6

_Found = TypeVar("_Found")


def random_columns(chance: random.Random) -> list[Column]:
    """Return the columns of a fabric: two to four."""
    columns = []
    for _ in range(chance.randint(2, 4)):
        width = chance.randint(1, 6)
        if width % 2 == 0 and chance.random() < 0.5:
            columns.append(Column("front", width, Crossing(width // 2, "right")))
        else:
            columns.append(Column(chance.choice(["front", "back"]), width))
    return columns


class Case:
    """A crown to be planned."""

    def __init__(self, chance: random.Random) -> None:
        self.columns = random_columns(chance)
        repeats, round_count = chance.randint(5, 14), chance.randint(8, 20)
        edge = repeats * sum(column.width for column in self.columns)
        self.fabric = crown_fabric(self.columns, start_stitch_count=edge)
        self.limits = ClosingLimits(5, 14)
        # A dome: a quarter of a sine over the rounds.
        self.ideals = [
            2 + edge * math.sin(math.pi / 2 * (round_count - number) / (round_count + 0.5))
            for number in range(round_count)
        ]


class Graph:
    """All states that a crown can have, written out with the moves between them; state 0 is the edge."""

    def __init__(self, case: Case) -> None:
        fabric = case.fabric
        copies = copy_states(fabric.period, settle_round_count=fabric.settle_round_count)
        states = CrownStates(
            copies,
            group_count=fabric.group_count,
            group_size=fabric.group_size,
            stitch_count_min=case.limits.stitch_count_min,
        )
        self.moves: list[tuple[int, ...]] = []
        while len(self.moves) < len(states.stitch_counts):
            self.moves.append(states.moves(len(self.moves)))
        self.counts = states.stitch_counts
        most = case.limits.stitch_count_max
        self.closing = [state for state, count in enumerate(self.counts) if count <= most]

    def costs(self, ideal: float) -> list[float]:
        """Return what a round in each state costs."""
        return [math.log(count / ideal) ** 2 for count in self.counts]


def by_the_service(case: Case) -> float:
    """Return the cost of the crown that the service plans."""
    return plan_textured_crown(
        case.fabric, ideal_counts=case.ideals, limits=case.limits, worked="from_brim"
    ).cost


def by_networkx(case: Case) -> float:
    """Return the length of the shortest path through the rounds."""
    written, graph = Graph(case), networkx.DiGraph()
    layer = {0}
    for number, ideal in enumerate(case.ideals):
        costs = written.costs(ideal)
        onward: set[int] = set()
        for state in layer:
            targets = written.moves[state]
            graph.add_weighted_edges_from(
                ((number, state), (number + 1, target), costs[target]) for target in targets
            )
            onward.update(targets)
        layer = onward
    end = len(case.ideals)
    graph.add_weighted_edges_from(((end, state), "closed", 0.0) for state in layer & {*written.closing})
    length: float = networkx.shortest_path_length(graph, (0, 0), "closed", weight="weight")
    return length


def by_cp_sat(case: Case) -> float:
    """Return the least cost that CP-SAT proves."""
    written, model = Graph(case), cp_model.CpModel()
    pairs = [(state, target) for state, onward in enumerate(written.moves) for target in onward]
    rounds = [
        model.new_int_var(0, len(written.moves) - 1, f"state_{number}")
        for number in range(len(case.ideals) + 1)
    ]
    model.add(rounds[0] == 0)
    costs = []
    for number, ideal in enumerate(case.ideals):
        model.add_allowed_assignments([rounds[number], rounds[number + 1]], pairs)
        of_state = [round(SCALE * each) for each in written.costs(ideal)]
        costs.append(model.new_int_var(0, max(of_state), f"cost_{number}"))
        model.add_element(rounds[number + 1], of_state, costs[-1])
    model.add_allowed_assignments([rounds[-1]], [(state,) for state in written.closing])
    model.minimize(sum(costs))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(model) == cp_model.OPTIMAL
    return float(solver.objective_value) / SCALE


def timed(solve: Callable[[Case], _Found], case: Case) -> tuple[_Found, float]:
    """Return what a solver finds, and its seconds of one core."""
    begin = time.process_time()
    found = solve(case)
    return found, time.process_time() - begin


def main() -> None:
    """Plan the crowns in all three ways and print how their times compare."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--fabrics", type=int, default=200)
    options.add_argument("--seed", type=int, default=7)
    asked = options.parse_args()
    chance = random.Random(asked.seed)
    others = {"networkx": by_networkx, "CP-SAT": by_cp_sat}
    theirs_s: dict[str, list[float]] = {name: [] for name in others}
    ours_s: list[float] = []
    while len(ours_s) < asked.fabrics:
        case = Case(chance)
        try:
            ours, seconds = timed(by_the_service, case)
        except (CrownCannotClose, FabricTooComplex):
            continue
        ours_s.append(seconds)
        for name, solve in others.items():
            theirs, their_seconds = timed(solve, case)
            assert abs(theirs - ours) < len(case.ideals) / SCALE, (case.columns, ours, theirs)
            theirs_s[name].append(their_seconds)
    print(
        f"{len(ours_s)} fabrics, equal costs; the service takes {1000 * median(ours_s):.2f} ms in the median"
    )
    for name, seconds_each in theirs_s.items():
        ratios = sorted(map(truediv, seconds_each, ours_s))
        nearest, together = ratios[len(ratios) // 20], sum(seconds_each) / sum(ours_s)
        print(f"{name} takes longer: {together:.1f} times for all together,", end=" ")
        print(f"{median(ratios):.1f} in the median, {nearest:.1f} in the nearest 5 %")


if __name__ == "__main__":
    main()
