"""What is asked of a whole tree: what it says, and whether it names stitches to work into."""

from collections.abc import Iterable
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Any

from service.notation.tree import (
    BackWork,
    Fill,
    Into,
    Merged,
    Piece,
    Place,
    SkipStitches,
    Stitches,
    Times,
)

__all__ = ["names_kinds", "without_columns"]


def names_kinds(pieces: Iterable[Piece]) -> bool:
    """Return whether any place is called by the stitch that is there.

    Examples
    --------
    >>> from service.notation.reader import read_line
    >>> [read_line(text, "us").names_kinds for text in ("[sc in next st] around", "[sc in next dc] around")]
    [False, True]
    """
    return any(map(_names_a_kind, pieces))


def _names_a_kind(piece: Piece) -> bool:
    match piece:
        case Stitches(_, _, Place() as place) | BackWork(_, _, Stitches(_, _, Place() as place)):
            return bool(place.stitch)
        case Into(_, place) | Merged(_, _, Place() as place):
            return bool(place.stitch)
        case SkipStitches():
            return bool(piece.stitch)
        case Times(inner) | Fill(inner):
            return names_kinds(inner)
    return False


def without_columns(node: Any) -> Any:
    """Return what a tree says, wherever its words stand: two that are counted alike come out equal.

    Examples
    --------
    >>> from service.notation.tree import ONE, MagicRing, Times
    >>> here, there = Times((MagicRing(3),), ONE, 0, 3), Times((MagicRing(9),), ONE, 0, 8)
    >>> without_columns(here) == without_columns(there)
    True
    """
    if isinstance(node, tuple):
        return tuple(map(without_columns, node))
    names = _telling_fields(node.__class__)
    if names is None:
        return node
    return (type(node), *(without_columns(getattr(node, name)) for name in names))


#: Where words stand and what they cost to count, which says nothing of what is done.
_UNTELLING = frozenset(["column", "columns", "offset", "cost", "text", "terms_id"])


@cache
def _telling_fields(kind: type) -> tuple[str, ...] | None:
    """Return the fields of a kind of node that say what is done, ``None`` for a plain value."""
    if not is_dataclass(kind):
        return None
    return tuple(field.name for field in fields(kind) if field.name not in _UNTELLING)
