"""The rules of a textured crown once more, written as plainly as they are spoken, to check the search.

Nothing here is clever: copies keep their places, columns are named one by one, every move is listed.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise, product

from service.domain.fabrics import Column

Place = tuple[int, int]  # the width of a column, and the rounds it must still rest
Copy = tuple[Place, ...] | int  # its columns, or its stitches once columns were worked together
State = tuple[Copy, ...] | int  # the copies of a group, or the stitches of a round of single stitches


@dataclass(frozen=True)
class Rules:
    """What is asked of a crown."""

    columns: tuple[Column, ...]
    group_count: int
    group_size: int
    settle: int
    fewest: int
    most: int

    @property
    def start(self) -> State:
        """Return the round at the wide edge."""
        copy: Copy = tuple((column.width, 0) for column in self.columns)
        return self.round_of((1 if stitches(copy) == 1 else copy,) * self.group_size)

    def round_of(self, copies: tuple[Copy, ...]) -> State:
        """Return the state of a round; a round of copies of one stitch is a round of single stitches."""
        return self.group_count * self.group_size if set(copies) == {1} else copies

    def count(self, state: State) -> int:
        """Return the stitches of a round."""
        if isinstance(state, int):
            return state
        return self.group_count * sum(map(stitches, state))

    def crossed(self, state: State) -> int:
        """Return the stitches of a round that lie in crossed columns."""
        if isinstance(state, int):
            return 0
        return self.group_count * sum(
            width
            for copy in state
            if not isinstance(copy, int)
            for (width, _), column in zip(copy, self.columns, strict=True)
            if column.is_crossed
        )

    def moves(self, state: State) -> set[State]:
        """Return what the next round may be."""
        if isinstance(state, int):
            found: set[State] = set(self.fewer_singles(state))
        else:
            choices = (set(self.copy_moves(copy)) for copy in state)
            found = {self.round_of(copies) for copies in product(*choices)}
        return {target for target in found if self.count(target) >= min(self.fewest, self.count(state))}

    def fewer_singles(self, count: int) -> Iterator[int]:
        """Yield the rounds of single stitches that follow one of them."""
        size = count // self.group_count
        if count % self.group_count == 0 and size > 1:
            yield from (self.group_count * left for left in range(math.ceil(size / 2), size + 1))
        else:
            yield count
            yield math.ceil(count / 2)

    def copy_moves(self, copy: Copy) -> Iterator[Copy]:
        """Yield what a copy may be one round on."""
        count = stitches(copy)
        if isinstance(copy, int) or all(width == 1 for width, _ in copy):
            yield copy
            yield from range(math.ceil(count / 2), count)
        else:
            kinds = [(column.face, column.width, column.is_crossed) for column in self.columns]
            choices = {
                kind: list(column_moves(copy[kinds.index(kind)], kind[2], self.settle)) for kind in kinds
            }
            for chosen in product(*choices.values()):
                of_kind = dict(zip(choices, chosen, strict=True))
                target = tuple(of_kind[kind] for kind in kinds)
                yield 1 if stitches(target) == 1 else target
        if count <= 3:
            yield 1


def column_moves(place: Place, is_crossed: bool, settle: int) -> Iterator[Place]:
    """Yield what a column may be one round on."""
    width, resting = place
    yield width, max(0, resting - 1)
    if is_crossed and resting == 0 and width == 2:
        yield 1, 0
    elif is_crossed and resting == 0 and width > 2:
        yield from ((less, settle) for less in range(math.ceil(width / 2), width) if less % 2 == 0)
    elif not is_crossed:
        yield from ((less, 0) for less in range(max(1, math.ceil(width / 2)), width))


def stitches(copy: Copy) -> int:
    """Return the stitches of a copy."""
    return copy if isinstance(copy, int) else sum(width for width, _ in copy)


def every_crown(rules: Rules, round_count: int) -> Iterator[tuple[State, ...]]:
    """Yield every crown that closes, from the wide edge inward, the edge first."""

    def onward(path: tuple[State, ...]) -> Iterator[tuple[State, ...]]:
        if len(path) > round_count:
            if rules.count(path[-1]) <= rules.most:
                yield path
            return
        for target in rules.moves(path[-1]):
            yield from onward((*path, target))

    yield from onward((rules.start,))


def cost(counts: Sequence[int], ideals: Sequence[float]) -> float:
    """Return the sum of the squared logarithms of fullness."""
    return sum(math.log(count / ideal) ** 2 for count, ideal in zip(counts, ideals, strict=True))


Line = tuple[int, ...]


def best_crown(rules: Rules, ideals: Sequence[float]) -> tuple[Line, Line, float] | None:
    """Return counts, crossed widths and cost of the best of every crown, ties broken as agreed."""
    lines = {
        (tuple(map(rules.count, path)), tuple(map(rules.crossed, path)))
        for path in every_crown(rules, len(ideals))
    }
    if not lines:
        return None
    costs = {line: cost(line[0][1:], ideals) for line in lines}
    least = min(costs.values())
    ties = [line for line in lines if costs[line] <= least + 1e-9]
    counts, crossed = min(ties, key=_tie_order)
    return counts[1:], crossed[1:], least


def _tie_order(line: tuple[Line, Line]) -> tuple[int, Line, Line]:
    counts, crossed = line
    narrowing = sum(after < before for before, after in pairwise(counts))
    return narrowing, tuple(-count for count in counts), tuple(-width for width in crossed)
