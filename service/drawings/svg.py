"""A picture as SVG: presentation attributes alone, no style, no script, nothing from outside.

The same picture gives the same bytes: figures have a fixed number of decimals, and members keep their order.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, lru_cache
from xml.sax.saxutils import escape

from service.drawings.inks import FONT_FAMILY, INKS, TEXT_INKS
from service.drawings.pictures import Circle, Group, Line, Path, Picture, Placed, Role, Text

__all__ = ["render_svg"]

_NOT_XML = re.compile("[^\t\n\r -\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_NAMESPACE = "http://www.w3.org/2000/svg"


def render_svg(picture: Picture) -> str:
    """Return a picture as an SVG document whose units are millimetres.

    Parameters
    ----------
    picture
        What to draw.

    Examples
    --------
    >>> picture = Picture(width_mm=10, height_mm=5, title="A & B", description="A line.",
    ...                   marks=(Line((0, 0), (10, 5), "guide"),))
    >>> render_svg(picture).count("A &amp; B")
    1

    Notes
    -----
    SVG 1.1 and its accessible names: ``title``, ``desc`` and ``role="img"`` (W3C).
    """
    width, height = _figure(picture.width_mm), _figure(picture.height_mm)
    page = _Page(
        [
            f'<svg xmlns="{_NAMESPACE}" viewBox="0 0 {width} {height}" role="img" '
            f'font-family="{FONT_FAMILY}" stroke-linecap="round" stroke-linejoin="round">',
            f"<title>{_legal(picture.title)}</title><desc>{_legal(picture.description)}</desc>",
            # White paper under the marks, so that a dark page does not swallow black lines.
            f'<rect width="{width}" height="{height}" fill="#ffffff" />',
        ],
        {},
    )
    for mark in picture.marks:
        _DRAWN[type(mark)](page, mark)
    return "".join([*page.parts, "</svg>\n"])


@dataclass(frozen=True, slots=True)
class _Page:
    """The document so far, and the text of shapes that are put down more than once, by their identity."""

    parts: list[str]
    courses: dict[int, str]

    def course(self, shape: Path) -> str:
        """Return the text of a shape; the picture keeps it alive, so that its identity stays its own."""
        key = id(shape)
        if key not in self.courses:
            self.courses[key] = _course(shape)
        return self.courses[key]


def _legal(words: str) -> str:
    """Return the words escaped, without the few characters that XML 1.0 cannot hold."""
    return escape(_NOT_XML.sub("\N{REPLACEMENT CHARACTER}", words))


def _figure(value: float) -> str:
    """Return a length with at most two decimals, never as ``-0``."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def _grey(level: int | None) -> str:
    return "none" if level is None else f"#{level:02x}{level:02x}{level:02x}"


@cache
def _ink(role: Role) -> str:
    """Return the presentation attributes of a role."""
    ink = INKS[role]
    found = f' fill="{_grey(ink.fill_grey)}" stroke="{_grey(ink.line_grey)}"'
    if ink.line_grey is not None:
        found += f' stroke-width="{_figure(ink.width_mm)}"'
    if ink.dash_mm:
        found += f' stroke-dasharray="{" ".join(map(_figure, ink.dash_mm))}"'
    return found + ' shape-rendering="crispEdges"' * ink.is_crisp


def _path(page: _Page, mark: Path) -> None:
    page.parts.append(f'<path d="{_course(mark)}"{_ink(mark.role)} />')


def _placed(page: _Page, mark: Placed, ink: str | None = None) -> None:
    a, b, c, d, e, f = mark.matrix
    there = (
        f"translate({e:.2f} {f:.2f})"
        if a == d == 1.0
        else f"matrix({a:.3f} {b:.3f} {c:.3f} {d:.3f} {e:.2f} {f:.2f})"
    )
    ink = _ink(mark.role) if ink is None else ink
    page.parts.append(f'<path d="{page.course(mark.shape)}" transform="{there}"{ink} />')


def _course(mark: Path) -> str:
    shape = tuple([(name, len(points)) for name, points in mark.commands])
    return _template(shape) % tuple(
        [each for _, points in mark.commands for point in points for each in point]
    )


@lru_cache(maxsize=256)
def _template(shape: tuple[tuple[str, int], ...]) -> str:
    """Return the text of a path of this shape, with a place for each figure.

    Symbols come in few shapes, and a whole path is written in one go.
    """
    return "".join(name + " ".join(["%.2f,%.2f"] * count) for name, count in shape)


def _line(page: _Page, mark: Line) -> None:
    (x1, y1), (x2, y2) = mark.start, mark.end
    ends = f'x1="{_figure(x1)}" y1="{_figure(y1)}" x2="{_figure(x2)}" y2="{_figure(y2)}"'
    page.parts.append(f"<line {ends}{_ink(mark.role)} />")


def _circle(page: _Page, mark: Circle) -> None:
    x, y = mark.centre
    place = f'cx="{_figure(x)}" cy="{_figure(y)}" r="{_figure(mark.radius_mm)}"'
    page.parts.append(f"<circle {place}{_ink(mark.role)} />")


def _text(page: _Page, mark: Text) -> None:
    x, y = _figure(mark.at[0]), _figure(mark.at[1])
    ink = TEXT_INKS[mark.role]
    attributes = f'x="{x}" y="{y}" font-size="{_figure(mark.size_mm)}" fill="{_grey(ink.grey)}"'
    if mark.anchor != "start":
        attributes += f' text-anchor="{mark.anchor}"'
    if ink.is_bold:
        attributes += ' font-weight="bold"'
    if mark.turned:
        attributes += f' transform="rotate(-90 {x} {y})"'
    page.parts.append(f"<text {attributes}>{_legal(mark.words)}</text>")


def _group(page: _Page, mark: Group) -> None:
    x, y = map(_figure, mark.origin)
    place = "" if mark.origin == (0.0, 0.0) else f' transform="translate({x} {y})"'
    common = _common_role(mark)
    page.parts.append(f"<g{place}{_ink(common) if common else ''}><title>{_legal(mark.title)}</title>")
    for inner in mark.marks:
        if isinstance(inner, Placed) and inner.role == common:
            _placed(page, inner, ink="")
        elif isinstance(inner, Path) and inner.role == common:
            page.parts.append(f'<path d="{_course(inner)}" />')
        else:
            _DRAWN[type(inner)](page, inner)
    page.parts.append("</g>")


def _common_role(group: Group) -> Role | None:
    """Return the role that a group of paths has in common, so that its ink is written once."""
    first = group.marks[0] if group.marks else None
    if not isinstance(first, Path | Placed) or INKS[first.role].dash_mm or INKS[first.role].is_crisp:
        return None
    return first.role if all(isinstance(mark, Path | Placed) for mark in group.marks) else None


_DRAWN: dict[type, Callable[..., None]] = {
    Path: _path,
    Placed: _placed,
    Line: _line,
    Circle: _circle,
    Text: _text,
    Group: _group,
}
