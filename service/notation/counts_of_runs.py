"""Tell a count for each round of a run, ``Rnds 5-6: … (24, 48)``, from a count for each size."""

from service.notation.faults import Fault
from service.notation.numerals import numerals_in
from service.notation.tree import Count, Line

__all__ = ["counts_rounds", "refused_rounds"]


def counts_rounds(line: Line | Fault) -> bool:
    """Return whether a run of rounds declares as many counts as it has rounds, and gives no other sizes.

    Examples
    --------
    >>> from service.notation.reader import read_line
    >>> counts_rounds(read_line("Rnds 5-6: 2 sc in each st around. (24, 48)", "us"))
    True
    """
    if isinstance(line, Fault) or line.label is None or line.label.round_count < 2 or not line.is_sized:
        return False
    sized = [role for role, numeral in numerals_in(line.pieces) if len(numeral.values) > 1]
    lengths = {len(numeral.values) for _, numeral in numerals_in(line.pieces)} - {1}
    return sized == ["declared"] and lengths == {line.label.round_count}


def refused_rounds(line: Line | Fault) -> Line | Fault:
    """Return the refusal of such a line.

    Examples
    --------
    >>> from service.notation.reader import read_line
    >>> refused_rounds(read_line("Rnds 5-6: 2 sc in each st around. (24, 48)", "us")).code
    'ambiguous'
    """
    if isinstance(line, Fault):
        return line
    column = next(piece.column for piece in line.pieces if isinstance(piece, Count))
    detail = "These may be the counts of the rounds or of the sizes. Write a line for each round."
    return Fault(1, column + line.offset, "ambiguous", detail)
