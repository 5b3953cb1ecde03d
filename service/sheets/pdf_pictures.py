"""Draw a picture on a page of a PDF: lines as lines, words as words in the font of the page."""

from collections.abc import Iterable, Iterator, Mapping
from contextlib import nullcontext
from dataclasses import dataclass
from functools import cache
from itertools import groupby, pairwise

from fpdf import FPDF

from service.domain.units import MM_PER_INCH
from service.drawings.inks import INKS, TEXT_INKS
from service.drawings.pictures import Circle, Line, Path, Picture, Role, Text, flat_marks
from service.sheets.pdf_faces import Face

__all__ = ["Place", "draw_picture"]

_MM_PER_PT = MM_PER_INCH / 72
#: How far the handles of a curve reach for a quarter of a circle, over its radius.
_QUARTER = 0.5523
_PATH_OPERATORS = {"C": "c", "Z": "h"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where the upper left corner of a picture lies, and how large it is drawn. [mm]"""

    left_mm: float
    top_mm: float
    scale: float


def draw_picture(pdf: FPDF, picture: Picture, *, place: Place, faces: Mapping[str, Face], font: str) -> None:
    """Draw the marks of a picture in their order.

    Parameters
    ----------
    pdf
        The document; its current page is drawn on.
    picture
        What to draw.
    place
        Where.
    faces
        The plain face of the font by ``""`` and the bold one by ``"B"``.
    font
        The name of the font.
    """
    for is_text, marks in groupby(flat_marks(picture.marks), key=lambda mark: isinstance(mark, Text)):
        if is_text:
            for mark in marks:
                assert isinstance(mark, Text)
                _write(pdf, mark, place=place, faces=faces, font=font)
        else:
            pdf._out("\n".join(_shapes(marks, place, page_height_mm=pdf.h)))
    pdf.set_text_color(0)


def _write(pdf: FPDF, mark: Text, *, place: Place, faces: Mapping[str, Face], font: str) -> None:
    ink = TEXT_INKS[mark.role]
    style = "B" if ink.is_bold else ""
    face, size_mm = faces[style], mark.size_mm * place.scale
    words = face.shown(mark.words)
    before = {"start": 0.0, "middle": 0.5, "end": 1.0}[mark.anchor] * face.width(words) * size_mm
    x, y = (place.left_mm + mark.at[0] * place.scale, place.top_mm + mark.at[1] * place.scale)
    pdf.set_font(font, style, size_mm / _MM_PER_PT)
    pdf.set_text_color(ink.grey)
    with pdf.rotation(90, x, y) if mark.turned else nullcontext():
        pdf.text(x - before, y, words)


def _shapes(
    marks: Iterable[Path | Line | Circle | Text], place: Place, *, page_height_mm: float
) -> Iterator[str]:
    """Yield the operators of shapes in the picture's own millimetres, which run down the page."""
    unit = place.scale / _MM_PER_PT
    left, top = place.left_mm / _MM_PER_PT, (page_height_mm - place.top_mm) / _MM_PER_PT
    yield f"q {unit:.6f} 0 0 {-unit:.6f} {left:.3f} {top:.3f} cm 1 J 1 j"
    role: Role | None = None
    for mark in marks:
        if mark.role != role:
            role = mark.role
            yield _ink(role)
        yield f"{_outline(mark)} {_paint(role)}"
    yield "Q"


@cache
def _ink(role: Role) -> str:
    """Return the operators that set the ink of a role (ISO 32000, section 8)."""
    ink = INKS[role]
    dashes = " ".join(f"{length:g}" for length in ink.dash_mm)
    line = "" if ink.line_grey is None else f"{ink.line_grey / 255:.3f} G {ink.width_mm:g} w [{dashes}] 0 d"
    fill = "" if ink.fill_grey is None else f"{ink.fill_grey / 255:.3f} g"
    return f"{line} {fill}".strip()


@cache
def _paint(role: Role) -> str:
    """Return the operator that draws the line of a shape, fills it, or does both."""
    ink = INKS[role]
    if ink.fill_grey is None:
        return "S"
    return "f" if ink.line_grey is None else "B"


def _outline(mark: Path | Line | Circle | Text) -> str:
    match mark:
        case Path(commands):
            return " ".join(_steps(name, points) for name, points in commands)
        case Line((x1, y1), (x2, y2)):
            return f"{x1:.2f} {y1:.2f} m {x2:.2f} {y2:.2f} l"
        case Circle((x, y), radius):
            return _round(x, y, radius)
    raise AssertionError("words are not drawn as shapes")


def _steps(name: str, points: tuple[tuple[float, float], ...]) -> str:
    if name == "M":
        return " ".join(f"{x:.2f} {y:.2f} {'l' if place else 'm'}" for place, (x, y) in enumerate(points))
    return f"{' '.join(f'{x:.2f} {y:.2f}' for x, y in points)} {_PATH_OPERATORS[name]}"


def _round(x: float, y: float, radius: float) -> str:
    """Return a circle as four curves."""
    r, h = radius, radius * _QUARTER
    turns = ((1, 0), (0, 1), (-1, 0), (0, -1), (1, 0))
    curves = (
        f"{x + r * a + h * c:.2f} {y + r * b + h * d:.2f} "
        f"{x + r * c + h * a:.2f} {y + r * d + h * b:.2f} {x + r * c:.2f} {y + r * d:.2f} c"
        for (a, b), (c, d) in pairwise(turns)
    )
    return f"{x + r:.2f} {y:.2f} m {' '.join(curves)} h"
