"""Compare what a line calls the stitches and spaces it works into with what is there."""

from dataclasses import replace

from service.domain.steps import Work
from service.notation.faults import Fault
from service.notation.kinds import MadeOf, space_demands, stitch_demands
from service.notation.made_before import MadeBefore, Realized, turned_over
from service.notation.terms import TermsId

__all__ = ["unlike_called"]


def unlike_called(worked: Realized, before: MadeBefore, terms_id: TermsId) -> tuple[Fault, ...]:
    """Return a fault for each place that is not what the line calls it, from whichever end it is worked.

    Rows are worked to and fro: where nobody says whether the work is turned, both ways are tried, and names
    that only fit in one of them are not compared.
    """
    faults = _unlike(worked, before, terms_id)
    if not (before.is_row and before.turned is None):
        return faults
    others = _unlike(worked, turned_over(before), terms_id)
    if bool(faults) == bool(others):
        return faults
    first = (faults + others)[0]
    detail = "Nothing says whether the work is turned before this row, so the names are not compared."
    return (replace(first, code="kind_unknown", detail=detail),)


def _unlike(worked: Realized, before: MadeBefore, terms_id: TermsId) -> tuple[Fault, ...]:
    """Return a fault for each place that is not what the line calls it."""
    made_of = before.made_of
    if worked.worked_into == "foundation_edge":
        made_of = MadeOf((Work("ch", before.foundation_stitch_count or 0),))
    stitches = stitch_demands(worked.asked, worked.demands, made_of, terms_id)
    return stitches + space_demands(worked.asked_spaces, worked.demands, before.lengths)
