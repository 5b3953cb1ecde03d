"""The proof of a size run: its one text, read for each size, is that size's plan again.

A size is picked out of the text by the rules that a maker reads it by. What is left is a pattern for one
size, read by the ordinary reader, in US and in UK terms.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from service.domain.hats import HatPlan
from service.notation.declared_counts import declared_in
from service.notation.faults import Fault
from service.notation.made_before import Realized
from service.notation.reader import read_line
from service.notation.reading_back import ReadRound, read_back
from service.notation.terms import TERMS, Terms, TermsId
from service.patterns.proofs import CHECKER_VERSION, PlanUnproved, Proof, comparisons
from service.patterns.size_run_texts import write_size_run

__all__ = ["SizeRunProof", "pick_size", "prove_size_run", "prove_size_run_texts"]

_ROUND_FOR = re.compile(r"(?P<label>Rnds? [\d–]+) \(sizes? (?P<sizes>[\d–, and]+) only\)(?P<rest>: .*)")
_SENTENCE_FOR = re.compile(r"(?P<label>)Sizes? (?P<sizes>[\d–, and]+) only: (?P<rest>.*)")
_SPAN = re.compile(r"(\d+)(?:–(\d+))?")
_SIZED = re.compile(r"\b(\d+) \((\d+(?:, \d+)*)\)")
_COUNTS = re.compile(r"(?<=\. )\((\d+(?:, \d+)*)\)$")


@dataclass(frozen=True, slots=True)
class SizeRunProof:
    """The proved text in each of the terms, and the proof of every size, smallest first."""

    texts: Mapping[TermsId, str]
    sizes: tuple[Proof, ...]


def pick_size(text: str, size: int, *, size_count: int) -> tuple[str, ...]:
    """Return the lines of the pattern for one size, its numbers picked out of those for several.

    A line for some sizes only is left out for the others. ``64 (72, 80)`` is a number for three sizes;
    at the end of a line ``(64, 72, 80)`` are their counts; where one number stands it is for all.

    Parameters
    ----------
    text
        A pattern for several sizes.
    size
        The size, from 1.
    size_count
        How many sizes the text is for.

    Raises
    ------
    ValueError
        If a number is given for more or fewer sizes than its line is for.

    Examples
    --------
    >>> text = "Rnd 1 (sizes 2–3 only): Sc in next 8 (9) sts. (8, 9)"
    >>> pick_size(text, 3, size_count=3), pick_size(text, 1, size_count=3)
    (('Rnd 1: Sc in next 9 sts. (9)',), ())
    >>> pick_size("Ch 64 (72, 80), join", 2, size_count=3)
    ('Ch 72, join',)
    """
    picked = (_picked(line, size, size_count) for line in text.split("\n"))
    return tuple(line for line in picked if line is not None)


def _picked(line: str, size: int, size_count: int) -> str | None:
    marked = _ROUND_FOR.fullmatch(line) or _SENTENCE_FOR.fullmatch(line)
    sizes = range(1, size_count + 1) if marked is None else _sizes_in(marked["sizes"])
    if size not in sizes:
        return None
    if marked is not None:
        line = marked["label"] + marked["rest"]
    place = sizes.index(size)
    line = _SIZED.sub(lambda found: _one_of([found[1], *found[2].split(", ")], place, len(sizes)), line)
    return _COUNTS.sub(lambda found: f"({_one_of(found[1].split(', '), place, len(sizes))})", line)


def _sizes_in(phrase: str) -> Sequence[int]:
    spans = [(int(span[1]), int(span[2] or span[1])) for span in _SPAN.finditer(phrase)]
    return [size for first, last in spans for size in range(first, last + 1)]


def _one_of(numbers: Sequence[str], place: int, size_count: int) -> str:
    if len(numbers) not in (1, size_count):
        raise ValueError(f"{len(numbers)} numbers stand in a line that is for {size_count} sizes")
    return numbers[place] if len(numbers) > 1 else numbers[0]


def prove_size_run(plans: Sequence[HatPlan]) -> SizeRunProof:
    """Return the pattern of a size run and its proof: picked out for a size and read back, it is the plan.

    In all terms, every picked round has the steps, start, join and counts of the plan's round, and the
    foundation and the close agree; no round is left over or missing.

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
    >>> from service.domain.gauge import give_gauge
    >>> from service.domain.hat_orders import HatOrder, MeasuredGauge
    >>> from service.domain.hats import plan_hat
    >>> from service.domain.heads import measured_head
    >>> from service.domain.sizing import SizeOrder
    >>> from service.reference.load import load_reference_tables
    >>> tables = load_reference_tables()
    >>> plain = tables.fabric_by_id["plain-sc"]
    >>> given = give_gauge(
    ...     stitches_per_10cm=16, rounds_per_10cm=18, fabric_id=None,
    ...     width_error=None, height_error=None, washed=True, tables=tables,
    ... )
    >>> plans = [
    ...     plan_hat(HatOrder(
    ...         size=SizeOrder(head=measured_head(head_mm, tables=tables), fabric=plain),
    ...         gauge=MeasuredGauge(given=given, measured_in=plain), fabric=plain, brim=None,
    ...     ), tables)
    ...     for head_mm in (520, 560, 600)
    ... ]
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
    proofs = []
    for size, plan in enumerate(plans, 1):
        picked = {terms_id: pick_size(text, size, size_count=len(plans)) for terms_id, text in texts.items()}
        for terms_id, lines in picked.items():
            _prove_lines(plan, lines, TERMS[terms_id])
        proofs.append(Proof("agrees", tuple(texts), len(plan.rounds), CHECKER_VERSION, picked))
    return SizeRunProof(texts, tuple(proofs))


def _prove_lines(plan: HatPlan, lines: Sequence[str], terms: Terms) -> None:
    """Demand that a pattern for one size, read back, is a plan.

    Raises
    ------
    PlanUnproved
        At the first line that says otherwise.
    """
    read = read_back("\n".join(lines), terms)
    if isinstance(read, Fault):
        raise PlanUnproved(terms_id=terms.terms_id, text=lines[read.line - 1], reason=read.detail)
    for is_so, where, reason in (*_demands(plan, read), *_declared(plan, lines, terms)):
        if not is_so:
            raise PlanUnproved(terms_id=terms.terms_id, text=where, reason=reason)


def _demands(plan: HatPlan, read: Sequence[ReadRound]) -> Iterator[tuple[bool, str, str]]:
    """Yield what has to be so, where, and what is wrong if it is not."""
    made = [each.realized for each in read]
    foundation, worked = made[0], [each for each in made if each.kind == "round"]
    is_founded = foundation.kind == "foundation"
    yield is_founded, "foundation", "nothing is founded"
    yield foundation.stitch_count == plan.foundation_stitch_count, "foundation", "it has another count"
    yield len(worked) == len(plan.rounds), "rounds", f"{len(worked)} are read, not {len(plan.rounds)}"
    for planned, found in zip(plan.rounds, worked, strict=False):
        for is_same, reason in comparisons(planned, found):
            yield is_same, f"round {planned.number}", reason
    yield _closings_in(made) == _closings_of(plan), "close", "it closes elsewhere or on another count"


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


def _declared(plan: HatPlan, lines: Sequence[str], terms: Terms) -> Iterator[tuple[bool, str, str]]:
    """Yield whether the count at the end of each line is that of the last round it works."""
    last = 0
    for text in lines:
        line = read_line(text, terms.terms_id)
        if isinstance(line, Fault) or line.label is None:
            continue
        last += line.label.round_count
        yield declared_in(line.pieces, 0) == plan.rounds[last - 1].stitch_count, text, "it declares another"
