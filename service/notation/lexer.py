"""Cut a line into the words of the grammar: kinds, each with its text and its column.

Three things are settled here, because a grammar with one word of foresight cannot:
which bracket holds the round's count, which holds the other sizes of a number,
and which runs of commas, semicolons and full stops are one pause.
"""

import re
from typing import NamedTuple

from service.notation.faults import NotUnderstood
from service.notation.lexicon import ARTICLES, PARTICLE, Lexicon, Word, lexicon_for, read_stitch_word
from service.notation.terms import TERMS

__all__ = ["DEEPEST_GROUP", "Token", "tokens_of"]

DEEPEST_GROUP = 8
#: Digits of a number: more than five is no hat.
_MOST_DIGITS = 5

_SCAN = re.compile(
    r"(?P<loop>ch(?:ain)?[-‐‑–](?=\d))"
    r"|(?P<times>[x×](?![^\W\d_]))"
    r"|(?P<round>r(?=\d))"
    r"|(?P<chains>ch(?=\d))"
    r"|(?P<decimal>[0-9]+\.[0-9]+|[0-9]*[⅛¼⅜½⅝¾⅞])"
    r"|(?P<word>[^\W\d_][^\W_]*(?:['’]t)?)"
    r"|(?P<ordinal>[0-9]+(?:st|nd|rd|th)\b)"
    r"|(?P<number>[0-9]+)"
    r"|(?P<joint>(?<=[^\W\d_])[-‐‑](?=[^\W\d_]))"
    r"|(?P<mark>[\[\](){},;.:=+–—−-])"
    r"|(?P<star>\*+|†)"
    r"|(?P<other>[^\s\"“”‘’'])",
    re.IGNORECASE,
)
#: Kinds that a scanned word has whatever it says.
_SCANNED = {"loop": "LOOP_NAME", "times": "X", "round": "ROUND", "chains": "CH", "star": "STAR"}
_MARKS = {
    "[": "OPEN",
    "(": "OPEN",
    "{": "OPEN",
    "]": "CLOSE",
    ")": "CLOSE",
    "}": "CLOSE",
    ",": "SEP",
    ";": "SEP",
    ".": "SEP",
    "+": "SEP",
    ":": "COLON",
    "=": "EQUALS",
    "–": "DASH",
    "—": "DASH",
    "−": "DASH",
    "-": "DASH",
}
_CLOSERS = {"[": "]", "(": ")", "{": "}"}
_NO_PAUSE_AFTER = frozenset(["SEP", "COLON", "OPEN", "STAR"])
_NO_PAUSE_BEFORE = frozenset(["CLOSE", "THROUGHOUT"])
_ROUND_LIST = frozenset(["NUMBER", "DASH", "TO", "SEP"])
_LEGS = frozenset("2345678")
_SENTENCE_ENDS = frozenset(["SEP", "JOIN", "TURN", "FASTEN_OFF"])
_NEVER_SIZED = frozenset(["ROUND", "AND", "DASH", "TO"])
_COUNTED = frozenset(["ST", "STITCH", "SPACE", "CH"])
_IN_COUNT = frozenset(["NUMBER", "SEP", "LOOP_NAME", *_COUNTED])


class Token(NamedTuple):
    """A word of the grammar: its kind, its value, the column it starts in, counted from 1.

    The parser asks for ``type``, and of the last word of a line for places that are not kept.
    """

    type: str
    value: str
    column: int
    line: int = 1
    start_pos: int = 0
    end_line: int = 1
    end_column: int = 0
    end_pos: int = 0


def tokens_of(line: str, lexicon: Lexicon) -> list[Token]:
    """Return the tokens of a line.

    Raises
    ------
    NotUnderstood
        If a word is unknown, a bracket has no partner or brackets stand too deep.

    Examples
    --------
    >>> from service.notation.lexicon import lexicon_for
    >>> [token.type for token in tokens_of("2 sc in next st, (12)", lexicon_for("us"))]
    ['NUMBER', 'STITCH', 'IN', 'NEXT', 'ST', 'SEP', 'COUNT', 'NUMBER', 'COUNTED']
    """
    found = _joined_phrases(_scanned(line), lexicon)
    _refuse_bad_brackets(found)
    settled = _with_counts(_with_sizes(_with_round_lists(_with_legs(found))))
    return _paused(settled)


def _scanned(line: str) -> list[Token]:
    """Return words, numbers and marks; words are not yet looked up, articles are left out."""
    found: list[Token] = []
    for match in _SCAN.finditer(line):
        kind, text, column = match.lastgroup, match[0], match.start() + 1
        if kind == "word":
            word = text.lower().replace("’", "'")
            if word not in ARTICLES:
                found.append(Token("word", word, column))
        elif kind == "mark":
            found.append(Token(_MARKS[text], text, column))
        elif kind in ("number", "decimal", "ordinal"):
            found.append(_number(kind, text.lower(), column))
        elif kind in _SCANNED:
            found.append(Token(_SCANNED[kind], text.lower(), column))
        elif kind == "other":
            raise _unknown(text, column)
    return found


def _number(kind: str, text: str, column: int) -> Token:
    if len(text) > _MOST_DIGITS:
        raise NotUnderstood(
            column=column, code="too_many_stitches", detail="This number is larger than any hat needs."
        )
    if kind == "ordinal":
        return Token("FIRST" if text == "1st" else "ORDINAL", text[:-2], column)
    return Token(kind.upper(), text, column)


def _joined_phrases(scanned: list[Token], lexicon: Lexicon) -> list[Token]:
    """Return the tokens with their kinds looked up and each phrase as one token."""
    found: list[Token] = []
    words, phrases = lexicon.words, lexicon.phrases
    index, end = 0, len(scanned)
    while index < end:
        token = scanned[index]
        length = 1
        if token.type == "word":
            phrase = _longest_phrase(scanned, index, lexicon) if token.value in phrases else None
            if phrase is not None:
                length, word = phrase
                token = Token(word.kind, word.value, token.column)
            elif token.value != PARTICLE:
                word = words.get(token.value) or _stitch(token, lexicon)
                token = Token(word.kind, word.value, token.column)
        index += length
        if token.type != "word":
            found.append(token)
    return found


def _longest_phrase(tokens: list[Token], index: int, lexicon: Lexicon) -> tuple[int, Word] | None:
    for rest, word in lexicon.phrases[tokens[index].value]:
        following = tokens[index + 1 : index + 1 + len(rest)]
        if tuple(token.value for token in following) == rest:
            return 1 + len(rest), word
    return None


def _stitch(token: Token, lexicon: Lexicon) -> Word:
    code = read_stitch_word(lexicon, token.value)
    if code is None:
        raise _unknown(token.value, token.column)
    return Word("STITCH", code)


def _unknown(text: str, column: int) -> NotUnderstood:
    if any(read_stitch_word(lexicon_for(terms_id), text) for terms_id in TERMS):
        return NotUnderstood(
            column=column,
            code="wrong_terms",
            detail="This stitch belongs to the other terms. Choose US or UK for the whole text.",
        )
    return NotUnderstood(
        column=column, code="unknown_word", detail="This word is not one of the written language."
    )


def _with_legs(tokens: list[Token]) -> list[Token]:
    """Return the tokens with ``sc 2 tog`` or ``sc 2 sts tog`` as the one stitch it is."""
    for index in [index for index, token in enumerate(tokens) if token.type == "TOG"][::-1]:
        end = index - 1 if tokens[index - 1].type == "ST" else index
        if end > 1 and tokens[end - 1].type == "NUMBER" and tokens[end - 2].type == "STITCH":
            stitch, legs = tokens[end - 2], tokens[end - 1]
            if legs.value not in _LEGS:
                raise NotUnderstood(
                    column=legs.column, code="unexpected", detail="Two to eight stitches are worked together."
                )
            code = f"{stitch.value}{legs.value}tog"
            tokens[end - 2 : index + 1] = [Token("STITCH", code, stitch.column)]
    return tokens


def _with_round_lists(tokens: list[Token]) -> list[Token]:
    """Return the tokens with ``AND`` between the numbers of a list of rounds, no pause."""
    if not any(token.type == "ROUND" for token in tokens):
        return tokens
    found: list[Token] = []
    listing = False
    for index, token in enumerate(tokens):
        listing = token.type == "ROUND" or (listing and token.type in _ROUND_LIST)
        if not (listing and token.type == "SEP" and _joins_rounds(tokens, index)):
            found.append(token)
        elif not (_is(tokens, index + 2, "TIMES") or _is(tokens, index + 2, "MORE")):
            found.append(Token("AND", token.value, token.column))
    return found


def _joins_rounds(tokens: list[Token], index: int) -> bool:
    return tokens[index - 1].type == "NUMBER" and _is(tokens, index + 1, "NUMBER")


def _refuse_bad_brackets(tokens: list[Token]) -> None:
    opened: list[Token] = []
    for token in tokens:
        if token.type == "OPEN":
            opened.append(token)
            if len(opened) > DEEPEST_GROUP:
                raise NotUnderstood(
                    column=token.column,
                    code="too_deep",
                    detail=f"Brackets stand more than {DEEPEST_GROUP} deep.",
                )
        elif token.type == "CLOSE" and (not opened or _CLOSERS[opened.pop().value] != token.value):
            raise NotUnderstood(
                column=token.column, code="bracket_mismatch", detail="This bracket closes none of its kind."
            )
    if opened:
        raise NotUnderstood(
            column=opened[-1].column, code="bracket_mismatch", detail="This bracket is never closed."
        )


def _with_sizes(tokens: list[Token]) -> list[Token]:
    """Return the tokens with each number and the other sizes in brackets behind it as one number."""
    begins = [
        index
        for index in range(len(tokens) - 1)
        if tokens[index].type == "OPEN" and tokens[index + 1].type == "NUMBER"
    ]
    for begin in begins[::-1]:
        end = _end_of_sizes(tokens, begin, is_last=begin == begins[-1])
        if end is not None:
            numbers = [token for token in tokens[begin - 1 : end] if token.type == "NUMBER"]
            text = " ".join(f"{token.value}@{token.column}" for token in numbers)
            tokens[begin - 1 : end] = [Token("NUMBER", text, numbers[0].column)]
    return tokens


def _end_of_sizes(tokens: list[Token], begin: int, *, is_last: bool) -> int | None:
    """Return where the bracket ends that holds the other sizes of the number before it, if it does.

    ``64 (72, 80)`` is a number for three sizes. Where a bracket stands at the end of a sentence
    it may be the round's count instead: it is so behind the number of a round, and behind
    ``x 6`` or ``sc 6`` unless another count follows.
    """
    before = tokens[begin - 2].type if begin > 1 else ""
    if begin == 0 or tokens[begin - 1].type != "NUMBER" or before in _NEVER_SIZED:
        return None
    end = begin + 1
    while end < len(tokens) and tokens[end].type in ("NUMBER", "SEP"):
        end += 1
    if tokens[begin].value != "(" or not _is(tokens, end, "CLOSE") or tokens[end - 1].type != "NUMBER":
        return None
    if end + 1 < len(tokens) and tokens[end + 1].type not in _SENTENCE_ENDS:
        return end + 1
    if before in ("CH", "SKIP"):
        is_same = before == "CH" and tokens[begin - 1].value == tokens[begin + 1].value
        is_its_own_count = is_same and end == begin + 2
        return None if is_its_own_count else end + 1
    return None if is_last else end + 1


def _is(tokens: list[Token], index: int, kind: str, value: str | None = None) -> bool:
    return index < len(tokens) and tokens[index].type == kind and value in (None, tokens[index].value)


def _with_counts(tokens: list[Token]) -> list[Token]:
    """Return the tokens with the round's count between ``COUNT`` and ``COUNTED``.

    A bracket holds a count when it begins with a number, names nothing but stitches and spaces,
    and is followed by a pause or by nothing. A number of stitches at the very end is a count
    behind a dash or a full stop, and so is a number of ``sts`` wherever it begins a sentence.
    """
    for begin in [index for index, token in enumerate(tokens) if token.type == "OPEN"]:
        end = _end_of_bracketed_count(tokens, begin)
        if end is not None:
            tokens[begin] = Token("COUNT", "", tokens[begin].column)
            tokens[end] = Token("COUNTED", "", tokens[end].column)
    return _with_bare_count(tokens)


def _end_of_bracketed_count(tokens: list[Token], index: int) -> int | None:
    if tokens[index].type != "OPEN" or not _is(tokens, index + 1, "NUMBER"):
        return None
    end = index + 2
    while end < len(tokens) and tokens[end].type in _IN_COUNT:
        end += 1
    if not _is(tokens, end, "CLOSE"):
        return None
    after = tokens[end + 1].type if end + 1 < len(tokens) else "SEP"
    return end if after in _SENTENCE_ENDS else None


def _with_bare_count(tokens: list[Token]) -> list[Token]:
    end = len(tokens)
    while end and tokens[end - 1].type == "SEP":
        end -= 1
    begin = end - 2
    if begin < 1 or tokens[begin].type != "NUMBER" or tokens[begin + 1].type not in _COUNTED:
        return tokens
    before = tokens[begin - 1]
    told = before.type in ("DASH", "EQUALS") or before.value == "."
    if not told and not (before.type == "SEP" and tokens[begin + 1].type == "ST"):
        return tokens
    column = tokens[begin].column
    counted = [Token("COUNT", "", column), *tokens[begin:end], Token("COUNTED", "", column)]
    return [*tokens[: begin - 1], *counted, *tokens[end:]]


def _paused(tokens: list[Token]) -> list[Token]:
    """Return the tokens with one ``SEP`` between sentences, and round every count."""
    found: list[Token] = []
    pause = 0
    before = "SEP"
    for token in tokens:
        kind = token.type
        if kind == "SEP":
            pause = pause or token.column
            continue
        if kind == "COUNT" or before == "COUNTED":
            pause = pause or token.column
        if pause and before not in _NO_PAUSE_AFTER and kind not in _NO_PAUSE_BEFORE:
            found.append(Token("SEP", "", pause))
        pause = 0
        before = kind
        found.append(token)
    return found
