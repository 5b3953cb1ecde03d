"""Write rounds in standard form: what the hook does, in the words of the terms asked for.

Every sentence written here can be read back by ``service.notation.reader``, and gives the same steps.
Right-handed and left-handed makers read the same words: their work mirrors by itself.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import assert_never

from service.domain.rounds import Round, Section, Start
from service.domain.steps import (
    Chain,
    Cross,
    IntoOne,
    Lean,
    Repeat,
    Skip,
    Step,
    Together,
    Work,
    WorkedInto,
)
from service.domain.stitches import PLAIN_CODES
from service.notation.terms import Terms, is_post

__all__ = [
    "round_heading",
    "write_closing",
    "write_foundation",
    "write_instruction",
    "write_numbered",
    "write_round",
    "write_rounds",
    "write_section_heading",
    "write_steps",
]

#: The most legs that one abbreviation such as ``sc8tog`` names.
_LARGEST_TOGETHER = 8

_UNITS: dict[WorkedInto, tuple[str, str]] = {
    "previous_round": ("st", "sts"),
    "foundation": ("ch", "chs"),
    "foundation_edge": ("foundation_ch", "foundation_chs"),
}


def write_round(round_: Round, *, terms: Terms) -> str:
    """Return a round in standard written form, its number before and its count behind.

    Examples
    --------
    >>> from service.notation.terms import UK, US
    >>> cable = Repeat(12, (Work("bpdc", 2), Cross(3, "fpdtr", "right")))
    >>> round_ = Round(9, "body", "cross", "previous_round", 96, 96, Start(2, False), (cable,), "sl_st", 8.0)
    >>> print(write_round(round_, terms=US))  # doctest: +NORMALIZE_WHITESPACE
    Rnd 9: Ch 2 (does not count as a st), [BPdc around next 2 sts, sk 3 sts, FPdtr around next 3 sts,
    working behind the sts just made FPdtr around 3 skipped sts] 12 times; join with sl st in first st. (96)
    >>> print(write_round(round_, terms=UK))  # doctest: +NORMALIZE_WHITESPACE
    Rnd 9: Ch 2 (does not count as a st), [BPtr around next 2 sts, miss 3 sts, FPtrtr around next 3 sts,
    working behind the sts just made FPtrtr around 3 missed sts] 12 times; join with ss in first st. (96)
    """
    return write_rounds(round_, last_number=round_.number, terms=terms)


def write_rounds(round_: Round, *, last_number: int, terms: Terms) -> str:
    """Return a run of equal rounds as one line, from this round's number to the last.

    Examples
    --------
    >>> from service.notation.terms import US
    >>> plain = Round(4, "body", "plain", "previous_round", 60, 60, None, (Work("sc", 60),), None, 5.0)
    >>> write_rounds(plain, last_number=7, terms=US)
    'Rnds 4–7: Sc in each st around. (60)'
    """
    heading = round_heading(first_number=round_.number, last_number=last_number, terms=terms)
    count = terms.say("count", count=round_.stitch_count)
    return f"{heading}{write_instruction(round_, terms=terms)} {count}"


def write_numbered(round_: Round, instruction: str, *, terms: Terms) -> str:
    """Return a round from its instruction, which equal rounds share.

    Examples
    --------
    >>> from service.notation.terms import US
    >>> plain = Round(4, "body", "plain", "previous_round", 60, 60, None, (Work("sc", 60),), None, 5.0)
    >>> write_numbered(plain, write_instruction(plain, terms=US), terms=US)
    'Rnd 4: Sc in each st around. (60)'
    """
    heading = round_heading(first_number=round_.number, last_number=round_.number, terms=terms)
    return f"{heading}{instruction} {terms.say('count', count=round_.stitch_count)}"


def write_instruction(round_: Round, *, terms: Terms) -> str:
    """Return what is done in a round, without its number and its count.

    Equal rounds have equal instructions, so a sheet can compare these to write runs together.

    Examples
    --------
    >>> from service.notation.terms import US
    >>> plain = Round(1, "body", "plain", "ring", 0, 6, None, (Work("sc", 6),), None, 5.0)
    >>> write_instruction(plain, terms=US)
    '6 sc in ring.'
    """
    parts = []
    if round_.worked_into == "foundation_edge":
        parts.append(terms.say("join_edge"))
    if round_.start is not None:
        parts.append(_write_start(round_.start, terms))
    elif _begins_as_with_a_chain(round_.steps):
        parts.append(terms.say("no_start"))
    counts = round_.start is not None and round_.start.counts_as_stitch
    write = _write_counted if counts else write_steps
    parts.append(write(round_.steps, terms=terms, worked_into=round_.worked_into))
    return _capitalised(", ".join(parts)) + _write_join(round_, terms) + "."


def _begins_as_with_a_chain(steps: Sequence[Step]) -> bool:
    """Return whether a chain stands first, or behind nothing but slip stitches, which may carry to it."""
    first = next((step for step in steps if not (isinstance(step, Work) and step.stitch == "sl_st")), None)
    return isinstance(first, Chain)


def round_heading(*, first_number: int, last_number: int, terms: Terms) -> str:
    """Return the label of one round or of a run of equal rounds.

    Examples
    --------
    >>> from service.notation.terms import US
    >>> round_heading(first_number=3, last_number=3, terms=US)
    'Rnd 3: '
    >>> round_heading(first_number=4, last_number=7, terms=US)
    'Rnds 4–7: '
    """
    if first_number == last_number:
        return terms.say("round", number=first_number)
    return terms.say("rounds", first=first_number, last=last_number)


def write_section_heading(section: Section, *, terms: Terms) -> str:
    """Return the heading above a section of the hat.

    Examples
    --------
    >>> from service.notation.terms import US
    >>> write_section_heading("joining", terms=US)
    'Joining round'
    """
    return terms.words[section]


def write_foundation(stitch_count: int, *, terms: Terms) -> str:
    """Return the foundation chain joined to a ring, or a magic ring where the count is 0.

    Examples
    --------
    >>> from service.notation.terms import UK
    >>> write_foundation(72, terms=UK)
    'Ch 72, join with ss in first ch to form a ring.'
    >>> write_foundation(0, terms=UK)
    'Make a magic ring.'
    """
    if stitch_count == 0:
        return terms.say("magic_ring")
    return terms.say("foundation", count=stitch_count)


def write_closing(stitch_count: int, *, terms: Terms) -> str:
    """Return how the last stitches of a crown worked from the brim are drawn shut.

    Examples
    --------
    >>> from service.notation.terms import US
    >>> write_closing(8, terms=US)
    'Fasten off, leaving a long tail. Weave the tail through the rem 8 sts, pull tight and secure.'
    """
    return terms.say("draw_shut", count=stitch_count)


def write_steps(steps: Sequence[Step], *, terms: Terms, worked_into: WorkedInto = "previous_round") -> str:
    """Return all the steps of a round in words, without its starting chain and its join.

    Parameters
    ----------
    steps
        The whole round: a lone stitch that goes into stitches is worked "in each st around".
    worked_into
        What the stitches go into: it names the places.

    Raises
    ------
    ValueError
        If stitches of a ring are skipped, crossed or worked together: a ring has none.

    Examples
    --------
    >>> from service.notation.terms import UK, US
    >>> write_steps([Repeat(6, (Work("sc", 3), Together(("sc", "sc"))))], terms=US)
    '[sc in next 3 sts, sc2tog] 6 times'
    >>> write_steps([Work("rev_sc", 80)], terms=UK, worked_into="foundation_edge")
    'rev dc in each foundation ch around'
    """
    if worked_into == "ring":
        return ", ".join(_ring_phrases(steps, terms))
    places = _places(worked_into, terms)
    match steps:
        case [Work(stitch, count)] if count > 1 and not is_post(stitch):
            return places.each_around(terms.abbreviation(stitch), around=False)
        case [Repeat(_, (IntoOne(stitches),))] if not any(map(is_post, stitches)):
            return places.each_around(_shell(stitches, terms), around=False)
    return _write_counted(steps, terms=terms, worked_into=worked_into)


def _write_counted(steps: Sequence[Step], *, terms: Terms, worked_into: WorkedInto) -> str:
    """Return the steps with their counts, even a lone stitch: after a chain that is the first of them."""
    if worked_into == "ring":
        return ", ".join(_ring_phrases(steps, terms))
    places = _places(worked_into, terms)
    return ", ".join(_phrase(step, places, 0) for step in steps)


@dataclass(frozen=True, slots=True)
class _Places:
    """What the stitches of a round go into, and how that is said."""

    terms: Terms
    unit: str
    units: str

    def counted(self, count: int) -> str:
        return self.unit if count == 1 else self.units

    def _preposition(self, around: bool) -> str:
        return self.terms.words["around" if around else "in"]

    def next_one(self, stitch: str, around: bool) -> str:
        return self.terms.say(
            "next_one", stitch=stitch, preposition=self._preposition(around), unit=self.unit
        )

    def next_many(self, stitch: str, around: bool, count: int) -> str:
        if count == 1:
            return self.next_one(stitch, around)
        return self.terms.say(
            "next_many",
            stitch=stitch,
            preposition=self._preposition(around),
            count=count,
            units=self.units,
        )

    def each_of_next(self, stitch: str, around: bool, count: int) -> str:
        return self.terms.say(
            "each_of_next",
            stitch=stitch,
            preposition=self._preposition(around),
            count=count,
            units=self.counted(count),
        )

    def each_around(self, stitch: str, around: bool) -> str:
        return self.terms.say(
            "each_around", stitch=stitch, preposition=self._preposition(around), unit=self.unit
        )

    def skipped(self, stitch: str, around: bool, count: int, lean: Lean) -> str:
        return self.terms.say(
            f"cross_{lean}",
            count=count,
            made=self.terms.words["st" if count == 1 else "sts"],
            units=self.counted(count),
            first=self.next_many(stitch, around, count),
            stitch=stitch,
            preposition=self._preposition(around),
        )


def _places(worked_into: WorkedInto, terms: Terms) -> _Places:
    one, many = _UNITS[worked_into]
    return _Places(terms=terms, unit=terms.words[one], units=terms.words[many])


def _phrase(step: Step, places: _Places, depth: int) -> str:
    terms = places.terms
    match step:
        case Work(stitch, count):
            return places.next_many(terms.abbreviation(stitch), is_post(stitch), count)
        case IntoOne(stitches):
            return places.next_one(_shell(stitches, terms), all(map(is_post, stitches)))
        case Together(stitches):
            return _together(stitches, places)
        case Cross(over, stitch, lean):
            return places.skipped(terms.abbreviation(stitch), is_post(stitch), over, lean)
        case Skip(count):
            return terms.say("skip", count=count, units=places.counted(count))
        case Chain():
            return _chain(step, terms)
        case Repeat(times, (IntoOne(stitches),)):
            return places.each_of_next(_shell(stitches, terms), all(map(is_post, stitches)), times)
        case Repeat(times, inner):
            words = ", ".join(_phrase(each, places, depth + 1) for each in inner)
            return terms.say("repeat_round" if depth % 2 else "repeat_square", steps=words, times=times)
        case _:
            assert_never(step)


def _ring_phrases(steps: Sequence[Step], terms: Terms) -> Iterator[str]:
    for step in steps:
        match step:
            case Work(stitch, count):
                yield terms.say("ring", count=count, stitch=terms.abbreviation(stitch))
            case IntoOne(stitches):
                for stitch, run in groupby(stitches):
                    yield terms.say("ring", count=len(list(run)), stitch=terms.abbreviation(stitch))
            case Chain():
                yield _chain(step, terms)
            case Repeat(times, inner):
                words = ", ".join(_ring_phrases(inner, terms))
                yield terms.say("repeat_square", steps=words, times=times)
            case _:
                raise ValueError(f"{step} uses up stitches, and a ring has none.")


def _shell(stitches: Sequence[str], terms: Terms) -> str:
    """Return several stitches for one place; only equal ones stand without brackets."""
    runs = _runs(stitches, terms)
    if len(runs) == 1 and len(stitches) > 1 and stitches[0] != "ch":
        return runs[0]
    return f"({', '.join(runs)})"


def _runs(stitches: Sequence[str], terms: Terms) -> list[str]:
    return [_run(stitch, len(list(run)), terms) for stitch, run in groupby(stitches)]


def _run(stitch: str, count: int, terms: Terms) -> str:
    if stitch == "ch":
        return _chain(Chain(count, count), terms)
    return f"{count} {terms.abbreviation(stitch)}" if count > 1 else terms.abbreviation(stitch)


def _together(stitches: tuple[str, ...], places: _Places) -> str:
    count = len(stitches)
    first = stitches[0]
    if len(set(stitches)) == 1 and 2 <= count <= _LARGEST_TOGETHER and first not in PLAIN_CODES:
        return places.terms.abbreviation(f"{first}{count}tog")
    legs = ", ".join(_runs(stitches, places.terms))
    return places.terms.say("together", stitches=legs, count=count, units=places.counted(count))


def _chain(chain: Chain, terms: Terms) -> str:
    match chain.counts_as_stitch_count:
        case 0:
            return terms.say("chain", count=chain.count)
        case 1:
            return terms.say("chain_counts_one", count=chain.count)
        case counting:
            return terms.say("chain_counts_many", count=chain.count, counting=counting)


def _write_start(start: Start, terms: Terms) -> str:
    sentence = "start_counts" if start.counts_as_stitch else "start_does_not_count"
    return terms.say(sentence, count=start.chain_count)


def _write_join(round_: Round, terms: Terms) -> str:
    if round_.join is None:
        return ""
    counts = round_.start is not None and round_.start.counts_as_stitch
    return "; " + terms.say("join_start" if counts else "join_first")


def _capitalised(sentence: str) -> str:
    return sentence[0].upper() + sentence[1:]
