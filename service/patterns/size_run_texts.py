"""One pattern for several sizes: a number for each where they differ, one number where they agree.

A round whose words differ in more than their numbers has a line for each wording, and a line that is not
for all sizes says for which. Its numbers are for those alone.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import NamedTuple, TypeAlias

from service.domain.hats import HatPlan
from service.domain.rounds import Section
from service.notation.terms import TERMS, Terms, TermsId
from service.notation.writer import (
    round_heading,
    write_closing,
    write_foundation,
    write_instruction,
    write_section_heading,
)
from service.patterns.plan_words import plan_finishing
from service.patterns.size_run_rounds import run_round_numbers, run_sections
from service.patterns.written_patterns import RoundRun, write_runs

__all__ = ["Sizes", "sized", "sizes_phrase", "write_size_run"]

#: A written number; "next st" is one stitch, as "next 2 sts" is two.
_NUMBER = re.compile(r"\bnext (?:(?P<next>\d+) sts|st)\b|\b(?P<any>\d+)\b")

#: The sizes, from 1, that a line is for.
Sizes: TypeAlias = tuple[int, ...]


class _Told(NamedTuple):
    """A round of one size in words, and its count."""

    instruction: str
    stitch_count: int


@dataclass(frozen=True, slots=True)
class _Group:
    """Sizes that work a round in the same words: the words with all their numbers, and the counts."""

    sizes: Sizes
    text: str
    counts: str


#: A round of the pattern, side by side: what each of the sizes that work it does.
_Row: TypeAlias = Mapping[int, _Told]


def write_size_run(plans: Sequence[HatPlan], terms_id: TermsId) -> str:
    """Return one pattern for all sizes, smallest first, in the terms asked for.

    Rounds are numbered through all lines; a size leaves out those that it does not work.

    Parameters
    ----------
    plans
        The same design for every size. [2 to 24]
    terms_id
        The terms to write in: ``us`` or ``uk``.

    Examples
    --------
    >>> from service.domain.hats import plan_hat
    >>> from service.reference.examples import plain_hat_order
    >>> from service.reference.load import load_reference_tables
    >>> tables = load_reference_tables()
    >>> plans = [plan_hat(plain_hat_order(head_mm=head_mm), tables) for head_mm in (520, 560, 600)]
    >>> print(write_size_run(plans, "us").splitlines()[0])
    Ch 78 (84, 90), join with sl st in first ch to form a ring.
    """
    terms, numbers = TERMS[terms_id], tuple(range(1, len(plans) + 1))
    foundations = [write_foundation(plan.foundation_stitch_count, terms=terms) for plan in plans]
    parts = [list(_sentences(foundations, numbers)), *_sections(plans, terms)]
    closing = list(_sentences([_closing(plan, terms) for plan in plans], numbers))
    if plans[0].order.has_edging and plans[0].order.is_from_brim:
        parts[-2] += closing
        closing = [terms.say("fasten_off")]
    endings = zip(*(_ending(plan, terms) for plan in plans), strict=True)
    finishing = [line for sentences in endings for line in _whole_sentences(sentences, numbers)]
    return "\n\n".join("\n".join(part) for part in [*parts, [*closing, *finishing]])


def _closing(plan: HatPlan, terms: Terms) -> str:
    """Return how the fabric ends: a crown worked from the brim is drawn shut."""
    if plan.crown is None or not plan.order.is_from_brim:
        return terms.say("fasten_off")
    return write_closing(plan.crown.closing_stitch_count, terms=terms)


def _ending(plan: HatPlan, terms: Terms) -> tuple[str, ...]:
    """Return what is done when the yarn is cut."""
    finishing = plan_finishing(plan, terms.terms_id)
    if not plan.order.is_from_brim:
        return finishing[1:]
    return finishing[finishing.index(terms.say("weave_ends")) :]


def _sections(plans: Sequence[HatPlan], terms: Terms) -> list[list[str]]:
    """Return the lines of every section that any size has, each below its heading."""
    rows_by_section = _side_by_side(plans, terms)
    parts: list[list[str]] = []
    for section in run_sections(plans):
        numbered = rows_by_section.get(section)
        if numbered:
            rows = [numbered[number] for number in sorted(numbered)]
            lines = _written_rows(rows, min(numbered), len(plans), terms)
            parts.append([write_section_heading(section, terms=terms), *lines])
    return parts


def _side_by_side(plans: Sequence[HatPlan], terms: Terms) -> dict[Section, dict[int, _Row]]:
    """Return the rows of every section by their number: what each of the sizes that work it does."""
    rows: dict[Section, dict[int, dict[int, _Told]]] = {}
    for size, (plan, numbers) in enumerate(zip(plans, run_round_numbers(plans), strict=True), 1):
        for worked, number, told in zip(plan.rounds, numbers, _told_rounds(plan, terms), strict=True):
            rows.setdefault(worked.section, {}).setdefault(number, {})[size] = told
    return {section: dict(numbered) for section, numbered in rows.items()}


def _told_rounds(plan: HatPlan, terms: Terms) -> Iterator[_Told]:
    """Yield every round in words; rounds of one instruction share their steps as one value."""
    known: dict[tuple[object, ...], str] = {}
    for worked in plan.rounds:
        key = (id(worked.steps), worked.start, worked.join, worked.worked_into)
        if key not in known:
            known[key] = write_instruction(worked, terms=terms)
        yield _Told(known[key], worked.stitch_count)


def _written_rows(rows: Sequence[_Row], first_number: int, size_count: int, terms: Terms) -> Iterator[str]:
    """Yield the rows as lines; equal rows that follow each other, and repeats of them, stand together."""
    runs, number = [], first_number
    for groups, equal in groupby(map(_groups, rows)):
        last = number + len(list(equal)) - 1
        runs.append((groups, number, last))
        number = last + 1
    for sizes, alike in groupby(runs, key=lambda run: run[0][0].sizes if len(run[0]) == 1 else None):
        if sizes is None:
            for groups, first, last in alike:
                label = round_heading(first_number=first, last_number=last, terms=terms)
                for group in groups:
                    yield f"{_labelled(label.rstrip(), group.sizes, size_count)} {group.text}"
            continue
        stretch = [RoundRun(first, last, group.text, group.counts) for (group,), first, last in alike]
        for written in write_runs(stretch, terms):
            yield f"{_labelled(written.label, sizes, size_count)} {written.text}"


def _labelled(label: str, sizes: Sizes, size_count: int) -> str:
    if len(sizes) == size_count:
        return label
    return f"{label.removesuffix(':')} ({sizes_phrase(sizes)} only):"


def _groups(row: _Row) -> tuple[_Group, ...]:
    """Return the wordings of a row, each with the sizes that share it."""
    alike: dict[tuple[str, ...], list[int]] = {}
    for size, told in row.items():
        alike.setdefault(_wording(told.instruction), []).append(size)
    return tuple(_group(row, wording, sizes) for wording, sizes in alike.items())


def _group(row: _Row, wording: tuple[str, ...], sizes: Sequence[int]) -> _Group:
    text = _merged(wording, [row[size].instruction for size in sizes])
    counts = [row[size].stitch_count for size in sizes]
    listed = ", ".join(map(str, counts if len(set(counts)) > 1 else counts[:1]))
    return _Group(tuple(sizes), f"{text} ({listed})", listed)


def _wording(text: str) -> tuple[str, ...]:
    """Return a text without its numbers: the words between them, and which of them follow "next"."""
    kinds = ["next" if match["any"] is None else "" for match in _NUMBER.finditer(text)]
    return (*_NUMBER.sub("\n", text).split("\n"), *kinds)


def _merged(wording: tuple[str, ...], texts: Sequence[str]) -> str:
    """Return texts of one wording as one, with each number for all of them."""
    if len(set(texts)) == 1:
        return texts[0]
    numbers = zip(*map(_numbers, texts), strict=True)
    places = len(wording) // 2
    words, kinds = wording[: places + 1], wording[places + 1 :]
    pieces = [words[0]]
    for values, kind, after in zip(numbers, kinds, words[1:], strict=True):
        pieces += [_next_stitches(values) if kind == "next" else sized(values), after]
    return "".join(pieces)


def _numbers(text: str) -> list[int]:
    return [int(match["next"] or match["any"] or 1) for match in _NUMBER.finditer(text)]


def _next_stitches(values: Sequence[int]) -> str:
    return "next st" if set(values) == {1} else f"next {sized(values)} sts"


def sized(values: Sequence[object]) -> str:
    """Return a number for several sizes: one where all agree, else the first with the others in brackets.

    Examples
    --------
    >>> sized([64, 72, 80, 88]), sized([8, 8, 8])
    ('64 (72, 80, 88)', '8')
    """
    first, *others = values
    if all(value == first for value in others):
        return str(first)
    return f"{first} ({', '.join(map(str, others))})"


def sizes_phrase(sizes: Sizes) -> str:
    """Return sizes in words, neighbours as a range.

    Examples
    --------
    >>> sizes_phrase((1, 2, 3)), sizes_phrase((2,)), sizes_phrase((1, 3, 4, 6))
    ('sizes 1–3', 'size 2', 'sizes 1, 3–4 and 6')
    """
    spans = [
        [size for _, size in run] for _, run in groupby(enumerate(sizes), key=lambda each: each[1] - each[0])
    ]
    names = [f"{span[0]}–{span[-1]}" if len(span) > 1 else str(span[0]) for span in spans]
    *most, last = names
    listed = f"{', '.join(most)} and {last}" if most else last
    return f"size{'s' if len(sizes) > 1 else ''} {listed}"


def _sentences(texts: Sequence[str], numbers: Sizes) -> Iterator[str]:
    """Yield sentences that differ in their numbers as one, those that differ in words for their sizes."""
    alike: dict[tuple[str, ...], list[int]] = {}
    for size, text in zip(numbers, texts, strict=True):
        alike.setdefault(_wording(text), []).append(size)
    for wording, sizes in alike.items():
        merged = _merged(wording, [texts[size - 1] for size in sizes])
        yield _for_sizes(merged, tuple(sizes), len(numbers))


def _whole_sentences(texts: Sequence[str], numbers: Sizes) -> Iterator[str]:
    """Yield each different sentence once, with the sizes it is for."""
    alike: dict[str, list[int]] = {}
    for size, text in zip(numbers, texts, strict=True):
        alike.setdefault(text, []).append(size)
    for text, sizes in alike.items():
        yield _for_sizes(text, tuple(sizes), len(numbers))


def _for_sizes(sentence: str, sizes: Sizes, size_count: int) -> str:
    if len(sizes) == size_count:
        return sentence
    return f"{sizes_phrase(sizes).capitalize()} only: {sentence}"
