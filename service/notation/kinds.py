"""Which stitches a round is made of, and which ones are asked for by name: both in their order.

A row has one byte for each stitch or chain space, so that a long round is compared in a few operations.
Convention: a stitch is what its base is. ``dc`` is also a ``dc`` round a post, in one loop or with several
legs, since makers count them all as ``dc``; ``FPdc`` and ``BPdc`` differ, since who writes that means it.
"""

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache

from service.domain.steps import Chain, Cross, IntoOne, Repeat, Step, Together, Work
from service.notation.faults import Fault
from service.notation.lexicon import Word, lexicon_for
from service.notation.terms import TERMS, TermsId
from service.notation.units import UNNAMED_STITCH, ordinal

__all__ = [
    "ANY_STITCH",
    "MOST_DEMANDS",
    "Demand",
    "MadeOf",
    "abbreviation_of",
    "base_of",
    "chains_in",
    "has_legs",
    "is_kind",
    "space_demands",
    "stitch_demands",
    "stitches_in",
    "tally_of_kinds",
]

#: A stitch of which nobody says what it is: it is taken for what it is called.
ANY_STITCH = ""
#: Names of stitches to work into that one line may have (convention; a byte tells them apart).
MOST_DEMANDS = 250
_LONGEST = 255
_CODE = re.compile(r"(?P<manner>fp|bp|fl|bl)?(?P<base>\w+?)(?:[2-8]tog)?")


@dataclass(frozen=True, slots=True)
class MadeOf:
    """What a round is made of: the steps, and before them perhaps a chain that counts as a stitch.

    ``chain_as`` is the code of that stitch, empty where nobody says, ``None`` for no such chain.
    Where increases or decreases were of no named stitch, those of the shortest one may be of any.
    ``is_turned`` tells that the work was turned since, so that the last stitch comes first.
    """

    steps: tuple[Step, ...]
    chain_as: str | None = None
    has_unnamed: bool = False
    is_turned: bool = False


@dataclass(frozen=True, slots=True)
class Demand:
    """A stitch or a chain space that is named to be worked into, and the column where it is."""

    stitch: str
    length: int
    column: int


@lru_cache(maxsize=1024)
def is_kind(code: str, named: str) -> bool:
    """Return whether a stitch may be called by the name of another.

    Examples
    --------
    >>> is_kind("fpdc2tog", "dc"), is_kind("fpdc", "bpdc"), is_kind("sc", "dc"), is_kind("", "dc")
    (True, False, False, True)
    """
    if code == ANY_STITCH:
        return True
    made, wanted = _CODE.fullmatch(code), _CODE.fullmatch(named)
    assert made is not None
    assert wanted is not None
    return made["base"] == wanted["base"] and wanted["manner"] in (None, made["manner"])


def has_legs(code: str) -> bool:
    """Return whether a code says how many stitches are worked together.

    Examples
    --------
    >>> has_legs("dc2tog"), has_legs("dc")
    (True, False)
    """
    return code.endswith("tog")


def base_of(code: str) -> str:
    """Return the stitch without its post or loop and its legs.

    Examples
    --------
    >>> base_of("fpdc2tog"), base_of("sl_st")
    ('dc', 'sl_st')
    """
    made = _CODE.fullmatch(code)
    assert made is not None
    return made["base"]


@cache
def abbreviation_of(code: str, terms_id: TermsId) -> str:
    """Return how a stitch is written, also one that is only read.

    Examples
    --------
    >>> abbreviation_of("fpdc", "uk"), abbreviation_of("edc", "uk"), abbreviation_of("blcl", "us")
    ('FPtr', 'etr', 'cl')
    """
    try:
        return TERMS[terms_id].abbreviation(code)
    except ValueError:
        words = lexicon_for(terms_id).words.items()
        return next(text for text, word in words if word == Word("STITCH", base_of(code)))


def tally_of_kinds(made: MadeOf, *, with_legs: bool = False) -> Counter[str]:
    """Return how many stitches of each code a round is made of; ``dc2tog`` apart only if asked for.

    Examples
    --------
    >>> dict(tally_of_kinds(MadeOf((Repeat(6, (Work("sc", 1), Together(("dc", "dc")))),), chain_as="dc")))
    {'dc': 7, 'sc': 6}
    >>> dict(tally_of_kinds(MadeOf((Together(("dc", "dc")), Work("dc"))), with_legs=True))
    {'dc2tog': 1, 'dc': 1}
    """
    tally: Counter[str] = Counter()
    if made.chain_as is not None:
        tally[made.chain_as] += 1
    _add_up(tally, made.steps, 1, with_legs=with_legs)
    if made.has_unnamed:
        tally[ANY_STITCH] += tally.pop(UNNAMED_STITCH, 0)
    return tally


def stitches_in(steps: Iterable[Step]) -> Iterator[tuple[str, int]]:
    """Yield the stitches that steps make, in their order; what is repeated comes once.

    Examples
    --------
    >>> list(stitches_in([Repeat(6, (Work("sc", 2), Chain(2)))]))
    [('sc', 2)]
    """
    for step in steps:
        if isinstance(step, Repeat):
            yield from stitches_in(step.steps)
        else:
            yield from _kinds_of(step)


def _add_up(tally: Counter[str], steps: Iterable[Step], times: int, *, with_legs: bool) -> None:
    for step in steps:
        if isinstance(step, Repeat):
            _add_up(tally, step.steps, times * step.times, with_legs=with_legs)
        elif with_legs and isinstance(step, Together) and len(set(step.stitches)) == 1:
            tally[f"{step.stitches[0]}{len(step.stitches)}tog"] += times
        else:
            for code, count in _kinds_of(step):
                tally[code] += times * count


def _kinds_of(step: Step) -> Iterator[tuple[str, int]]:
    """Yield the stitches that a step makes, in their order."""
    match step:
        case Work(stitch, count):
            yield stitch, count
        case IntoOne(stitches):
            yield from ((ANY_STITCH if stitch == "ch" else stitch, 1) for stitch in stitches)
        case Together(stitches):
            yield stitches[0] if len(set(stitches)) == 1 else ANY_STITCH, 1
        case Cross(over, stitch):
            yield stitch, 2 * over
        case Chain(_, counting) if counting:
            yield ANY_STITCH, counting


def chains_in(steps: Iterable[Step]) -> int:
    """Return how many chains are made between the stitches.

    Examples
    --------
    >>> chains_in([Repeat(6, (Chain(2), Work("dc")))])
    12
    """
    count = 0
    for step in steps:
        if isinstance(step, Repeat):
            count += step.times * chains_in(step.steps)
        elif isinstance(step, Chain):
            count += step.count - step.counts_as_stitch_count
    return count


def stitch_demands(
    asked: bytes, demands: Sequence[Demand], made: MadeOf | None, terms_id: TermsId
) -> tuple[Fault, ...]:
    """Return a fault for each place whose stitches are not what it calls them.

    Parameters
    ----------
    asked
        For each stitch of the round before, which demand it is to meet, from 1; 0 for none.
    demands
        What is called by name.
    made
        What the round before is made of, if that is known.
    terms_id
        The terms to speak in.

    Examples
    --------
    >>> made = MadeOf((Work("sc", 2), Work("dc", 1)))
    >>> stitch_demands(bytes([1, 1, 1]), [Demand("sc", 0, 9)], made, "uk")[0].detail
    'The 3rd stitch of the round before is tr, not dc.'
    """
    if not asked.strip(b"\0"):
        return ()
    if made is None:
        first = demands[next(filter(None, asked)) - 1]
        detail = "Nothing says which stitches the round before has, so their names are not compared."
        return (Fault(1, first.column, "kind_unknown", detail),)
    codes: dict[str, int] = {ANY_STITCH: 0}
    row = _row_of(made, codes)
    names = list(codes)
    found = []
    for named in dict.fromkeys(demand.stitch for demand in demands if demand.stitch):
        wrong = bytes(number for code, number in codes.items() if number and not is_kind(code, named))
        for index, place in _unmet(asked, _asking(demands, named, 0), row, wrong):
            there = abbreviation_of(names[row[place]], terms_id)
            wanted = abbreviation_of(named, terms_id)
            detail = f"The {ordinal(place + 1)} stitch of the round before is {there}, not {wanted}."
            found.append(Fault(1, demands[index].column, "kind_differs", detail))
    return tuple(found)


def space_demands(asked: bytes, demands: Sequence[Demand], lengths: bytes) -> tuple[Fault, ...]:
    """Return a fault for each place whose chain spaces have another length than it calls them.

    Chains of 255 and more are compared as one length; a length of 0 is not known, and is taken for any.

    Examples
    --------
    >>> space_demands(bytes([1, 1]), [Demand("", 3, 12)], bytes([3, 2]))[0].detail
    'The 2nd chain space of the round before is a ch-2 sp, not a ch-3 sp.'
    """
    if not asked.strip(b"\0"):
        return ()
    found = []
    for length in dict.fromkeys(demand.length for demand in demands if demand.length):
        wrong = bytes(other for other in set(lengths) if other not in (0, min(length, _LONGEST)))
        for index, place in _unmet(asked, _asking(demands, "", length), lengths, wrong):
            detail = (
                f"The {ordinal(place + 1)} chain space of the round before is a ch-{lengths[place]} sp, "
                f"not a ch-{length} sp."
            )
            found.append(Fault(1, demands[index].column, "kind_differs", detail))
    return tuple(found)


def _asking(demands: Sequence[Demand], stitch: str, length: int) -> bytes:
    """Return the numbers of the demands for one kind."""
    return bytes(
        number
        for number, demand in enumerate(demands, start=1)
        if demand.stitch == stitch and demand.length == length
    )


def _unmet(asked: bytes, asking: bytes, row: bytes, wrong: bytes) -> list[tuple[int, int]]:
    """Return each demand that is not met, and the first place where it is not."""
    length = min(len(asked), len(row))
    wanted = _marked(asked[:length], asking)
    differing = wanted & _marked(row[:length], wrong)
    if not differing:
        return []
    unmet = (differing & int.from_bytes(asked[:length])).to_bytes(length)
    return [(number - 1, unmet.index(number)) for number in sorted(set(unmet) - {0})]


def _marked(row: bytes, numbers: bytes) -> int:
    """Return the row as one number, in which all bits are set where it has one of the numbers."""
    table = bytearray(256)
    for number in numbers:
        table[number] = 255
    return int.from_bytes(row.translate(table))


def _row_of(made: MadeOf, codes: dict[str, int]) -> bytes:
    """Return a number for each stitch of a round; ``codes`` learns which number stands for what."""
    if made.has_unnamed:
        codes[UNNAMED_STITCH] = 0
    chain = b"" if made.chain_as is None else bytes([_number_of(made.chain_as, codes)])
    row = chain + _row_of_steps(made.steps, codes)
    return row[::-1] if made.is_turned else row


def _row_of_steps(steps: Iterable[Step], codes: dict[str, int]) -> bytes:
    row = bytearray()
    for step in steps:
        if isinstance(step, Repeat):
            row += _row_of_steps(step.steps, codes) * step.times
        else:
            for code, count in _kinds_of(step):
                row += bytes([_number_of(code, codes)]) * count
    return bytes(row)


def _number_of(code: str, codes: dict[str, int]) -> int:
    return codes.setdefault(code, len(codes))
