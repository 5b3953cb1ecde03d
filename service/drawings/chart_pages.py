"""A chart on its page: the rounds, mirrored for a left-hander, with the key below or beside."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from service.drawings.chart_keys import KeyEntry, place_key
from service.drawings.chart_layouts import ChartLayout
from service.drawings.chart_stitches import ChartRound
from service.drawings.chart_symbols import (
    Hand,
    ShapeMaker,
    chain_symbols,
    new_shapes,
    slip_symbol,
    stitch_symbols,
)
from service.drawings.lettering import LABEL_MM, framed, text_width_mm
from service.drawings.pictures import (
    Circle,
    Group,
    Line,
    Mark,
    Path,
    Picture,
    Placed,
    Point,
    Text,
    mirrored,
    moved,
    scaled,
)

__all__ = ["Box", "bounds", "chart_page", "round_groups"]

_GAP_MM = 8.0
_NARROWEST_MM = 150.0
#: How far beside the first stitch a starting chain stands, and a slip stitch beside the last. [mm]
_BESIDE_MM, _SLIP_BESIDE_MM = 2.1, 1.4
#: How far a symbol reaches beyond its place. [mm]
_SYMBOL_MM = 2.5
#: A small chart is drawn so much larger at most.
_MOST_ENLARGED = 1.5


@dataclass(frozen=True, slots=True)
class Box:
    """The room that marks take. [mm]"""

    left_mm: float
    top_mm: float
    right_mm: float
    bottom_mm: float

    @property
    def width_mm(self) -> float:
        """Return the width."""
        return self.right_mm - self.left_mm

    @property
    def height_mm(self) -> float:
        """Return the height."""
        return self.bottom_mm - self.top_mm


def bounds(marks: Iterable[Mark]) -> Box:
    """Return the room that marks take, words by their reckoned width.

    Examples
    --------
    >>> bounds([Line((0, 0), (3, 4), "guide"), Circle((3, 4), 1, "part")]).bottom_mm
    5.0
    """
    corners = list(_all_corners(marks, (0.0, 0.0)))
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    return Box(min(xs), min(ys), max(xs), max(ys))


def _wider(box: Box, margin_mm: float) -> Box:
    return Box(
        box.left_mm - margin_mm, box.top_mm - margin_mm, box.right_mm + margin_mm, box.bottom_mm + margin_mm
    )


def _all_corners(marks: Iterable[Mark], origin: Point) -> Iterator[Point]:
    for mark in marks:
        if isinstance(mark, Group):
            yield from _all_corners(mark.marks, (origin[0] + mark.origin[0], origin[1] + mark.origin[1]))
        else:
            yield from ((x + origin[0], y + origin[1]) for x, y in _corners(mark))


def _corners(mark: Path | Placed | Line | Circle | Text) -> Iterator[Point]:
    match mark:
        case Placed():
            yield from _corners(mark.drawn())
        case Path(commands):
            for _, points in commands:
                yield from points
        case Line(start, end):
            yield from (start, end)
        case Circle((x, y), radius):
            yield from ((x - radius, y - radius), (x + radius, y + radius))
        case Text((x, y), words, size, anchor):
            width = text_width_mm(words, size)
            left = x - {"start": 0.0, "middle": width / 2, "end": width}[anchor]
            yield from ((left, y - size), (left + width, y + 0.3 * size))


def round_groups(
    layout: ChartLayout, charts: Sequence[ChartRound], *, is_left_handed: bool
) -> tuple[Group, ...]:
    """Return the symbols of each round: its starting chain, its stitches, its joining slip stitch.

    Parameters
    ----------
    layout
        Where places are, as a right-hander reads them.
    charts
        The rounds; the tops of the first lie on level 1.
    is_left_handed
        Whether the symbols are mirrored, as the frame about them will be.
    """
    shapes = new_shapes()
    return tuple(
        _round_group(layout, level, chart, shapes, -1 if is_left_handed else 1)
        for level, chart in enumerate(charts, start=1)
    )


def _round_group(layout: ChartLayout, level: int, chart: ChartRound, shapes: ShapeMaker, hand: Hand) -> Group:
    stitches = stitch_symbols(layout, level, chart.stitches, shapes, hand=hand)
    begin, end = _ends_of_round(layout, level, chart)
    if hand == -1:
        begin, end = (tuple(mirrored(mark, about_x_mm=0.0) for mark in marks) for marks in (begin, end))
    share = f"{chart.made_count} of {chart.worked.stitch_count}" if chart.times > 1 else f"{chart.made_count}"
    return Group(f"Round {chart.worked.number}: {share} stitches", (*begin, *stitches, *end))


def _ends_of_round(
    layout: ChartLayout, level: int, chart: ChartRound
) -> tuple[tuple[Mark, ...], tuple[Mark, ...]]:
    """Return the starting chain of a round, and its joining slip stitch."""
    worked = chart.worked
    levels = (level - 1, level)
    if worked.start is not None and worked.start.counts_as_stitch:
        base, top = (layout.point(each, 0) for each in levels)
    else:
        base, top = (layout.point(each, -0.5, aside_mm=-_BESIDE_MM) for each in levels)
    chains = chain_symbols(base, top, chart.start_chain_count)
    if worked.join is None:
        return chains, ()
    ends = (chart.below_count - 0.5, chart.made_count - 0.5)
    (x1, y1), (x2, y2) = (
        layout.point(each, end, aside_mm=_SLIP_BESIDE_MM) for each, end in zip(levels, ends, strict=True)
    )
    return chains, (slip_symbol(((x1 + 3 * x2) / 4, (y1 + 3 * y2) / 4)),)


def chart_page(
    *,
    title: str,
    description: str,
    frame: Sequence[Mark],
    rounds: Sequence[Group],
    key: Sequence[KeyEntry],
    notes: Sequence[str],
    is_left_handed: bool,
) -> Picture:
    """Return a chart with its key below; a left-hander's is the mirror image, words and key apart.

    Parameters
    ----------
    frame
        What lies about the stitches, as a right-hander reads it; it reaches as far as they do.
    rounds
        The symbols of each round, mirrored for a left-hander.
    key
        What its symbols are.
    notes
        What to know, a sentence each.
    """
    box = _wider(bounds(frame), _SYMBOL_MM)
    left = -box.right_mm if is_left_handed else box.left_mm
    about = [mirrored(mark, about_x_mm=0.0) for mark in frame] if is_left_handed else frame
    marks: tuple[Mark, ...] = (*about, *rounds)
    legend = place_key(
        [_mirrored_entry(entry) for entry in key] if is_left_handed else key,
        width_mm=max(box.width_mm, _NARROWEST_MM),
    )
    factor = min(_MOST_ENLARGED, max(1.0, legend.width_mm / box.width_mm))
    width = max(factor * box.width_mm, legend.width_mm)
    chart = [scaled(mark, factor) for mark in marks] if factor > 1 else list(marks)
    aside = (width - factor * box.width_mm) / 2 - factor * left
    placed = [moved(mark, right_mm=aside, down_mm=2.0 - factor * box.top_mm) for mark in chart]
    key_top = factor * box.height_mm + _GAP_MM
    heading = Text((0.0, key_top + LABEL_MM), "Key", LABEL_MM, role="heading")
    below = [moved(mark, right_mm=0.0, down_mm=key_top + 6.0) for mark in legend.marks]
    return framed(
        title=title,
        description=description,
        marks=(*placed, heading, *below),
        width_mm=width,
        height_mm=key_top + 6.0 + legend.height_mm,
        notes=notes,
    )


def _mirrored_entry(entry: KeyEntry) -> KeyEntry:
    symbols = tuple(mirrored(symbol, about_x_mm=0.0) for symbol in entry.symbols)
    return KeyEntry(
        entry.words,
        tuple(each for each in symbols if isinstance(each, Path)),
        entry.width_mm,
        entry.height_mm,
    )
