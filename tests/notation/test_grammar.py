"""The grammar: no conflicts, no slow words, a method for each rule."""

import re
from collections.abc import Callable, Iterator
from importlib.resources import files
from typing import Any

import pytest
from lark import Lark
from lark.exceptions import GrammarError, UnexpectedToken
from lark.lexer import Lexer

from service.notation import lexer as words
from service.notation.building import Builder
from service.notation.lexicon import lexicon_for
from service.notation.line_parser import LineParser
from service.notation.reader import GRAMMAR_FILE, grammar
from service.notation.terms import TERMS

_TEXT = files("service.notation").joinpath(GRAMMAR_FILE).read_text(encoding="utf-8")


class _NoLexer(Lexer):
    def __init__(self, _configuration: object) -> None:
        pass

    def lex(self, lexer_state: Any, parser_state: Any) -> Iterator[Any]:
        return iter(())


def test_the_grammar_is_lalr_without_conflicts() -> None:
    # Strict mode refuses a shift/reduce conflict, which is otherwise settled in silence.
    grammar = Lark(_TEXT, parser="lalr", lexer=_NoLexer, strict=True)

    assert grammar.rules


def test_a_conflict_would_be_refused() -> None:
    with pytest.raises(GrammarError, match="conflict"):
        Lark("start: a\na: a a | A\n%declare A", parser="lalr", lexer=_NoLexer, strict=True)


def test_every_rule_builds_a_part_of_the_tree() -> None:
    rules = {rule.alias or rule.origin.name for rule in grammar().rules}

    unbuilt = {name for name in rules if not name.startswith("_") and not hasattr(Builder, str(name))}

    passed_on = {"element", "piece", "done", "several", "extent"}
    of_no_meaning = {"label_end", "of_before", "same_as"}
    assert unbuilt <= passed_on | of_no_meaning


def test_every_kind_of_word_is_declared_in_the_grammar() -> None:
    declared = {name for line in re.findall(r"^%declare (.*)", _TEXT, re.MULTILINE) for name in line.split()}

    kinds = {
        word.kind
        for terms_id in TERMS
        for lexicon in [lexicon_for(terms_id)]
        for word in [
            *lexicon.words.values(),
            *(word for rest in lexicon.phrases.values() for _, word in rest),
        ]
    }

    assert kinds <= declared


def test_no_pattern_of_a_word_repeats_a_repeat() -> None:
    nested = re.compile(r"\([^()]*[+*][^()]*\)[+*{]")

    assert not nested.search(words._SCAN.pattern)


@pytest.mark.parametrize("terms_id", TERMS)
def test_both_lexicons_know_every_stitch_by_abbreviation_and_by_name(terms_id: str) -> None:
    terms = TERMS[terms_id]  # type: ignore[index]
    for manner in ("", *terms.manners):
        for base in terms.bases:
            for written in (terms.abbreviation(manner + base), terms.name(manner + base)):
                tokens = words.tokens_of(written, lexicon_for(terms.terms_id))

                assert tokens[-1].type == "STITCH"
                assert "".join(token.value for token in tokens) == manner + base


@pytest.mark.parametrize("text", ["sc in each st around (12)", "[sc, dc] 6 times; join", "sc in in st"])
def test_a_line_is_read_as_the_grammar_itself_reads_it(text: str) -> None:
    tokens = words.tokens_of(text, lexicon_for("us"))

    def read(parse: Callable[[Any], Any]) -> Any:
        try:
            return parse(tokens)
        except UnexpectedToken as stopped:
            return stopped.token.type, stopped.token.column, stopped.expected

    own, theirs = read(LineParser(grammar()).parse), read(grammar().parse)

    assert own == theirs
