"""Small pictures of fabrics, drawn from their columns: strands stand out, ground lies back, cables cross.

Drawn as a right-hander works it, seen from the right side: the first stitch is at the right, the first round
at the bottom. The patch has one size whatever the fabric, so that wide repeats have small stitches.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from itertools import groupby
from types import MappingProxyType
from typing import Literal

from service.domain.fabrics import Column, Crossing, Fabric
from service.domain.rounding import ceil_exact
from service.drawings.pictures import Command, Mark, Path, Picture, Point, Role, polygon
from service.drawings.svg import render_svg

__all__ = ["draw_fabric", "fabric_svg"]

Kind = Literal["front", "back", "flat", "crossing"]

_WIDTH_MM, _HEIGHT_MM = 40.0, 30.0
_FEWEST_STITCHES = 12
#: How tall a stitch is for its width (convention: as they look, tall ones drawn shorter to show more rounds).
_TALL = {"sc": 1.0, "hdc": 1.3, "dc": 1.7, "tr": 2.0, "dtr": 2.3}


@cache
def fabric_svg(fabric: Fabric, name: str) -> str:
    """Return the picture of a fabric as an element of a page.

    Examples
    --------
    >>> fabric_svg(Fabric("sc", (Column("flat", 1),)), "Plain").startswith("<svg viewBox")
    True
    """
    return (
        render_svg(draw_fabric(fabric, name)).replace(' xmlns="http://www.w3.org/2000/svg"', "", 1).rstrip()
    )


def draw_fabric(fabric: Fabric, name: str) -> Picture:
    """Return a patch of a fabric: whole repeats from the right, as many rounds as there is room for.

    Parameters
    ----------
    fabric
        The fabric.
    name
        What it is called.

    Examples
    --------
    >>> draw_fabric(Fabric("dc", (Column("front", 1), Column("back", 1))), "Rib").width_mm
    40.0
    """
    repeat_count = ceil_exact(_FEWEST_STITCHES / fabric.stitch_multiple)
    stitch_mm = _WIDTH_MM / (repeat_count * fabric.stitch_multiple)
    round_mm = stitch_mm * _TALL[fabric.stitch]
    marks: list[Mark] = [_ground()] if fabric.is_textured else []
    right_mm = _WIDTH_MM
    for column in fabric.columns * repeat_count:
        right_mm -= column.width * stitch_mm
        grid = _Grid(left_mm=right_mm, width=column.width, stitch_mm=stitch_mm, round_mm=round_mm)
        for stretch in _stretches(fabric, column, round_count=ceil_exact(_HEIGHT_MM / round_mm)):
            marks += _DRAWN[stretch.kind](grid, stretch)
    return Picture(
        width_mm=_WIDTH_MM,
        height_mm=_HEIGHT_MM,
        title=name,
        description=f"A patch of {name[0].lower()}{name[1:]}, seen from the right side.",
        marks=tuple(marks),
    )


@dataclass(frozen=True, slots=True)
class _Stretch:
    """Rounds of a column that look alike, from ``first`` up to and without ``end``."""

    kind: Kind
    first: int
    end: int
    crossing: Crossing | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Grid:
    """Where the stitches of a column lie."""

    left_mm: float
    width: int
    stitch_mm: float
    round_mm: float

    def x(self, place: float) -> float:
        """Return how far right a place of the column lies."""
        return self.left_mm + place * self.stitch_mm

    def y(self, height: float) -> float:
        """Return how far down a round of the patch lies."""
        return _HEIGHT_MM - height * self.round_mm


def _stretches(fabric: Fabric, column: Column, *, round_count: int) -> Iterator[_Stretch]:
    """Yield the stretches of a column from the bottom to the top."""

    def look(each: int) -> tuple[Kind, int]:
        kind = _kind(fabric, column, each)
        return kind, each // fabric.round_repeat_count if kind == "crossing" else -1

    for (kind, _), alike in groupby(range(round_count), look):
        first, *others = alike
        height = _crossing_height(fabric) if kind == "crossing" else 1 + len(others)
        yield _Stretch(kind, first, first + height, column.crossing)


def _crossing_height(fabric: Fabric) -> int:
    """Return how many rounds a crossing bends: the straight round above it too, where there is one."""
    return min(2, fabric.round_repeat_count)


def _kind(fabric: Fabric, column: Column, each: int) -> Kind:
    """Return what a round of a column looks like."""
    if column.crossing is not None:
        since = (each - column.crossing.round_in_repeat + 1) % fabric.round_repeat_count
        return "crossing" if since < _crossing_height(fabric) else column.face
    flips = fabric.flip_round_count
    if flips is None or each // flips % 2 == 0 or column.face == "flat":
        return column.face
    return "back" if column.face == "front" else "front"


def _ground() -> Mark:
    """Return the shade that back posts lie in."""
    corners: list[Point] = [(0, 0), (_WIDTH_MM, 0), (_WIDTH_MM, _HEIGHT_MM), (0, _HEIGHT_MM)]
    return polygon(corners, "tone_7")


def _strands(grid: _Grid, stretch: _Stretch) -> Iterator[Mark]:
    """Yield posts that stand out."""
    for place in range(grid.width):
        yield _strand(grid, (place, stretch.first), (place, stretch.end))


def _ridges(grid: _Grid, stretch: _Stretch) -> Iterator[Mark]:
    """Yield posts that lie back: a ridge across each round."""
    ridges: list[Command] = [
        ("M", ((grid.x(place + 0.1), grid.y(each + 0.5)), (grid.x(place + 0.9), grid.y(each + 0.5))))
        for each in range(stretch.first, stretch.end)
        for place in range(grid.width)
    ]
    yield Path(tuple(ridges), "leader")


def _plain(grid: _Grid, stretch: _Stretch) -> Iterator[Mark]:
    """Yield plain stitches: a post each, and the two strands of its head."""
    lines: list[Command] = []
    for each in range(stretch.first, stretch.end):
        top = grid.y(each + 1) + 0.1 * grid.stitch_mm
        for place in range(grid.width):
            neck = (grid.x(place + 0.5), top + 0.45 * grid.stitch_mm)
            lines.append(("M", ((grid.x(place + 0.1), top), neck, (grid.x(place + 0.9), top))))
            lines.append(("M", (neck, (neck[0], grid.y(each + 0.05)))))
    yield Path(tuple(lines), "stitch")


def _crossing(grid: _Grid, stretch: _Stretch) -> Iterator[Mark]:
    """Yield two bands that change places; the one that leans as the cable does lies in front.

    A picture may end in the middle of a crossing, which then goes on beyond its edge.
    """
    assert stretch.crossing is not None
    over = stretch.crossing.over
    rising, falling = (0, over), (over, 0)
    behind, front = (falling, rising) if stretch.crossing.lean == "right" else (rising, falling)
    for start_place, end_place in (behind, front):
        for strand in range(over):
            yield _strand(grid, (start_place + strand, stretch.first), (end_place + strand, stretch.end))


def _strand(grid: _Grid, start: Point, end: Point) -> Path:
    """Return a strand between two places, counted in stitches and rounds, with a gap to its neighbours."""
    (place0, height0), (place1, height1) = start, end
    return _ribbon(
        (grid.x(place0 + 0.1), grid.y(height0)),
        (grid.x(place1 + 0.1), grid.y(height1)),
        0.8 * grid.stitch_mm,
        "part",
    )


_DRAWN: Mapping[str, Callable[[_Grid, _Stretch], Iterator[Mark]]] = MappingProxyType(
    {"front": _strands, "back": _ridges, "flat": _plain, "crossing": _crossing}
)


def _ribbon(start: Point, end: Point, width_mm: float, role: Role) -> Path:
    """Return a band of one width between two levels, with an S bend where it moves aside."""
    (x0, y0), (x1, y1) = start, end
    middle = (y0 + y1) / 2
    right0, right1 = (x0 + width_mm, y0), (x1 + width_mm, y1)
    commands: tuple[Command, ...] = (
        ("M", (start,)),
        ("C", ((x0, middle), (x1, middle), end)),
        # A straight line is a curve whose handles lie on its end.
        ("C", (right1, right1, right1)),
        ("C", ((right1[0], middle), (right0[0], middle), right0)),
        ("Z", ()),
    )
    return Path(commands, role)
