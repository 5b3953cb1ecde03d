"""The proof of a plan: its written rounds, read back, are its steps again, in US and in UK terms."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Literal

from service.domain.hats import HatPlan
from service.domain.rounds import Round
from service.domain.steps import flat
from service.notation.declared_counts import declared_in
from service.notation.faults import Fault
from service.notation.made_before import LookedAt, MadeBefore, Realized, looked_at, made_after
from service.notation.reader import read_line
from service.notation.realizing import realize
from service.notation.terms import TERMS, Terms, TermsId
from service.notation.tree import Line
from service.notation.writer import write_closing, write_foundation
from service.patterns.round_texts import round_texts

__all__ = ["CHECKER_VERSION", "PlanUnproved", "Proof", "comparisons", "prove", "prove_together"]

#: The rules by which written rounds are read and counted; a change of any of them is a new version.
CHECKER_VERSION = "2026.1"


class PlanUnproved(AssertionError):
    """A plan whose written text does not say what its steps say: a defect of the service, never sent out."""

    def __init__(self, *, terms_id: TermsId, text: str, reason: str) -> None:
        self.terms_id = terms_id
        self.text = text
        self.reason = reason
        super().__init__(f"In {terms_id} terms the pattern cannot be proved at {text!r}: {reason}.")


@dataclass(frozen=True, slots=True)
class Proof:
    """That the written pattern agrees with the plan; there is no other verdict.

    ``texts`` are the written rounds that were read back, in each of the terms.
    """

    verdict: Literal["agrees"]
    terms: tuple[TermsId, ...]
    round_count: int
    checker_version: str
    texts: Mapping[TermsId, tuple[str, ...]]


def prove(plan: HatPlan) -> Proof:
    """Return the proof of a plan: every written round, read back in all terms, is the plan's round again.

    Read back from its words, given the stitches before it, a round has the same steps one by one,
    the same start and join, is worked into the same, and uses up, makes and declares the plan's counts.
    The foundation and the close must agree as well. Equal lines that find the same are read once.

    Parameters
    ----------
    plan
        The hat.

    Raises
    ------
    PlanUnproved
        If any line does not say what the plan says.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from service.domain.hats import plan_hat
    >>> from service.reference.examples import plain_hat_order
    >>> from service.reference.load import load_reference_tables
    >>> plan = plan_hat(plain_hat_order(), load_reference_tables())
    >>> prove(plan).terms
    ('us', 'uk')
    >>> try:
    ...     prove(replace(plan, rounds=plan.rounds[1:]))
    ... except PlanUnproved as defect:
    ...     print(defect.reason)
    it is worked into foundation
    """
    return prove_together((plan,))[0]


def prove_together(plans: Sequence[HatPlan]) -> tuple[Proof, ...]:
    """Return the proof of each of several plans; a line that stands in many of them is read once.

    Parameters
    ----------
    plans
        Hats that are much alike.

    Raises
    ------
    PlanUnproved
        If any line does not say what its plan says.
    """
    shared = {terms_id: _Shared() for terms_id in TERMS}
    return tuple(_proved(plan, shared) for plan in plans)


@dataclass(frozen=True, slots=True)
class _Shared:
    """What plans have in common in one kind of terms: words of equal steps, lines, and proved beginnings."""

    written: dict[tuple[object, ...], str] = field(default_factory=dict)
    lines: dict[str, Line] = field(default_factory=dict)
    proved: dict[tuple[object, ...], MadeBefore] = field(default_factory=dict)


def _proved(plan: HatPlan, shared: Mapping[TermsId, _Shared]) -> Proof:
    texts = {
        terms.terms_id: round_texts(plan, terms, shared[terms.terms_id].written) for terms in TERMS.values()
    }
    for terms in TERMS.values():
        _Reading(plan, terms, texts[terms.terms_id], shared[terms.terms_id]).prove()
    return Proof("agrees", tuple(TERMS), len(plan.rounds), CHECKER_VERSION, texts)


@dataclass(frozen=True, slots=True)
class _Question:
    """A line to be counted after what it finds; equal words that find the same are one question."""

    text: str
    terms_id: TermsId
    has_label: bool
    found: LookedAt
    line: Line = field(compare=False)
    before: MadeBefore = field(compare=False)


@lru_cache(maxsize=2048)
def _answer(question: _Question) -> Realized | Fault:
    """Return a line counted; many hats have the same rounds, and a round is counted once."""
    return realize(question.line, question.before)


class _Reading:
    """The written pattern read line by line in one kind of terms."""

    def __init__(self, plan: HatPlan, terms: Terms, texts: tuple[str, ...], shared: _Shared) -> None:
        self._plan = plan
        self._texts = texts
        self._terms = terms
        self._lines = shared.lines
        self._proved = shared.proved

    def prove(self) -> None:
        """Read everything from the foundation to the close."""
        foundation = (self._plan.foundation_stitch_count,)
        before = self._proved.get(foundation)
        if before is None:
            before = self._proved[foundation] = self._prove_foundation()
        for worked, text in zip(self._plan.rounds, self._texts, strict=True):
            if worked.section == "edging":
                self._prove_closing(before)
            # One value of a round, which its plans keep alive, after one beginning: proved once.
            place = (id(before), id(worked), text)
            after = self._proved.get(place)
            if after is None:
                after = self._proved[place] = self._prove_round(worked, text, before)
            before = after
        if self._plan.rounds[-1].section != "edging":
            self._prove_closing(before)

    def _prove_foundation(self) -> MadeBefore:
        count = self._plan.foundation_stitch_count
        text = write_foundation(count, terms=self._terms)
        unknown = MadeBefore(None, space_count=None, is_foundation=None)
        made = self._counted(self._read(text), text, unknown)
        self._demand(made.kind == "foundation" and made.stitch_count == count, text, f"not {count} chains")
        return made_after(made, unknown)

    def _prove_round(self, worked: Round, text: str, before: MadeBefore) -> MadeBefore:
        line = self._read(text)
        spans = () if line.label is None else line.label.spans
        self._demand(spans == ((worked.number, worked.number),), text, f"not round {worked.number}")
        made = self._counted(line, text, before)
        for is_same, reason in comparisons(worked, made):
            self._demand(is_same, text, reason)
        declared = declared_in(line.pieces, 0)
        self._demand(declared == worked.stitch_count, text, "it declares another count")
        return made_after(made, before)

    def _prove_closing(self, before: MadeBefore) -> None:
        crown = self._plan.crown
        if crown is None or not self._plan.order.is_from_brim:
            return
        text = write_closing(crown.closing_stitch_count, terms=self._terms)
        made = self._counted(self._read(text), text, before)
        self._demand(made.kind == "closing", text, "nothing is drawn shut")

    def _read(self, text: str) -> Line:
        line = self._lines.get(text)
        if line is None:
            read = read_line(text, self._terms.terms_id)
            if isinstance(read, Fault):
                raise self._unproved(text, read.detail)
            line = self._lines[text] = read
        return line

    def _counted(self, line: Line, text: str, before: MadeBefore) -> Realized:
        has_label, found = line.label is not None, looked_at(before, line)
        counted = _answer(_Question(line.text, self._terms.terms_id, has_label, found, line, before))
        if isinstance(counted, Fault):
            raise self._unproved(text, counted.detail)
        if counted.faults:
            raise self._unproved(text, counted.faults[0].detail)
        return counted

    def _demand(self, is_so: bool, text: str, reason: str) -> None:
        if not is_so:
            raise self._unproved(text, reason)

    def _unproved(self, text: str, reason: str) -> PlanUnproved:
        return PlanUnproved(terms_id=self._terms.terms_id, text=text, reason=reason.rstrip("."))


def comparisons(worked: Round, made: Realized) -> Iterator[tuple[bool, str]]:
    """Yield what has to be the same in a round and in its words, and what is wrong where it is not."""
    yield made.kind == "round", "it works no stitch"
    yield made.worked_into == worked.worked_into, f"it is worked into {made.worked_into}"
    yield made.start == worked.start, "it begins otherwise"
    yield made.join == worked.join, "it ends otherwise"
    uses = made.consumed_stitch_count
    yield uses == worked.consumed_stitch_count, f"it uses up {uses} stitches"
    yield made.stitch_count == worked.stitch_count, f"it makes {made.stitch_count} stitches"
    same_steps = made.steps == worked.steps or flat(made.steps) == flat(worked.steps)
    yield same_steps, "its steps are others"
