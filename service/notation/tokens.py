"""A word of a line: its kind, its value and its place."""

from typing import NamedTuple

__all__ = ["Token", "stands_at"]


class Token(NamedTuple):
    """A word of the grammar: its kind, its value, the column it starts in, counted from 1.

    The parser asks for ``type``, and of the last word of a line for places that are not kept.
    ``legs_column`` is where a stitch says how many are worked together, 0 where it does not.
    """

    type: str
    value: str
    column: int
    line: int = 1
    start_pos: int = 0
    end_line: int = 1
    end_column: int = 0
    end_pos: int = 0
    legs_column: int = 0


def stands_at(tokens: list[Token], index: int, kind: str) -> bool:
    """Return whether the word at a place of a line is of a kind; behind the end there is none."""
    return index < len(tokens) and tokens[index].type == kind
