"""Take the mark from a line that is for some sizes only, as ``Rnd 5 (sizes 1–3 only):``.

The numbers of such a line are for those sizes alone; the other sizes leave it out.
"""

import re

from service.notation.tree import Line

__all__ = ["place_of_size", "without_size_mark"]

_LIST = r"[0-9][0-9\s,&–—and-]{0,60}"
_MARK = re.compile(rf"\(\s*sizes?\s({_LIST})\sonly\s?\)|^\s*sizes?\s({_LIST})\sonly:", re.IGNORECASE)
_SPAN = re.compile(r"([0-9]{1,2})(?:\s?[-–—]\s?([0-9]{1,2}))?")


def without_size_mark(text: str) -> tuple[str, tuple[int, ...]]:
    """Return a line with blanks for its mark, so that no word moves, and the sizes, from 1, that it is for.

    A line without a mark is for all sizes, which is told by none.

    Examples
    --------
    >>> without_size_mark("Rnd 5 (sizes 1–2 and 4 only): Sc around.")
    ('Rnd 5                       : Sc around.', (1, 2, 4))
    >>> without_size_mark("Sc around.")
    ('Sc around.', ())
    """
    mark = _MARK.search(text)
    if mark is None:
        return text, ()
    spans = [(int(span[1]), int(span[2] or span[1])) for span in _SPAN.finditer(mark[1] or mark[2])]
    sizes = sorted({size for first, last in spans for size in range(first, last + 1)})
    blank = f"{text[: mark.start()]}{' ' * len(mark[0])}{text[mark.end() :]}"
    return blank.rstrip(), tuple(sizes)


def place_of_size(line: Line, size: int) -> int | None:
    """Return which of the numbers of a line is for a size, both from 0; none if the line is not for it.

    Examples
    --------
    >>> place_of_size(Line(None, (), sizes=(2, 4)), 3), place_of_size(Line(None, (), sizes=(2, 4)), 0)
    (1, None)
    """
    if not line.sizes:
        return size
    return line.sizes.index(size + 1) if size + 1 in line.sizes else None
