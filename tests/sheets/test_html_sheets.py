"""Sheets as HTML: one page, nothing from outside, free text is only text."""

from base64 import b64encode
from hashlib import sha256
from html.parser import HTMLParser
from itertools import pairwise

from hypothesis import given

from service.drawings.pictures import Picture, Text
from service.sheets.html_sheets import sheet_html, style_policy
from service.sheets.sheet import Drawing, Part, Sheet
from tests.sheets.sheets import free_text, part_of, worked_sheet

ELEMENTS = {
    "html", "head", "meta", "title", "style", "body", "main", "h1", "h2", "h3", "p", "ul", "li", "b",
    "table", "thead", "tbody", "tr", "th", "td", "figure",
}  # fmt: skip
DRAWN = {"svg", "title", "desc", "g", "rect", "path", "line", "circle", "text"}
DRAWN_ATTRIBUTES = {
    "viewbox", "role", "width", "height", "d", "x", "y", "x1", "y1", "x2", "y2", "cx", "cy", "r", "transform",
    "fill", "stroke", "stroke-width", "stroke-dasharray", "stroke-linecap", "stroke-linejoin",
    "font-family", "font-size", "font-weight", "text-anchor",
}  # fmt: skip
VOID = {"meta"}


class _Page(HTMLParser):
    """What a page holds: its elements, their attributes and the texts inside."""

    def __init__(self, source: str) -> None:
        super().__init__()
        self.elements: list[str] = []
        self.attributes: set[str] = set()
        self.texts: dict[str, str] = {}
        self.open: list[str] = []
        self.feed(source)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append(tag)
        self.attributes |= {name for name, _ in attrs}
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open:
            self.texts[self.open[-1]] = self.texts.get(self.open[-1], "") + data


@given(title=free_text())
def test_a_title_is_only_text_whatever_it_holds(title: str) -> None:
    page = _Page(sheet_html(Sheet("en", title, "A pattern", ())))

    assert page.texts["h1"] == page.texts["title"] == title
    assert page.elements.count("h1") == 1
    assert page.open == []


def test_a_page_is_made_of_plain_elements_without_script_or_outside_reference() -> None:
    source = sheet_html(worked_sheet(has_working=True))
    page = _Page(source)

    assert set(page.elements) <= ELEMENTS | DRAWN
    assert page.attributes <= DRAWN_ATTRIBUTES | {
        "lang", "charset", "name", "content", "dir", "class", "scope"
    }  # fmt: skip
    assert "url(" not in source
    assert "//" not in source


def test_drawings_are_in_the_page_with_their_words_and_their_size_on_paper() -> None:
    drawing = part_of(worked_sheet(), "Finished measurements").blocks[-1]
    assert isinstance(drawing, Drawing)

    source = sheet_html(worked_sheet())

    assert source.count("<figure><svg ") == source.count("</svg></figure>") == 2
    assert f'<svg width="{drawing.picture.width_mm:.1f}mm" viewBox="0 0 ' in source
    assert f"<title>Schematic</title><desc>{drawing.picture.description}</desc>" in source
    assert "width 25 cm (9⅞ in)</text>" in source


def test_what_is_written_in_a_drawing_is_only_text() -> None:
    title = '</svg><script>"&'
    picture = Picture(
        width_mm=9, height_mm=9, title=title, description=title, marks=(Text((0, 0), title, 3),)
    )

    page = _Page(sheet_html(Sheet("en", "t", "s", (Part("h", (Drawing(picture),)),))))

    assert "script" not in page.elements
    assert page.texts["desc"] == page.texts["text"] == title


def test_no_drawing_is_wider_than_the_page() -> None:
    style = _Page(sheet_html(worked_sheet())).texts["style"]

    assert "svg { display: block; max-width: 100%; height: auto;" in style


def test_the_policy_allows_exactly_the_style_of_the_page() -> None:
    style = _Page(sheet_html(worked_sheet())).texts["style"]

    digest = b64encode(sha256(style.encode()).digest()).decode()
    assert style_policy() == f"'sha256-{digest}'"


def test_tables_have_heads_of_columns_and_of_rows() -> None:
    source = sheet_html(worked_sheet())

    assert '<th scope="col">Measurement</th><th scope="col">Finished size</th>' in source
    assert '<th scope="row">Circumference</th><td>50 cm (19⅝ in)</td>' in source


def test_wide_tables_are_marked_so_that_a_phone_sets_them_smaller() -> None:
    source = sheet_html(worked_sheet(has_working=True))

    assert source.count('<table class="wide">') == 1
    assert source.count("<table>") == 3
    assert ".wide th, .wide td { overflow-wrap: anywhere;" in source


def test_headings_descend_step_by_step() -> None:
    levels = [
        int(name[1])
        for name in _Page(sheet_html(worked_sheet())).elements
        if name[0] == "h" and name[1:].isdigit()
    ]

    assert levels[0] == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))
