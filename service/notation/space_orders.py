"""Compare where chain spaces are worked among the stitches with where they stand."""

from collections.abc import Sequence
from dataclasses import replace

from service.notation.faults import Fault
from service.notation.units import count_of_stitches, ordinal

__all__ = ["misplaced_in_row", "misplaced_spaces"]

_SPACE = ord("c")


def misplaced_spaces(used: bytes, columns: Sequence[tuple[int, int]], stands: bytes) -> tuple[Fault, ...]:
    """Return the fault of the first chain space that is worked among other stitches than it stands.

    Convention: a round may begin in the chain space behind its first stitch, and work that stitch last.

    Parameters
    ----------
    used
        The stitches and spaces that a round works into, in its order: ``s`` and ``c``.
    columns
        How much is used up behind each piece that works into spaces, and the column of that piece.
    stands
        What the round before made, in its order.

    Examples
    --------
    >>> misplaced_spaces(b"sscs", [(3, 9)], b"scss")[0].detail
    'The 1st chain space of the round before stands behind 1 stitch, not behind 2 stitches.'
    >>> misplaced_spaces(b"scss", [(2, 9)], b"scss")
    ()
    """
    if stands.startswith(used) or _begun_in_space(stands).startswith(used):
        return ()
    pairs = enumerate(zip(used, stands, strict=False))
    differs = next((index for index, (this, that) in pairs if this != that), None)
    if differs is None:
        return ()
    number = used[:differs].count(_SPACE) + 1
    here, there = (_stitches_before(row, number) for row in (used, stands))
    column = next((column for end, column in columns if end > differs), columns[-1][1])
    detail = (
        f"The {ordinal(number)} chain space of the round before stands behind {count_of_stitches(there)}, "
        f"not behind {count_of_stitches(here)}."
    )
    return (Fault(1, column, "wrong_place", detail),)


def misplaced_in_row(used: bytes, columns: Sequence[tuple[int, int]], stands: bytes) -> tuple[Fault, ...]:
    """Return the same for a row of which nobody says whether the work is turned before it.

    Spaces that stand right from one end only are not compared.

    Examples
    --------
    >>> misplaced_in_row(b"sscs", [(3, 9)], b"scss")[0].code
    'kind_unknown'
    """
    faults, others = (misplaced_spaces(used, columns, row) for row in (stands, stands[::-1]))
    if bool(faults) == bool(others):
        return faults
    detail = "Nothing says whether the work is turned before this row, so its chain spaces are not compared."
    return (replace((faults + others)[0], code="kind_unknown", detail=detail),)


def _begun_in_space(stands: bytes) -> bytes:
    return stands[1:] + stands[:1] if stands.startswith(b"sc") else stands


def _stitches_before(row: bytes, number: int) -> int:
    """Return how many stitches stand before a chain space."""
    at = -1
    for _ in range(number):
        at = row.find(b"c", at + 1)
        if at < 0:
            return row.count(b"s")
    return row[:at].count(b"s")
