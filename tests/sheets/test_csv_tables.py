"""CSV: what is read back is what was written, and no text is a formula."""

import csv
import io
import re
from unicodedata import normalize

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.sheets.csv_tables import Cell, csv_table, defused

SIGNS = ["=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠", "\u2212", "﹢", "﹣", "﹦", "﹫"]
BEFORE = ["", " ", "\u00a0", "\u3000", "'", '"', "’", " ' ", "\ufeff", "\u200b"]

#: Texts as a request may carry them and worse ones, often with a sign in front.
TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=20) | st.builds(
    lambda before, sign, after: before + sign + after,
    st.sampled_from(BEFORE),
    st.sampled_from(SIGNS),
    st.text(max_size=9) | st.text(";,\t=-'\" a", max_size=9),
)
CELLS = TEXTS | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | st.booleans() | st.none()


def _read(table: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO(table, newline=""), strict=True))


def _as_read(cell: Cell) -> str:
    match cell:
        case None:
            return ""
        case bool():
            return str(cell).lower()
        case str():
            return defused(cell)
    return str(cell)


@pytest.mark.parametrize("sign", SIGNS)
@pytest.mark.parametrize("before", BEFORE)
def test_a_text_that_could_be_a_formula_gets_an_apostrophe(before: str, sign: str) -> None:
    text = f"{before}{sign}1+1"

    assert defused(text) == f"'{text}"


@pytest.mark.parametrize("sign", SIGNS)
@pytest.mark.parametrize("separator", [";", ",", "\t", "\r\n", "a; b ,"])
@pytest.mark.parametrize("before", ["", " ", "\u00a0", '"'])
def test_a_formula_behind_a_separator_gets_an_apostrophe_of_its_own(
    separator: str, before: str, sign: str
) -> None:
    text = f"wool{separator}{before}{sign}1+1"

    assert defused(text).endswith(f"'{before}{sign}1+1")


def test_every_cell_that_a_separator_could_make_is_looked_at() -> None:
    assert defused("=a;-b;c, @d") == "'=a;'-b;c,' @d"


def test_a_sign_that_a_mark_is_put_on_is_still_a_sign() -> None:
    assert defused("=\u0338") == "'=\u0338"


@pytest.mark.parametrize(
    "text",
    ["", "wool", "a=b", "a;b", "a; b=c", "warm, dry", "seat-7", "7 1/8", "'tis", "½ = 0.5", "…", "قبعة"],
)
def test_other_texts_stay_as_they_are(text: str) -> None:
    assert defused(text) == text


def test_numbers_stay_numbers_even_below_zero() -> None:
    table = csv_table(("a", "b", "c", "d"), [(-3, -0.5, True, None)])

    assert table == "a,b,c,d\r\n-3,-0.5,true,\r\n"


def test_commas_quotes_and_ends_of_lines_are_quoted() -> None:
    table = csv_table(("a",), [('one, "two"',), ("three\r\nfour",)])

    assert table == 'a\r\n"one, ""two"""\r\n"three\r\nfour"\r\n'


@given(rows=st.lists(st.lists(CELLS, min_size=2, max_size=2), max_size=6))
def test_a_reader_gets_the_rows_back(rows: list[list[Cell]]) -> None:
    table = csv_table(("first", "second"), rows)

    assert _read(table) == [["first", "second"], *([_as_read(cell) for cell in row] for row in rows)]
    assert table.endswith("\r\n")


@given(rows=st.lists(st.lists(TEXTS, min_size=1, max_size=4), max_size=6))
def test_no_text_begins_with_a_formula_sign(rows: list[list[str]]) -> None:
    cells = [cell for row in _read(csv_table((), rows))[1:] for cell in row]

    for cell in cells:
        shown = normalize("NFKC", cell.lstrip(' \u200b\ufeff"')[:1])
        assert not cell.startswith(("\t", "\r"))
        assert not shown.startswith(("=", "+", "-", "@", "\u2212"))


@given(rows=st.lists(st.lists(TEXTS, min_size=1, max_size=4), max_size=6), separator=st.sampled_from(";,\t"))
def test_no_cell_is_a_formula_whatever_separates_the_cells(rows: list[list[str]], separator: str) -> None:
    written = re.split(r"\r\n|\r|\n", csv_table((), rows))[1:]
    cells = [cell for row in written for cell in row.split(separator)]

    for cell in cells:
        assert not normalize("NFKC", cell.lstrip(' "')[:1]).startswith(("=", "+", "-", "@", "\u2212"))


@given(text=TEXTS)
def test_what_was_defused_can_be_told_from_what_was_not(text: str) -> None:
    written = defused(text)

    assert _as_it_was(written) == text


def _as_it_was(written: str) -> str:
    """Return a text without the apostrophes that were put into it."""
    cells = re.findall(r"[^;,\t\r\n]*(?:\r\n|[;,\t\r\n])|[^;,\t\r\n]+", written)
    return "".join(cell[1:] if defused(cell[1:]) == cell else cell for cell in cells)
