"""Refuse a line that holds only what belongs to another: a count, or the stitch that joins the yarn."""

from collections.abc import Sequence

from service.notation.faults import NotUnderstood
from service.notation.tree import Count, JoiningStitch, Line, Piece

__all__ = ["refuse_lone_count", "refuse_lone_join"]


def refuse_lone_join(line: Line, counted: Sequence[Piece]) -> None:
    """Refuse a line without a label that does nothing but join with a stitch.

    Raises
    ------
    NotUnderstood
        If it does, since that is the first stitch of the round that follows.
    """
    if line.label is None and len(counted) == 1 and isinstance(counted[0], JoiningStitch):
        raise NotUnderstood(
            column=counted[0].column,
            code="ambiguous",
            detail="This stitch is the first of a round. Write it in the line of that round.",
        )


def refuse_lone_count(line: Line) -> None:
    """Refuse a count that stands behind no round.

    Raises
    ------
    NotUnderstood
        If there is one.
    """
    for piece in line.pieces:
        if isinstance(piece, Count):
            raise NotUnderstood(
                column=piece.column,
                code="round_missing",
                detail="No round stands before this count. Write it at the end of its round.",
            )
