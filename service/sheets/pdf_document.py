"""Set text on the pages of a PDF: fonts, lines, pages and columns. Lengths are in millimetres."""

import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime

from fpdf import FPDF
from fpdf.prefs import ViewerPreferences

from service.domain.units import MM_PER_INCH
from service.drawings.pictures import Picture
from service.sheets.paper import page_scale
from service.sheets.pdf_fonts import FONT, add_faces, choose_files
from service.sheets.pdf_pictures import Place, draw_picture
from service.sheets.pdf_structure import Figure, Group, TaggedStructure

__all__ = ["SheetDocument"]

_MARGIN = 20.0
_PAGE_HEIGHT = 297.0
_BOTTOM = _PAGE_HEIGHT - 22.0
#: What is reserved at once and taken in parts comes to the same but for rounding. [mm]
_TOLERANCE_MM = 0.01
_BODY_PT, _NOTE_PT = 10.5, 9.0
_HEADING_PT = {1: 22.0, 2: 14.0, 3: 11.5}
_SPACE_ABOVE = {1: 0.0, 2: 6.0, 3: 3.5}
#: Headings from this level on stand within a part, where a drawing may wait for room.
_FREE_LEVEL = 3
_HEADER_AT = 10.0
_LEADING = 1.35
_MM_PER_PT = MM_PER_INCH / 72
_GAP = 1.2
#: A drawing is made so much smaller to stay on a page, and no more.
_LEAST_SHRUNK = 0.8
#: No line ends before a unit, or before the count at the end of a round.
_BOUND = re.compile(r"(?<=[\d¼½¾⅛⅜⅝⅞]) (?=(?:cm|mm|in|m|yd|g|oz|%|sts?)\b)| (?=\(\d+\)$)")
#: Always the same, so that the same sheet is the same file.
_MADE = datetime(2026, 1, 1, tzinfo=UTC)


class _Pages(FPDF):
    """Pages with a number at the foot."""

    def footer(self) -> None:
        """Write the number of the page, as something that is not read aloud."""
        self._out("/Artifact BMC")
        self.set_font(FONT, "", _NOTE_PT)
        self.set_xy(_MARGIN, -15)
        self.cell(self.epw, 5, f"{self.page_no()} / {{nb}}", align="R")
        self._out("EMC")


class SheetDocument:
    """A document that is written from top to bottom; each text is marked as what it is."""

    def __init__(self, *, title: str, language: str) -> None:
        self._structure = TaggedStructure()
        self._pdf = pdf = _Pages(format="A4")
        pdf.struct_builder = self._structure
        pdf.set_title(title)
        pdf.set_lang(language)
        pdf.set_creation_date(_MADE)
        pdf.viewer_preferences = ViewerPreferences(display_doc_title=True)
        pdf.set_margins(_MARGIN, _MARGIN, _MARGIN)
        pdf.set_auto_page_break(False)
        self._faces = add_faces(pdf)
        self._broken: dict[tuple[str, float, str, float], list[str]] = {}
        self._running_title = ""
        self._waiting: Picture | None = None
        pdf.add_page()

    def title(self, text: str, *, instead: str) -> bool:
        """Write the title, and above each page that follows; tell whether the font has all of its characters.

        Words that the font would cripple are left out; where none is left, another title stands instead.
        """
        face = self._faces["B"]
        shown = face.readable(text) or face.readable(instead)
        self.heading(shown, level=1)
        self._running_title = shown
        return face.has_all(text)

    def finish(self) -> bytes:
        """Return the document as it is saved."""
        self._draw_waiting()
        choose_files(self._pdf)
        return bytes(self._pdf.output())

    def heading(self, text: str, *, level: int, room: float = 0.0) -> None:
        """Write a heading; it never stands alone at the foot of a page.

        ``room`` is what it asks for below it, where that is more than some lines. [mm]
        """
        if level < _FREE_LEVEL:
            self._draw_waiting()
        size_pt = _HEADING_PT[level]
        below = min(max(room, 3 * _height_mm(_BODY_PT)), _BOTTOM / 2)
        self._break_unless(_SPACE_ABOVE[level] + _height_mm(size_pt) + _GAP + below)
        if self._pdf.y > _MARGIN:
            self._space(_SPACE_ABOVE[level])
        if level > 1:
            self._pdf.start_section(text, level - 2)
        self._text(text, kind=f"H{level}", size_pt=size_pt, style="B")
        self._space(_GAP)

    def heading_room(self, level: int) -> float:
        """Return what a heading takes up with some lines below it."""
        return _SPACE_ABOVE[level] + _height_mm(_HEADING_PT[level]) + _GAP + 3 * _height_mm(_BODY_PT)

    def paragraph(self, text: str) -> None:
        """Write a paragraph; one that is no longer than half a page stays whole."""
        self._break_unless(min(self.paragraph_height(text), _BOTTOM / 2))
        self._text(text, kind="P")
        self._space(_GAP)

    def paragraph_height(self, text: str) -> float:
        """Return what a paragraph takes up."""
        return len(self._lines(text, self._pdf.epw)) * _height_mm(_BODY_PT) + _GAP

    def items(self, texts: Sequence[str]) -> None:
        """Write a list with a dot before each item."""
        self.labelled([("•", text) for text in texts], label_width=4.5, style="")

    def labelled(
        self, rows: Sequence[tuple[str, str]], *, label_width: float | None = None, style: str = "B"
    ) -> None:
        """Write a list with a label before each item; without a width, the widest label decides."""
        wide = label_width or self._widest([label for label, _ in rows], style) + 3
        heights = [self._item_height(text, wide) for _, text in rows]
        all_items = Group("L")
        for position, (label, text) in enumerate(rows):
            item = Group("LI", all_items)
            # The last item of a list takes the one before along to another page.
            together = sum(heights[position:]) if position == len(rows) - 2 else heights[position]
            self._break_unless(min(together, _BOTTOM / 2))
            with self._marked("Lbl", item):
                self._line(label, x=_MARGIN, style=style)
            self._text(text, kind="LBody", group=item, x=_MARGIN + wide)
            self._space(_GAP)

    def labelled_height(self, rows: Sequence[tuple[str, str]], *, count: int | None = None) -> float:
        """Return what a list takes up, or so many of its first items."""
        wide = self._widest([label for label, _ in rows], "B") + 3
        return sum(self._item_height(text, wide) for _, text in rows[:count])

    def _item_height(self, text: str, label_width: float) -> float:
        return len(self._lines(text, self._pdf.epw - label_width)) * _height_mm(_BODY_PT) + _GAP

    def table(self, columns: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
        """Write a table; its head stands once more where a page begins."""
        widths = self._column_widths([columns, *rows])
        whole = Group("Table")
        self._row(columns, widths, whole, kinds=["TH"] * len(columns), style="B")
        heights = [self._row_height(row, widths) for row in rows]
        for position, row in enumerate(rows):
            kinds = ["TH", *["TD"] * (len(row) - 1)]
            together = sum(heights[position:]) if position == len(rows) - 2 else heights[position]
            if together > _BOTTOM - self._pdf.y:
                self._break_unless(together)
                self._row(columns, widths, whole, kinds=["TH"] * len(columns), style="B")
            self._row(row, widths, whole, kinds=kinds)
        self._space(_GAP)

    def rows_height(self, rows: Sequence[Sequence[str]], *, columns: Sequence[Sequence[str]]) -> float:
        """Return what some rows of a table take up; ``columns`` are all of its rows, which set the widths."""
        widths = self._column_widths(columns)
        return sum(self._row_height(row, widths, "B") for row in rows)

    def drawing(self, picture: Picture) -> None:
        """Draw a picture, or leave it to the top of the next page where this one has no room for it.

        What follows goes on meanwhile, up to the next part.
        """
        self._draw_waiting()
        if self._fits(picture):
            self._draw(picture)
        else:
            self._waiting = picture

    def _draw_waiting(self) -> None:
        """Draw what waits for room, on another page if need be."""
        picture, self._waiting = self._waiting, None
        if picture is not None:
            if not self._fits(picture):
                self._new_page()
            self._draw(picture)

    def _fits(self, picture: Picture) -> bool:
        room = _BOTTOM - self._pdf.y - _GAP
        return self._pdf.y <= _MARGIN or room >= _LEAST_SHRUNK * page_scale(picture) * picture.height_mm

    def _draw(self, picture: Picture) -> None:
        """Draw a picture in the middle of the line; it is told in words to who cannot see it."""
        self._space(_GAP)
        scale = min(page_scale(picture), (_BOTTOM - self._pdf.y) / picture.height_mm)
        height = scale * picture.height_mm
        left, top = _MARGIN + (self._pdf.epw - scale * picture.width_mm) / 2, self._pdf.y
        place = Place(left_mm=left, top_mm=top, scale=scale)
        corners = (left, _PAGE_HEIGHT - top - height, left + scale * picture.width_mm, _PAGE_HEIGHT - top)
        left_pt, bottom_pt, right_pt, top_pt = (corner / _MM_PER_PT for corner in corners)
        figure = Figure(
            words=f"{picture.title}. {picture.description}", box_pt=(left_pt, bottom_pt, right_pt, top_pt)
        )
        with self._marked("Figure", None, figure):
            draw_picture(self._pdf, picture, place=place, faces=self._faces, font=FONT)
        self._pdf.set_y(top + height)
        self._space(_GAP)

    def _row(
        self,
        texts: Sequence[str],
        widths: Sequence[float],
        table: Group,
        *,
        kinds: Sequence[str],
        style: str = "",
    ) -> None:
        row, top, x = Group("TR", table), self._pdf.y, _MARGIN
        height = self._row_height(texts, widths, style)
        self._break_unless(height)
        top = self._pdf.y
        for text, width, kind in zip(texts, widths, kinds, strict=True):
            self._pdf.set_y(top)
            self._text(text, kind=kind, group=row, x=x, width=width - 3, style=style)
            x += width
        self._pdf.set_y(top + height)
        self._rule()

    def _rule(self) -> None:
        """Draw a thin line under a row."""
        self._pdf._out("/Artifact BMC")
        self._pdf.set_line_width(0.1)
        self._pdf.line(_MARGIN, self._pdf.y - 0.6, _MARGIN + self._pdf.epw, self._pdf.y - 0.6)
        self._pdf._out("EMC")

    def _row_height(self, texts: Sequence[str], widths: Sequence[float], style: str = "") -> float:
        count = max(
            len(self._lines(text, width - 3, style)) for text, width in zip(texts, widths, strict=True)
        )
        return count * _height_mm(_BODY_PT) + _GAP

    def _column_widths(self, rows: Sequence[Sequence[str]]) -> list[float]:
        """Return the widths of columns: narrow ones as they need, the others share what is left."""
        natural = [self._widest(column, "B") + 4 for column in zip(*rows, strict=True)]
        left, open_columns = self._pdf.epw, sorted(range(len(natural)), key=natural.__getitem__)
        widths = list(natural)
        for position, column in enumerate(open_columns):
            fair = left / (len(open_columns) - position)
            widths[column] = min(natural[column], fair)
            left -= widths[column]
        widths[-1] += left
        return widths

    def _widest(self, texts: Sequence[str], style: str) -> float:
        face = self._faces[style]
        return max(face.width(face.shown(text)) for text in texts) * _BODY_PT * _MM_PER_PT

    def _text(
        self,
        text: str,
        *,
        kind: str,
        group: Group | None = None,
        x: float = _MARGIN,
        width: float | None = None,
        size_pt: float = _BODY_PT,
        style: str = "",
    ) -> None:
        """Write a text line by line; what goes over to another page is marked there once more."""
        room = self._pdf.epw - (x - _MARGIN) if width is None else width
        lines = self._lines(text, room, style, size_pt)
        while lines:
            self._break_unless(_height_mm(size_pt))
            fitting = max(1, int((_BOTTOM - self._pdf.y) / _height_mm(size_pt)))
            with self._marked(kind, group):
                for line in lines[:fitting]:
                    self._line(line, x=x, style=style, size_pt=size_pt)
                    self._space(_height_mm(size_pt))
            lines = lines[fitting:]

    @contextmanager
    def _marked(self, kind: str, group: Group | None, figure: Figure | None = None) -> Iterator[None]:
        number = self._structure.mark(kind, page_number=self._pdf.page, group=group, figure=figure)
        self._pdf.pages[self._pdf.page].struct_parents = self._structure.spid_per_page_number[self._pdf.page]
        self._pdf._out(f"/{kind} <</MCID {number}>> BDC")
        yield
        self._pdf._out("EMC")

    def _line(self, text: str, *, x: float, style: str = "", size_pt: float = _BODY_PT) -> None:
        """Write one line at the height that was reached."""
        baseline = self._pdf.y + 0.5 * _height_mm(size_pt) + 0.3 * size_pt * _MM_PER_PT
        self._pdf.set_font(FONT, style, size_pt)
        # Not as a cell: a cell takes ``{nb}`` for the number of pages.
        # What is copied from a page has ordinary spaces, as wide as those that hold words together.
        self._pdf.text(x, baseline, self._faces[style].shown(text).replace("\u00a0", " "))

    def _lines(self, text: str, width: float, style: str = "", size_pt: float = _BODY_PT) -> list[str]:
        """Return a text in lines of this width; what was measured to find room is not broken again."""
        asked = (text, width, style, size_pt)
        lines = self._broken.get(asked)
        if lines is None:
            face = self._faces[style]
            bound = _BOUND.sub("\u00a0", face.shown(text))
            lines = self._broken[asked] = face.lines(bound, width / (size_pt * _MM_PER_PT))
        return lines

    def _space(self, height: float) -> None:
        self._pdf.set_y(self._pdf.y + height)

    def _break_unless(self, height: float) -> None:
        """Go on to another page if so much does not fit on this one."""
        # A drawing that waited may fill the next page as well.
        while self._pdf.y + height > _BOTTOM + _TOLERANCE_MM and self._pdf.y > _MARGIN:
            self._new_page()

    def _new_page(self) -> None:
        """Begin a page with the title above it, and with the drawing that waits."""
        self._pdf.add_page()
        if self._running_title:
            self._write_running_title()
        self._draw_waiting()

    def _write_running_title(self) -> None:
        """Write the title small above the page, as something that is not read aloud."""
        first, *more = self._lines(self._running_title, self._pdf.epw, "", _NOTE_PT)
        self._pdf._out("/Artifact BMC")
        self._pdf.set_y(_HEADER_AT)
        self._line(f"{first}…" if more else first, x=_MARGIN, size_pt=_NOTE_PT)
        self._pdf._out("EMC")
        self._pdf.set_y(_MARGIN)


def _height_mm(size_pt: float) -> float:
    """Return the height of a line."""
    return size_pt * _LEADING * _MM_PER_PT
