"""Tell whether the work is turned before a row or after it, and where a row may be met from either end."""

from collections.abc import Sequence

from service.domain.steps import Chain
from service.notation.faults import NotUnderstood
from service.notation.kinds import MadeOf
from service.notation.made_before import MadeBefore
from service.notation.starting_chains import COUNTED, told_of
from service.notation.tree import Line, MakeChain, Piece, Remark

__all__ = ["NOT_TURNED", "TURNED", "ends_in_chain", "is_turning_chain", "turns_of"]

#: The longest chain that only turns; a longer one is a foundation (convention).
LONGEST_TURNING_CHAIN = 6
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


def is_turning_chain(line: Line, counted: Sequence[Piece], before: MadeBefore) -> bool:
    """Return whether a line makes nothing but the chain that turns to the next row: ``Ch 1, turn.``

    Raises
    ------
    NotUnderstood
        If the chain may count in the next row, so that it must be written there.
    """
    if line.label is not None or len(counted) != 1 or before.is_foundation is None:
        return False
    chain = counted[0]
    turns = any(isinstance(piece, Remark) and piece.kind == TURNED for piece in line.pieces)
    if not isinstance(chain, MakeChain) or not turns or max(chain.count.values) > LONGEST_TURNING_CHAIN:
        return False
    told = told_of(chain, line.pieces, before)
    if told is None or told.is_counting:
        raise NotUnderstood(
            column=chain.column,
            code="start_chain_unsaid",
            detail="Write a chain that counts at the beginning of the row it counts in.",
        )
    return True


def ends_in_chain(before: MadeBefore) -> bool:
    """Return whether the last stitch that a row finds is the chain that the row before began with, or may be.

    Examples
    --------
    >>> [ends_in_chain(MadeBefore(9, made_of=MadeOf((), "dc"), turned=each)) for each in (True, False)]
    [True, False]
    """
    if before.made_of is None:
        return True
    return bool(before.turned or before.is_row) and _begins_in_chain(before.made_of)


def _begins_in_chain(made_of: MadeOf) -> bool:
    match made_of.steps:
        case [Chain(_, counting), *_] | [_, Chain(_, counting), *_] if made_of.chain_as is None:
            return counting > 0
    return made_of.chain_as is not None


def _turned(said: Sequence[bool]) -> bool | None:
    """Return whether the work ends up turned; turned twice it is as before."""
    return sum(said) % 2 == 1 if said else None
