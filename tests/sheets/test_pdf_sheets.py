"""Sheets as PDF: tagged, with their fonts inside, the same bytes each time, in any script."""

import logging
import re
import zlib

import pytest
from hypothesis import given, settings

from service.sheets.pdf_sheets import sheet_pdf
from service.sheets.sheet import Instruction, Instructions, Items, Paragraph, Part, Sheet, Table
from tests.sheets.sheets import HOSTILE, free_text, worked_sheet


def _streams(document: bytes) -> bytes:
    """Return all compressed parts of a document, unpacked."""
    found = re.findall(rb"/FlateDecode.*?stream\n(.*?)\nendstream", document, re.DOTALL)
    return b"\n".join(zlib.decompress(part) for part in found)


def _kinds(document: bytes) -> list[str]:
    """Return the kinds of the elements of its structure, in the order of the file."""
    return [kind.decode() for kind in re.findall(rb"/S /([A-Za-z0-9]+)", document)]


def test_a_sheet_is_a_tagged_document_with_title_language_and_outline() -> None:
    document = sheet_pdf(worked_sheet(title="The harbour hat"))

    assert document.startswith(b"%PDF-")
    assert b"/Lang (en)" in document
    assert b"/Marked true" in document
    assert b"/DisplayDocTitle true" in document
    assert b"/Outlines" in document
    assert b"/Title (The harbour hat)" in document


def test_its_fonts_are_inside_and_its_text_can_be_selected() -> None:
    document = sheet_pdf(worked_sheet())

    assert document.count(b"/FontFile2") == 2
    assert document.count(b"/ToUnicode") == 2
    for letter in "⅝–":
        assert f"<{ord(letter):04X}>".encode() in document


def test_headings_lists_and_tables_are_real_ones() -> None:
    sheet = worked_sheet()

    kinds = _kinds(sheet_pdf(sheet))

    assert kinds.count("H1") == 1
    assert kinds.count("H2") == sum(part.level == 2 for part in sheet.parts)
    assert kinds.count("H3") == sum(part.level == 3 for part in sheet.parts)
    assert kinds.count("LI") == kinds.count("Lbl") >= 17
    assert kinds.count("TH") + kinds.count("TD") >= 2 * kinds.count("TR") >= 40


def test_a_sheet_has_its_two_drawings_and_no_pixels() -> None:
    document = sheet_pdf(worked_sheet())

    assert document.count(b"/S /Figure") == document.count(b"/Alt ") == 2
    assert b"/Subtype /Image" not in document


def test_the_same_sheet_is_the_same_file() -> None:
    assert sheet_pdf(worked_sheet()) == sheet_pdf(worked_sheet())


@settings(max_examples=15)
@given(title=free_text())
def test_any_title_can_be_set(title: str) -> None:
    document = sheet_pdf(Sheet("en", title, "A pattern", ()))

    assert _kinds(document).count("H1") >= 1


@pytest.mark.parametrize("text", HOSTILE)
def test_free_text_breaks_no_page(text: str) -> None:
    blocks = (
        Paragraph(text),
        Items((text, text)),
        Instructions((Instruction(text, text),)),
        Table(("a", "b"), ((text, "c"), ("d", text))),
    )

    kinds = _kinds(sheet_pdf(Sheet("en", text, text, (Part(text, blocks),))))

    assert (kinds.count("LI"), kinds.count("TR")) == (3, 3)


def test_a_character_that_the_font_lacks_is_shown_as_a_box(caplog: pytest.LogCaptureFixture) -> None:
    with caplog.at_level(logging.WARNING):
        document = sheet_pdf(Sheet("en", "帽子 🧶", "A pattern", ()))

    assert f"<{ord('☐'):04X}>".encode() in document
    assert caplog.records == []


def test_text_longer_than_a_page_goes_on_and_nothing_is_lost() -> None:
    words = tuple(f"w{number}" for number in range(4000))
    sheet = Sheet("en", "t", "s", (Part("h", (Instructions((Instruction("Rnd 1:", " ".join(words)),)),)),))

    document = sheet_pdf(sheet)

    assert document.count(b"/Type /Page\n") >= 3
    assert _kinds(document).count("LI") >= 3


def test_a_word_wider_than_a_line_is_broken() -> None:
    document = sheet_pdf(Sheet("en", "x" * 120, "y" * 500, ()))

    # By hand: at 22 points some 40 letters are a line of the title, at 10.5 some 100 of the rest.
    assert _streams(document).count(b" Tj") >= 7


@pytest.mark.parametrize("title", ["{nb}", "{nb} of e\u0301", "e\u0301 / {nb}"])
def test_a_title_is_never_taken_for_the_number_of_pages(title: str) -> None:
    short = sheet_pdf(Sheet("en", title, "A pattern", ()))
    part = Part("h", (Items(("x",) * 200),))
    long = sheet_pdf(Sheet("en", title, "A pattern", (part,)))

    assert _first_line(short) == _first_line(long)


def _first_line(document: bytes) -> bytes:
    """Return how the first text of the first page is set."""
    found = re.search(rb"/H1 <</MCID 0>> BDC\n.*?EMC", _streams(document), re.DOTALL)
    assert found is not None
    return found[0]
