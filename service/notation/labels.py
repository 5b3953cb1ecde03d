"""Find the label of a line: the words before its instruction that say which round it is.

Makers write ``Rnd 3:``, ``Rnds 4–7 (4 rnds):``, ``R6.``, ``Round 6 -``, ``6th rnd:``,
``Next rnd:``, ``Edging:``.
A number ends a label even where no mark follows it. Without a number, only a colon does.
"""

import re
from collections.abc import Sequence
from typing import NamedTuple

from service.notation.lexicon import HEADING_WORDS, NOTE_WORDS, Lexicon, lexicon_for
from service.notation.terms import TermsId

__all__ = ["LabelEnd", "find_label", "skip_aside"]

_ITEM = re.compile(
    r"\s*(?:(?P<r>r(?=\d))|(?P<ordinal>\d{1,5}(?:st|nd|rd|th)\b)|(?P<number>\d+)|(?P<word>[^\W\d_]+)"
    r"|(?P<mark>\S))",
    re.IGNORECASE,
)
#: A label is no longer than this, in characters and in words.
_LONGEST = 120
_MOST_WORDS = 24
_LISTS = frozenset(["-", "–", "—", "−", ",", "&"])
_DASHES = frozenset(["-", "–", "—", "−"])
_ENDS = frozenset([":", ".", ")", "-", "–", "—", "−"])
#: What kind of round it is, where it has no number.
_NAMED = frozenset(["LAST", "INC", "DEC", "JOIN", "FIRST", "EDGING", "FOUNDATION"])
_FIRST = _NAMED | {"ROUND", "NEXT", "ordinal"}
#: The label that most texts have, found without a look at each of its words.
_USUAL = re.compile(r"R(?:nd|nds|ound|ounds|ow|ows) \d+(?:[-–]\d+)?:")
_ASIDE_WORDS = frozenset(["before", "after", "to", "finish", "for"])
_LONGEST_ASIDE = 5


class LabelEnd(NamedTuple):
    """Where the words of a label end, and where the instruction behind it begins; 0 where there is none."""

    words: int
    mark: int


class _Item(NamedTuple):
    kind: str
    text: str
    begin: int
    end: int


_NO_LABEL = LabelEnd(0, 0)


def skip_aside(text: str, terms_id: TermsId) -> int:
    """Return where the instruction begins behind words such as ``Before the edging:``; 0 without them.

    Examples
    --------
    >>> skip_aside("Before the edging: Fasten off.", "us"), skip_aside("Sc: 3", "us")
    (18, 0)
    """
    lexicon = lexicon_for(terms_id)
    if ":" not in text[:_LONGEST]:
        return 0
    items = _items(text, lexicon, most=_LONGEST_ASIDE + 1)
    words = [item.text for item in items]
    if ":" not in words[1:] or items[0].kind in _NAMED | {"NEXT", "SHELL", "ROUND"}:
        return 0
    end = words.index(":", 1)
    known = HEADING_WORDS | NOTE_WORDS | _ASIDE_WORDS
    return items[end].end if all(item.text in known or item.kind == "ARTICLE" for item in items[:end]) else 0


def find_label(text: str, terms_id: TermsId) -> LabelEnd:
    """Return where the label of a line ends.

    Examples
    --------
    >>> [find_label(text, "us") for text in ("Rnd. 6: Sc", "Round 6 - 12 sc", "Rnds 6-12 (7 rnds). Sc")]
    [LabelEnd(words=6, mark=7), LabelEnd(words=7, mark=9), LabelEnd(words=18, mark=19)]
    >>> [find_label(text, "us") for text in ("6th rnd: Sc", "Next: Sc", "Rep Rnd 6: Sc")]
    [LabelEnd(words=7, mark=8), LabelEnd(words=4, mark=5), LabelEnd(words=0, mark=0)]
    """
    usual = _USUAL.match(text)
    if usual is not None:
        return LabelEnd(usual.end() - 1, usual.end())
    lexicon = lexicon_for(terms_id)
    first = _items(text[:_LONGEST], lexicon, most=1)
    if not first or first[0].kind not in _FIRST:
        return _NO_LABEL
    items = _items(text[:_LONGEST], lexicon)
    ends = _ends_of_numbers(items)
    if not ends:
        return _named_label(items)
    if items[0].text.endswith("s") or _is_close_range(items):
        ends = ends[-1:]
    for end in reversed(ends):
        noted = _end_of_notes(items, end)
        if noted == len(items) or items[noted].text in _ENDS:
            return _with_mark(items, noted)
    return _with_mark(items, _end_of_notes(items, ends[0]))


def _items(text: str, lexicon: Lexicon, most: int = _MOST_WORDS) -> list[_Item]:
    found = []
    for match in _ITEM.finditer(text):
        kind, word = match.lastgroup or "", match[0].strip().lower()
        if kind == "r":
            kind = "ROUND"
        elif kind == "word":
            known = lexicon.words.get(word)
            kind = known.kind if known else "ARTICLE" if word in ("the", "a", "of") else "unknown"
        found.append(_Item(kind, word, match.end() - len(word), match.end()))
        if len(found) == most:
            break
    return found


def _ends_of_numbers(items: Sequence[_Item]) -> list[int]:
    """Return behind which words a list of the numbers of rounds may end, shortest list first."""
    if items[0].kind == "ordinal":
        return [2] if len(items) > 1 and items[1].kind == "ROUND" else []
    if items[0].kind != "ROUND":
        return []
    at = 2 if _is(items, 1, ".") else 1
    ends = []
    while at < len(items) and items[at].kind in ("number", "NUMBER"):
        at += 1
        ends.append(at)
        if at < len(items) and (items[at].text in _LISTS or items[at].kind in ("TO", "SEP", "THROUGH")):
            at += 1 if items[at].text != "," or not _is(items, at + 1, "and") else 2
    return ends


def _is(items: Sequence[_Item], index: int, text: str) -> bool:
    return index < len(items) and items[index].text == text


def _is_close_range(items: Sequence[_Item]) -> bool:
    """Return whether the first numbers are a range without blanks, as in ``Rnd 4-7``."""
    for before, dash, after in zip(items, items[1:], items[2:], strict=False):
        if dash.text in _DASHES:
            return before.end == dash.begin and dash.end == after.begin and after.kind == "number"
    return False


def _end_of_notes(items: Sequence[_Item], at: int) -> int:
    """Return behind which word the brackets of a label end: its side, or how many rounds it is."""
    while at + 1 < len(items) and items[at].text in ("(", "["):
        is_note = items[at + 1].kind == "SIDE" or (at + 2 < len(items) and items[at + 2].kind == "ROUND")
        if items[at + 1].text in ("right", "wrong"):
            is_note = True
        end = next((index for index in range(at, len(items)) if items[index].text in (")", "]")), None)
        if not is_note or end is None:
            break
        at = end + 1
    return at


def _with_mark(items: Sequence[_Item], at: int) -> LabelEnd:
    words = items[at - 1].end
    return LabelEnd(words, items[at].end if at < len(items) and items[at].text in _ENDS else words)


def _named_label(items: Sequence[_Item]) -> LabelEnd:
    """Return the end of a label without a number: it needs a colon."""
    at = 0
    if items[0].kind == "NEXT":
        at = 1
        if at + 1 < len(items) and items[1].kind in ("number", "NUMBER") and items[2].kind == "ROUND":
            at = 3
        elif at < len(items) and items[1].kind == "ROUND":
            at = 2
    elif items[0].kind in ("EDGING", "FOUNDATION"):
        at = 2 if len(items) > 1 and items[1].kind in ("CH", "ROUND") else 1
    elif items[0].kind in _NAMED and len(items) > 1 and items[1].kind == "ROUND":
        at = 2
    at = _end_of_notes(items, at) if at else 0
    return _with_mark(items, at) if at and _is(items, at, ":") else _NO_LABEL
