"""Leave out the slip stitches that only carry the hook to where a round begins.

``Sl st in next ch-1 sp, ch 3, 2 dc in same sp``: the slip stitch is no stitch of the round, and the round
begins in the chain space. Convention, as makers count: slip stitches travel where a starting chain that says
what it counts as, or stitches in the same place, follow them; anywhere else they are stitches like others.
"""

from collections.abc import Sequence
from dataclasses import replace

from service.notation.starting_chains import COUNTED
from service.notation.tree import ChainNote, Into, MakeChain, Piece, Place, Stitches

__all__ = ["without_travel"]


def without_travel(pieces: Sequence[Piece]) -> Sequence[Piece]:
    """Return the pieces of a round from where it begins; the same pieces where nothing travels."""
    counted = [index for index, piece in enumerate(pieces) if isinstance(piece, COUNTED)]
    travelled = 0
    while travelled < len(counted) and _is_travel(pieces[counted[travelled]]):
        travelled += 1
    if travelled in (0, len(counted)):
        return pieces
    last = pieces[counted[travelled - 1]]
    assert isinstance(last, Stitches)
    rest = [piece for index, piece in enumerate(pieces) if index not in counted[:travelled]]
    return _begun_at(rest, last.place, pieces)


def _is_travel(piece: Piece) -> bool:
    match piece:
        case Stitches(stitch, _, place) if stitch is not None and stitch.code == "sl_st":
            return place is None or place.kind in ("next", "each_of_next", "first")
    return False


def _begun_at(rest: list[Piece], place: Place | None, pieces: Sequence[Piece]) -> Sequence[Piece]:
    """Return the rest of a round with its beginning in a place, or the whole if nothing says that it is."""
    here = Place("next", 1) if place is None else replace(place, kind="next", count=None)
    index = next(index for index, piece in enumerate(rest) if isinstance(piece, COUNTED))
    first = rest[index]
    if isinstance(first, MakeChain):
        noted = any(isinstance(piece, ChainNote) for piece in rest)
        follower = next((piece for piece in rest[index + 1 :] if isinstance(piece, COUNTED)), None)
        in_same = isinstance(follower, Stitches | Into) and _is_same(follower.place)
        if first.counts is None and not noted and not in_same and here.unit != "space":
            return pieces
        return [*rest[:index], replace(first, place=here), *rest[index + 1 :]]
    if isinstance(first, Stitches | Into) and _is_same(first.place):
        return [*rest[:index], replace(first, place=here), *rest[index + 1 :]]
    return pieces


def _is_same(place: Place | None) -> bool:
    return place is not None and place.kind == "same"
