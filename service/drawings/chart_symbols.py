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

from collections.abc import Iterator, Sequence
from math import hypot

from service.domain.stitches import read_stitch
from service.drawings.chart_layouts import ChartLayout
from service.drawings.chart_stitches import ChartStitch
from service.drawings.pictures import Command, Path, Point

__all__ = ["TOP_GAP_MM", "chain_symbols", "slip_symbol", "stitch_symbols"]

_SLASHES = {"sc": 0, "hdc": 0, "dc": 1, "tr": 2, "dtr": 3}
_SLASH_HALF_MM, _SLASH_APART_MM = 0.95, 1.3
_HOOK_MM = 0.75
_GAP_MM = 0.75
#: How far below its place a stitch ends. [mm]
TOP_GAP_MM = 0.7
_DOT_MM = 0.75
#: A circle's quarter as a cubic curve (geometry).
_QUARTER = 0.5523

_Segment = tuple[Point, Point]


def stitch_symbols(layout: ChartLayout, level: int, stitches: Sequence[ChartStitch]) -> Iterator[Path]:
    """Yield one symbol for each stitch of a round, in the order they are worked.

    Parameters
    ----------
    layout
        Where the places are.
    level
        The level of the tops; the bases are one below.
    stitches
        The stitches.
    """
    groups: dict[int, list[ChartStitch]] = {}
    for stitch in stitches:
        groups.setdefault(stitch.group, []).append(stitch)
    for group in groups.values():
        over = [
            _stem(layout, level, each)
            for each in group
            if each.kind.startswith("cross") and not each.is_behind
        ]
        for stitch in group:
            yield _symbol(layout, level, stitch, over if stitch.is_behind else [])


def _stem(layout: ChartLayout, level: int, stitch: ChartStitch) -> _Segment:
    top = _off(layout.point(level, stitch.place), layout.up(level, stitch.place), -TOP_GAP_MM)
    return layout.point(level - 1, stitch.parents[0]), top


def _symbol(layout: ChartLayout, level: int, stitch: ChartStitch, over: Sequence[_Segment]) -> Path:
    place = layout.point(level, stitch.place)
    if stitch.code == "ch":
        return _oval(place, _aside(layout.up(level, stitch.place)))
    feet = [layout.point(level - 1, parent) for parent in stitch.parents] or [
        layout.point(level - 1, stitch.place)
    ]
    # A stitch worked in one place has all its legs there.
    if len(feet) < len(stitch.legs):
        feet = _spread_feet(feet[0], layout, level, stitch)
    up = layout.up(level, stitch.place)
    # A little room below the next round keeps a bar apart from the hooks above it.
    top = _off(place, up, -TOP_GAP_MM)
    half_bar = min(0.32 * layout.pitch_mm(level), 1.6)
    commands: list[Command] = []
    for leg, foot in zip(stitch.legs, feet, strict=True):
        commands += _leg(leg, foot, top, up=up, half_bar=half_bar, stitch=stitch, over=over)
    if _has_top_bar(stitch.legs):
        commands.append(_stroke(_off(top, _aside(up), -half_bar), _off(top, _aside(up), half_bar)))
    return Path(tuple(commands), "stitch")


def _spread_feet(foot: Point, layout: ChartLayout, level: int, stitch: ChartStitch) -> list[Point]:
    aside = _aside(layout.up(level, stitch.place))
    middle = (len(stitch.legs) - 1) / 2
    return [_off(foot, aside, 0.6 * (number - middle)) for number in range(len(stitch.legs))]


def _has_top_bar(legs: Sequence[str]) -> bool:
    return any(leg != "rev_sc" and read_stitch(leg).base != "sc" for leg in legs)


def _leg(
    code: str,
    foot: Point,
    top: Point,
    *,
    up: Point,
    half_bar: float,
    stitch: ChartStitch,
    over: Sequence[_Segment],
) -> Iterator[Command]:
    """Yield the strokes of one leg: foot, stem, and what lies across the stem."""
    manner, base = ("", "sc") if code == "rev_sc" else (read_stitch(code).manner, read_stitch(code).base)
    yield from _foot(manner, foot, up)
    stem_foot = _off(foot, up, 0.9 * _HOOK_MM) if manner in ("fp", "bp") else foot
    for begin, finish in _unbroken((stem_foot, top), over):
        yield _stroke(begin, finish)
    along = _direction(foot, top)
    across = _aside(along)
    if base == "sc":
        middle = _between(foot, top, 0.5)
        yield _stroke(_off(middle, across, -half_bar), _off(middle, across, half_bar))
    if code == "rev_sc":
        yield from _slash(_between(foot, top, 0.8), along, across)
    for centre in _slash_centres(foot, top, _SLASHES[base], near_top=stitch.kind.startswith("cross")):
        yield from _slash(centre, along, across)


def _foot(manner: str, foot: Point, up: Point) -> Iterator[Command]:
    """Yield the hook of a post stitch, or the cup or cap of a stitch in one loop."""
    right = _aside(up)
    if manner in ("fp", "bp"):
        side = 1 if manner == "fp" else -1
        stem = _off(foot, up, 0.9 * _HOOK_MM)
        low = _off(foot, up, -0.3 * _HOOK_MM)
        yield ("M", (_off(stem, right, 2 * side * _HOOK_MM),))
        yield ("C", (_off(low, right, 2 * side * _HOOK_MM), low, stem))
    elif manner in ("fl", "bl"):
        bulge = -1.2 if manner == "fl" else 1.2
        ends = [_off(foot, right, sign * 1.1) for sign in (-1, 1)]
        yield ("M", (ends[0],))
        yield ("C", (_off(ends[0], up, bulge), _off(ends[1], up, bulge), ends[1]))


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
    """Yield the parts of a stem that no other passes over."""
    if not over:
        yield stem
        return
    start, end = stem
    length = hypot(end[0] - start[0], end[1] - start[1])
    cuts = sorted(share for each in over if (share := _meeting(stem, each)) is not None)
    begin = 0.0
    for share in cuts:
        stop = share - _GAP_MM / length
        if stop > begin:
            yield _between(start, end, begin), _between(start, end, stop)
        begin = max(begin, share + _GAP_MM / length)
    if begin < 1:
        yield _between(start, end, begin), end


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
