"""Find the smallest change of one number that makes a wrong round right."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from service.notation.counting import Change
from service.notation.faults import Fault
from service.notation.numerals import Role, numerals_in
from service.notation.realizing import MadeBefore, Realized, declared_in, made_after, realize
from service.notation.tree import Count, Line, Numeral

__all__ = ["Repair", "TrialBudget", "find_repair"]

#: How far a number is changed where its effect on the count is not in proportion.
_FARTHEST_GUESS = 8


@dataclass(frozen=True, slots=True)
class Repair:
    """One number of a round and the value that makes the round right."""

    line: int
    column: int
    written_count: int
    right_count: int


@dataclass(slots=True)
class TrialBudget:
    """How many more changes may be tried in one text, so that a hostile text costs little."""

    left: int

    def spend(self) -> bool:
        """Take one trial, if there is one left."""
        self.left -= 1
        return self.left >= 0


@dataclass(frozen=True, slots=True)
class _Written:
    role: Role
    column: int
    value: int
    size: int | None


def find_repair(
    line: Line,
    before: Sequence[MadeBefore],
    *,
    round_count: int,
    line_number: int,
    budget: TrialBudget,
) -> Repair | None:
    """Return the smallest change of one number that makes a round right in every size, or nothing.

    The declared count is preferred, then how often something is done, then the counts inside.

    Parameters
    ----------
    line
        The round that is wrong.
    before
        What the round before made, for each size.
    round_count
        How many rounds the line stands for. [>= 1]
    line_number
        The line of the text. [>= 1]
    budget
        Trials that the text may still cost.
    """
    right = _rightness(line, before, round_count)
    written = list(_written_in(line))
    for role in ("declared", "times", "inside"):
        found = [
            (abs(value - number.value), number.column, value, number)
            for number in written
            if number.role == role
            for value in _values_to_try(line, before, number, budget)
            if budget.spend() and right(Change(number.column, value), number.size)
        ]
        if found:
            _, column, value, number = min(found, key=lambda each: each[:3])
            return Repair(line_number, column + line.offset, number.value, value)
    return None


def _rightness(
    line: Line, before: Sequence[MadeBefore], round_count: int
) -> Callable[[Change, int | None], bool]:
    """Return a test of a change; sizes that it does not touch are counted once."""
    sizes = range(len(before))
    unchanged = [_is_right(line, before[size], round_count, size, None) for size in sizes]

    def test(change: Change, size: int | None) -> bool:
        touched = sizes if size is None else [size]
        untouched = (each for each in sizes if each not in touched)
        return all(unchanged[each] for each in untouched) and all(
            _is_right(line, before[each], round_count, each, change) for each in touched
        )

    return test


def _is_right(line: Line, before: MadeBefore, round_count: int, size: int, change: Change | None) -> bool:
    counted = _last_of_run(line, before, round_count, size, change)
    if counted is None:
        return False
    declared = declared_in(line.pieces, size, change)
    return declared in (None, counted.stitch_count) and _spaces_agree(line, counted, size, change)


def _last_of_run(
    line: Line, before: MadeBefore, round_count: int, size: int, change: Change | None
) -> Realized | None:
    """Return the last of a run of rounds if none is wrong; rounds that change nothing are counted once."""
    last = None
    for _ in range(round_count):
        counted = realize(line, before, size=size, change=change)
        if isinstance(counted, Fault) or counted.faults:
            return None
        last, found = counted, before
        before = made_after(counted, before)
        if before == found:
            break
    return last


def _spaces_agree(line: Line, counted: Realized, size: int, change: Change | None) -> bool:
    return declared_in(line.pieces, size, change, spaces=True) in (None, counted.space_count)


def _written_in(line: Line) -> Iterator[_Written]:
    for role, numeral in numerals_in(line.pieces):
        yield from _values_of(role, numeral)


def _values_of(role: Role, numeral: Numeral) -> Iterator[_Written]:
    several = len(numeral.values) > 1
    for size, (value, column) in enumerate(zip(numeral.values, numeral.columns, strict=True)):
        yield _Written(role, column, value, size if several else None)


def _values_to_try(
    line: Line, before: Sequence[MadeBefore], number: _Written, budget: TrialBudget
) -> list[int]:
    """Return the values that may make the round right: those in proportion, else those nearby."""
    size = number.size or 0
    if size >= len(before):
        return []
    if number.role == "declared":
        return _declared_values(line, before[size], size, number)
    proportional = _proportional_values(line, before[size], size, number, budget)
    if proportional is not None:
        return proportional
    nearby = range(max(1, number.value - _FARTHEST_GUESS), number.value + _FARTHEST_GUESS + 1)
    return [value for value in nearby if value != number.value]


def _declared_values(line: Line, before: MadeBefore, size: int, number: _Written) -> list[int]:
    counted = realize(line, before, size=size)
    if isinstance(counted, Fault) or counted.faults:
        return []
    for piece in line.pieces:
        for tally in piece.tallies if isinstance(piece, Count) else ():
            if number.column in tally.number.columns:
                made = counted.space_count if tally.is_spaces else counted.stitch_count
                declared = declared_in(line.pieces, size, spaces=tally.is_spaces) or 0
                value = number.value + made - declared
                return [value] if value >= 1 and value != number.value else []
    return []


def _proportional_values(
    line: Line, before: MadeBefore, size: int, number: _Written, budget: TrialBudget
) -> list[int] | None:
    """Return the values that solve the round if its counts grow in proportion, ``None`` if they do not."""
    now = realize(line, before, size=size)
    more = realize(line, before, size=size, change=Change(number.column, number.value + 1))
    budget.spend()
    if isinstance(now, Fault) or isinstance(more, Fault):
        return None
    into_edge = now.worked_into == "foundation_edge"
    available = before.foundation_stitch_count if into_edge else before.stitch_count
    used_by_one = more.consumed_stitch_count - now.consumed_stitch_count
    made_by_one = more.stitch_count - now.stitch_count
    if used_by_one == 0:
        declared = declared_in(line.pieces, size)
        wanted, by_one = (None if declared is None else declared - now.stitch_count), made_by_one
    elif available is None:
        return None
    else:
        wanted, by_one = available - now.consumed_stitch_count, used_by_one
    if wanted is None or by_one == 0:
        return [] if made_by_one == used_by_one == 0 and not now.faults else None
    steps, rest = divmod(wanted, by_one)
    value = number.value + steps
    if rest == 0 and value >= 1 and value != number.value:
        return [value]
    return None
