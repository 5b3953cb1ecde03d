"""Settle which numbers of a line belong together: the sizes of one number, and the count of the round.

A bracket with numbers is the other sizes of the number before it, the round's count, or a group of stitches.
What stands around it tells.
"""

import re

from service.notation.tokens import Token, stands_at

__all__ = ["with_counts", "with_sizes"]

_SENTENCE_ENDS = frozenset(["SEP", "JOIN", "TURN", "FASTEN_OFF", "DASH", "NOT"])
_NEVER_SIZED = frozenset(["ROUND", "AND", "TO"])
#: A number behind one of these, alone at the end, is the round's count.
_TELLING = frozenset(["SEP", "DASH", "EQUALS", "COLON"])
_UNITS = frozenset(["ST", "STITCH", "SPACE", "CH"])
#: Words that may stand behind the units of a count and tell nothing.
_OF_NO_MEANING = frozenset(["IN_ALL", "REM", "MADE"])
_IN_COUNT = frozenset(["NUMBER", "SEP", "LOOP_NAME", *_UNITS, *_OF_NO_MEANING])

_LETTERS = {
    "SEP": ",",
    "DASH": "-",
    "EQUALS": "=",
    "COLON": ":",
    "ST": "t",
    "STITCH": "s",
    "CH": "c",
    "SPACE": "p",
    "LOOP_NAME": "l",
    "IN_ALL": "o",
    "REM": "o",
    "MADE": "o",
}
#: The kinds of the last words of a line, a letter each: n a number, N a number for several sizes.
_KINDS_OF_BARE_COUNT = re.compile(
    r"(?:(?P<mark>[.=-])(?P<counted>[nN](?:[stcp]|cp|lp|l[nN]p)?o?)"
    r"|(?P<colon>:)(?P<stitches>[nN]t?o?)"
    r"|(?P<spaced>[.=-])(?P<parts>[nN][st]?,[nN](?:p|cp|lp|l[nN]p))"
    r"|(?P<pause>,)(?P<sized>[nN]to?|N))$"
)
_LONGEST_COUNT = 12


def with_sizes(tokens: list[Token]) -> list[Token]:
    """Return the tokens with each number and the other sizes in brackets behind it as one number."""
    begins = [
        index
        for index in range(len(tokens) - 1)
        if tokens[index].type == "OPEN" and tokens[index + 1].type == "NUMBER"
    ]
    for begin in begins[::-1]:
        if _is_apart_from_chain(tokens, begin):
            del tokens[begin - 1]
            begin -= 1
        end = _end_of_sizes(tokens, begin, is_last=begin == begins[-1])
        if end is not None:
            numbers = [token for token in tokens[begin - 1 : end] if token.type == "NUMBER"]
            text = " ".join(f"{token.value}@{token.column}" for token in numbers)
            tokens[begin - 1 : end] = [Token("NUMBER", text, numbers[0].column)]
    return tokens


def _is_apart_from_chain(tokens: list[Token], begin: int) -> bool:
    """Return whether a pause stands before the other sizes of a foundation: ``Ch 60, (66, 72)``."""
    kinds = [token.type for token in tokens[: begin + 4]]
    return begin == 3 and kinds == ["CH", "NUMBER", "SEP", "OPEN", "NUMBER", "SEP", "NUMBER"]


def _end_of_sizes(tokens: list[Token], begin: int, *, is_last: bool) -> int | None:
    """Return where the bracket ends that holds the other sizes of the number before it, if it does.

    ``64 (72, 80)`` is a number for three sizes. Where a bracket stands at the end of a sentence
    it may be the round's count instead: it is so behind the number of a round, and behind
    ``x 6`` or ``sc 6`` unless another count follows. A number that stands alone is the count of
    the first size.
    """
    before = tokens[begin - 2].type if begin > 1 else ""
    if begin == 0 or tokens[begin - 1].type != "NUMBER" or before in _NEVER_SIZED:
        return None
    end = begin + 1
    while end < len(tokens) and tokens[end].type in ("NUMBER", "SEP"):
        end += 1
    if tokens[begin].value == "{" or not stands_at(tokens, end, "CLOSE") or tokens[end - 1].type != "NUMBER":
        return None
    if tokens[begin].value == "[" and end == begin + 2:
        return None
    if before in _TELLING or (end + 1 < len(tokens) and tokens[end + 1].type not in _SENTENCE_ENDS):
        return end + 1
    if before in ("CH", "SKIP"):
        is_same = before == "CH" and tokens[begin - 1].value == tokens[begin + 1].value
        is_its_own_count = is_same and end == begin + 2
        return None if is_its_own_count else end + 1
    return None if is_last else end + 1


def with_counts(tokens: list[Token]) -> list[Token]:
    """Return the tokens with the round's count between ``COUNT`` and ``COUNTED``.

    A bracket holds a count when it begins with a number, names nothing but stitches and spaces,
    and is followed by a pause or by nothing. A number at the very end, alone or of stitches, is a count
    behind a dash or a full stop, and so is a number of ``sts`` wherever it begins a sentence.
    """
    for begin in [index for index, token in enumerate(tokens) if token.type == "OPEN"]:
        end = _end_of_bracketed_count(tokens, begin)
        if end is not None:
            tokens[begin] = Token("COUNT", "", tokens[begin].column)
            tokens[end] = Token("COUNTED", "", tokens[end].column)
            _drop(tokens, begin, end)
    return _with_bare_count(tokens)


def _drop(tokens: list[Token], begin: int, end: int) -> None:
    """Make pauses of the words of a count that tell nothing."""
    for index in range(begin, end):
        if tokens[index].type in _OF_NO_MEANING:
            tokens[index] = Token("SEP", "", tokens[index].column)


def _end_of_bracketed_count(tokens: list[Token], index: int) -> int | None:
    if tokens[index].type != "OPEN" or not stands_at(tokens, index + 1, "NUMBER"):
        return None
    end = index + 2
    while end < len(tokens) and tokens[end].type in _IN_COUNT:
        end += 1
    if not stands_at(tokens, end, "CLOSE"):
        return None
    after = tokens[end + 1].type if end + 1 < len(tokens) else "SEP"
    return end if after in _SENTENCE_ENDS else None


def _with_bare_count(tokens: list[Token]) -> list[Token]:
    end = len(tokens)
    while end and tokens[end - 1].type == "SEP":
        end -= 1
    letters = "".join(map(_letter, tokens[max(0, end - _LONGEST_COUNT) : end]))
    found = _KINDS_OF_BARE_COUNT.search(letters)
    if found is None:
        return tokens
    mark = end - len(letters) + found.start()
    if mark < 1 or tokens[0].type == "SHELL" or _is_range(tokens, mark):
        return tokens
    column = tokens[mark + 1].column
    counted = [Token("COUNT", "", column), *tokens[mark + 1 : end], Token("COUNTED", "", column)]
    _drop(counted, 0, len(counted))
    return [*tokens[:mark], *counted, *tokens[end:]]


def _letter(token: Token) -> str:
    if token.type == "NUMBER":
        return "N" if "@" in token.value else "n"
    return "." if token.value == "." else _LETTERS.get(token.type, "x")


def _is_range(tokens: list[Token], index: int) -> bool:
    """Return whether a dash stands close between two numbers, as in ``5-7 sts``."""
    dash, before, after = tokens[index], tokens[index - 1], tokens[index + 1]
    return (
        dash.type == "DASH"
        and before.type == "NUMBER"
        and before.column + len(before.value) == dash.column
        and after.column == dash.column + 1
    )
