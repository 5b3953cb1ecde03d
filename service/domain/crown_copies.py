"""How one copy of a fabric's repeat may narrow towards the centre: its states and its moves.

A copy is one period of the fabric. Its columns of equal face, width and crossing form a class, and narrow
in the same round:

1. a crossed column stays or narrows to an even width of at least half, 2 to 1, and then rests;
2. any other column stays or narrows to any width of at least half;
3. columns of one stitch each are worked together, and at most three stitches become one at once.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import prod

from service.domain.errors import RepeatWiderThanHat, ShapingOutOfReach
from service.domain.fabrics import Column, Face
from service.domain.rounding import ceil_half

__all__ = [
    "ClassStates",
    "ColumnClass",
    "CopyStates",
    "RepeatPeriod",
    "class_states",
    "copy_states",
    "reckoned_copy_work",
    "smallest_period",
    "whole_repeat_count",
]

#: Stitches that may be worked into one at once, whatever their columns.
_ONE_AT_ONCE = 3

# What making a state and a move weighs, as times of one move of the search (measured).
_STATE_WEIGHT = 14
_MOVE_WEIGHT = 3


@dataclass(frozen=True, slots=True)
class ColumnClass:
    """Columns that narrow together: alike in face, width and crossing, ``column_count`` in each copy."""

    face: Face
    width: int
    is_crossed: bool
    column_count: int


@dataclass(frozen=True, slots=True)
class RepeatPeriod:
    """The smallest period of a fabric. ``class_of_column`` names the class of each column in order."""

    stitch_count: int
    classes: tuple[ColumnClass, ...]
    class_of_column: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class ClassStates:
    """The states of one class of columns, numbered from 0, the full width, and where each may go.

    Two states of one width differ in how long the column must still rest. Staying comes first in ``moves``.
    """

    widths: tuple[int, ...]
    moves: tuple[tuple[int, ...], ...]


@dataclass(frozen=True, slots=True)
class CopyStates:
    """The states of a copy by number, and where each may go in one round.

    A number below ``worked_together`` is one state of each class, in mixed radix, the first class lowest;
    ``worked_together + r - 1`` is a copy of r stitches in which columns have been worked together.
    """

    classes: tuple[ClassStates, ...]
    start: int
    worked_together: int
    stitch_counts: tuple[int, ...]
    crossed_widths: tuple[int, ...]
    moves: tuple[tuple[int, ...], ...]

    def class_widths(self, state: int) -> tuple[int, ...]:
        """Return how wide a column of each class is; nothing where columns have been worked together."""
        if state >= self.worked_together:
            return ()
        widths = []
        for kind in self.classes:
            state, own = divmod(state, len(kind.widths))
            widths.append(kind.widths[own])
        return tuple(widths)


def smallest_period(columns: Sequence[Column]) -> RepeatPeriod:
    """Return the shortest run of columns that, repeated, makes up all of them; leans are ignored.

    Examples
    --------
    >>> rib = [Column("front", 1), Column("back", 1)]
    >>> smallest_period(rib * 3).class_of_column
    (0, 1)
    """
    keys = [(column.face, column.width, column.is_crossed) for column in columns]
    length = next(
        size
        for size in range(1, len(keys) + 1)
        if len(keys) % size == 0 and keys == keys[:size] * (len(keys) // size)
    )
    kinds = list(dict.fromkeys(keys[:length]))
    classes = tuple(
        ColumnClass(face, width, crossed, keys[:length].count((face, width, crossed)))
        for face, width, crossed in kinds
    )
    return RepeatPeriod(
        stitch_count=sum(width for _, width, _ in keys[:length]),
        classes=classes,
        class_of_column=tuple(kinds.index(key) for key in keys[:length]),
    )


def whole_repeat_count(*, start_stitch_count: int, stitch_multiple: int) -> int:
    """Return how many whole repeats a round holds.

    Raises
    ------
    RepeatWiderThanHat
        If one repeat has more stitches than the round.
    ShapingOutOfReach
        If the round is not a whole number of repeats.

    Examples
    --------
    >>> whole_repeat_count(start_stitch_count=100, stitch_multiple=10)
    10
    """
    repeats, rest = divmod(start_stitch_count, stitch_multiple)
    if repeats == 0:
        raise RepeatWiderThanHat(stitch_multiple=stitch_multiple, largest_stitch_multiple=start_stitch_count)
    if rest:
        below = repeats * stitch_multiple
        raise ShapingOutOfReach(
            from_stitch_count=start_stitch_count,
            to_stitch_count=start_stitch_count,
            low=below,
            high=below + stitch_multiple,
            reason=f"{start_stitch_count} stitches do not hold whole repeats of {stitch_multiple}.",
        )
    return repeats


def class_states(width: int, is_crossed: bool, settle_round_count: int) -> ClassStates:
    """Return the states of a class of columns and its moves.

    Parameters
    ----------
    width
        Stitches of one such column. [stitches, 1 to 16]
    is_crossed
        Whether the columns are cables.
    settle_round_count
        Rounds worked on a cable between two that narrow it. [>= 0]

    Examples
    --------
    >>> class_states(3, False, 1)
    ClassStates(widths=(3, 2, 1), moves=((0, 1), (1, 2), (2,)))
    >>> class_states(4, True, 1)
    ClassStates(widths=(4, 2, 2, 1), moves=((0, 1), (2,), (2, 3), (3,)))

    Notes
    -----
    Convention: pairs worked together at most halve a column; a cable keeps two equal halves, and is
    worked over a round before it narrows again so that its crossing can be seen.
    """
    keys = [(width, 0)]
    numbers = {keys[0]: 0}
    moves: list[tuple[int, ...]] = []
    for stitches, resting in keys:
        targets = [(stitches, max(0, resting - 1))]
        if not resting:
            targets += _narrower(stitches, is_crossed, settle_round_count)
        for target in targets:
            if numbers.setdefault(target, len(keys)) == len(keys):
                keys.append(target)
        moves.append(tuple(map(numbers.__getitem__, targets)))
    return ClassStates(widths=tuple(stitches for stitches, _ in keys), moves=tuple(moves))


def _narrower(width: int, is_crossed: bool, settle_round_count: int) -> list[tuple[int, int]]:
    """Return the widths that one round can make of a column, each with the rounds it then rests."""
    widths = range(width - 1, ceil_half(width) - 1, -1)
    if not is_crossed:
        return [(narrower, 0) for narrower in widths]
    if width == 2:
        return [(1, 0)]
    return [(narrower, settle_round_count) for narrower in widths if narrower % 2 == 0]


def reckoned_copy_work(period: RepeatPeriod, *, settle_round_count: int) -> int:
    """Return what making the states of a copy weighs, reckoned without making them.

    The product over the classes of each one's states and moves, weighted.

    Examples
    --------
    >>> cable = smallest_period([Column("back", 2), Column("front", 4)])
    >>> reckoned_copy_work(cable, settle_round_count=1)
    184
    """
    by_class = _states_by_class(period, settle_round_count)
    states = prod(len(own.widths) for own in by_class)
    moves = prod(sum(map(len, own.moves)) for own in by_class)
    return _STATE_WEIGHT * states + _MOVE_WEIGHT * moves


def _states_by_class(period: RepeatPeriod, settle_round_count: int) -> tuple[ClassStates, ...]:
    return tuple(class_states(kind.width, kind.is_crossed, settle_round_count) for kind in period.classes)


def copy_states(period: RepeatPeriod, *, settle_round_count: int) -> CopyStates:
    """Return the states of a copy, and the moves between them.

    Examples
    --------
    >>> rib = copy_states(smallest_period([Column("front", 1), Column("back", 1)]), settle_round_count=1)
    >>> rib.stitch_counts, rib.moves
    ((2, 1), ((0, 1), (1,)))
    """
    by_class = _states_by_class(period, settle_round_count)
    column_counts = [kind.column_count for kind in period.classes]
    widths = [
        [width * count for width in states.widths]
        for states, count in zip(by_class, column_counts, strict=True)
    ]
    crossed = [
        list_of if kind.is_crossed else [0] * len(list_of)
        for list_of, kind in zip(widths, period.classes, strict=True)
    ]
    apart, most_together = _sums(widths), max(1, len(period.class_of_column) - 1)
    counts = (*apart, *range(1, most_together + 1))
    single = len(apart)
    moves = _moves_apart(by_class)
    for state, targets in enumerate(moves):
        targets += _working_together(
            counts[state], is_single_columns=counts[state] == sum(column_counts), worked_together=single
        )
    moves += [_moves_together(count, worked_together=single) for count in counts[single:]]
    merged = [_without_single_column(targets, counts, single) for targets in moves]
    return CopyStates(
        classes=by_class,
        start=single if counts[0] == 1 else 0,
        worked_together=single,
        stitch_counts=counts,
        crossed_widths=(*_sums(crossed), *([0] * most_together)),
        moves=tuple(merged),
    )


def _sums(parts: Iterable[Sequence[int]]) -> list[int]:
    """Return the sum of one figure of each part, for every choice, the first part changing fastest."""
    sums = [0]
    for part in parts:
        sums = [figure + total for figure in part for total in sums]
    return sums


def _moves_apart(by_class: Iterable[ClassStates]) -> list[list[int]]:
    """Return where every class on its own may go, for each state of the copy."""
    moves, stride = [[0]], 1
    for states in by_class:
        steps = [[stride * target for target in targets] for targets in states.moves]
        moves = [[step + rest for step in own for rest in others] for own in steps for others in moves]
        stride *= len(states.widths)
    return moves


def _working_together(stitch_count: int, *, is_single_columns: bool, worked_together: int) -> list[int]:
    """Return where a copy may go by working columns together."""
    fewest = ceil_half(stitch_count) if is_single_columns else stitch_count
    targets = [worked_together + left - 1 for left in range(stitch_count - 1, fewest - 1, -1)]
    return [*targets, worked_together] if 1 < stitch_count <= _ONE_AT_ONCE else targets


def _moves_together(stitch_count: int, *, worked_together: int) -> list[int]:
    stay = worked_together + stitch_count - 1
    return [
        stay,
        *_working_together(stitch_count, is_single_columns=True, worked_together=worked_together),
    ]


def _without_single_column(targets: Sequence[int], counts: Sequence[int], single: int) -> tuple[int, ...]:
    """Return the targets once each; a copy of one stitch is one state, however it came about."""
    return tuple(dict.fromkeys(single if counts[target] == 1 else target for target in targets))
