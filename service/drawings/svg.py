"""A picture as SVG: presentation attributes alone, no style, no script, nothing from outside.

The same picture gives the same bytes: figures have a fixed number of decimals, and members keep their order.
"""

import re
from collections.abc import Callable, Mapping
from functools import cache, lru_cache
from types import MappingProxyType
from xml.etree.ElementTree import Element, SubElement, tostring

from service.drawings.inks import FONT_FAMILY, INKS, TEXT_INKS
from service.drawings.pictures import Circle, Group, Line, Path, Picture, Role, Text

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
    root = Element(
        "svg",
        {
            "xmlns": _NAMESPACE,
            "viewBox": f"0 0 {_figure(picture.width_mm)} {_figure(picture.height_mm)}",
            "role": "img",
            "font-family": FONT_FAMILY,
            "stroke-linecap": "round",
            "stroke-linejoin": "round",
        },
    )
    SubElement(root, "title").text = _legal(picture.title)
    SubElement(root, "desc").text = _legal(picture.description)
    _paper(root, picture)
    for mark in picture.marks:
        _DRAWN[type(mark)](root, mark)
    return tostring(root, encoding="unicode") + "\n"


def _legal(words: str) -> str:
    """Return the words without the few characters that XML 1.0 cannot hold."""
    return _NOT_XML.sub("\N{REPLACEMENT CHARACTER}", words)


def _paper(root: Element, picture: Picture) -> None:
    """Lay white paper under the marks, so that a dark page does not swallow black lines."""
    size = {"width": _figure(picture.width_mm), "height": _figure(picture.height_mm)}
    SubElement(root, "rect", {**size, "fill": "#ffffff"})


def _figure(value: float) -> str:
    """Return a length with at most two decimals, never as ``-0``."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def _grey(level: int | None) -> str:
    return "none" if level is None else f"#{level:02x}{level:02x}{level:02x}"


@cache
def _ink(role: Role) -> Mapping[str, str]:
    """Return the presentation attributes of a role."""
    ink = INKS[role]
    found = {"fill": _grey(ink.fill_grey), "stroke": _grey(ink.line_grey)}
    if ink.line_grey is not None:
        found["stroke-width"] = _figure(ink.width_mm)
    if ink.dash_mm:
        found["stroke-dasharray"] = " ".join(map(_figure, ink.dash_mm))
    return MappingProxyType(found)


def _path(parent: Element, mark: Path, *, ink: Mapping[str, str] | None = None) -> None:
    shape = tuple((name, len(points)) for name, points in mark.commands)
    figures = [figure for _, points in mark.commands for point in points for figure in point]
    own = _ink(mark.role) if ink is None else ink
    SubElement(parent, "path", {"d": _template(shape) % tuple(figures), **own})


@lru_cache(maxsize=256)
def _template(shape: tuple[tuple[str, int], ...]) -> str:
    """Return the text of a path of this shape, with a place for each figure.

    Symbols come in few shapes, and a whole path is written in one go.
    """
    return "".join(name + " ".join(["%.2f,%.2f"] * count) for name, count in shape)


def _line(parent: Element, mark: Line) -> None:
    (x1, y1), (x2, y2) = mark.start, mark.end
    ends = {"x1": _figure(x1), "y1": _figure(y1), "x2": _figure(x2), "y2": _figure(y2)}
    SubElement(parent, "line", {**ends, **_ink(mark.role)})


def _circle(parent: Element, mark: Circle) -> None:
    x, y = mark.centre
    place = {"cx": _figure(x), "cy": _figure(y), "r": _figure(mark.radius_mm)}
    SubElement(parent, "circle", {**place, **_ink(mark.role)})


def _text(parent: Element, mark: Text) -> None:
    x, y = _figure(mark.at[0]), _figure(mark.at[1])
    ink = TEXT_INKS[mark.role]
    attributes = {"x": x, "y": y, "font-size": _figure(mark.size_mm), "fill": _grey(ink.grey)}
    if mark.anchor != "start":
        attributes["text-anchor"] = mark.anchor
    if ink.is_bold:
        attributes["font-weight"] = "bold"
    if mark.turned:
        attributes["transform"] = f"rotate(-90 {x} {y})"
    SubElement(parent, "text", attributes).text = _legal(mark.words)


def _group(parent: Element, mark: Group) -> None:
    place = (
        {}
        if mark.origin == (0.0, 0.0)
        else {"transform": f"translate({' '.join(map(_figure, mark.origin))})"}
    )
    group = SubElement(parent, "g", place)
    SubElement(group, "title").text = _legal(mark.title)
    common = _common_role(mark)
    if common is not None:
        group.attrib.update(_ink(common))
    for inner in mark.marks:
        if isinstance(inner, Path) and inner.role == common:
            _path(group, inner, ink={})
        else:
            _DRAWN[type(inner)](group, inner)


def _common_role(group: Group) -> Role | None:
    """Return the role that a group of paths has in common, so that its ink is written once."""
    first = group.marks[0] if group.marks else None
    if not isinstance(first, Path) or INKS[first.role].dash_mm:
        return None
    return first.role if all(isinstance(mark, Path) for mark in group.marks) else None


_DRAWN: dict[type, Callable[..., None]] = {
    Path: _path,
    Line: _line,
    Circle: _circle,
    Text: _text,
    Group: _group,
}
