"""Leave out the slip stitches that only carry the hook to where a round begins.

``Sl st in next ch-1 sp, ch 3, 2 dc in same sp``: the slip stitch is no stitch of the round, and the round
begins in the chain space. Convention, as makers count: slip stitches travel where a starting chain that says
what it counts as, or stitches in the same place, follow them; anywhere else they are stitches like others.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import TypeAlias

from service.notation.starting_chains import COUNTED
from service.notation.tree import (
    ONE,
    ChainNote,
    Into,
    MakeChain,
    NoStartChain,
    Numeral,
    Piece,
    Place,
    Stitches,
)

__all__ = ["without_travel"]

#: The stitch that the last slip stitch goes into is not passed: the round begins in it.
_LESS_ONE = Numeral((-1,), ())


#: The numbers of the stitches that are passed.
Passed: TypeAlias = tuple[Numeral, ...]


def without_travel(pieces: Sequence[Piece]) -> tuple[Sequence[Piece], Passed | None]:
    """Return the pieces of a round from where it begins, and which stitches are passed before it.

    Those may be left over at the end. Where nothing travels, they are none, and the pieces the same.
    """
    if any(isinstance(piece, NoStartChain) for piece in pieces):
        return pieces, None
    counted = [index for index, piece in enumerate(pieces) if isinstance(piece, COUNTED)]
    travelled = 0
    while travelled < len(counted) and _is_travel(pieces[counted[travelled]]):
        travelled += 1
    if travelled in (0, len(counted)):
        return pieces, None
    slips = [piece for index in counted[:travelled] if isinstance(piece := pieces[index], Stitches)]
    rest = [piece for index, piece in enumerate(pieces) if index not in counted[:travelled]]
    begun = _begun_at(rest, slips[-1].place)
    return (pieces, None) if begun is None else (begun, _passed(slips))


def _passed(slips: Sequence[Stitches]) -> Passed:
    """Return the numbers of the stitches that slip stitches pass, without the one the round begins in."""
    places = [slip.place for slip in slips]
    passed = [
        (slip.amount if place is None else place.count) or ONE
        for slip, place in zip(slips, places, strict=True)
        if place is None or place.unit != "space"
    ]
    last = places[-1]
    return tuple(passed) if last is not None and last.unit == "space" else (*passed, _LESS_ONE)


def _is_travel(piece: Piece) -> bool:
    match piece:
        case Stitches(stitch, _, place) if stitch is not None and stitch.code == "sl_st":
            return place is None or place.kind in ("next", "each_of_next", "first")
    return False


def _begun_at(rest: list[Piece], place: Place | None) -> Sequence[Piece] | None:
    """Return the rest of a round with its beginning in a place, or nothing if it does not say so."""
    here = Place("next", 1) if place is None else replace(place, kind="next", count=None)
    index = next(index for index, piece in enumerate(rest) if isinstance(piece, COUNTED))
    first = rest[index]
    if isinstance(first, MakeChain):
        noted = any(isinstance(piece, ChainNote) for piece in rest)
        follower = next((piece for piece in rest[index + 1 :] if isinstance(piece, COUNTED)), None)
        in_same = isinstance(follower, Stitches | Into) and _is_same(follower.place)
        if first.counts is None and not noted and not in_same and here.unit != "space":
            return None
        return [*rest[:index], replace(first, place=here), *rest[index + 1 :]]
    if isinstance(first, Stitches | Into) and _is_same(first.place):
        return [*rest[:index], replace(first, place=here), *rest[index + 1 :]]
    return None


def _is_same(place: Place | None) -> bool:
    return place is not None and place.kind == "same"
