"""Render a sheet as a PDF: A4, tagged, with its font inside, and the same bytes for the same sheet."""

from typing import TYPE_CHECKING

from service.sheets.sheet import Block, Drawing, Instructions, Items, Paragraph, Sheet, Table

if TYPE_CHECKING:
    from service.sheets.pdf_document import SheetDocument

__all__ = ["sheet_pdf"]


def sheet_pdf(sheet: Sheet) -> bytes:
    """Return a sheet as a PDF document.

    Characters of the title that the font lacks are shown as a box; the document's own title keeps them.

    Examples
    --------
    >>> sheet_pdf(Sheet("en", "My hat", "A crochet pattern", ())).startswith(b"%PDF-")
    True
    """
    # Loading the library takes longer than all else: only who asks for a PDF waits for it.
    from service.sheets.pdf_document import SheetDocument

    document = SheetDocument(title=sheet.title, language=sheet.language)
    document.heading(sheet.title, level=1)
    document.paragraph(sheet.subtitle)
    for part in sheet.parts:
        document.heading(part.heading, level=part.level)
        for block in part.blocks:
            _write(block, document)
    return document.finish()


def _write(block: Block, document: "SheetDocument") -> None:
    match block:
        case Paragraph(text):
            document.paragraph(text)
        case Items(texts):
            document.items(texts)
        case Instructions(rounds):
            document.labelled([(each.label, each.text) for each in rounds])
        case Table(columns, rows):
            document.table(columns, rows)
        case Drawing(picture):
            document.drawing(picture)
