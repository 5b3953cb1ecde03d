"""Find the written numbers of a line, in the order in which a repair tries them."""

from collections.abc import Iterator, Sequence
from typing import Literal

from service.notation.tree import (
    BackWork,
    Closing,
    Count,
    Counts,
    Fill,
    Into,
    MakeChain,
    Merged,
    Numeral,
    Piece,
    Place,
    RoundsAgain,
    SkipStitches,
    Stitches,
    Times,
)

__all__ = ["Role", "fills_up", "numerals_in", "size_counts_in"]

#: What a number says: how often, or how many; the declared count is a role of its own.
Role = Literal["declared", "times", "inside"]


def numerals_in(pieces: Sequence[Piece]) -> Iterator[tuple[Role, Numeral]]:
    """Yield every number that is written with digits, with its role."""
    for piece in pieces:
        for role, numeral in _of_piece(piece):
            if numeral is not None and numeral.columns:
                yield role, numeral


def size_counts_in(pieces: Sequence[Piece]) -> Iterator[tuple[int, int]]:
    """Yield for how many sizes numbers are given, where it is more than one, and in which column."""
    for _, numeral in numerals_in(pieces):
        if len(numeral.values) > 1:
            yield len(numeral.values), numeral.columns[0]


def _of_piece(piece: Piece) -> Iterator[tuple[Role, Numeral | None]]:
    match piece:
        case Count(tallies):
            for tally in tallies:
                yield "declared", tally.number
                yield "declared", tally.length
        case Times(inner, times):
            yield "times", times
            yield from numerals_in(inner)
        case Fill(inner, leave):
            yield "inside", leave
            yield from numerals_in(inner)
        case Into(inner, place) | Merged(inner, _, place):
            yield from numerals_in(inner)
            yield from _of_place(place)
            if isinstance(piece, Merged):
                yield "inside", piece.legs
        case Stitches(stitch, amount, place):
            yield "inside", amount
            yield "inside", None if stitch is None else stitch.legs
            yield from _of_place(place)
        case BackWork(_, made, stitches):
            yield "inside", made
            yield from _of_piece(stitches)
        case _:
            yield from _of_plain_piece(piece)


def _of_plain_piece(piece: Piece) -> Iterator[tuple[Role, Numeral | None]]:
    match piece:
        case SkipStitches(count, length=length):
            yield "inside", count
            yield "inside", length
        case Closing(count):
            yield "inside", count
        case MakeChain(count, counts):
            yield "inside", count
            yield from _of_counts(counts)
        case RoundsAgain(_, again) if again is not None:
            yield "times", again.times


def _of_place(place: Place | None) -> Iterator[tuple[Role, Numeral | None]]:
    if place is not None:
        yield "inside", place.count
        yield "inside", place.leave
        yield "inside", place.length
        yield from _of_counts(place.counts)


def _of_counts(counts: Counts | None) -> Iterator[tuple[Role, Numeral | None]]:
    if counts is not None:
        yield "inside", counts.count


def fills_up(pieces: Sequence[Piece]) -> bool:
    """Return whether anything is done until the round before is used up, however often that is.

    Examples
    --------
    >>> from service.notation.reader import read_line
    >>> [fills_up(read_line(text, "us").pieces) for text in ("sc in next 3 sts", "sc around")]
    [False, True]
    """
    return any(_fills_up(piece) for piece in pieces)


def _fills_up(piece: Piece) -> bool:
    match piece:
        case Fill():
            return True
        case Stitches(_, _, Place(kind)) | Into(_, Place(kind)):
            return kind in ("each", "around", "alternate")
        case Times(inner):
            return fills_up(inner)
    return False
