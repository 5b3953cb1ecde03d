"""Render a sheet as Markdown (CommonMark with tables)."""

import re
from collections.abc import Iterable, Iterator
from html import escape

from service.sheets.sheet import Block, Drawing, Instructions, Items, Paragraph, Part, Sheet, Table

__all__ = ["sheet_markdown"]

#: Characters that begin emphasis, code, mentions, sums, cells or strike-outs.
_ALWAYS = re.compile(r"[\\`*_@|~$]")
#: A closing bracket makes a link or its definition only before one of these.
_LINK = re.compile(r"\](?=[(\[:]|$)")
#: Addresses that readers turn into links by themselves.
_ADDRESS = re.compile(r"(?i)(://|\bwww\.)")
#: What would begin a heading, a list, a rule or a box to tick, at the start of a line.
_BEGIN = re.compile(r"^(?:[#+=-]|\[(?=[ xX]\\?\])|(\d+)[.)](?=\s|$))")


def sheet_markdown(sheet: Sheet) -> str:
    """Return a sheet as Markdown; free text stays what it is, whatever it holds.

    Examples
    --------
    >>> part = Part("Materials", (Items(("A *blunt* needle.",)),))
    >>> print(sheet_markdown(Sheet("en", "My_hat", "A crochet pattern", (part,))), end="")
    # My\\_hat
    <BLANKLINE>
    A crochet pattern
    <BLANKLINE>
    ## Materials
    <BLANKLINE>
    - A \\*blunt\\* needle.
    """
    blocks = [f"# {_plain(sheet.title)}", _plain(sheet.subtitle)]
    for part in sheet.parts:
        blocks += _part(part)
    return "\n\n".join(blocks) + "\n"


def _part(part: Part) -> Iterator[str]:
    yield f"{'#' * part.level} {_plain(part.heading)}"
    for block in part.blocks:
        yield "\n".join(_lines(block))


def _lines(block: Block) -> Iterator[str]:
    match block:
        case Paragraph(text):
            yield _plain(text)
        case Items(texts):
            yield from (f"- {_plain(text)}" for text in texts)
        case Instructions(rounds):
            yield from (f"- **{_plain(each.label)}** {_plain(each.text)}" for each in rounds)
        case Table(columns, rows):
            yield _row(columns)
            yield _row("---" for _ in columns)
            yield from (_row(map(_plain, row)) for row in rows)
        case Drawing(picture):
            yield f"**{_plain(picture.title)}, in words.** {_plain(picture.description)}"


def _row(cells: Iterable[str]) -> str:
    return f"| {' | '.join(cells)} |"


def _plain(text: str) -> str:
    """Return text that Markdown reads as itself.

    Only what could be read otherwise is escaped, so that the rounds can be read in the source as well.

    Examples
    --------
    >>> print(_plain("[FPdc2tog] 5 times"))
    [FPdc2tog] 5 times
    >>> print(_plain("[a](b) <i> # 1."), _plain("# 1"), _plain("12. x"), _plain("see www.a.b"))
    [a\\](b) &lt;i&gt; # 1. \\# 1 12\\. x see www\\.a.b
    """
    # Not every reader takes a backslash before HTML; all take its entities.
    escaped = escape(_ALWAYS.sub(r"\\\g<0>", " ".join(text.split())), quote=False)
    escaped = _LINK.sub(r"\]", escaped)
    escaped = _ADDRESS.sub(lambda found: found[0].replace(":", "\\:").replace(".", "\\."), escaped)
    return _BEGIN.sub(_escaped_begin, escaped)


def _escaped_begin(found: re.Match[str]) -> str:
    number = found[1]
    return f"\\{found[0]}" if number is None else f"{number}\\{found[0][-1]}"
