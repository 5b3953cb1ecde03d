"""Sheets as PDF: tagged, with their fonts inside, the same bytes each time, in any script."""

import logging
import re
import zlib
from unicodedata import normalize

import pytest
from fpdf import FPDF
from hypothesis import given, settings
from hypothesis import strategies as st

from service.domain.hat_orders import HatOrder
from service.notation.terms import TERMS, TermsId
from service.sheets.pdf_fonts import add_faces
from service.sheets.pdf_sheets import prepare_pdf, sheet_pdf
from service.sheets.sheet import Instruction, Instructions, Items, Paragraph, Part, Sheet, Table, sheet_texts
from service.sheets.sheet_words import SENTENCES
from tests.orders import hat_orders
from tests.sheets.sheets import HOSTILE, drawn_texts, free_text, sheet_of, worked_sheet


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


def _letters(document: bytes) -> str:
    """Return every letter that the fonts of a document hold, each once."""
    codes = re.findall(rb"<[0-9A-F]{4}> <([0-9A-F]+)>", document)
    return "".join(sorted({bytes.fromhex(code.decode()).decode("utf-16-be") for code in codes}))


def _headings(document: bytes) -> list[bytes]:
    """Return how the title is set, on whatever lines."""
    return re.findall(rb"/H1 <</MCID \d+>> BDC\n(.*?)EMC", _streams(document), re.DOTALL)


@pytest.mark.parametrize(
    "title",
    [
        "Шапка і ґанок",
        "Καπέλο ΐΰ",
        "Żółć Ặ ŵ ǎ İ ğ",
        "Ça va – ½ × 3…",
        "Đường",
        "Mütze “x”",
        "e\u0301te\u0301",
    ],
)
def test_a_title_in_latin_greek_or_cyrillic_is_shown(title: str, caplog: pytest.LogCaptureFixture) -> None:
    with caplog.at_level(logging.WARNING):
        document = sheet_pdf(Sheet("en", title, "s", ()))

    assert set(normalize("NFC", title)) - {" ", "\u0323"} <= set(_letters(document))
    assert _kinds(document).count("P") == 1
    assert caplog.records == []


@pytest.mark.parametrize("title", ["帽子", "קובע", "قبعة", "टोपी", "หมวก", "🧶", "🧶\ufe0f 🧢"])
def test_a_title_that_the_font_cannot_show_gives_way_and_a_sentence_says_so(
    title: str, caplog: pytest.LogCaptureFixture
) -> None:
    plain = sheet_pdf(Sheet("en", "Cable hat", "s", ()))

    with caplog.at_level(logging.WARNING):
        document = sheet_pdf(Sheet("en", title, "s", (), plain_title="Cable hat"))

    assert set(_letters(document)) == set(_letters(sheet_pdf(_said("Cable hat"))))
    assert len(_headings(document)) == len(_headings(plain)) == 1
    assert _kinds(document).count("P") == 2
    assert caplog.records == []


def _said(title: str) -> Sheet:
    return Sheet("en", title, "s", (Part("s", (Paragraph(SENTENCES["title_lacks_letters"]),)),))


@pytest.mark.parametrize(
    ("title", "shown"),
    [
        ("The harbour hat 帽子", "The harbour hat"),
        ("The harbour hat 🧶", "The harbour hat"),
        ("🧶Harbour🧶 hat", "Harbour hat"),
        ("Zoë帽 hat for two", "hat for two"),
        ("Zoë帽 hat", ""),
        ("钩针帽子 | a & b", ""),
        ("می\u200cخواهم", ""),
        ("a\u200bb", "ab"),
    ],
)
def test_words_that_the_font_would_cripple_are_left_out(title: str, shown: str) -> None:
    face = add_faces(FPDF())["B"]

    assert face.readable(title) == shown


@pytest.mark.parametrize(
    ("title", "has_all"), [("Łódź", True), ("a\u200bb", True), ("a 帽", False), ("a 🧶", False)]
)
def test_a_face_knows_whether_it_has_all_characters(title: str, has_all: bool) -> None:
    assert add_faces(FPDF())["B"].has_all(title) is has_all


@settings(max_examples=10)
@given(order=hat_orders(), terms_id=st.sampled_from(sorted(TERMS)))
def test_the_font_has_every_character_of_our_own_words(order: HatOrder, terms_id: TermsId) -> None:
    face = add_faces(FPDF())[""]
    sheet = sheet_of(order, terms_id=terms_id, has_working=True)

    texts = [*sheet_texts(sheet.parts), *(text for part in sheet.parts for text in drawn_texts(part))]

    assert [text for text in texts if not face.has_all(text)] == []


def _pages(document: bytes) -> list[bytes]:
    """Return what is drawn on each page."""
    found = re.findall(rb"/FlateDecode.*?stream\n(.*?)\nendstream", document, re.DOTALL)
    return [page for page in map(zlib.decompress, found) if b"/MCID" in page]


def test_every_page_after_the_first_has_the_title_above_and_all_have_a_number() -> None:
    pages = _pages(sheet_pdf(worked_sheet(title="The harbour hat")))

    assert len(pages) >= 4
    assert [page.count(b"/Artifact BMC") >= 2 for page in pages[1:]] == [True] * (len(pages) - 1)
    assert [re.search(rb"BT 56\.69 \d{3}\.\d+ Td", page) is not None for page in pages] == [True] * len(pages)


@settings(max_examples=20, deadline=None)
@given(order=hat_orders(), title=st.sampled_from(["A", "A hat of many words " * 5]))
def test_no_heading_stands_alone_at_the_foot_of_a_page(order: HatOrder, title: str) -> None:
    document = sheet_pdf(sheet_of(order, title=title))

    last = [re.findall(rb"/(\w+) <</MCID \d+>> BDC", page)[-1] for page in _pages(document)]

    assert [kind for kind in last if kind.startswith(b"H")] == []


@settings(max_examples=20, deadline=None)
@given(order=hat_orders())
def test_no_page_but_the_last_is_left_nearly_empty(order: HatOrder) -> None:
    pages = _pages(sheet_pdf(sheet_of(order)))

    assert all(len(re.findall(rb" Tj", page)) >= 12 or b" cm 1 J 1 j" in page for page in pages[:-1])


def test_the_same_fonts_serve_documents_of_different_letters() -> None:
    common, rare = Sheet("en", "Hat", "s", ()), Sheet("en", "Шапка", "s", ())

    first = sheet_pdf(common)
    between = sheet_pdf(rare)

    assert "Ш" in _letters(between)
    assert sheet_pdf(common) == first
    assert sheet_pdf(rare) == between


def test_preparing_leaves_no_trace_in_a_document() -> None:
    before = sheet_pdf(Sheet("en", "Hat", "s", ()))

    prepare_pdf()

    assert sheet_pdf(Sheet("en", "Hat", "s", ())) == before


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
