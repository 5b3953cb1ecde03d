"""Find which rounds a line works: itself, itself for a run of numbers, or earlier rounds again."""

from collections.abc import Mapping, Sequence
from itertools import cycle, islice

from service.notation.faults import NotUnderstood
from service.notation.tree import Count, Join, Label, Line, Remark, RoundsAgain, Uncountable

__all__ = ["MOST_ROUNDS", "rounds_worked"]

MOST_ROUNDS = 400


def rounds_worked(
    line: Line, known: Mapping[int, Line], last_number: int | None = None
) -> tuple[Sequence[Line], RoundsAgain | None]:
    """Return the lines that are worked one after the other, and the sentence that repeats them if one does.

    Parameters
    ----------
    line
        A line with a label, or without.
    known
        The rounds before, by their numbers.
    last_number
        The number of the round just worked; the largest known where it is not given.

    Raises
    ------
    NotUnderstood
        If a round is unknown, the numbers do not fit, or there are more rounds than a text may have.

    Examples
    --------
    >>> from service.notation.reader import read_line
    >>> fifth = read_line("Rnd 5: sc around", "us")
    >>> len(rounds_worked(read_line("Rnds 6-9: Rep Rnd 5", "us"), {5: fifth})[0])
    4
    """
    _refuse_rounds_apart(line.label)
    again = next((piece for piece in line.pieces if isinstance(piece, RoundsAgain)), None)
    if again is None:
        return _bounded([line], max(1, line.label.round_count) if line.label else 1), None
    for piece in line.pieces:
        if isinstance(piece, Uncountable):
            raise NotUnderstood(column=piece.column, code="not_countable", detail=piece.detail)
    if any(not isinstance(piece, RoundsAgain | Count | Join | Remark) for piece in line.pieces):
        raise NotUnderstood(
            column=again.column, code="unexpected", detail="A line that repeats rounds does nothing else."
        )
    last = max(known, default=0) if last_number is None else last_number
    repeated = _known_rounds(again, known, last)
    return _bounded(repeated, _round_count(line.label, again, len(repeated))), again


def _refuse_rounds_apart(label: Label | None) -> None:
    if label is None or label.kind != "round":
        return
    first, last = label.spans[0][0], label.spans[-1][1]
    if label.round_count != last - first + 1:
        raise NotUnderstood(
            column=label.column,
            code="not_countable",
            detail="These rounds do not follow each other. Write them in the order they are worked.",
        )


def _known_rounds(again: RoundsAgain, known: Mapping[int, Line], last_number: int) -> list[Line]:
    found = []
    for first, last in again.spans or [(last_number - again.last_count + 1, last_number)]:
        for number in range(first, min(last, first + MOST_ROUNDS) + 1):
            if number not in known:
                raise NotUnderstood(
                    column=again.column,
                    code="round_missing",
                    detail=f"No round {number} stands before this.",
                )
            found.append(known[number])
    return found


def _round_count(label: Label | None, again: RoundsAgain, repeated_count: int) -> int:
    """Return how many rounds are worked; the label and the words must agree."""
    labelled = label.round_count if label else None
    if again.again is None:
        if labelled is not None and labelled % repeated_count:
            raise _differ(again, labelled, repeated_count)
        return labelled or repeated_count
    times = again.again.times.values[0]
    worked = repeated_count * (times - 1 if again.again.extra == 0 else times)
    if labelled is None and again.again.extra is None:
        raise NotUnderstood(
            column=again.again.column,
            code="ambiguous",
            detail="Say whether the first time is counted: 'times more' or 'times in all'.",
        )
    if labelled is not None and labelled != worked:
        raise _differ(again, labelled, worked)
    return worked


def _differ(again: RoundsAgain, labelled: int, worked: int) -> NotUnderstood:
    return NotUnderstood(
        column=again.column,
        code="rounds_differ",
        detail=f"The label names {labelled} rounds; the line repeats {worked}.",
    )


def _bounded(lines: Sequence[Line], count: int) -> Sequence[Line]:
    if not 1 <= count <= MOST_ROUNDS:
        raise NotUnderstood(
            column=1, code="too_many_rounds", detail=f"A text has 1 to {MOST_ROUNDS} rounds, not {count}."
        )
    return list(islice(cycle(lines), count))
