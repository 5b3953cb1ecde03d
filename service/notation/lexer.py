"""Cut a line into the words of the grammar: kinds, each with its text and its column.

Three things are settled here, because a grammar with one word of foresight cannot:
which bracket holds the round's count, which holds the other sizes of a number,
and which runs of commas, semicolons and full stops are one pause.
"""

import re

from service.notation.faults import NotUnderstood
from service.notation.lexicon import ARTICLES, PARTICLE, Lexicon, Word, lexicon_for, read_stitch_word
from service.notation.number_brackets import with_counts, with_sizes
from service.notation.terms import TERMS
from service.notation.tokens import Token, stands_at
from service.notation.word_runs import settled_runs

__all__ = ["DEEPEST_GROUP", "Token", "tokens_of"]

DEEPEST_GROUP = 8
#: Digits of a number: more than five is no hat.
_MOST_DIGITS = 5

_SCAN = re.compile(
    r"(?P<loop>ch(?:ain)?[-‐‑–](?=\d))"
    r"|(?P<times>[x×](?![^\W\d_]))"
    r"|(?P<round>r(?=\d))"
    r"|(?P<chains>ch(?=\d))"
    r"|(?P<chained>(?<!\w)[0-9]+[-‐‑]ch(?:ain)?(?![^\W\d_]))"
    r"|(?P<legged>[2-8][^\W\d_]{2,8}tog(?![^\W_]))"
    r"|(?P<with>w/)"
    r"|(?P<decimal>[0-9]+\.[0-9]+|[0-9]*[⅛¼⅜½⅝¾⅞])"
    r"|(?P<word>[^\W\d_][^\W_]*(?:['’]t)?)"
    r"|(?P<ordinal>[0-9]+(?:st|nd|rd|th)\b)"
    r"|(?P<number>[0-9]+)"
    r"|(?P<joint>(?<=[^\W\d_])[-‐‑](?=[^\W\d_])|(?<=\d)[-‐‑](?=(?:sp|lp|ch)))"
    r"|(?P<mark>[\[\](){},;.:=+&–—−-])"
    r"|(?P<star>\*+(?:['’]?s(?![^\W_]))?|†)"
    r"|(?P<other>[^\s\"“”‘’'])",
    re.IGNORECASE,
)
#: Kinds that a scanned word has whatever it says.
_SCANNED = {
    "loop": "LOOP_NAME",
    "times": "X",
    "round": "ROUND",
    "chains": "CH",
    "star": "STAR",
    "with": "WITH",
}
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
    "&": "SEP",
    ":": "COLON",
    "=": "EQUALS",
    "–": "DASH",
    "—": "DASH",
    "−": "DASH",
    "-": "DASH",
}
_CLOSERS = {"[": "]", "(": ")", "{": "}"}
_PAUSES = frozenset(["DASH", "EQUALS", "COLON"])
#: A mark behind nothing but one of these explains it, as ``sc: single crochet``.
_EXPLAINED = frozenset(["STITCH", "CH", "ST", "SPACE", "INC", "DEC", "POST", "TOG", "OPEN", "CLOSE"])
_LABELS = frozenset(["ROUND", "NEXT", "FIRST", "ORDINAL", "EDGING", "FOUNDATION", "SHELL"])
_NO_PAUSE_AFTER = frozenset(["SEP", "COLON", "OPEN", "STAR"])
_NO_PAUSE_BEFORE = frozenset(["CLOSE", "COUNTED", "THROUGHOUT"])


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
    found = _joined_phrases(_without_what_until(_scanned(line), lexicon), lexicon)
    _refuse_bad_brackets(found)
    settled = with_counts(with_sizes(settled_runs(found)))
    return _paused(settled)


def _scanned(line: str) -> list[Token]:
    """Return words, numbers and marks; words are not yet looked up, articles are left out."""
    found: list[Token] = []
    for match in _SCAN.finditer(line):
        kind, text, column = match.lastgroup, match[0], match.start() + 1
        if kind == "word":
            word = text.lower().replace("’", "'")
            if word not in ARTICLES:
                found.append(Token("word", word, column, legs_column=_legs_column(word, column)))
        elif kind == "mark":
            found.append(Token(_MARKS[text], text, column))
        elif kind in ("number", "decimal", "ordinal"):
            found.append(_number(kind, text.lower(), column))
        elif kind == "legged":
            word = f"{text[1:-3]}{text[0]}tog".lower()
            found.append(Token("word", word, column, legs_column=column))
        elif kind == "chained":
            found += [Token("LOOP_NAME", text.lower(), column), _number(kind, _digits(text), column)]
        elif kind in _SCANNED:
            found.append(Token(_SCANNED[kind], text.lower(), column))
        elif kind == "other":
            raise _unknown(text, column)
    return found


def _without_what_until(scanned: list[Token], lexicon: Lexicon) -> list[Token]:
    """Return the words without those that tell until when something is done, except how many stitches rem.

    Whatever they are, they leave the count open, which the reader says: so they need not be known.
    """
    found: list[Token] = []
    skipping = False
    for index, token in enumerate(scanned):
        skipping = skipping and token.value != "." and token.type not in ("OPEN", "EQUALS")
        if skipping:
            continue
        if _kind(token, lexicon) == "UNTIL":
            told = _kind(scanned[index + 1], lexicon) if index + 1 < len(scanned) else ""
            if told in ("END", "LAST"):
                token = Token("TO", "", token.column)
            skipping = told not in ("NUMBER", "END", "LAST")
        if skipping and found and _kind(found[-1], lexicon) not in ("SEP", "WORK"):
            found.append(Token("SEP", "", token.column))
        found.append(token)
    return found


def _kind(token: Token, lexicon: Lexicon) -> str:
    word = lexicon.words.get(token.value) if token.type == "word" else None
    return token.type if word is None else word.kind


def _number(kind: str, text: str, column: int) -> Token:
    if len(text) > _MOST_DIGITS:
        raise NotUnderstood(
            column=column, code="too_many_stitches", detail="This number is larger than any hat needs."
        )
    if kind == "ordinal":
        return Token("FIRST" if text == "1st" else "ORDINAL", text[:-2], column)
    return Token("DECIMAL" if kind == "decimal" else "NUMBER", text, column)


def _digits(text: str) -> str:
    """Return the number of a chain that is named by its length, as ``3-ch``."""
    return text.lower().rstrip("-‐‑chain")


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
                token = Token(word.kind, word.value, token.column, legs_column=token.legs_column)
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


def _legs_column(word: str, column: int) -> int:
    """Return where ``sc2tog`` says its legs, 0 for other words."""
    digit = word.find("tog") - 1
    return column + digit if digit > 0 and word[digit].isdigit() else 0


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


def _paused(tokens: list[Token]) -> list[Token]:
    """Return the tokens with one ``SEP`` between sentences, and round every count."""
    found: list[Token] = []
    pause = 0
    before = "SEP"
    for index, token in enumerate(tokens):
        kind = token.type
        if kind == "SEP" or (kind in _PAUSES and _is_pause(tokens, index)):
            pause = pause or token.column
            continue
        if kind == "COUNT" or before == "COUNTED" or (kind == "LEAVING" and before == "FASTEN_OFF"):
            pause = pause or token.column
        if pause and before not in _NO_PAUSE_AFTER and kind not in _NO_PAUSE_BEFORE:
            found.append(Token("SEP", "", pause))
        pause = 0
        before = kind
        found.append(token)
    return found


def _is_pause(tokens: list[Token], index: int) -> bool:
    """Return whether a dash or a colon only parts two sentences: it is no part of a range or a label."""
    if stands_at(tokens, index + 1, "COUNT"):
        return True
    if all(token.type in _EXPLAINED for token in tokens[:index]):
        return False
    if tokens[index].type == "DASH":
        return not (index and tokens[index - 1].type == "NUMBER" and stands_at(tokens, index + 1, "NUMBER"))
    return tokens[index].type == "COLON" and tokens[0].type not in _LABELS and index + 1 < len(tokens)
