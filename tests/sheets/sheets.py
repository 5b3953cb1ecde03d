"""Sheets for the tests of this folder, and free text as it may be sent."""

from typing import Any

from hypothesis import reject
from hypothesis import strategies as st

from service.api.fields import FORBIDDEN_IN_TEXT
from service.domain.errors import PatternMathError
from service.domain.hat_orders import CrownWishes, HatOrder
from service.domain.hats import plan_hat
from service.drawings.pictures import Text, flat_marks
from service.notation.terms import TermsId
from service.patterns.proofs import prove
from service.sheets.pattern_sheets import build_pattern_sheet
from service.sheets.sheet import Drawing, Instructions, Items, Paragraph, Part, Sheet, Table
from tests.orders import CABLE_4X4_ON_10, TABLES, WORSTED, hat_order, measured

RIB = TABLES.fabric_by_id["post-rib-1x1"]

#: Text that some reader might take for something else than text.
HOSTILE = (
    "<script>alert(1)</script>",
    "</title></h1><img src=x onerror=alert(1)>",
    "[a](javascript:alert(1)) ![b](c) [d]: e",
    "| a | b |",
    "# 1. *x* _y_ `z` ~~q~~ $s$ @me &lt; \\* \\",
    "see https://a.b and www.c.d",
    "- [ ] done",
    "12. twelve",
    "=== ---",
    "**__--~~",
    "{nb} {total}",
    "Шапка Καπέλο קובע قبعة 帽子 🧶 e\u0301 ⅜",
    "(\\) %PDF- endobj >>",
)


def free_text() -> st.SearchStrategy[str]:
    """Return text that a request may carry as a title."""
    forbidden = {
        chr(code)
        for code in (*range(0x20), *range(0x7F, 0xA0), *map(ord, FORBIDDEN_IN_TEXT), *range(0x202A, 0x202F),
                     *range(0x2066, 0x206A))
    } - {"-"}  # fmt: skip
    letters = st.characters(exclude_categories=["Cs"], exclude_characters="".join(sorted(forbidden)))
    return st.sampled_from(HOSTILE) | st.text(letters, min_size=1, max_size=60)


def worked_sheet(
    *,
    terms_id: TermsId = "us",
    title: str | None = None,
    hook_mm: float | None = None,
    has_working: bool = False,
    **wishes: Any,
) -> Sheet:
    """Return the sheet of a worked hat: a cable 4 over 4 on ten stitches, edged."""
    order = hat_order(
        **{
            "head_mm": 530,
            "fabric": CABLE_4X4_ON_10,
            "stitches_per_10cm": 20,
            "rounds_per_10cm": 14.5,
            "brim_gauge": measured(16, 14.5, RIB),
            "crown": CrownWishes(shape="gathered"),
            "has_edging": True,
            "yarn": WORSTED,
            **wishes,
        }
    )
    return sheet_of(order, terms_id=terms_id, title=title, hook_mm=hook_mm, has_working=has_working)


def sheet_of(order: HatOrder, *, terms_id: TermsId = "us", **rest: Any) -> Sheet:
    """Return the sheet of an order; one that cannot be worked is no example of anything."""
    try:
        plan = plan_hat(order, TABLES)
    except PatternMathError:
        reject()
    return build_pattern_sheet(plan, prove(plan), tables=TABLES, terms_id=terms_id, **rest)


def part_of(sheet: Sheet, heading: str) -> Part:
    return next(part for part in sheet.parts if part.heading == heading)


def texts_of(part: Part) -> list[str]:
    """Return every text of a part beside its drawings, in reading order."""
    texts: list[str] = []
    for block in part.blocks:
        match block:
            case Paragraph(text):
                texts.append(text)
            case Items(items):
                texts += items
            case Instructions(rounds):
                texts += (f"{each.label} {each.text}" for each in rounds)
            case Table(columns, rows):
                texts += (" ".join(row) for row in (columns, *rows))
    return texts


def drawn_texts(part: Part) -> list[str]:
    """Return the texts of the drawings of a part, and what each says in words."""
    pictures = [block.picture for block in part.blocks if isinstance(block, Drawing)]
    texts = [mark.words for each in pictures for mark in flat_marks(each.marks) if isinstance(mark, Text)]
    return [*texts, *(each.description for each in pictures)]
