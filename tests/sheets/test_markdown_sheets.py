"""Sheets as Markdown: read back by a CommonMark reader, free text is only text."""

import pytest
from hypothesis import given
from markdown_it import MarkdownIt
from markdown_it.token import Token

from service.sheets.markdown_sheets import sheet_markdown
from service.sheets.sheet import Drawing, Instruction, Instructions, Items, Paragraph, Part, Sheet, Table
from tests.sheets.sheets import HOSTILE, free_text, part_of, worked_sheet

READER = MarkdownIt("commonmark", {"html": True}).enable(["table", "strikethrough"])
TEXT_ONLY = {"text", "text_special", "strong_open", "strong_close", "softbreak"}


def _tokens(text: str) -> list[Token]:
    return READER.parse(text)


def _inline(tokens: list[Token]) -> list[Token]:
    return [child for token in tokens for child in token.children or []]


def _heading(tokens: list[Token]) -> str:
    place = next(position for position, token in enumerate(tokens) if token.type == "heading_open")
    return "".join(child.content for child in tokens[place + 1].children or [])


@given(title=free_text())
def test_a_title_is_only_text_whatever_it_holds(title: str) -> None:
    tokens = _tokens(sheet_markdown(Sheet("en", title, "A pattern", ())))

    assert [token.tag for token in tokens if token.type == "heading_open"] == ["h1"]
    assert {child.type for child in _inline(tokens)} <= TEXT_ONLY
    assert _heading(tokens) == " ".join(title.split())


@pytest.mark.parametrize("text", HOSTILE)
def test_free_text_breaks_no_list_and_no_table(text: str) -> None:
    blocks = (
        Paragraph(text),
        Items((text, text)),
        Instructions((Instruction("Rnd 1:", text),)),
        Table(("a", "b"), ((text, "c"), ("d", text))),
    )

    tokens = _tokens(sheet_markdown(Sheet("en", "t", "s", (Part("h", blocks),))))

    kinds = [token.type for token in tokens]
    assert kinds.count("list_item_open") == 3
    assert kinds.count("tr_open") == 3
    assert kinds.count("td_open") == 4
    assert kinds.count("heading_open") == 2
    assert {child.type for child in _inline(tokens)} <= TEXT_ONLY


def test_a_drawing_is_told_in_words() -> None:
    drawing = part_of(worked_sheet(), "Crown").blocks[-1]
    assert isinstance(drawing, Drawing)

    source = sheet_markdown(worked_sheet())

    assert f"**Crown chart, in words.** {drawing.picture.description}\n" in source
    assert (
        "**Schematic, in words.** A hat laid flat and half of it worn. Body 50 cm (19⅝ in) around" in source
    )
    assert not any(child.type == "image" for child in _inline(_tokens(source)))


def test_the_rounds_can_be_read_in_the_source() -> None:
    source = sheet_markdown(worked_sheet())

    assert (
        "- **Rnds 2–6:** Ch 2 (does not count as a st), [FPdc around next st, BPdc around next st] 40 times; "
        "join with sl st in first st. (80)\n"
    ) in source


def test_a_whole_sheet_has_its_headings_and_tables() -> None:
    sheet = worked_sheet(title="The harbour hat")

    tokens = _tokens(sheet_markdown(sheet))

    headings = [token.tag for token in tokens if token.type == "heading_open"]
    assert headings == ["h1", *(f"h{part.level}" for part in sheet.parts)]
    assert sum(token.type == "table_open" for token in tokens) == 3
