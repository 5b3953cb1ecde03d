"""Say in words how the declared count of a round differs from what it makes."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from service.notation.declared_counts import Compared, compared_in
from service.notation.faults import Fault
from service.notation.kinds import abbreviation_of, chains_in
from service.notation.made_before import Realized
from service.notation.terms import TermsId
from service.notation.tree import Line
from service.notation.units import count_of_stitches

__all__ = ["with_chains", "wrong_counts"]


def wrong_counts(line: Line, made: Realized, size: int) -> Iterator[Fault]:
    """Yield a fault for each number of the declared count that is not what the round makes.

    It is ``kind_differs`` where all numbers together are right, else ``count_differs``.

    Examples
    --------
    >>> from service.notation.made_before import MadeBefore
    >>> from service.notation.reader import read_line
    >>> from service.notation.realizing import realize
    >>> line = read_line("[sc in next st, dc in next st] 6 times. (6 sc, 7 dc)", "us")
    >>> [fault.detail for fault in wrong_counts(line, realize(line, MadeBefore(12)), 0)]
    ['The round makes 6 dc, not 7.']
    """
    compared = list(compared_in(line.pieces, made, size))
    for each in compared:
        if each.declared != each.made:
            code = "kind_differs" if _add_up(compared, each, made) else "count_differs"
            what = _what(each, line.terms_id)
            yield Fault(1, each.column, code, f"The round makes {each.made} {what}, not {each.declared}.")


def with_chains(wrong: Sequence[Fault], declared: int | None, made: Realized) -> Sequence[Fault]:
    """Return the faults of a count as one, if it is right where the chains are counted as stitches.

    Examples
    --------
    >>> from service.domain.steps import Chain, Repeat, Work
    >>> made = Realized("round", (Repeat(15, (Work("sc"), Chain(1))),), stitch_count=15)
    >>> with_chains([Fault(1, 9, "count_differs", "")], 30, made)[0].code
    'ambiguous'
    """
    chains = chains_in(made.steps)
    if len(wrong) != 1 or not chains or declared is None or wrong[0].code != "count_differs":
        return wrong
    if declared not in (made.stitch_count + chains, made.stitch_count + made.space_count):
        return wrong
    detail = (
        f"The round makes {count_of_stitches(made.stitch_count)} and {chains} ch; the count takes both. "
        "Give them apart: '15 sc, 15 ch-1 sps'."
    )
    return (replace(wrong[0], code="ambiguous", detail=detail),)


def _add_up(compared: Sequence[Compared], wrong: Compared, made: Realized) -> bool:
    """Return whether all stitches, or all chain spaces, that are declared add up to those made."""
    if wrong.tally is None:
        return False
    are_spaces = wrong.tally.is_spaces
    parts = [each for each in compared if each.tally is not None and each.tally.is_spaces == are_spaces]
    total = made.space_count if are_spaces else made.stitch_count
    return sum(each.declared for each in parts) == total


def _what(each: Compared, terms_id: TermsId) -> str:
    tally = each.tally
    if tally is None:
        return "in all"
    if tally.is_spaces:
        if each.made == 1:
            return "chain space" if tally.length is None else f"ch-{tally.length.values[0]} sp"
        return "chain spaces" if tally.length is None else f"ch-{tally.length.values[0]} sps"
    return (
        abbreviation_of(tally.stitch, terms_id)
        if tally.stitch
        else "stitch"
        if each.made == 1
        else "stitches"
    )
