"""Tell a stitch that joins yarn where a round begins, and is its first, from a join at its end."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from service.notation.building_parts import column_of, first_of_type
from service.notation.tree import (
    ONE,
    BackWork,
    Fill,
    Into,
    Join,
    JoiningStitch,
    MakeChain,
    Merged,
    Named,
    Piece,
    Place,
    Remark,
    SetFoundation,
    SkipStitches,
    Stitches,
    StitchWord,
    Times,
)

__all__ = ["Standing", "joined_with", "settled"]

_WORKED = (Stitches, Merged, Times, Fill, Into, SkipStitches, MakeChain, BackWork)


@dataclass(frozen=True, slots=True)
class Standing:
    """A join with a stitch: ``stitches`` where the round begins with it, else the join."""

    stitches: JoiningStitch
    join: Piece
    column: int


def joined_with(parts: Sequence[Any], join: Join | Remark | SetFoundation) -> Piece | Standing:
    """Return a join, as one that may be a stitch where it is made with any but a slip stitch."""
    stitch = first_of_type(list(parts), StitchWord)
    is_ring = "ring" in parts
    forms_other = isinstance(join, Join) and (join.into or (join.forms_ring and not is_ring))
    if stitch is None or stitch.code == "sl_st" or forms_other:
        return join
    column = column_of(list(parts))
    named = first_of_type(list(parts), Named) or Named()
    place = Place(
        "ring" if is_ring else "next",
        stitch.column,
        named.unit,
        ONE,
        stitch=named.stitch,
        length=named.length,
    )
    return Standing(JoiningStitch(stitch, None, place, stitch.column), join, column)


def settled(piece: Piece | Standing, before: Sequence[Piece]) -> Piece:
    """Return a piece as what it is behind those before it."""
    if not isinstance(piece, Standing):
        return piece
    return piece.join if any(isinstance(each, _WORKED) for each in before) else piece.stitches
