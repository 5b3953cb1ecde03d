"""The count that a line declares, read from its tree or, where it has none, from its end."""

import re
from collections.abc import Sequence

from service.notation.counting import PieceCourse
from service.notation.tree import Count, Piece
from service.notation.units import Change

__all__ = ["declared_at_end", "declared_in"]

_LONGEST_COUNT = 200
_COUNT_AT_END = re.compile(
    r"(?:[\[({]|[–—=]|\.\s|\s-\s)\s?(?P<numbers>\d[\d, (]{0,150}\)?)\s?(?:sts?|stitches)?[\])}]?[\s.]{0,8}$",
    re.IGNORECASE,
)


def declared_in(
    pieces: Sequence[Piece], size: int, change: Change | None = None, *, spaces: bool = False
) -> int | None:
    """Return the stitches, or the chain spaces, that a line declares for a size, or nothing.

    Raises
    ------
    NotUnderstood
        If the count is given for fewer sizes.
    """
    course = PieceCourse(None, None, size=size, change=change)
    for piece in pieces:
        if isinstance(piece, Count):
            parts = [course.number(tally.number) for tally in piece.tallies if tally.is_spaces == spaces]
            if parts:
                return sum(parts)
    return None


def declared_at_end(text: str, size: int) -> int | None:
    """Return the count at the end of a line that cannot be read, for a size.

    Examples
    --------
    >>> declared_at_end("Rnd 3: something odd. (80)", 0), declared_at_end("odd — 60 (66, 72) sts", 2)
    (80, 72)
    >>> declared_at_end("Rnd 3: something odd", 0)
    """
    found = _COUNT_AT_END.search(text[-_LONGEST_COUNT:])
    if found is None:
        return None
    numbers = [int(number) for number in re.findall(r"\d{1,5}", found["numbers"])]
    return numbers[size] if size < len(numbers) else numbers[0]
