"""A whole plan in written form: the foundation, each section with its rounds, and how it is finished."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from service.domain.hats import HatPlan
from service.domain.rounds import Round, Section
from service.notation.terms import TERMS, Terms, TermsId
from service.notation.writer import (
    round_heading,
    write_closing,
    write_foundation,
    write_instruction,
    write_section_heading,
)
from service.patterns.plan_words import plan_finishing

__all__ = [
    "RoundRun",
    "WrittenPattern",
    "WrittenRounds",
    "WrittenSection",
    "write_pattern",
    "write_runs",
]


#: Lines that a reference to earlier rounds must save (convention: fewer are easier read in full).
_WORTH_REFERRING = 3


@dataclass(frozen=True, slots=True)
class WrittenRounds:
    """A round, or a run of equal rounds: its label, and what is done with the count behind."""

    label: str
    text: str

    @property
    def line(self) -> str:
        """Return the rounds as one line of a pattern."""
        return f"{self.label} {self.text}"


@dataclass(frozen=True, slots=True)
class WrittenSection:
    """A part of the hat. ``closing`` is what ends it, where more follows than the next part."""

    name: Section
    heading: str
    rounds: tuple[WrittenRounds, ...]
    closing: str | None


@dataclass(frozen=True, slots=True)
class WrittenPattern:
    """The written hat in the terms asked for."""

    terms_id: TermsId
    foundation: str
    sections: tuple[WrittenSection, ...]
    finishing: tuple[str, ...]


def write_pattern(plan: HatPlan, terms_id: TermsId) -> WrittenPattern:
    """Return a plan in written form, neighbouring equal rounds of a section written together.

    A crown worked from the brim is drawn shut before an edging begins.

    Parameters
    ----------
    plan
        The hat.
    terms_id
        The terms to write in: ``us`` or ``uk``.

    Examples
    --------
    >>> from service.domain.hats import plan_hat
    >>> from service.reference.examples import plain_hat_order
    >>> from service.reference.load import load_reference_tables
    >>> pattern = write_pattern(plan_hat(plain_hat_order(), load_reference_tables()), "us")
    >>> [section.heading for section in pattern.sections]
    ['Body', 'Crown']
    """
    terms = TERMS[terms_id]
    first, *rest = plan_finishing(plan, terms_id)
    closes_early = plan.rounds[-1].section == "edging" and plan.order.is_from_brim
    if closes_early:
        first = terms.say("fasten_off")
    return WrittenPattern(
        terms_id=terms_id,
        foundation=write_foundation(plan.foundation_stitch_count, terms=terms),
        sections=tuple(_sections(plan, terms, closes_early=closes_early)),
        finishing=(first, *rest),
    )


def _sections(plan: HatPlan, terms: Terms, *, closes_early: bool) -> Iterator[WrittenSection]:
    parts = [(name, list(part)) for name, part in groupby(plan.rounds, key=lambda each: each.section)]
    before_edging = len(parts) - 2 if closes_early else None
    for position, (name, part) in enumerate(parts):
        closing = _closing(plan, terms) if position == before_edging else None
        heading = write_section_heading(name, terms=terms)
        yield WrittenSection(name, heading, tuple(write_runs(_runs(part, terms), terms)), closing)


def _closing(plan: HatPlan, terms: Terms) -> str:
    """Return how the fabric ends before an edging along the foundation."""
    if plan.crown is None:
        return terms.say("fasten_off")
    return write_closing(plan.crown.closing_stitch_count, terms=terms)


@dataclass(frozen=True, slots=True)
class RoundRun:
    """Equal rounds, one after the other: their numbers, what is done in each, and the counts behind.

    ``text`` says all, the counts included; ``counts`` are as they stand in brackets, one for each size.
    """

    first: int
    last: int
    text: str
    counts: str

    def is_like(self, other: "RoundRun") -> bool:
        """Whether another run says the same as often."""
        return self.text == other.text and self.last - self.first == other.last - other.first


def _runs(rounds: Sequence[Round], terms: Terms) -> list[RoundRun]:
    """Return the rounds of a section, equal neighbours as one."""
    runs = []
    for text, run in groupby(rounds, key=lambda each: _with_count(each, terms)):
        same = list(run)
        runs.append(RoundRun(same[0].number, same[-1].number, text, str(same[-1].stitch_count)))
    return runs


def _with_count(worked: Round, terms: Terms) -> str:
    return f"{write_instruction(worked, terms=terms)} {terms.say('count', count=worked.stitch_count)}"


def write_runs(runs: Sequence[RoundRun], terms: Terms) -> Iterator[WrittenRounds]:
    """Yield runs that follow each other in writing; a long repeat of several refers to the first.

    Examples
    --------
    >>> texts = ("Sc around. (8)", "FPsc around. (8)")
    >>> runs = [RoundRun(number, number, texts[number % 2], "8") for number in range(1, 9)]
    >>> [each.line for each in write_runs(runs, TERMS["us"])][2:]
    ['Rnds 3–8: Rep Rnds 1–2. (8)']
    """
    position = 0
    while position < len(runs):
        period, times = _repeats_at(position, runs)
        if period * (times - 1) < _WORTH_REFERRING:
            period, times = 1, 1
        end = position + period
        yield from (_line(run.first, run.last, run.text, terms) for run in runs[position:end])
        if times > 1:
            last = runs[position + period * times - 1]
            text = terms.say("rounds_again", first=runs[position].first, last=runs[end - 1].last)
            count = terms.say("count", count=last.counts)
            yield _line(runs[end].first, last.last, f"{text} {count}", terms)
        position += period * times


def _line(first: int, last: int, text: str, terms: Terms) -> WrittenRounds:
    return WrittenRounds(round_heading(first_number=first, last_number=last, terms=terms).rstrip(), text)


def _repeats_at(begin: int, runs: Sequence[RoundRun]) -> tuple[int, int]:
    """Return the period that covers most of the runs from here on, and how often it stands there."""
    best = (1, 1)
    for period in range(1, (len(runs) - begin) // 2 + 1):
        same = 0
        while begin + period + same < len(runs) and runs[begin + same].is_like(runs[begin + period + same]):
            same += 1
        times = 1 + same // period
        if period * (times - 1) > best[0] * (best[1] - 1):
            best = (period, times)
    return best
