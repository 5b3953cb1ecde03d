"""Render a sheet as one HTML page to print."""

from collections.abc import Iterable, Iterator
from html import escape

from service.drawings.pictures import Picture
from service.drawings.svg import render_svg
from service.sheets.html_pages import html_page, style_source
from service.sheets.sheet import Block, Drawing, Instructions, Items, Paragraph, Part, Sheet, Table

__all__ = ["sheet_html", "style_policy"]

_STYLE = """
:root { color-scheme: light; }
* { box-sizing: border-box; }
body { margin: 0; background: #fff; color: #111; font: 1rem/1.5 Georgia, "Times New Roman", serif; }
main { max-width: 44rem; margin: 0 auto; padding: 1.5rem 1.25rem 3rem; overflow-wrap: break-word; }
h1, h2, h3 { line-height: 1.25; break-after: avoid; }
h1 { font-size: 2rem; margin: 0 0 .25rem; }
h2 { font-size: 1.3rem; margin: 2rem 0 .5rem; border-bottom: 1px solid #111; padding-bottom: .2rem; }
h3 { font-size: 1.05rem; margin: 1.4rem 0 .4rem; }
p { margin: .4rem 0; }
ul { margin: .4rem 0; padding-left: 1.2rem; }
li { margin: .2rem 0; text-wrap: pretty; }
ul.rounds { list-style: none; padding: 0; }
ul.rounds li { margin: .45rem 0; break-inside: avoid; }
table { border-collapse: collapse; margin: .5rem 0; }
th, td { text-align: left; vertical-align: top; padding: .25rem 1rem .25rem 0; }
th, td { border-bottom: 1px solid #999; }
thead th { border-bottom: 1px solid #111; }
tbody th { font-weight: normal; }
tr { break-inside: avoid; }
h3 + p { break-after: avoid; }
p, li { orphans: 2; widows: 2; }
figure { margin: 1.2rem 0; break-inside: avoid; }
svg { display: block; max-width: 100%; height: auto; margin: 0 auto; }
@page { margin: 18mm; }
@media (max-width: 36rem) {
  main { padding: 1rem .75rem 2rem; }
  th, td { padding-right: .6rem; }
  .wide { font-size: .8rem; table-layout: fixed; width: 100%; hyphens: auto; }
  .wide th, .wide td { overflow-wrap: anywhere; padding-right: .4rem; }
}
@media print {
  body { font-size: 10.5pt; }
  main { max-width: none; padding: 0; }
  svg { max-height: 20cm; }
}
"""


#: Tables of so many columns are set smaller on a phone, where their words may break anywhere.
_WIDE_FROM = 4


def sheet_html(sheet: Sheet) -> str:
    """Return a sheet as a page of HTML; every text is escaped.

    Examples
    --------
    >>> page = sheet_html(Sheet("en", "<b>My hat</b>", "A crochet pattern", ()))
    >>> "<h1 dir=\\"auto\\">&lt;b&gt;My hat&lt;/b&gt;</h1>" in page
    True
    """
    return html_page(language=sheet.language, title=sheet.title, style=_STYLE, lines=_body(sheet))


def _body(sheet: Sheet) -> Iterator[str]:
    yield f"<p>{escape(sheet.subtitle)}</p>"
    for part in sheet.parts:
        yield from _part(part)


def style_policy() -> str:
    """Return the source expression that lets the page's own style apply under a strict content policy."""
    return style_source(_STYLE)


def _part(part: Part) -> Iterator[str]:
    yield f"<h{part.level}>{escape(part.heading)}</h{part.level}>"
    for block in part.blocks:
        yield from _lines(block)


def _lines(block: Block) -> Iterator[str]:
    match block:
        case Paragraph(text):
            yield f"<p>{escape(text)}</p>"
        case Items(texts):
            yield "<ul>"
            yield from (f"<li>{escape(text)}</li>" for text in texts)
            yield "</ul>"
        case Instructions(rounds):
            yield '<ul class="rounds">'
            yield from (f"<li><b>{escape(each.label)}</b> {escape(each.text)}</li>" for each in rounds)
            yield "</ul>"
        case Table(columns, rows):
            yield "<table>" if len(columns) < _WIDE_FROM else '<table class="wide">'
            yield f"<thead><tr>{_cells(columns, 'col')}</tr></thead>"
            yield "<tbody>"
            yield from (f"<tr>{_cells(row[:1], 'row')}{_cells(row[1:], None)}</tr>" for row in rows)
            yield "</tbody>"
            yield "</table>"
        case Drawing(picture):
            yield f"<figure>{_inline_svg(picture)}</figure>"


def _inline_svg(picture: Picture) -> str:
    """Return a drawing as an element of the page, as wide as it is on paper where there is room.

    A page needs no name of a namespace, and the drawing no identifiers.
    """
    width = f'width="{picture.width_mm:.1f}mm"'
    return render_svg(picture).replace('xmlns="http://www.w3.org/2000/svg"', width, 1).rstrip()


def _cells(texts: Iterable[str], scope: str | None) -> str:
    """Return cells of a row: heads of a column or of the row, or plain ones."""
    if scope is None:
        return "".join(f"<td>{escape(text)}</td>" for text in texts)
    return "".join(f'<th scope="{scope}">{escape(text)}</th>' for text in texts)
