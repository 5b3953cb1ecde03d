"""What the parser hands to a rule, taken apart: numbers, units and columns."""

from dataclasses import replace
from typing import Any, TypeVar, cast

from service.domain.stitches import PLAIN_CODES
from service.notation.faults import NotUnderstood
from service.notation.lexer import Token
from service.notation.tree import (
    ONE,
    Into,
    Named,
    Numeral,
    Piece,
    Place,
    PlaceKind,
    Stitches,
    StitchWord,
    Tally,
    Unit,
)

__all__ = [
    "Parts",
    "column_of",
    "distinct",
    "done_again",
    "first_of_type",
    "has_kind",
    "has_plural",
    "is_row_word",
    "legs_of",
    "lone",
    "named_in",
    "number_in",
    "number_of",
    "numeral_of",
    "place_rule",
    "placed_at",
    "round_number",
    "several_of",
    "sizes_of",
    "tally_of",
    "unit_in",
    "with_manner",
    "worded_number",
]

Parts = list[Any]
T = TypeVar("T")


def numeral_of(word: Token) -> Numeral:
    if "@" not in word.value:
        return Numeral((int(word.value),), (word.column,))
    pairs = [part.split("@") for part in word.value.split()]
    return Numeral(tuple(int(value) for value, _ in pairs), tuple(int(column) for _, column in pairs))


def number_in(parts: Parts) -> Numeral | None:
    return next(
        (numeral_of(part) for part in parts if isinstance(part, Token) and part.type == "NUMBER"), None
    )


def number_of(parts: Parts) -> Numeral:
    number = number_in(parts)
    assert number is not None
    return number


def has_kind(parts: Parts, kind: str) -> bool:
    return any(isinstance(part, Token) and part.type == kind for part in parts)


def is_row_word(word: Token) -> bool:
    return word.value.startswith("row")


def legs_of(stitch: Token) -> Numeral | None:
    """Return how many stitches are worked together, where the word for them says so."""
    if not stitch.legs_column:
        return None
    return Numeral((int(stitch.value[-4]),), (stitch.legs_column,))


def has_plural(parts: Parts) -> bool:
    """Return whether what is worked into is named as several: ``skipped sts``."""
    named = first_of_type(parts, Named)
    return named is not None and named.is_plural


def first_of_type(parts: Parts, kind: type[T]) -> T | None:
    return next((part for part in parts if isinstance(part, kind)), None)


def column_of(parts: Parts) -> int:
    """Return the column in which a rule's words begin."""
    for part in parts:
        if isinstance(part, Token):
            return part.column
        if hasattr(part, "column"):
            return cast(int, part.column)
    return 1


def sizes_of(numbers: list[Numeral]) -> Numeral:
    return Numeral(
        tuple(value for number in numbers for value in number.values),
        tuple(column for number in numbers for column in number.columns),
    )


def tally_of(number: Numeral, named: Named | None) -> Tally:
    if named is None:
        return Tally(number, False)
    return Tally(number, named.unit == "space", "ch" if named.unit == "ch" else named.stitch, named.length)


def distinct(tallies: tuple[Tally, ...]) -> tuple[Tally, ...]:
    """Return the parts of a count, each of another kind.

    Raises
    ------
    NotUnderstood
        If two of them name the same.
    """
    named = set()
    for tally in tallies:
        name = (tally.is_spaces, tally.stitch, tally.length.values if tally.length else None)
        if name in named:
            raise NotUnderstood(
                column=tally.number.columns[0],
                code="unexpected",
                detail="Two numbers of this count name the same. Give each kind of stitch once.",
            )
        named.add(name)
    return tallies


def lone(stitch: StitchWord) -> Stitches:
    return Stitches(stitch, None, None, stitch.column)


def several_of(stitch: StitchWord | Stitches) -> Stitches:
    """Return stitches, one where only the stitch is named."""
    return stitch if isinstance(stitch, Stitches) else lone(stitch)


def placed_at(several: Stitches, place: Place) -> Stitches:
    return replace(several, place=place)


def done_again(piece: Piece, before: Piece) -> Piece:
    """Return a piece that names a place only as what was done just before, done there.

    Raises
    ------
    NotUnderstood
        If it is not clear what that is.
    """
    if not isinstance(piece, Stitches) or piece.stitch is not None or piece.place is None:
        return piece
    match before:
        case Stitches(place=Place()):
            return replace(before, place=piece.place, column=piece.column)
        case Into():
            return replace(before, place=piece.place, column=piece.column)
    raise NotUnderstood(column=piece.column, code="unexpected", detail="Name the stitch that goes here.")


def worded_number(word: Token) -> Numeral:
    """Return the number that once or twice stands for; it has no digits to change."""
    return Numeral((int(word.value),), ())


def with_manner(code: Token, manner: Token) -> str:
    if code.value.startswith(("fp", "bp", "fl", "bl")) or code.value in PLAIN_CODES:
        raise NotUnderstood(
            column=code.column, code="unexpected", detail="This stitch cannot be worked in that manner."
        )
    return f"{manner.value}{code.value}"


def round_number(numeral: Numeral) -> int:
    if len(numeral.values) > 1:
        raise NotUnderstood(
            column=numeral.columns[0],
            code="unexpected",
            detail="A round has one number, the same for all sizes.",
        )
    return numeral.values[0]


def place_rule(target: PlaceKind) -> Any:
    """Return a rule method for a place that is known by its kind, its number and what it is called."""

    def build(self: object, parts: Parts) -> Place:
        named = named_in(parts)
        return Place(
            kind=target,
            column=column_of(parts),
            unit=named.unit,
            count=number_in(parts) or ONE,
            leave=first_of_type(parts, Numeral),
            stitch=named.stitch,
            length=named.length,
            is_last=has_kind(parts, "LAST"),
        )

    return build


def named_in(parts: Parts) -> Named:
    return first_of_type(parts, Named) or Named()


def unit_in(parts: Parts) -> Unit:
    return named_in(parts).unit
