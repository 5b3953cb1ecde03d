"""Tables as CSV (RFC 4180) that a spreadsheet opens as what they are: no cell of text is a formula."""

import csv
import io
import re
from collections.abc import Iterable, Sequence
from typing import TypeAlias
from unicodedata import category, normalize

__all__ = ["Cell", "csv_table", "defused"]

#: What may stand in a cell; ``None`` is nothing.
Cell: TypeAlias = str | int | float | bool | None

#: What may come to be a cell, with the mark that ends it: it hangs on the locale which of the marks does.
_CELL = re.compile(r"[^;,\t\r\n]*(?:\r\n|[;,\t\r\n])|[^;,\t\r\n]+")

#: What makes a spreadsheet reckon rather than show, and the marks that some skip in front of it.
_FORMULA_SIGNS = frozenset("=+-@\u2212\t\r\n")
_QUOTES = frozenset("\"'`\u00b4\u2018\u2019\u201a\u201b\u201c\u201d\u201e\u201f\u00ab\u00bb\u2032\u2033")


def csv_table(columns: Sequence[str], rows: Iterable[Sequence[Cell]]) -> str:
    """Return a table with its heads: lines end with CRLF, texts are quoted where they must be.

    Numbers stay numbers; a claim is ``true`` or ``false``; every text is defused.

    Examples
    --------
    >>> csv_table(("name", "mass_g"), [("wool, grey", 50.5), ("=1+1", -3)]).splitlines()
    ['name,mass_g', '"wool, grey",50.5', "'=1+1,-3"]

    Notes
    -----
    RFC 4180.
    """
    table = io.StringIO()
    writer = csv.writer(table, lineterminator="\r\n")
    writer.writerow(columns)
    writer.writerows([_cell(value) for value in row] for row in rows)
    return table.getvalue()


def _cell(value: Cell) -> str | int | float | None:
    match value:
        case bool():
            return "true" if value else "false"
        case str():
            return defused(value)
    return value


def defused(text: str) -> str:
    """Return a text with an apostrophe wherever a spreadsheet could take what follows for a formula.

    That is where a cell begins with one of ``= + - @``, a minus sign, a tab or the end of a line, in any
    width, and also after spaces, quotes and marks that are not seen. A cell begins with the text, and behind
    each semicolon, comma, tab and end of a line in it: spreadsheets differ in what parts cells. Two texts
    that differ still do.

    Examples
    --------
    >>> defused("=1+1"), defused(" '@a"), defused("\\uff1d1"), defused("a=1"), defused("-3")
    ("'=1+1", "' '@a", "'\uff1d1", 'a=1', "'-3")
    >>> defused("wool; =1+1")
    "wool;' =1+1"

    Notes
    -----
    Convention: the apostrophe is what a person types to say that a cell is text.
    """
    return "".join(f"'{cell}" if _could_be_formula(cell) else cell for cell in _CELL.findall(text))


def _could_be_formula(cell: str) -> bool:
    # Sign by sign, since a mark that follows an equals sign would make one letter of both.
    widths = (normalize("NFKC", sign)[:1] for sign in cell if not _is_skipped(sign))
    return next(widths, "") in _FORMULA_SIGNS


def _is_skipped(sign: str) -> bool:
    """Return whether a spreadsheet may look past a character at the beginning of a cell."""
    is_unseen = sign.isspace() or category(sign) in ("Cc", "Cf", "Mn", "Me")
    return sign in _QUOTES or (is_unseen and sign not in _FORMULA_SIGNS)
