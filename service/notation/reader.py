"""Read one line of a pattern to its tree, or say where it cannot be read and what was expected."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cache, lru_cache
from importlib.resources import files
from typing import Any

from lark import Lark
from lark.exceptions import UnexpectedToken
from lark.lexer import Lexer

from service.notation.building import Builder
from service.notation.faults import Fault, NotUnderstood
from service.notation.labels import find_label, skip_aside
from service.notation.lexer import Token, tokens_of
from service.notation.lexicon import lexicon_for
from service.notation.line_parser import LineParser
from service.notation.numerals import size_counts_in
from service.notation.terms import TermsId
from service.notation.tree import Label, Line
from service.notation.tree_walks import names_kinds
from service.notation.unclear_repeats import read_as_group

__all__ = ["GRAMMAR_FILE", "expected_words", "grammar", "read_label", "read_line"]

GRAMMAR_FILE = "pattern_line.lark"

#: How a kind of word is called when it was expected, the most telling first.
_NAMES = {
    "STITCH": "a stitch",
    "NUMBER": "a number",
    "IN": "'in'",
    "AROUND": "'around'",
    "NEXT": "'next'",
    "EACH": "'each'",
    "ST": "'st'",
    "TIMES": "'times'",
    "OPEN": "a bracket",
    "CLOSE": "a closing bracket",
    "STAR": "an asterisk",
    "REP": "'rep'",
    "FROM": "'from'",
    "MORE": "'more'",
    "SKIP": "'skip'",
    "CH": "'ch'",
    "JOIN": "'join'",
    "ROUND": "'rnd'",
    "COLON": "a colon",
    "COUNT": "a count",
    "SEP": "a comma",
    "$END": "the end of the line",
}
_MOST_NAMES = 6
#: How much dearer each word of a line is that is counted in two ways, with what a line costs by itself.
_TWO_READINGS = 3


class _Ready(Lexer):
    """Hands on the words of a line that is cut already."""

    def __init__(self, _configuration: Any) -> None:
        pass

    def lex(self, data: list[Token]) -> Iterator[Token]:  # type: ignore[override]
        """Return the words one by one."""
        return iter(data)


@cache
def grammar() -> Lark:
    """Return the parser, made once from the grammar file; a conflict in the grammar is an error."""
    text = files("service.notation").joinpath(GRAMMAR_FILE).read_text(encoding="utf-8")
    return Lark(text, parser="lalr", lexer=_Ready, transformer=Builder(), strict=True)


def read_line(text: str, terms_id: TermsId) -> Line | Fault:
    """Return the tree of a line, or the fault that keeps it from being read.

    The label is read apart, so that rounds that differ in their number only are read once.

    Examples
    --------
    >>> read_line("Rnd 2: 2 sc in each st around. (12)", "us").label.spans
    ((2, 2),)
    >>> read_line("Rnd 2: sc in next 3 sts tgo", "us")
    Fault(line=1, column=25, code='unknown_word', detail='This word is not one of the written language.')
    >>> read_line("Rnd 2: sc in in next st", "us").detail
    "The sentence cannot go on like this. Expected a stitch, a number, 'next', 'each', 'st' or 'ch'."
    """
    words, end = find_label(text, terms_id)
    if end:
        return _read_labelled(text, words, end, terms_id)
    begin = skip_aside(text, terms_id)
    if not begin or not text[begin:].strip():
        return _read(text, terms_id)
    words, end = find_label(text[begin:], terms_id)
    line = _read_labelled(text[begin:], words, end, terms_id) if end else _read(text[begin:], terms_id)
    if isinstance(line, Fault):
        return replace(line, column=line.column + begin)
    label = None if line.label is None else replace(line.label, column=line.label.column + begin)
    return replace(line, label=label, offset=line.offset + begin)


def _read_labelled(text: str, words: int, end: int, terms_id: TermsId) -> Line | Fault:
    """Return the tree of a line whose label ends there."""
    labelled = _read_label(f"{text[:words]}:", terms_id)
    if isinstance(labelled, Fault) or not text[end:].strip():
        return labelled
    body = _read(text[end:], terms_id)
    if isinstance(body, Fault):
        return replace(body, column=body.column + end)
    return replace(body, label=labelled.label, offset=end)


def read_label(text: str, terms_id: TermsId) -> Label | None:
    """Return the label of a line even where the rest of it cannot be read.

    Examples
    --------
    >>> read_label("Rnds 4-7: knit it all", "us").round_count
    4
    """
    words, _ = find_label(text, terms_id)
    labelled = _read_label(f"{text[:words]}:", terms_id) if words else None
    return labelled.label if isinstance(labelled, Line) else None


def _cost(tokens: Sequence[Token], line: Line) -> int:
    """Return a measure of the work of counting a line; one that can be read in two ways is counted twice."""
    return len(tokens) * (1 if read_as_group(line.pieces) is None else _TWO_READINGS)


@lru_cache(maxsize=2048)
def _read_label(text: str, terms_id: TermsId) -> Line | Fault:
    """Return the tree of a label; there are few, so they are kept apart from what follows them."""
    return _parse(text, terms_id)


@cache
def _parser() -> LineParser:
    return LineParser(grammar())


@lru_cache(maxsize=4096)
def _read(text: str, terms_id: TermsId) -> Line | Fault:
    """Return the tree of a piece of text; equal pieces are read once, since both are values."""
    return _parse(text, terms_id)


def _parse(text: str, terms_id: TermsId) -> Line | Fault:
    try:
        tokens = tokens_of(text, lexicon_for(terms_id))
        line: Line = _parser().parse(tokens)
        return replace(
            line,
            cost=_cost(tokens, line),
            text=text,
            terms_id=terms_id,
            names_kinds=names_kinds(line.pieces),
            is_sized=any(True for _ in size_counts_in(line.pieces)),
        )
    except NotUnderstood as refused:
        return refused.fault
    except UnexpectedToken as stopped:
        return _unexpected(stopped, text)


def expected_words(kinds: set[str]) -> str:
    """Return the kinds of words that would have fitted, as a list for a reader.

    Examples
    --------
    >>> expected_words({"$END", "SEP", "TIMES"})
    "'times', a comma or the end of the line"
    """
    names = [name for kind, name in _NAMES.items() if kind in kinds][:_MOST_NAMES]
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} or {names[-1]}"


def _unexpected(stopped: UnexpectedToken, text: str) -> Fault:
    at_end = stopped.token.type == "$END"
    column = len(text.rstrip()) + 1 if at_end else stopped.token.column
    names = expected_words(stopped.expected)
    what = "The line ends too early." if at_end else "The sentence cannot go on like this."
    return Fault(1, column, "unexpected", f"{what} Expected {names}." if names else what)
