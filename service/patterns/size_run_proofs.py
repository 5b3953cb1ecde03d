"""The proof of a size run: its one text, read for each size, is that size's plan again, in all terms.

Every line is read once and counted for each size that it is for, with the numbers that stand for that size.
Where a line says the same in other terms, word for word, it need not be counted again.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from service.domain.hats import HatPlan
from service.notation.declared_counts import declared_in
from service.notation.faults import Fault, NotUnderstood
from service.notation.headings import is_heading
from service.notation.made_before import LookedAt, MadeBefore, Realized, looked_at, made_after
from service.notation.numerals import numerals_in, size_counts_in
from service.notation.reader import read_line
from service.notation.realizing import realize
from service.notation.repeated_rounds import rounds_worked
from service.notation.terms import TERMS, TermsId
from service.notation.tree import Line
from service.notation.tree_walks import without_columns
from service.patterns.proofs import CHECKER_VERSION, PlanUnproved, Proof, comparisons
from service.patterns.size_run_texts import Sizes, write_size_run

__all__ = ["SizeRunProof", "prove_size_run", "prove_size_run_texts"]

_ROUND_FOR = re.compile(r"(?P<label>Rnds? [\d–]+) \(sizes? (?P<sizes>[\d–, and]+) only\)(?P<rest>: .*)")
_SENTENCE_FOR = re.compile(r"(?P<label>)Sizes? (?P<sizes>[\d–, and]+) only: (?P<rest>.*)")
_SPAN = re.compile(r"(\d+)(?:–(\d+))?")
_NOTHING_BEFORE = MadeBefore(None, space_count=None, is_foundation=None)


@dataclass(frozen=True, slots=True)
class SizeRunProof:
    """The proved text in each of the terms, and the proof of every size, smallest first."""

    texts: Mapping[TermsId, str]
    sizes: tuple[Proof, ...]


@dataclass(frozen=True, slots=True)
class _SizedLine:
    """A line read, and the sizes, from 1, that it is for."""

    line: Line
    sizes: Sequence[int]


def prove_size_run(plans: Sequence[HatPlan]) -> SizeRunProof:
    """Return the pattern of a size run and its proof: read for any size, it is the plan of that size.

    In all terms, every round has the steps, start, join and counts of the plan's round, the foundation and
    the close agree, and no round is left over or missing.

    Parameters
    ----------
    plans
        The same design for every size. [2 to 24]

    Raises
    ------
    PlanUnproved
        If the text, read for any size, does not say what that size's plan says.

    Examples
    --------
    >>> from service.domain.hats import plan_hat
    >>> from service.reference.examples import plain_hat_order
    >>> from service.reference.load import load_reference_tables
    >>> tables = load_reference_tables()
    >>> plans = [plan_hat(plain_hat_order(head_mm=head_mm), tables) for head_mm in (520, 560, 600)]
    >>> [proof.verdict for proof in prove_size_run(plans).sizes]
    ['agrees', 'agrees', 'agrees']
    """
    return prove_size_run_texts(plans, {terms_id: write_size_run(plans, terms_id) for terms_id in TERMS})


def prove_size_run_texts(plans: Sequence[HatPlan], texts: Mapping[TermsId, str]) -> SizeRunProof:
    """Return the proof of a pattern that is written already, in some of the terms.

    Raises
    ------
    PlanUnproved
        If a text, read for any size, does not say what that size's plan says.
    """
    counted: list[_SizedLine] = []
    for terms_id, text in texts.items():
        lines = _read_lines(text, len(plans), terms_id)
        if not _say_the_same(lines, counted):
            _prove_lines(plans, lines, terms_id)
            counted = lines
    proofs = (Proof("agrees", tuple(texts), len(plan.rounds), CHECKER_VERSION, {}) for plan in plans)
    return SizeRunProof(texts, tuple(proofs))


def _say_the_same(these: Sequence[_SizedLine], those: Sequence[_SizedLine]) -> bool:
    """Whether two texts say the same for the same sizes, wherever their words stand in the lines."""
    return len(these) == len(those) and all(
        this.sizes == that.sizes and without_columns(this.line) == without_columns(that.line)
        for this, that in zip(these, those, strict=True)
    )


def _prove_lines(plans: Sequence[HatPlan], lines: Sequence[_SizedLine], terms_id: TermsId) -> None:
    counted: _Counted = {}
    for size, plan in enumerate(plans, 1):
        reading = _Reading(size, counted)
        try:
            reading.read(lines)
        except NotUnderstood as refused:
            raise PlanUnproved(terms_id=terms_id, text=f"size {size}", reason=refused.fault.detail) from None
        for is_so, where, reason in reading.demands(plan):
            if not is_so:
                raise PlanUnproved(terms_id=terms_id, text=f"size {size}, {where}", reason=reason)


def _read_lines(text: str, size_count: int, terms_id: TermsId) -> list[_SizedLine]:
    """Return the lines of a text that say what to do.

    Raises
    ------
    PlanUnproved
        If one cannot be read, or a number is not for as many sizes as its line.
    """
    lines = []
    for written in text.split("\n"):
        if is_heading(written, terms_id):
            continue
        marked = _ROUND_FOR.fullmatch(written) or _SENTENCE_FOR.fullmatch(written)
        sizes = range(1, size_count + 1) if marked is None else _sizes_in(marked["sizes"])
        line = read_line(written if marked is None else marked["label"] + marked["rest"], terms_id)
        if isinstance(line, Fault):
            raise PlanUnproved(terms_id=terms_id, text=written, reason=line.detail)
        if any(count != len(sizes) for count, _ in size_counts_in(line.pieces)):
            reason = f"its numbers are not for {len(sizes)} sizes"
            raise PlanUnproved(terms_id=terms_id, text=written, reason=reason)
        lines.append(_SizedLine(line, sizes))
    return lines


def _sizes_in(phrase: str) -> Sizes:
    spans = [(int(span[1]), int(span[2] or span[1])) for span in _SPAN.finditer(phrase)]
    return tuple(size for first, last in spans for size in range(first, last + 1))


#: Lines counted already: by the line, its numbers for a size, and what they found.
_Counted: TypeAlias = dict[tuple[int, tuple[int, ...], LookedAt], Realized]


class _Reading:
    """The text while it is read for one size: what was made, and what each line declared."""

    def __init__(self, size: int, counted: _Counted) -> None:
        self._size = size
        self._counted = counted
        self._before = _NOTHING_BEFORE
        self._known: dict[int, Line] = {}
        self._places: dict[int, tuple[int, tuple[int, ...]]] = {}
        self._made: list[Realized] = []
        self._declared: list[tuple[int, int | None]] = []

    def read(self, lines: Sequence[_SizedLine]) -> None:
        """Read every line that is for this size.

        Raises
        ------
        NotUnderstood
            If a line cannot be counted.
        """
        for sized in lines:
            if self._size in sized.sizes:
                self._read(sized.line, sized.sizes.index(self._size))

    def _read(self, line: Line, place: int) -> None:
        self._places[id(line)] = place, _numbers_of(line, place)
        worked, _ = rounds_worked(line, self._known)
        for each in worked:
            self._count(each)
        if line.label is not None:
            self._known |= dict(enumerate(worked, start=line.label.spans[0][0]))
            round_count = sum(made.kind == "round" for made in self._made)
            self._declared.append((round_count, declared_in(line.pieces, place)))

    def _count(self, line: Line) -> None:
        place, numbers = self._places[id(line)]
        key = (id(line), numbers, looked_at(self._before, line))
        made = self._counted.get(key)
        if made is None:
            found = realize(line, self._before, size=place)
            if isinstance(found, Fault) or found.faults:
                fault = found if isinstance(found, Fault) else found.faults[0]
                raise NotUnderstood(column=fault.column, code=fault.code, detail=fault.detail)
            made = self._counted[key] = found
        self._before = made_after(made, self._before)
        if made.kind != "remark":
            self._made.append(made)

    def demands(self, plan: HatPlan) -> Iterator[tuple[bool, str, str]]:
        """Yield what has to be so, where, and what is wrong if it is not."""
        foundation, *rest = self._made
        worked = [each for each in rest if each.kind == "round"]
        count = plan.foundation_stitch_count
        is_founded = foundation.kind == "foundation" and foundation.stitch_count == count
        yield is_founded, "foundation", f"it is not {count} chains"
        yield len(worked) == len(plan.rounds), "rounds", f"{len(worked)} are read, not {len(plan.rounds)}"
        for planned, made in zip(plan.rounds, worked, strict=False):
            for is_same, reason in comparisons(planned, made):
                yield is_same, f"round {planned.number}", reason
        for number, declared in self._declared:
            is_declared = declared == plan.rounds[number - 1].stitch_count
            yield is_declared, f"round {number}", "it declares another count"
        yield _closings_in(rest) == _closings_of(plan), "close", "it closes elsewhere or on another count"


def _numbers_of(line: Line, place: int) -> tuple[int, ...]:
    """Return the numbers that a size has in a line where sizes differ, its declared count left out."""
    sized = (
        numeral.values
        for role, numeral in numerals_in(line.pieces)
        if role != "declared" and len(numeral.values) > 1
    )
    return tuple(values[place] for values in sized)


def _closings_in(made: Sequence[Realized]) -> list[tuple[int, int]]:
    """Return after how many rounds, and on how many stitches, a text closes."""
    closings, round_count = [], 0
    for each in made:
        round_count += each.kind == "round"
        if each.kind == "closing":
            closings.append((round_count, each.consumed_stitch_count))
    return closings


def _closings_of(plan: HatPlan) -> list[tuple[int, int]]:
    if plan.crown is None or not plan.order.is_from_brim:
        return []
    edging_count = sum(worked.section == "edging" for worked in plan.rounds)
    return [(len(plan.rounds) - edging_count, plan.crown.closing_stitch_count)]
