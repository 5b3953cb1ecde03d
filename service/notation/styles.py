"""Put runs of words that some makers write into those that all write: ``[sc, inc] rep 6 times``."""

from collections.abc import Callable, Sequence

from service.notation.lexicon import SPECIAL_STITCHES
from service.notation.tokens import Token

__all__ = ["settled_styles"]

_BEHIND_ROUND = frozenset(["NEXT", "EACH", "FIRST", "LAST", "SAME"])
_LISTED = frozenset(["NUMBER", "SEP", "TO", "DASH", "THROUGH"])


def settled_styles(tokens: list[Token]) -> list[Token]:
    """Return the tokens with each run of words in its usual form; no word moves.

    Examples
    --------
    >>> run = [Token(kind, "", 1) for kind in ("OPEN", "INC", "CLOSE", "REP", "NUMBER", "TIMES")]
    >>> [token.type for token in settled_styles(run)]
    ['OPEN', 'INC', 'CLOSE', 'NUMBER', 'TIMES']
    """
    found = tokens
    kinds = {token.type for token in tokens}
    for wanted, settle in _STYLES:
        if wanted in kinds:
            found = settle(found)
    return found


def _kinds(tokens: Sequence[Token], begin: int, count: int) -> list[str]:
    return [token.type for token in tokens[max(0, begin) : begin + count]]


def _with_repeats(tokens: list[Token]) -> list[Token]:
    """Return ``[…], rep 6 times`` as ``[…] 6 times``, and ``*…, rep around`` with its asterisk.

    Convention: behind a bracket the times are all the times, as without the word.
    """
    for index in [index for index, token in enumerate(tokens) if token.type == "REP"][::-1]:
        following = _kinds(tokens, index + 1, 2)
        is_times = following[1:] in (["TIMES"], ["X"]) and following[0] == "NUMBER"
        is_around = following[:1] == ["AROUND"]
        begin = index - 1 if _kinds(tokens, index - 1, 1) == ["SEP"] else index
        if (is_times or is_around) and begin and tokens[begin - 1].type == "CLOSE":
            del tokens[begin : index + 1]
        elif is_around and any(token.type == "STAR" for token in tokens[:index]):
            column = tokens[index].column
            tokens[index + 1 : index + 1] = [Token("FROM", "", column), Token("STAR", "*", column)]
    return tokens


def _with_prepositions(tokens: list[Token]) -> list[Token]:
    """Return ``FPtr round next st`` as around it."""
    for index in range(1, len(tokens) - 1):
        is_word = tokens[index].value == "round" and tokens[index - 1].type == "STITCH"
        if is_word and tokens[index + 1].type in _BEHIND_ROUND:
            tokens[index] = Token("AROUND", "round", tokens[index].column)
    return tokens


def _with_lists(tokens: list[Token]) -> list[Token]:
    """Return ``5 through 9`` as 5 to 9, and ``5, 6, and 7`` with one pause between two numbers."""
    found: list[Token] = []
    listing = False
    for index, token in enumerate(tokens):
        listing = token.type == "ROUND" or (listing and token.type in _LISTED)
        if listing and token.type == "THROUGH":
            token = Token("TO", token.value, token.column)
        if listing and token.type == "SEP" and _kinds(tokens, index + 1, 2) == ["SEP", "NUMBER"]:
            continue
        found.append(token)
    return found


def _without_asides(tokens: list[Token]) -> list[Token]:
    """Return the words without ``(inc made)`` behind stitches that are told already."""
    for index in range(len(tokens) - 4, -1, -1):
        kinds = _kinds(tokens, index, 4)
        if kinds in (["OPEN", "INC", "MADE", "CLOSE"], ["OPEN", "DEC", "MADE", "CLOSE"]):
            del tokens[index : index + 4]
    return tokens


def _with_stitches(tokens: list[Token]) -> list[Token]:
    """Return ``in next,`` as in next st."""
    for index in range(len(tokens) - 1, 0, -1):
        following = _kinds(tokens, index + 1, 1)
        if (
            tokens[index].type == "NEXT"
            and tokens[index - 1].type == "IN"
            and following in ([], ["SEP"], ["CLOSE"])
        ):
            tokens.insert(index + 1, Token("ST", "st", tokens[index].column))
    return tokens


def _without_totals(tokens: list[Token]) -> list[Token]:
    """Return ``Total: 12 sts`` as a count behind a colon."""
    for index in range(len(tokens) - 3, -1, -1):
        if _kinds(tokens, index, 3) in (["IN_ALL", "COLON", "NUMBER"], ["IN_ALL", "EQUALS", "NUMBER"]):
            del tokens[index]
    return tokens


def _with_own_names(tokens: list[Token]) -> list[Token]:
    """Return ``3-dc cluster`` as a cluster."""
    for index in range(len(tokens) - 3, -1, -1):
        stitch = index + (2 if tokens[index + 1].type == "DASH" else 1)
        kinds = _kinds(tokens, stitch, 2)
        if tokens[index].type != "NUMBER" or kinds != ["STITCH", "STITCH"]:
            continue
        if tokens[stitch + 1].value in SPECIAL_STITCHES:
            name = tokens[stitch + 1]
            tokens[index : stitch + 2] = [Token("STITCH", name.value, tokens[index].column)]
    return tokens


def _with_shells(tokens: list[Token]) -> list[Token]:
    """Return ``5-dc shell in next st`` as 5 dc in next st."""
    for index in range(len(tokens) - 4, -1, -1):
        if _kinds(tokens, index, 5) == ["NUMBER", "DASH", "STITCH", "SHELL", "IN"]:
            del tokens[index + 3], tokens[index + 1]
    return tokens


#: What is settled where a kind of word stands in the line at all.
_STYLES: tuple[tuple[str, Callable[[list[Token]], list[Token]]], ...] = (
    ("REP", _with_repeats),
    ("ROUND", _with_prepositions),
    ("ROUND", _with_lists),
    ("MADE", _without_asides),
    ("NEXT", _with_stitches),
    ("IN_ALL", _without_totals),
    ("STITCH", _with_own_names),
    ("SHELL", _with_shells),
)
