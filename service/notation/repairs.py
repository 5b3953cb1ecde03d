"""Find the smallest change of one number that makes a wrong round right."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from service.notation.declared_counts import compared_in, declared_in
from service.notation.faults import Fault
from service.notation.made_before import MadeBefore, Realized, looked_at, made_after
from service.notation.numerals import Role, fills_up, numerals_in
from service.notation.realizing import realize
from service.notation.tree import Line
from service.notation.units import Change
from service.notation.work_budgets import WorkBudget, WorkSpent

__all__ = ["Repair", "find_repair"]

#: How far a number is changed where its effect on the count is not in proportion (convention).
_FARTHEST_GUESS = 8


@dataclass(frozen=True, slots=True)
class Repair:
    """One number of a round and the value that makes the round right."""

    line: int
    column: int
    written_count: int
    right_count: int


@dataclass(frozen=True, slots=True)
class _Written:
    """A written number; ``size`` is the one it is for, ``None`` if it is for all."""

    role: Role
    column: int
    value: int
    size: int | None


@dataclass(slots=True)
class _Trials:
    """A wrong line, counted again and again with one number changed."""

    line: Line
    before: Sequence[MadeBefore]
    round_count: int
    budget: WorkBudget

    def first_round(self, size: int, change: Change | None = None) -> Realized | None:
        """Return the first round of the line, if it can be counted."""
        self.budget.spend_on_counting(self.line)
        counted = realize(self.line, self.before[size], size=size, change=change)
        return None if isinstance(counted, Fault) else counted

    def is_right(self, size: int, change: Change | None) -> bool:
        """Return whether all rounds of the line are right; rounds that change nothing are counted once."""
        before = self.before[size]
        last: Realized | None = None
        for _ in range(self.round_count):
            self.budget.spend_on_counting(self.line)
            counted = realize(self.line, before, size=size, change=change)
            if isinstance(counted, Fault) or counted.faults:
                return False
            last, found, before = counted, before, made_after(counted, before)
            if looked_at(before, self.line) == looked_at(found, self.line):
                break
        return last is not None and _agrees(self.line, last, size, change)

    def is_right_everywhere(self, number: _Written, value: int) -> bool:
        """Return whether a value for a number makes the line right in every size."""
        change = Change(number.column, value)
        return all(
            self.is_right(size, change if number.size in (None, size) else None)
            for size in range(len(self.before))
        )


def find_repair(
    line: Line, before: Sequence[MadeBefore], *, round_count: int, budget: WorkBudget
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
    budget
        Work that the text may still cost; without it there is no repair.
    """
    trials = _Trials(line, before, round_count, budget)
    try:
        for role in ("declared", "times", "inside"):
            found = [
                (abs(value - number.value), number.column, number.value, value)
                for number in _written_in(line)
                if number.role == role
                for value in _values_to_try(trials, number)
                if trials.is_right_everywhere(number, value)
            ]
            if found:
                _, column, written, right = min(found)
                return Repair(1, column + line.offset, written, right)
    except WorkSpent:
        return None
    return None


def _agrees(line: Line, counted: Realized, size: int, change: Change | None) -> bool:
    return all(each.declared == each.made for each in compared_in(line.pieces, counted, size, change))


def _written_in(line: Line) -> Iterator[_Written]:
    for role, numeral in numerals_in(line.pieces):
        several = len(numeral.values) > 1
        pairs = zip(numeral.values, numeral.columns, strict=True)
        for size, (value, column) in enumerate(pairs):
            yield _Written(role, column, value, size if several else None)


def _values_to_try(trials: _Trials, number: _Written) -> list[int]:
    """Return the values that may make the round right: the one in proportion, else those nearby."""
    if number.role == "declared":
        return _declared_values(trials, number)
    if not fills_up(trials.line.pieces):
        return _proportional_values(trials, number)
    return _nearby_values(number)


def _declared_values(trials: _Trials, number: _Written) -> list[int]:
    size = number.size or 0
    counted = trials.first_round(size)
    if counted is None or counted.faults:
        return []
    values: list[int] = []
    for each in compared_in(trials.line.pieces, counted, size):
        if each.tally is not None and number.column in each.tally.number.columns:
            values = [each.made]
        elif each.tally is not None and each.tally.length and number.column in each.tally.length.columns:
            values = sorted(set(counted.lengths))
    return [value for each in values for value in _if_changed(number, each)]


def _proportional_values(trials: _Trials, number: _Written) -> list[int]:
    """Return the value that solves a round whose counts grow in proportion to the number, if one does."""
    size, step = number.size or 0, 1
    now = trials.first_round(size)
    more = trials.first_round(size, Change(number.column, number.value + 1))
    if more is None:
        step, more = -1, trials.first_round(size, Change(number.column, number.value - 1))
    if now is None or more is None:
        return []
    wanted = _still_to_use(trials, now, size)
    by_one = step * (more.consumed_stitch_count - now.consumed_stitch_count)
    if by_one == 0 and more.stitch_count == now.stitch_count:
        return _nearby_values(number) if now.faults else []
    if by_one == 0:
        declared = declared_in(trials.line.pieces, size)
        wanted = None if declared is None else declared - now.stitch_count
        by_one = step * (more.stitch_count - now.stitch_count)
    if wanted is None or by_one == 0 or wanted % by_one:
        return []
    return _if_changed(number, number.value + wanted // by_one)


def _nearby_values(number: _Written) -> list[int]:
    nearby = range(max(1, number.value - _FARTHEST_GUESS), number.value + _FARTHEST_GUESS + 1)
    return [value for value in nearby if value != number.value]


def _still_to_use(trials: _Trials, now: Realized, size: int) -> int | None:
    before = trials.before[size]
    into_edge = now.worked_into == "foundation_edge"
    available = before.foundation_stitch_count if into_edge else before.stitch_count
    return None if available is None else available - now.consumed_stitch_count


def _if_changed(number: _Written, value: int) -> list[int]:
    return [value] if value >= 1 and value != number.value else []
