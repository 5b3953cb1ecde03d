"""A drawing before it has any format: marks in millimetres, each with what it means.

The origin is the upper left corner, x runs to the right and y down, as on paper.
A mark names its role and never a colour or a width; :mod:`service.drawings.inks` has one ink for each role.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

__all__ = [
    "Anchor",
    "Circle",
    "Command",
    "Group",
    "Line",
    "Mark",
    "Matrix",
    "Path",
    "Picture",
    "Placed",
    "Point",
    "Role",
    "Text",
    "flat_marks",
    "mark_count",
    "mirrored",
    "moved",
    "polygon",
    "polyline",
    "scaled",
]

Point: TypeAlias = tuple[float, float]
#: A step of a path, as SVG has them: ``M`` moves to its first point and draws lines through the others,
#: ``C`` draws a cubic curve by two handles and its end, ``Z`` closes. A chart has tens of thousands.
Command: TypeAlias = tuple[Literal["M", "C", "Z"], tuple[Point, ...]]
Matrix: TypeAlias = tuple[float, float, float, float, float, float]
Anchor = Literal["start", "middle", "end"]
Role = Literal[
    "outline",
    "part",
    "fold",
    "axis",
    "hidden",
    "dimension",
    "arrow",
    "leader",
    "guide",
    "grid",
    "band",
    "inner_band",
    "stitch",
    "stitch_solid",
    "repeat",
    "repeat_area",
    "column_edge",
    "tone_1",
    "tone_2",
    "tone_3",
    "tone_4",
    "tone_5",
    "tone_6",
    "tone_7",
    "tone_8",
    "tone_9",
    "tone_10",
    "tone_11",
    "tone_12",
    "target",
    "worked",
    "target_point",
    "worked_point",
    "heading",
    "label",
    "note",
]


_CLOSE: Command = ("Z", ())


@dataclass(frozen=True, slots=True)
class Path:
    """Lines and curves, drawn or filled as the role says."""

    commands: tuple[Command, ...]
    role: Role


@dataclass(frozen=True, slots=True)
class Placed:
    """A shape that many marks share, put down at one place of the picture.

    A point (x, y) of the shape lies at (ax + cy + e, bx + dy + f), as in SVG; the matrix turns, mirrors and
    moves, and does not stretch. A chart of thousands of symbols holds each shape once.
    """

    shape: Path
    matrix: Matrix

    @property
    def role(self) -> Role:
        """Return the role of the shape."""
        return self.shape.role

    def drawn(self) -> Path:
        """Return the mark by itself.

        Examples
        --------
        >>> Placed(polyline([(0, 0), (2, 0)], "stitch"), (0, 1, -1, 0, 10, 10)).drawn().commands
        (('M', ((10, 10), (10, 12))),)
        """
        a, b, c, d, e, f = self.matrix
        commands: tuple[Command, ...] = tuple(
            (name, tuple((a * x + c * y + e, b * x + d * y + f) for x, y in points))
            for name, points in self.shape.commands
        )
        return Path(commands, self.shape.role)


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line."""

    start: Point
    end: Point
    role: Role


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle."""

    centre: Point
    radius_mm: float
    role: Role


@dataclass(frozen=True, slots=True)
class Text:
    """Words on their baseline. ``turned`` words read upward."""

    at: Point
    words: str
    size_mm: float
    anchor: Anchor = "start"
    role: Role = "label"
    turned: bool = False


@dataclass(frozen=True, slots=True)
class Group:
    """Marks that belong together, with a title that a screen reader can tell.

    The marks count from ``origin``, so that a group is moved without touching them.
    """

    title: str
    marks: tuple["Mark", ...]
    origin: Point = (0.0, 0.0)


Mark: TypeAlias = Path | Placed | Line | Circle | Text | Group


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A drawing: its size, what it is called, what it shows in words, and its marks."""

    width_mm: float
    height_mm: float
    title: str
    description: str
    marks: tuple[Mark, ...]


def polyline(points: Iterable[Point], role: Role) -> Path:
    """Return a path through the points.

    Examples
    --------
    >>> polyline([(0, 0), (1, 0), (1, 1)], "outline").commands
    (('M', ((0, 0), (1, 0), (1, 1))),)
    """
    return Path((("M", tuple(points)),), role)


def polygon(points: Iterable[Point], role: Role) -> Path:
    """Return a closed path through the points.

    Examples
    --------
    >>> polygon([(0, 0), (1, 0), (1, 1)], "part").commands[-1][0]
    'Z'
    """
    return Path((("M", tuple(points)), _CLOSE), role)


def moved(mark: Mark, *, right_mm: float, down_mm: float) -> Mark:
    """Return the mark elsewhere.

    Examples
    --------
    >>> moved(Circle((1, 1), 2, "part"), right_mm=4, down_mm=0).centre
    (5, 1)
    """
    if isinstance(mark, Group):
        return replace(mark, origin=(mark.origin[0] + right_mm, mark.origin[1] + down_mm))
    if isinstance(mark, Placed):
        a, b, c, d, e, f = mark.matrix
        return Placed(mark.shape, (a, b, c, d, e + right_mm, f + down_mm))
    return _mapped(mark, lambda point: (point[0] + right_mm, point[1] + down_mm))


def mirrored(mark: Mark, *, about_x_mm: float) -> Mark:
    """Return the mark as a mirror standing at x shows it; words stay readable.

    Examples
    --------
    >>> mirrored(Line((0, 0), (1, 5), "part"), about_x_mm=2)
    Line(start=(4, 0), end=(3, 5), role='part')
    """
    flipped = _mapped(mark, lambda point: (2 * about_x_mm - point[0], point[1]))
    return _with_anchors_turned(flipped)


def _with_anchors_turned(mark: Mark) -> Mark:
    other: dict[Anchor, Anchor] = {"start": "end", "end": "start", "middle": "middle"}
    if isinstance(mark, Text):
        return replace(mark, anchor=other[mark.anchor])
    if isinstance(mark, Group):
        return replace(mark, marks=tuple(map(_with_anchors_turned, mark.marks)))
    return mark


def scaled(mark: Mark, factor: float) -> Mark:
    """Return the mark drawn larger or smaller about the origin, words included."""
    match mark:
        case Circle(_, radius_mm, _):
            mark = replace(mark, radius_mm=radius_mm * factor)
        case Text(_, _, size_mm):
            mark = replace(mark, size_mm=size_mm * factor)
        case Group(title, marks, (x, y)):
            origin = (x * factor, y * factor)
            return Group(title, tuple(scaled(each, factor) for each in marks), origin)
    return _mapped(mark, lambda point: (point[0] * factor, point[1] * factor))


def _mapped(mark: Mark, place: Callable[[Point], Point]) -> Mark:
    match mark:
        case Path(commands, role):
            there: tuple[Command, ...] = tuple((name, tuple(map(place, points))) for name, points in commands)
            return Path(there, role)
        case Placed():
            return _mapped(mark.drawn(), place)
        case Line(start, end, role):
            return Line(place(start), place(end), role)
        case Circle(centre, radius_mm, role):
            return Circle(place(centre), radius_mm, role)
        case Text(at):
            return replace(mark, at=place(at))
        case Group(title, marks, (x, y)):
            inner = (moved(each, right_mm=x, down_mm=y) for each in marks)
            return Group(title, tuple(_mapped(each, place) for each in inner))


def mark_count(marks: Iterable[Mark]) -> int:
    """Return how many marks there are, those in groups one by one.

    Examples
    --------
    >>> mark_count([Group("all", (Text((0, 0), "one", 3), Text((0, 9), "two", 3)))])
    2
    """
    return sum(mark_count(mark.marks) if isinstance(mark, Group) else 1 for mark in marks)


def flat_marks(marks: Iterable[Mark]) -> Iterator[Path | Line | Circle | Text]:
    """Yield the marks without their groups, in the order they are drawn.

    Examples
    --------
    >>> [mark.words for mark in flat_marks([Group("all", (Text((0, 0), "one", 3),))])]
    ['one']
    """
    for mark in marks:
        if isinstance(mark, Group):
            x, y = mark.origin
            yield from flat_marks(moved(each, right_mm=x, down_mm=y) for each in mark.marks)
        else:
            yield mark.drawn() if isinstance(mark, Placed) else mark
