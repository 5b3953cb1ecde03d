"""Read a written pattern back to the rounds that are worked, one after the other."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from service.domain.steps import Step, canonical
from service.notation.faults import Fault, NotUnderstood
from service.notation.headings import is_heading
from service.notation.made_before import LookedAt, MadeBefore, Realized, looked_at, made_after
from service.notation.reader import read_line
from service.notation.realizing import realize
from service.notation.repeated_rounds import MOST_ROUNDS, rounds_worked
from service.notation.terms import Terms
from service.notation.tree import Line

__all__ = ["ReadRound", "make_the_same", "read_back"]

_NOTHING_BEFORE = MadeBefore(None, space_count=None, is_foundation=None)


@dataclass(frozen=True, slots=True)
class ReadRound:
    """A round as it was read: its number, ``None`` for a foundation or a closing, and what is done."""

    number: int | None
    realized: Realized


def read_back(
    text: str, terms: Terms, *, begin: MadeBefore = _NOTHING_BEFORE
) -> tuple[ReadRound, ...] | Fault:
    """Return every worked round of a text, runs and repeats one by one, or the first fault.

    A round whose count is wrong is no fault here: it stands with its own faults.
    Equal lines that find the same before them are counted once.

    Parameters
    ----------
    text
        A pattern in standard written form.
    terms
        The terms it is written in.
    begin
        What the first line finds.

    Examples
    --------
    >>> from service.notation.terms import US
    >>> read = read_back("Rnd 1: 6 sc in ring. (6)\\nRnds 2-3: Sc in each st around. (6)", US)
    >>> [(each.number, each.realized.stitch_count) for each in read]
    [(1, 6), (2, 6), (3, 6)]
    """
    reading = _Reading(terms, begin, {}, {})
    found: list[ReadRound] = []
    for line_number, text_line in enumerate(text.split("\n"), start=1):
        if is_heading(text_line, terms.terms_id):
            continue
        try:
            found += reading.rounds_of(text_line)
        except NotUnderstood as refused:
            return refused.fault.at_line(line_number)
    return tuple(found)


def make_the_same(these: Sequence[Step], those: Sequence[Step]) -> bool:
    """Return whether two lists of steps make the same cloth, however they are bracketed.

    Examples
    --------
    >>> from service.domain.steps import Repeat, Work
    >>> make_the_same([Work("sc", 6)], [Repeat(2, (Work("sc", 1), Work("sc", 2)))])
    True
    """
    return tuple(these) == tuple(those) or canonical(these) == canonical(those)


@dataclass(slots=True)
class _Reading:
    """A text while it is read: what the next line finds, and what can be repeated."""

    terms: Terms
    before: MadeBefore
    known: dict[int, Line]
    counted: dict[tuple[str, LookedAt], Realized]
    number: int = 0
    round_count: int = 0

    def rounds_of(self, text: str) -> list[ReadRound]:
        """Return the rounds of a line, none for a remark.

        Raises
        ------
        NotUnderstood
            If it cannot be read or counted, or there are too many rounds.
        """
        line = read_line(text, self.terms.terms_id)
        if isinstance(line, Fault):
            raise NotUnderstood(column=line.column, code=line.code, detail=line.detail)
        worked, _ = rounds_worked(line, self.known, self.number)
        if line.label is not None and line.label.kind == "round":
            self.number = line.label.spans[0][0] - 1
        self.round_count += len(worked)
        if self.round_count > MOST_ROUNDS + 2:
            raise NotUnderstood(column=1, code="too_many_rounds", detail=f"At most {MOST_ROUNDS} rounds.")
        return [read for each in worked for read in self._count(each)]

    def _count(self, line: Line) -> Iterator[ReadRound]:
        key = (line.text, looked_at(self.before, line))
        realized = self.counted.get(key) or realize(line, self.before)
        if isinstance(realized, Fault):
            column = realized.column + line.offset
            raise NotUnderstood(column=column, code=realized.code, detail=realized.detail)
        self.counted[key] = realized
        self.before = made_after(realized, self.before)
        if realized.kind == "round":
            self.number += 1
            self.known[self.number] = line
            yield ReadRound(self.number, realized)
        elif realized.kind in ("foundation", "closing"):
            yield ReadRound(None, realized)
