"""Dimension lines as technical drawings have them: witness lines, arrow heads, the figure beside.

Convention: ISO 129-1 in manner, from memory; where the gap is too small for two arrow heads they stand
outside and point inward.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from service.drawings.lettering import LABEL_MM, spread, text_width_mm
from service.drawings.pictures import Line, Mark, Path, Point, Text, polygon

__all__ = [
    "DimensionStop",
    "arrow_head",
    "diameter_dimension",
    "level_dimension",
    "stacked_dimensions",
    "upright_dimension",
    "upright_words_mm",
]

_ARROW_LENGTH_MM, _ARROW_HALF_WIDTH_MM = 2.4, 0.55
_OVERSHOOT_MM = 1.2
_LINE_APART_MM = LABEL_MM * 1.3
_TIGHT_MM = 2.6 * _ARROW_LENGTH_MM


@dataclass(frozen=True, slots=True)
class DimensionStop:
    """One length of a chain: from one height to the next, and what it says."""

    low_mm: float
    high_mm: float
    words: str


def arrow_head(tip: Point, *, toward: Point) -> Path:
    """Return an arrow head at a tip, pointing in a direction.

    Parameters
    ----------
    tip
        Where it points. [mm]
    toward
        A direction of length 1.

    Examples
    --------
    >>> arrow_head((10.0, 0.0), toward=(1.0, 0.0)).commands[0][1][0]
    (10.0, 0.0)
    """
    (x, y), (dx, dy) = tip, toward
    back = (x - _ARROW_LENGTH_MM * dx, y - _ARROW_LENGTH_MM * dy)
    aside = (-dy * _ARROW_HALF_WIDTH_MM, dx * _ARROW_HALF_WIDTH_MM)
    wings = [(back[0] + sign * aside[0], back[1] + sign * aside[1]) for sign in (1, -1)]
    return polygon([tip, *wings], "arrow")


def level_dimension(
    *, left_mm: float, right_mm: float, at_mm: float, from_mm: float, words: str
) -> tuple[Mark, ...]:
    """Return a dimension that lies level below what it measures.

    Parameters
    ----------
    left_mm, right_mm
        The ends of the length. [mm]
    at_mm
        Height of the dimension line. [mm]
    from_mm
        Height of the edge that is measured; witness lines begin just below it. [mm]

    Examples
    --------
    >>> marks = level_dimension(left_mm=0, right_mm=50, at_mm=60, from_mm=50, words="52 cm")
    >>> [type(mark).__name__ for mark in marks]
    ['Line', 'Line', 'Line', 'Path', 'Path', 'Text']
    """
    witness = [Line((x, from_mm + 1.0), (x, at_mm + _OVERSHOOT_MM), "dimension") for x in (left_mm, right_mm)]
    middle = (left_mm + right_mm) / 2
    return (
        *witness,
        *_arrowed((left_mm, at_mm), (right_mm, at_mm)),
        Text((middle, at_mm + LABEL_MM * 1.15), words, LABEL_MM, "middle"),
    )


def diameter_dimension(
    *, axis_mm: float, right_mm: float, at_mm: float, from_mm: float, words: str
) -> tuple[Mark, ...]:
    """Return the dimension of a diameter of which only one half is drawn: it begins beyond the axis.

    Examples
    --------
    >>> marks = diameter_dimension(axis_mm=0, right_mm=30, at_mm=60, from_mm=50, words="⌀ 17 cm")
    >>> sum(isinstance(mark, Path) for mark in marks)
    1
    """
    return (
        Line((right_mm, from_mm + 1.0), (right_mm, at_mm + _OVERSHOOT_MM), "dimension"),
        Line((axis_mm - 4.0, at_mm), (right_mm, at_mm), "dimension"),
        arrow_head((right_mm, at_mm), toward=(1.0, 0.0)),
        Text((axis_mm - 4.0, at_mm + LABEL_MM * 1.15), words, LABEL_MM),
    )


def stacked_dimensions(stops: Sequence[DimensionStop], *, at_mm: float, from_mm: float) -> tuple[Mark, ...]:
    """Return dimensions that stand one above the other on one upright line, their words to the right.

    Words that would touch move apart and are led back to their length by a thin line.

    Parameters
    ----------
    stops
        The lengths, the uppermost first; each begins where the one before ended.
    at_mm
        Where the line stands. [mm]
    from_mm
        Where the witness lines begin. [mm]

    Examples
    --------
    >>> stops = [DimensionStop(0, 20, "crown"), DimensionStop(20, 60, "body")]
    >>> marks = stacked_dimensions(stops, at_mm=100, from_mm=80)
    >>> [mark.words for mark in marks if isinstance(mark, Text)]
    ['crown', 'body']
    """
    heights = sorted({height for stop in stops for height in (stop.low_mm, stop.high_mm)})
    marks: list[Mark] = [Line((from_mm + 1.0, y), (at_mm + _OVERSHOOT_MM, y), "dimension") for y in heights]
    for stop in stops:
        marks += _arrowed((at_mm, stop.low_mm), (at_mm, stop.high_mm))
    return (*marks, *_words_beside(stops, at_mm))


def _words_beside(stops: Sequence[DimensionStop], at_mm: float) -> Iterator[Mark]:
    wishes = [(stop.low_mm + stop.high_mm) / 2 for stop in stops]
    for stop, wish, place in zip(stops, wishes, spread(wishes, apart_mm=_LINE_APART_MM), strict=True):
        if abs(place - wish) > 0.3:
            yield Line((at_mm + 0.4, wish), (at_mm + 3.6, place), "leader")
        yield Text((at_mm + 4.2, place + 0.36 * LABEL_MM), stop.words, LABEL_MM)


def _arrowed(start: Point, end: Point) -> tuple[Mark, ...]:
    """Return a line between two points with arrow heads at both, outside where it is short."""
    length = abs(end[0] - start[0]) + abs(end[1] - start[1])
    if length == 0:
        return ()
    along = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    back = (-along[0], -along[1])
    if length >= _TIGHT_MM:
        return (
            Line(start, end, "dimension"),
            arrow_head(start, toward=back),
            arrow_head(end, toward=along),
        )
    reach = 1.6 * _ARROW_LENGTH_MM
    tails = (
        (start[0] - reach * along[0], start[1] - reach * along[1]),
        (end[0] + reach * along[0], end[1] + reach * along[1]),
    )
    return (
        Line(tails[0], tails[1], "dimension"),
        arrow_head(start, toward=along),
        arrow_head(end, toward=back),
    )


def upright_dimension(*, top_mm: float, bottom_mm: float, at_mm: float, words: str) -> tuple[Mark, ...]:
    """Return a dimension that stands upright; its words read up along its left, or level where it is short.

    Examples
    --------
    >>> marks = upright_dimension(top_mm=0, bottom_mm=80, at_mm=10, words="20 cm")
    >>> marks[-1].turned, marks[-1].at[0] < 10
    (True, True)
    """
    middle = (top_mm + bottom_mm) / 2
    lies_along = text_width_mm(words, LABEL_MM) <= bottom_mm - top_mm
    beside = (
        Text((at_mm - 1.2, middle), words, LABEL_MM, "middle", turned=True)
        if lies_along
        else Text((at_mm - 1.6, middle + 0.36 * LABEL_MM), words, LABEL_MM, "end")
    )
    return (*_arrowed((at_mm, top_mm), (at_mm, bottom_mm)), beside)


def upright_words_mm(length_mm: float, words: str) -> float:
    """Return the room that the words of an upright dimension of this length take beside its line.

    Examples
    --------
    >>> upright_words_mm(80.0, "20 cm")
    5.2
    """
    width_mm = text_width_mm(words, LABEL_MM)
    return LABEL_MM + 1.8 if width_mm <= length_mm else width_mm + 2.0
