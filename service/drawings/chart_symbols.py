"""The symbols of a chart, each made of strokes between a stitch's base and its top.

International practice in words, shapes of our own:

====================  =================================================================
chain                 an open oval
slip stitch           a filled dot
single crochet        an upright cross: a stem with a bar across its middle
half double           a stem with a bar on top
double and taller     the same with one, two or three slashes across the stem
into one stitch       stems that meet at the base
together              stems that meet at the top
front and back post   a hook at the foot, to the right for front and to the left for back
crossed               stems that cross; the one behind is broken where it passes
front, back loop      a cup or a cap under the foot
====================  =================================================================

JIS L 0201:1995 is a published standard for such symbols; the shapes here follow its descriptions from memory.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from math import hypot
from typing import Literal, TypeAlias

from service.domain.stitches import read_stitch
from service.drawings.chart_layouts import ChartLayout
from service.drawings.chart_stitches import ChartStitch
from service.drawings.pictures import Command, Path, Placed, Point

__all__ = ["TOP_GAP_MM", "Hand", "ShapeMaker", "chain_symbols", "new_shapes", "slip_symbol", "stitch_symbols"]

_SLASHES = {"sc": 0, "hdc": 0, "dc": 1, "tr": 2, "dtr": 3}
_SLASH_HALF_MM, _SLASH_APART_MM = 0.95, 1.3
_HOOK_MM = 0.75
_GAP_MM = 0.75
#: How far below its place a stitch ends. [mm]
TOP_GAP_MM = 0.7
_DOT_MM = 0.75
#: A circle's quarter as a cubic curve (geometry).
_QUARTER = 0.5523

_UP: Point = (0.0, -1.0)

#: The hand of a chart: 1 right, -1 left.
Hand: TypeAlias = Literal[1, -1]
_Segment: TypeAlias = tuple[Point, Point]
ShapeMaker: TypeAlias = Callable[
    [tuple[str, ...], tuple[Point, ...], float, bool, tuple[_Segment, ...]], Path
]


def new_shapes() -> ShapeMaker:
    """Return what draws symbols for one chart: those of one shape are drawn once, and then placed.

    A shape stands upright below its place, which is the origin. It hangs on the legs' codes, on where they
    stand, on half the length of its bar, on whether it is crossed, and on the stems that pass before it.
    """
    return cache(_shape)


def stitch_symbols(
    layout: ChartLayout,
    level: int,
    stitches: Sequence[ChartStitch],
    shapes: ShapeMaker,
    *,
    hand: Hand = 1,
) -> Iterator[Path | Placed]:
    """Yield one symbol for each stitch of a round, in the order they are worked.

    Parameters
    ----------
    layout
        Where the places are.
    level
        The level of the tops; the bases are one below.
    stitches
        The stitches.
    shapes
        What draws the symbols of the chart.
    hand
        1 as a right-hander reads the layout, -1 for its mirror image about the origin.
    """
    half_bar = min(0.32 * layout.pitch_mm(level), 1.6)
    over: list[_Segment] = []
    group = None
    for number, stitch in enumerate(stitches):
        if stitch.code == "ch":
            (x, y), (right, down) = layout.point(level, stitch.place), layout.up(level, stitch.place)
            yield _oval((hand * x, y), _aside((hand * right, down)))
            continue
        is_crossed = stitch.kind.startswith("cross")
        if is_crossed and stitch.group != group:
            group, crossing = stitch.group, stitches[number : number + 2 * stitch.group_size]
            over = [_stem(layout, level, each) for each in crossing if not each.is_behind]
        frame = _Frame(layout.point(level, stitch.place), layout.up(level, stitch.place))
        feet = [layout.point(level - 1, foot) for foot in stitch.parents or (stitch.place,)]
        shape = shapes(
            stitch.legs,
            tuple(map(frame.seen, feet)),
            half_bar,
            is_crossed,
            tuple((frame.seen(base), frame.seen(top)) for base, top in over) if stitch.is_behind else (),
        )
        yield frame.placed(shape, hand)


@dataclass(frozen=True, slots=True)
class _Frame:
    """A place of the chart and the way that is up there."""

    place: Point
    up: Point

    def seen(self, point: Point) -> Point:
        """Return where a point lies as seen from the place with its up upright, to a fiftieth of a mm."""
        (x0, y0), (right, down) = self.place, self.up
        across, along = point[0] - x0, point[1] - y0
        return (
            round(50 * (along * right - across * down)) / 50,
            round(-50 * (across * right + along * down)) / 50,
        )

    def placed(self, shape: Path, hand: Hand) -> Placed:
        """Return a shape at the place, turned as up is, as the hand reads it."""
        (x, y), (right, down) = self.place, self.up
        return Placed(shape, (-hand * down, right, -hand * right, -down, hand * x, y))


def _stem(layout: ChartLayout, level: int, stitch: ChartStitch) -> _Segment:
    top = _off(layout.point(level, stitch.place), layout.up(level, stitch.place), -TOP_GAP_MM)
    return layout.point(level - 1, stitch.parents[0]), top


def _shape(
    legs: tuple[str, ...],
    feet: tuple[Point, ...],
    half_bar: float,
    is_crossed: bool,
    over: tuple[_Segment, ...],
) -> Path:
    """Return a symbol whose place is the origin."""
    # A little room below the next round keeps a bar apart from the hooks above it.
    top = (0.0, TOP_GAP_MM)
    # A stitch worked in one place has all its legs there.
    if len(feet) < len(legs):
        middle = (len(legs) - 1) / 2
        feet = tuple((feet[0][0] + 0.6 * (number - middle), feet[0][1]) for number in range(len(legs)))
    commands: list[Command] = []
    for leg, foot in zip(legs, feet, strict=True):
        commands += _leg(leg, foot, top, half_bar=half_bar, is_crossed=is_crossed, over=over)
    if _has_top_bar(legs):
        commands.append(_stroke((-half_bar, TOP_GAP_MM), (half_bar, TOP_GAP_MM)))
    return Path(tuple(commands), "stitch")


def _has_top_bar(legs: Sequence[str]) -> bool:
    return any(leg != "rev_sc" and read_stitch(leg).base != "sc" for leg in legs)


def _leg(
    code: str, foot: Point, top: Point, *, half_bar: float, is_crossed: bool, over: Sequence[_Segment]
) -> Iterator[Command]:
    """Yield the strokes of one leg: foot, stem, and what lies across the stem."""
    manner, base = ("", "sc") if code == "rev_sc" else (read_stitch(code).manner, read_stitch(code).base)
    yield from _foot(manner, foot)
    stem_foot = _off(foot, _UP, 0.9 * _HOOK_MM) if manner in ("fp", "bp") else foot
    for begin, finish in _unbroken((stem_foot, top), over):
        yield _stroke(begin, finish)
    along = _direction(foot, top)
    across = _aside(along)
    if base == "sc":
        middle = _between(foot, top, 0.5)
        yield _stroke(_off(middle, across, -half_bar), _off(middle, across, half_bar))
    if code == "rev_sc":
        yield from _slash(_between(foot, top, 0.8), along, across)
    for centre in _slash_centres(foot, top, _SLASHES[base], near_top=is_crossed):
        yield from _slash(centre, along, across)


def _foot(manner: str, foot: Point) -> Iterator[Command]:
    """Yield the hook of a post stitch, or the cup or cap of a stitch in one loop."""
    right = _aside(_UP)
    if manner in ("fp", "bp"):
        side = 1 if manner == "fp" else -1
        stem = _off(foot, _UP, 0.9 * _HOOK_MM)
        low = _off(foot, _UP, -0.3 * _HOOK_MM)
        yield ("M", (_off(stem, right, 2 * side * _HOOK_MM),))
        yield ("C", (_off(low, right, 2 * side * _HOOK_MM), low, stem))
    elif manner in ("fl", "bl"):
        bulge = -1.2 if manner == "fl" else 1.2
        ends = [_off(foot, right, sign * 1.1) for sign in (-1, 1)]
        yield ("M", (ends[0],))
        yield ("C", (_off(ends[0], _UP, bulge), _off(ends[1], _UP, bulge), ends[1]))


def _slash_centres(foot: Point, top: Point, count: int, *, near_top: bool) -> Iterator[Point]:
    length = hypot(top[0] - foot[0], top[1] - foot[1])
    middle = length - 1.6 - _SLASH_APART_MM * (count - 1) / 2 if near_top else 0.58 * length
    for number in range(count):
        at = middle + _SLASH_APART_MM * (number - (count - 1) / 2)
        yield _between(foot, top, at / length if length else 0.0)


def _slash(centre: Point, along: Point, across: Point) -> Iterator[Command]:
    lift = 0.5 * _SLASH_HALF_MM
    low = _off(_off(centre, across, -_SLASH_HALF_MM), along, -lift)
    high = _off(_off(centre, across, _SLASH_HALF_MM), along, lift)
    yield _stroke(low, high)


def _unbroken(stem: _Segment, over: Sequence[_Segment]) -> Iterator[_Segment]:
    """Yield the parts of a stem before and behind all that passes over it."""
    shares = [share for each in over if (share := _meeting(stem, each)) is not None]
    if not shares:
        yield stem
        return
    start, end = stem
    gap = _GAP_MM / hypot(end[0] - start[0], end[1] - start[1])
    # What shows between two that pass side by side would read as more slashes.
    if min(shares) > gap:
        yield start, _between(start, end, min(shares) - gap)
    if max(shares) < 1 - gap:
        yield _between(start, end, max(shares) + gap), end


def _meeting(stem: _Segment, other: _Segment) -> float | None:
    """Return how far along a stem another crosses it, ``None`` where it does not."""
    (ax, ay), (bx, by) = stem
    (cx, cy), (dx, dy) = other
    ex, ey, fx, fy = bx - ax, by - ay, dx - cx, dy - cy
    area = ex * fy - ey * fx
    if abs(area) < 1e-9:
        return None
    share = ((cx - ax) * fy - (cy - ay) * fx) / area
    there = ((cx - ax) * ey - (cy - ay) * ex) / area
    return share if 0 < share < 1 and 0 < there < 1 else None


def chain_symbols(base: Point, top: Point, count: int) -> tuple[Path, ...]:
    """Return chains that stand one on the other from a base to a top.

    Examples
    --------
    >>> len(chain_symbols((0.0, 0.0), (0.0, -8.0), 3))
    3
    """
    along = _direction(base, top)
    if not count:
        return ()
    length = hypot(top[0] - base[0], top[1] - base[1]) / count
    return tuple(
        _oval(_between(base, top, (number + 0.5) / count), along, half_mm=min(0.47 * length, 1.7))
        for number in range(count)
    )


def slip_symbol(at: Point) -> Path:
    """Return the dot of a slip stitch.

    Examples
    --------
    >>> slip_symbol((0.0, 0.0)).role
    'stitch_solid'
    """
    return Path(tuple(_round_curve(at, (1.0, 0.0), _DOT_MM, _DOT_MM)), "stitch_solid")


def _oval(centre: Point, along: Point, *, half_mm: float = 1.5) -> Path:
    return Path(tuple(_round_curve(centre, along, half_mm, min(0.85, 0.75 * half_mm))), "stitch")


def _round_curve(centre: Point, along: Point, long_mm: float, short_mm: float) -> Iterator[Command]:
    """Yield an ellipse as four curves."""
    across = _aside(along)

    def at(share_along: float, share_across: float) -> Point:
        return _off(_off(centre, along, share_along * long_mm), across, share_across * short_mm)

    yield ("M", (at(1, 0),))
    for (a, b), (c, d) in (((1, 0), (0, 1)), ((0, 1), (-1, 0)), ((-1, 0), (0, -1)), ((0, -1), (1, 0))):
        yield (
            "C",
            (at(a + _QUARTER * c, b + _QUARTER * d), at(c + _QUARTER * a, d + _QUARTER * b), at(c, d)),
        )
    yield "Z", ()


def _stroke(start: Point, end: Point) -> Command:
    return ("M", (start, end))


def _between(start: Point, end: Point, share: float) -> Point:
    return (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))


def _off(point: Point, direction: Point, distance: float) -> Point:
    return (point[0] + distance * direction[0], point[1] + distance * direction[1])


def _direction(start: Point, end: Point) -> Point:
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = hypot(dx, dy)
    return (dx / length, dy / length) if length else (0.0, -1.0)


def _aside(up: Point) -> Point:
    """Return the direction to the right of up, as seen with the tops up."""
    return (-up[1], up[0])
