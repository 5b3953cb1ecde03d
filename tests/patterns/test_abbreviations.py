"""The key of abbreviations: whatever a maker meets in the text and may not know stands in it."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.domain.errors import PatternMathError
from service.domain.hat_orders import HatOrder
from service.domain.hats import plan_hat
from service.notation.terms import TERMS, TermsId
from service.patterns.plan_words import plan_abbreviations, told_finishing
from service.patterns.round_texts import round_texts
from service.patterns.text_abbreviations import text_abbreviations
from service.sheets.sheet import Part, Sheet, Table
from service.sheets.sheet_words import HEADINGS
from tests.orders import TABLES, hat_order, hat_orders
from tests.sheets.sheets import sheet_of, texts_of

#: The Craft Yarn Council's list (from memory) with independent lists of US and UK abbreviations.
_LIST = """
    alt approx beg bet bl fl blo flo bp fp bpdc bpdtr bphdc bpsc bptr fpdc fpdtr fphdc fpsc fptr cc mc ch cl
    cont dc dc2tog dec dtr edc esc foll hdc hdc2tog htr inc lp lps pat pc pm prev ps rem rep rev rnd rnds rs
    ws sc sc2tog sh sk sl sm sp sps ss st sts tbl tch tog tr tr2tog trtr yo yoh yrh
    """
STANDARD = frozenset(_LIST.split())
#: Abbreviations that are put together from those.
MADE_OF_THEM = re.compile(r"(FP|BP)?(sc|hdc|dc|htr|tr|dtr|trtr)(\d+tog)?")


def _abbreviations(texts: list[str]) -> set[str]:
    """Return every word of texts that stands for another."""
    words = {word for text in texts for word in re.findall(r"[A-Za-z]+(?:\d+tog)?", text)}
    return {word for word in words if word.lower() in STANDARD or MADE_OF_THEM.fullmatch(word)}


def _known(key: list[str]) -> set[str]:
    """Return every word that a key explains, however it begins: ``rnd(s)`` explains two."""
    spelt = {form for name in key for form in (name.replace("(s)", ""), name.replace("(s)", "s"))}
    return {word.lower() for form in spelt for word in form.split()}


def _key_and_texts(sheet: Sheet) -> tuple[list[str], list[str]]:
    key: list[str] = []
    texts: list[str] = []
    for part in sheet.parts:
        if part.heading == HEADINGS["abbreviations"]:
            key += _names(part)
        else:
            texts += texts_of(part)
    return key, texts


def _names(part: Part) -> list[str]:
    return [row[0] for block in part.blocks if isinstance(block, Table) for row in block.rows]


@settings(max_examples=40)
@given(order=hat_orders(), terms_id=st.sampled_from(sorted(TERMS)))
def test_every_abbreviation_of_a_sheet_is_in_its_key(order: HatOrder, terms_id: TermsId) -> None:
    key, texts = _key_and_texts(sheet_of(order, terms_id=terms_id))

    unknown = {word for word in _abbreviations(texts) if word.lower() not in _known(key)}

    assert unknown == set()


@settings(max_examples=40)
@given(order=hat_orders(), terms_id=st.sampled_from(sorted(TERMS)))
def test_every_abbreviation_of_a_plan_is_in_its_key(order: HatOrder, terms_id: TermsId) -> None:
    try:
        plan = plan_hat(order, TABLES)
    except PatternMathError:
        return
    texts = [*round_texts(plan, TERMS[terms_id]), *told_finishing(plan, terms_id)]

    key = [each.abbreviation for each in plan_abbreviations(plan, terms_id)]

    unknown = {word for word in _abbreviations(texts) if word.lower() not in _known(key)}
    assert unknown == set()


@settings(max_examples=20)
@given(order=hat_orders())
def test_no_abbreviation_is_explained_that_nobody_meets(order: HatOrder) -> None:
    key, texts = _key_and_texts(sheet_of(order))

    met = {word.lower() for text in texts for word in re.findall(r"[A-Za-z]+(?:\d+tog)?", text)}

    assert [name for name in key if not _known([name]) & met] == []


@pytest.mark.parametrize(
    ("text", "terms_id", "names"),
    [
        ("Weave the tail through the rem 5 sts.", "us", ["rem"]),
        ("Rep Rnds 2 and 3.", "us", ["rep"]),
        ("yo and draw through", "us", ["yo"]),
        ("yoh and draw through", "uk", ["yoh"]),
        ("A report of remnants on yodelling.", "us", []),
    ],
)
def test_words_of_a_text_are_found_whole(text: str, terms_id: TermsId, names: list[str]) -> None:
    assert [each.abbreviation for each in text_abbreviations([text], terms_id)] == names


def test_a_hat_that_is_drawn_shut_explains_what_remains() -> None:
    plan = plan_hat(hat_order(), TABLES)

    key = {each.abbreviation: each.meaning for each in plan_abbreviations(plan, "us")}

    assert key["rem"] == "remaining"
