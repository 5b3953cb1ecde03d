"""Cut a line into the words of the grammar: kinds, each with its text and its column.

Three things are settled here, because a grammar with one word of foresight cannot:
which bracket holds the round's count, which holds the other sizes of a number,
and which runs of commas, semicolons and full stops are one pause.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from service.notation.faults import NotUnderstood
from service.notation.lexicon import ARTICLES, PARTICLE, Lexicon, Word, read_stitch_word

__all__ = ["DEEPEST_GROUP", "Token", "tokens_of"]

DEEPEST_GROUP = 8
#: Digits of a number: more than five is no hat.
_MOST_DIGITS = 5

_SCAN = re.compile(
    r"(?P<space>[\s\"“”‘’']+)"
    r"|(?P<loop>ch(?:ain)?[-‐‑–](?=\d))"
    r"|(?P<ordinal>\d+(?:st|nd|rd|th)\b)"
    r"|(?P<decimal>\d+\.\d+)"
    r"|(?P<number>\d+)"
    r"|(?P<times>[x×](?![^\W\d_]))"
    r"|(?P<joint>(?<=[^\W\d_])[-‐‑](?=[^\W\d_]))"
    r"|(?P<round>r(?=\d))"
    r"|(?P<chains>ch(?=\d))"
    r"|(?P<word>[^\W\d_][^\W_’']*(?:['’]t)?)"
    r"|(?P<star>\*+|†)"
    r"|(?P<mark>[\[\](){},;.:=+/–—−-])",
    re.IGNORECASE,
)
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
_SENTENCE_ENDS = frozenset(["SEP", "JOIN", "TURN", "FASTEN_OFF"])
_NEVER_SIZED = frozenset(["ROUND", "AND", "DASH", "TO"])
_COUNTED = frozenset(["ST", "STITCH", "SPACE", "CH"])


@dataclass(frozen=True, slots=True)
class Token:
    """A word of the grammar: its kind, its value, the column it starts in, counted from 1."""

    kind: str
    value: str
    column: int


def tokens_of(line: str, lexicon: Lexicon) -> list[Token]:
    """Return the tokens of a line.

    Raises
    ------
    NotUnderstood
        If a word is unknown, a bracket has no partner or brackets stand too deep.

    Examples
    --------
    >>> from service.notation.lexicon import lexicon_for
    >>> [token.kind for token in tokens_of("2 sc in next st, (12)", lexicon_for("us"))]
    ['NUMBER', 'STITCH', 'IN', 'NEXT', 'ST', 'SEP', 'COUNT', 'NUMBER', 'COUNTED']
    """
    found = _joined_phrases(list(_scanned(line)), lexicon)
    _refuse_bad_brackets(found)
    settled = _with_counts(_with_sizes(_with_round_lists(_with_legs(found))))
    return list(_paused(settled))


def _scanned(line: str) -> Iterator[Token]:
    """Yield words, numbers and marks; words are not yet looked up."""
    position, end = 0, len(line)
    while position < end:
        match = _SCAN.match(line, position)
        if match is None:
            raise _unknown(line[position], position + 1)
        position = match.end()
        kind = match.lastgroup or ""
        text = match[0].lower()
        if kind not in ("space", "joint"):
            yield _scanned_token(kind, text, match.start() + 1)


def _scanned_token(kind: str, text: str, column: int) -> Token:
    match kind:
        case "word":
            return Token("word", text.replace("’", "'"), column)
        case "number" | "decimal":
            if len(text) > _MOST_DIGITS:
                raise NotUnderstood(
                    column=column,
                    code="too_many_stitches",
                    detail="This number is larger than any hat needs.",
                )
            return Token(kind.upper(), text, column)
        case "ordinal":
            return Token("FIRST" if text == "1st" else "ORDINAL", text[:-2], column)
        case "mark":
            return Token(_MARKS.get(text, "SLASH"), text, column)
        case "loop":
            return Token("LOOP_NAME", text, column)
        case "round":
            return Token("ROUND", text, column)
        case "chains":
            return Token("CH", text, column)
        case "times":
            return Token("X", text, column)
        case _:
            return Token("STAR", text, column)


def _joined_phrases(scanned: list[Token], lexicon: Lexicon) -> list[Token]:
    """Return the tokens with their kinds looked up, phrases as one token, articles left out."""
    tokens = [token for token in scanned if not (token.kind == "word" and token.value in ARTICLES)]
    found: list[Token] = []
    index = 0
    while index < len(tokens):
        token = tokens[index]
        if token.kind == "word" and token.value == PARTICLE:
            index += 1
        elif token.kind == "word":
            length, word = _longest_phrase(tokens, index, lexicon)
            found.append(Token(word.kind, word.value, token.column))
            index += length
        else:
            found.append(token)
            index += 1
    return found


def _longest_phrase(tokens: list[Token], index: int, lexicon: Lexicon) -> tuple[int, Word]:
    first = tokens[index]
    for rest, word in lexicon.phrases.get(first.value, ()):
        following = tokens[index + 1 : index + 1 + len(rest)]
        if len(following) == len(rest) and all(
            token.value == text for token, text in zip(following, rest, strict=True)
        ):
            return 1 + len(rest), word
    return 1, _looked_up(first, lexicon)


def _looked_up(token: Token, lexicon: Lexicon) -> Word:
    word = lexicon.words.get(token.value)
    if word is not None:
        return word
    code = read_stitch_word(lexicon, token.value)
    if code is not None:
        return Word("STITCH", code)
    raise _unknown(token.value, token.column, lexicon)


def _unknown(text: str, column: int, lexicon: Lexicon | None = None) -> NotUnderstood:
    if lexicon is not None and any(foreign in text for foreign in lexicon.foreign):
        return NotUnderstood(
            column=column,
            code="wrong_terms",
            detail="This stitch belongs to the other terms. Choose US or UK for the whole text.",
        )
    return NotUnderstood(
        column=column, code="unknown_word", detail="This word is not one of the written language."
    )


def _with_legs(tokens: list[Token]) -> list[Token]:
    """Return the tokens with ``sc 2 tog`` as the one stitch it is."""
    found: list[Token] = []
    for token in tokens:
        if (
            token.kind == "TOG"
            and len(found) > 1
            and found[-1].kind == "NUMBER"
            and found[-2].kind == "STITCH"
        ):
            legs = found.pop().value
            stitch = found.pop()
            if legs not in "2345678":
                raise NotUnderstood(
                    column=token.column,
                    code="unexpected",
                    detail="Two to eight stitches are worked together.",
                )
            found.append(Token("STITCH", f"{stitch.value}{legs}tog", stitch.column))
        else:
            found.append(token)
    return found


def _with_round_lists(tokens: list[Token]) -> list[Token]:
    """Return the tokens with ``AND`` between the numbers of a list of rounds, no pause."""
    found: list[Token] = []
    listing = False
    for index, token in enumerate(tokens):
        listing = token.kind == "ROUND" or (listing and token.kind in ("NUMBER", "DASH", "TO", "SEP"))
        if (
            listing
            and token.kind == "SEP"
            and found[-1].kind == "NUMBER"
            and _is(tokens, index + 1, "NUMBER")
        ):
            if not (_is(tokens, index + 2, "TIMES") or _is(tokens, index + 2, "MORE")):
                found.append(Token("AND", token.value, token.column))
        else:
            found.append(token)
    return found


def _refuse_bad_brackets(tokens: list[Token]) -> None:
    opened: list[Token] = []
    for token in tokens:
        if token.kind == "OPEN":
            opened.append(token)
            if len(opened) > DEEPEST_GROUP:
                raise NotUnderstood(
                    column=token.column,
                    code="too_deep",
                    detail=f"Brackets stand more than {DEEPEST_GROUP} deep.",
                )
        elif token.kind == "CLOSE" and (not opened or _CLOSERS[opened.pop().value] != token.value):
            raise NotUnderstood(
                column=token.column, code="bracket_mismatch", detail="This bracket closes none of its kind."
            )
    if opened:
        raise NotUnderstood(
            column=opened[-1].column, code="bracket_mismatch", detail="This bracket is never closed."
        )


def _with_sizes(tokens: list[Token]) -> list[Token]:
    """Return the tokens with each number and the other sizes in brackets behind it as one number."""
    found: list[Token] = []
    index = 0
    while index < len(tokens):
        end = _end_of_sizes(tokens, index)
        if end is None:
            found.append(tokens[index])
            index += 1
        else:
            numbers = [token for token in tokens[index:end] if token.kind == "NUMBER"]
            text = " ".join(f"{token.value}@{token.column}" for token in numbers)
            found.append(Token("NUMBER", text, tokens[index].column))
            index = end
    return found


def _end_of_sizes(tokens: list[Token], index: int) -> int | None:
    """Return where the sizes of the number at an index end, or nothing if it has one size.

    ``64 (72, 80)`` is a number for three sizes. Where a bracket stands at the end of a sentence
    it may be the round's count instead: it is so behind the number of a round, and behind
    ``x 6`` or ``sc 6`` unless another count follows.
    """
    before = tokens[index - 1].kind if index else ""
    if tokens[index].kind != "NUMBER" or before in _NEVER_SIZED or not _is(tokens, index + 1, "OPEN", "("):
        return None
    end = index + 2
    while end < len(tokens) and tokens[end].kind in ("NUMBER", "SEP"):
        end += 1
    if end == index + 2 or not _is(tokens, end, "CLOSE") or tokens[end - 1].kind != "NUMBER":
        return None
    if not _ends_sentence(tokens, end + 1):
        return end + 1
    if before in ("CH", "SKIP"):
        is_its_own_count = before == "CH" and tokens[index].value == tokens[index + 2].value
        return None if is_its_own_count else end + 1
    return end + 1 if _has_count_after(tokens, end + 1) else None


def _ends_sentence(tokens: list[Token], index: int) -> bool:
    return index == len(tokens) or tokens[index].kind in _SENTENCE_ENDS


def _has_count_after(tokens: list[Token], begin: int) -> bool:
    return any(
        tokens[index].kind == "OPEN" and _is(tokens, index + 1, "NUMBER")
        for index in range(begin, len(tokens))
    )


def _is(tokens: list[Token], index: int, kind: str, value: str | None = None) -> bool:
    return index < len(tokens) and tokens[index].kind == kind and value in (None, tokens[index].value)


def _with_counts(tokens: list[Token]) -> list[Token]:
    """Return the tokens with the round's count between ``COUNT`` and ``COUNTED``.

    A bracket holds a count when it begins with a number, names nothing but stitches and spaces,
    and is followed by a pause or by nothing. A number of stitches at the very end is a count
    behind a dash or a full stop, and so is a number of ``sts`` wherever it begins a sentence.
    """
    found: list[Token] = []
    index = 0
    while index < len(tokens):
        end = _end_of_bracketed_count(tokens, index)
        if end is None:
            found.append(tokens[index])
            index += 1
        else:
            found.append(Token("COUNT", "", tokens[index].column))
            found += tokens[index + 1 : end]
            found.append(Token("COUNTED", "", tokens[end].column))
            index = end + 1
    return _with_bare_count(found)


def _end_of_bracketed_count(tokens: list[Token], index: int) -> int | None:
    if tokens[index].kind != "OPEN" or not _is(tokens, index + 1, "NUMBER"):
        return None
    end = index + 2
    while end < len(tokens) and tokens[end].kind in ("NUMBER", "SEP", "LOOP_NAME", *_COUNTED):
        end += 1
    if not _is(tokens, end, "CLOSE"):
        return None
    after = tokens[end + 1].kind if end + 1 < len(tokens) else "SEP"
    return end if after in _SENTENCE_ENDS else None


def _with_bare_count(tokens: list[Token]) -> list[Token]:
    end = len(tokens)
    while end and tokens[end - 1].kind == "SEP":
        end -= 1
    begin = end - 2
    if begin < 1 or tokens[begin].kind != "NUMBER" or tokens[begin + 1].kind not in _COUNTED:
        return tokens
    before = tokens[begin - 1]
    told = before.kind in ("DASH", "EQUALS") or before.value == "."
    if not told and not (before.kind == "SEP" and tokens[begin + 1].kind == "ST"):
        return tokens
    column = tokens[begin].column
    counted = [Token("COUNT", "", column), *tokens[begin:end], Token("COUNTED", "", column)]
    return [*tokens[: begin - 1], *counted, *tokens[end:]]


def _paused(tokens: list[Token]) -> Iterator[Token]:
    """Yield the tokens with one ``SEP`` between sentences, and round every count."""
    pause: Token | None = None
    before = "SEP"
    for token in tokens:
        if token.kind == "SEP":
            pause = pause or token
            continue
        if token.kind == "COUNT" or before == "COUNTED":
            pause = pause or Token("SEP", "", token.column)
        if pause is not None and before not in _NO_PAUSE_AFTER and token.kind not in _NO_PAUSE_BEFORE:
            yield Token("SEP", "", pause.column)
        pause = None
        before = token.kind
        yield token
