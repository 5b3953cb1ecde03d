"""Render a sheet as a PDF: A4, tagged, with its font inside, and the same bytes for the same sheet."""

from typing import TYPE_CHECKING

from service.sheets.sheet import Block, Drawing, Instructions, Items, Paragraph, Part, Sheet, Table
from service.sheets.sheet_words import SENTENCES

if TYPE_CHECKING:
    from service.sheets.pdf_document import SheetDocument

__all__ = ["prepare_pdf", "sheet_pdf"]


#: A part without tables and drawings stays on one page if it is no higher. [mm]
_SHORT_MM = 60.0


def prepare_pdf() -> None:
    """Load the library and read its fonts, so that no sheet waits for them."""
    sheet_pdf(Sheet("en", "", "", ()))


def sheet_pdf(sheet: Sheet) -> bytes:
    """Return a sheet as a PDF document.

    A title in a script that the font lacks stands as far as it can be read, with a sentence that says so;
    the document's own title keeps all of it.

    Examples
    --------
    >>> sheet_pdf(Sheet("en", "My hat", "A crochet pattern", ())).startswith(b"%PDF-")
    True
    """
    # Loading the library takes longer than all else: whoever never asks for a PDF has no need of it.
    from service.sheets.pdf_document import SheetDocument

    document = SheetDocument(title=sheet.title, language=sheet.language)
    is_whole = document.title(sheet.title, instead=sheet.plain_title or sheet.subtitle)
    document.paragraph(sheet.subtitle)
    if not is_whole:
        document.paragraph(SENTENCES["title_lacks_letters"])
    for part in sheet.parts:
        document.heading(part.heading, level=part.level, room=_room(part, document))
        for block in part.blocks:
            _write(block, document)
    return document.finish()


def _room(part: Part, document: "SheetDocument") -> float:
    """Return what a heading needs below it: a short part its whole, one without text the next heading."""
    if not part.blocks:
        return document.heading_room(part.level + 1)
    heights = [_height(block, document) for block in part.blocks]
    whole = sum(height for height in heights if height is not None)
    if None not in heights and whole <= _SHORT_MM:
        return whole
    return _beginning(part.blocks[0], document)


def _beginning(block: Block, document: "SheetDocument") -> float:
    """Return how high the beginning of a block is: two of its items or rows."""
    match block:
        case Paragraph(text):
            return document.paragraph_height(text)
        case Items(texts):
            return document.labelled_height([("•", text) for text in texts], count=2)
        case Instructions(rounds):
            return document.labelled_height([(each.label, each.text) for each in rounds], count=2)
        case Table(columns, rows):
            return document.rows_height((columns, *rows[:2]), columns=(columns, *rows))
    return 0.0


def _height(block: Block, document: "SheetDocument") -> float | None:
    """Return how high a block of text is; nobody needs to know of others."""
    match block:
        case Paragraph(text):
            return document.paragraph_height(text)
        case Items(texts):
            return document.labelled_height([("•", text) for text in texts])
        case Instructions(rounds):
            return document.labelled_height([(each.label, each.text) for each in rounds])
    return None


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
