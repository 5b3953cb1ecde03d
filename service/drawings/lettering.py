"""Words on a drawing: how much room they take, where lines break, and how labels keep apart."""

from collections.abc import Sequence
from unicodedata import combining, east_asian_width

from service.drawings.pictures import Group, Mark, Picture, Role, Text

__all__ = ["LABEL_MM", "NOTE_MM", "framed", "spread", "text_width_mm", "wrapped"]

#: Sizes of letters. [mm]
HEADING_MM = 5.0
LABEL_MM = 3.4
NOTE_MM = 3.0

_MARGIN_MM = 6.0
_LEADING = 1.35
#: Width of a letter over its size (convention: on the wide side of the usual sans-serif faces).
_NARROW, _USUAL, _WIDE, _FULL = 0.32, 0.58, 0.8, 1.05
#: How much wider bold letters are.
_BOLD = 1.12


def text_width_mm(words: str, size_mm: float) -> float:
    """Return the room that words need, a little more than most faces take.

    Examples
    --------
    >>> round(text_width_mm("21 cm (8¼ in)", 3.4), 1)
    21.8
    """
    return size_mm * sum(map(_letter_width, words))


def _letter_width(letter: str) -> float:
    if combining(letter):
        return 0.0
    if letter in "WM@" or east_asian_width(letter) in "WF":
        return _FULL
    if letter in " .,:;'|!()[]iljtfrI":
        return _NARROW
    return _WIDE if letter.isupper() or letter in "mw%⅛⅜⅝⅞¼½¾×" else _USUAL


def wrapped(words: str, *, width_mm: float, size_mm: float) -> tuple[str, ...]:
    """Return the words in lines no wider than this; a word that is wider itself is cut.

    Examples
    --------
    >>> wrapped("one two three", width_mm=16, size_mm=4)
    ('one two', 'three')
    """
    lines = [""]
    for word in words.split():
        for piece in _pieces(word, width_mm, size_mm):
            longer = f"{lines[-1]} {piece}".strip()
            if lines[-1] and text_width_mm(longer, size_mm) > width_mm:
                lines.append(piece)
            else:
                lines[-1] = longer
    return tuple(lines)


def _pieces(word: str, width_mm: float, size_mm: float) -> list[str]:
    pieces = [""]
    for letter in word:
        if pieces[-1] and text_width_mm(pieces[-1] + letter, size_mm) > width_mm:
            pieces.append("")
        pieces[-1] += letter
    return pieces


def spread(wishes_mm: Sequence[float], *, apart_mm: float) -> tuple[float, ...]:
    """Return places as near to those wished for as can be, in the same order and so far apart.

    Crowded neighbours form a block about the middle of their wishes.

    Examples
    --------
    >>> spread([0, 1, 20], apart_mm=4)
    (-1.5, 2.5, 20.0)
    """
    blocks: list[tuple[float, int]] = []
    for wish in wishes_mm:
        blocks.append((float(wish), 1))
        while len(blocks) > 1 and _too_near(blocks[-2], blocks[-1], apart_mm):
            (first, many), (second, few) = blocks.pop(-2), blocks.pop()
            middle = (first * many + (second - apart_mm * many) * few) / (many + few)
            blocks.append((middle, many + few))
    return tuple(begin + apart_mm * place for begin, count in blocks for place in range(count))


def _too_near(before: tuple[float, int], after: tuple[float, int], apart_mm: float) -> bool:
    return after[0] < before[0] + apart_mm * before[1]


def framed(
    *,
    title: str,
    description: str,
    marks: Sequence[Mark],
    width_mm: float,
    height_mm: float,
    notes: Sequence[str] = (),
) -> Picture:
    """Return a picture of marks that fill a box, with the title above and notes below.

    Parameters
    ----------
    marks
        Marks in a box whose upper left corner is the origin.
    width_mm, height_mm
        The box. [mm]
    notes
        Sentences, a paragraph each.

    Examples
    --------
    >>> framed(title="A", description="B.", marks=(), width_mm=100, height_mm=50).width_mm
    112.0
    """
    room_mm = max(width_mm, 70.0)
    above = _lines([title], room_mm, HEADING_MM, "heading", _MARGIN_MM)
    down_mm = _MARGIN_MM + HEADING_MM * _LEADING * len(above)
    below = _lines(notes, room_mm, NOTE_MM, "note", down_mm + height_mm + 3.0)
    right_mm = _MARGIN_MM + (room_mm - width_mm) / 2
    body = Group("Drawing", tuple(marks), (right_mm, down_mm))
    notes_mm = 3.0 + NOTE_MM * _LEADING * len(below) if below else 0.0
    return Picture(
        width_mm=room_mm + 2 * _MARGIN_MM,
        height_mm=down_mm + height_mm + notes_mm + _MARGIN_MM,
        title=title,
        description=description,
        marks=(*above, body, *below),
    )


def _lines(
    paragraphs: Sequence[str], width_mm: float, size_mm: float, role: Role, top_mm: float
) -> list[Text]:
    room_mm = width_mm / _BOLD if role == "heading" else width_mm
    words = [line for words in paragraphs for line in wrapped(words, width_mm=room_mm, size_mm=size_mm)]
    return [
        Text((_MARGIN_MM, top_mm + size_mm * (0.8 + _LEADING * number)), line, size_mm, role=role)
        for number, line in enumerate(words)
    ]
