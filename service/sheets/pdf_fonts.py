"""The fonts of a PDF: read once for all documents, which take copies of what they change."""

from collections.abc import Iterable
from copy import copy
from dataclasses import dataclass
from functools import cache
from importlib.resources import as_file, files
from io import BytesIO

from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont
from fpdf import FPDF
from fpdf.fonts import SubsetMap, TTFFont

from service.sheets.pdf_faces import Face

__all__ = ["FONT", "add_faces", "choose_files"]

FONT = "SourceSansPro"
_FILES = {"": "SourceSansPro-Regular.ttf", "B": "SourceSansPro-Semibold.ttf"}
#: Nothing is set by these tables of a font.
_LAYOUT_TABLES = ("GDEF", "GPOS", "GSUB", "kern", "BASE", "DSIG")
#: What nearly every sheet is written with: taking its letters from a small file is several times faster.
_COMMON_LETTERS = (0, *range(0x20, 0x7F), *range(0xA0, 0x100), *map(ord, "–—‘’“”•…−×⅛¼⅜½⅝¾⅞"))
#: As the library keeps them.
_COMMON = frozenset((letter,) for letter in _COMMON_LETTERS)


@dataclass(frozen=True, slots=True)
class _ReadFont:
    """A font as the library reads it, its file, and a file with the common characters alone."""

    font: TTFFont
    whole: bytes
    common: bytes


def add_faces(pdf: FPDF) -> dict[str, Face]:
    """Add the fonts to a document; return the plain face by ``""`` and the bold one by ``"B"``."""
    return {style: _add_face(pdf, style) for style in _FILES}


def choose_files(pdf: FPDF) -> None:
    """Give each font of a finished document the file that its characters are taken from."""
    for style in _FILES:
        font = pdf.fonts[FONT.lower() + style]
        assert isinstance(font, TTFFont)
        used = {glyph.unicode for glyph, _ in font.subset.items() if glyph}
        read = _read(style)
        file = read.common if used <= _COMMON else read.whole
        font.ttfont = TTFont(BytesIO(file), recalcTimestamp=False, lazy=True)


def _add_face(pdf: FPDF, style: str) -> Face:
    """Return a face of the document's own: what the library writes down in a font belongs to one document."""
    read = _read(style).font
    font = copy(read)
    font.i = len(pdf.fonts) + 1
    font.desc = copy(read.desc)
    font.missing_glyphs = []
    font.subset = SubsetMap(font)
    pdf.fonts[font.fontkey] = font
    return Face(font)


@cache
def _read(style: str) -> _ReadFont:
    pdf = FPDF()
    with as_file(files("font_source_sans_pro") / "files" / _FILES[style]) as path:
        pdf.add_font(FONT, style, path)
        font = pdf.fonts[FONT.lower() + style]
        assert isinstance(font, TTFFont)
        whole = _saved(font.ttfont, font.cmap)
        common = _saved(TTFont(BytesIO(whole), recalcTimestamp=False), _COMMON_LETTERS)
    return _ReadFont(font, whole, common)


def _saved(font: TTFont, characters: Iterable[int]) -> bytes:
    """Return the file of a font with these characters alone, and without the layout that nobody uses."""
    options = Options(glyph_names=True, notdef_outline=True, drop_tables=list(_LAYOUT_TABLES))
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=characters)
    subsetter.subset(font)
    file = BytesIO()
    font.save(file)
    return file.getvalue()
