"""Tell whether the work is turned before a row or after it, and where a row may be met from either end."""

from collections.abc import Sequence

from service.notation.faults import NotUnderstood
from service.notation.starting_chains import COUNTED
from service.notation.tree import MakeChain, Piece, Remark

__all__ = ["NOT_TURNED", "TURNED", "turns_of"]

TURNED, NOT_TURNED = "TURN", "NOT_TURN"


def turns_of(pieces: Sequence[Piece]) -> tuple[bool | None, bool | None]:
    """Return whether the work is turned before the stitches of a line, and after them.

    ``None`` stands where nothing is said. A line without stitches turns at its end.

    Raises
    ------
    NotUnderstood
        If the work is turned between stitches, as in short rows.

    Examples
    --------
    >>> from service.notation.reader import read_line
    >>> turns_of(read_line("Ch 1, turn, sc in each st", "us").pieces)
    (True, None)
    >>> turns_of(read_line("Sc in each st, do not turn", "us").pieces)
    (None, False)
    """
    said = [
        (index, piece.kind == TURNED)
        for index, piece in enumerate(pieces)
        if isinstance(piece, Remark) and piece.kind in (TURNED, NOT_TURNED)
    ]
    if not said:
        return None, None
    worked = [
        index
        for index, piece in enumerate(pieces)
        if isinstance(piece, COUNTED) and not isinstance(piece, MakeChain)
    ]
    first, last = (worked[0], worked[-1]) if worked else (-1, -1)
    for index, is_turned in said:
        if is_turned and first < index < last:
            raise NotUnderstood(
                column=pieces[index].column,
                code="not_countable",
                detail="The work is turned before the end of the row, so its rest is not counted.",
            )
    return _turned([each for index, each in said if index < first]), _turned(
        [each for index, each in said if index > last]
    )


def _turned(said: Sequence[bool]) -> bool | None:
    """Return whether the work ends up turned; turned twice it is as before."""
    return sum(said) % 2 == 1 if said else None
