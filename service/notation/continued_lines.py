"""Tell whether a line of a text goes on with the instruction above it, as on a narrow page."""

import re
from collections.abc import Sequence

from service.notation.labels import find_label
from service.notation.lexicon import ARTICLES, PARTICLE, lexicon_for, read_stitch_word
from service.notation.reader import read_line
from service.notation.terms import TermsId
from service.notation.tree import (
    ChainNote,
    Line,
    MakeChain,
    NoStartChain,
    Piece,
    Remark,
    SetFoundation,
    SetLoop,
)

__all__ = ["continues", "is_begun", "pause_between"]

_LAST_WORD = re.compile(r"([^\W\d_]+)$")
_FIRST_STITCH = re.compile(r"[^\W_]+")
_FIRST_WORD = re.compile(r"[^\w\s]*([^\W\d_]+)")
_ROUNDS_AGAIN = re.compile(r"\s*rep(?:eat)?\s+(?:r(?:ou)?nds?|rows?|last|prev)\b", re.IGNORECASE)
_OPEN_MARKS = tuple(",;:([{*+–—=&")
_CLOSED_MARKS = (".", "!")
_COUNT_ENDING_SENTENCE = re.compile(
    r"[\[({]\s*\d[^\[\](){}]*(?:\([^()]*\)[^()]*)?[\])}]\.?$|[–—=]\s*\d+\s*(?:sts?)?\.?$"
)
#: Kinds of words that no sentence ends on.
_OPEN_KINDS = frozenset(
    [
        *("IN", "NEXT", "EACH", "OVER", "TO", "LAST", "FIRST", "SAME", "AS", "REP", "FROM", "SKIP"),
        *("SEP", "BET", "BEHIND", "WORKING", "TOP", "BEG", "ANY", "NOT", "WORK", "WITH"),
    ]
)
#: Kinds of words that a sentence may end on, so that another may begin behind them.
_CLOSED_KINDS = frozenset(["AROUND", "END", "RING", "SPACE", "ST", "TIMES", "TURN"])
#: Words that begin a sentence of their own, however they are written.
_BEGINNINGS = frozenset(["break", "change", "cut", "fasten", "finish", "join", "turn", "weave"])
#: Kinds of words that no sentence begins with, where they are written small.
_GOING_ON = frozenset(
    [
        *("IN", "TO", "ST", "SPACE", "TIMES", "MORE", "FROM", "AROUND", "AS", "RING", "TOG", "REM"),
        *("NEXT", "EACH", "LAST", "FIRST", "SAME"),
    ]
)


def continues(text: str, *, above: str, terms_id: TermsId) -> bool:
    """Return whether a line goes on with the one above it.

    It does if that one is open: a bracket or a pause is not closed, or it ends on a word that wants another.
    A line written small goes on with a round that has no full stop and no count. A line with the label of a
    round never does. Convention: so a text without labels may have a round in each line, written small.

    Examples
    --------
    >>> continues("sc2tog] 6 times. (36)", above="Rnd 3: [Sc in next 5 sts,", terms_id="us")
    True
    >>> continues("sc in each st around", above="Rnd 3: Sc in each st around", terms_id="us")
    True
    >>> continues("sc in each st around", above="Sc in each st around", terms_id="us")
    False
    """
    if not text.strip() or find_label(text, terms_id).words or _ROUNDS_AGAIN.match(text):
        return False
    end = above.rstrip()
    if _is_open(end, terms_id):
        return True
    if end.endswith(_CLOSED_MARKS) or _COUNT_ENDING_SENTENCE.search(end):
        return is_begun(above, terms_id)
    first = _FIRST_WORD.match(text.lstrip())
    if first is None:
        return False
    known = lexicon_for(terms_id).words.get(first[1])
    if known is not None and known.kind in _GOING_ON:
        return True
    if first[1] in _BEGINNINGS:
        return False
    is_round = find_label(above, terms_id).words > 0
    return is_round and (first[1][0].islower() or is_begun(above, terms_id))


def pause_between(*, above: str, text: str, terms_id: TermsId) -> str:
    """Return what stands between a line and the one that goes on with it: a blank, or a pause left out.

    Examples
    --------
    >>> pause_between(above="Rnd 3: Sc in next 5 sts", text="ch 1, sk 1 st", terms_id="us")
    ', '
    >>> pause_between(above="Rnd 3: Sc in next", text="5 sts", terms_id="us")
    ' '
    """
    known = lexicon_for(terms_id).words
    last, first = _LAST_WORD.search(above.rstrip()), _FIRST_WORD.match(text.lstrip())
    if last is None or first is None or first[1] in ARTICLES or first[1] == PARTICLE:
        return " "
    end, begin = known.get(last[1].lower()), known.get(first[1].lower())
    if end is None or end.kind not in _CLOSED_KINDS:
        return " "
    if begin is not None:
        return " " if begin.kind in _GOING_ON else ", "
    stitch = _FIRST_STITCH.match(text.lstrip())
    begins = stitch is not None and read_stitch_word(lexicon_for(terms_id), stitch[0].lower()) is not None
    return ", " if begins else " "


def is_begun(above: str, terms_id: TermsId) -> bool:
    """Return whether a round is only begun: it has a label, and works nothing yet but its first chain.

    Examples
    --------
    >>> is_begun("Rnd 3: Ch 2 (does not count as a st).", "us"), is_begun("Rnd 3: Sc around.", "us")
    (True, False)
    """
    if not find_label(above, terms_id).words:
        return False
    line = read_line(above, terms_id)
    if not isinstance(line, Line) or line.label is None or line.label.kind == "foundation":
        return False
    return _works_nothing(line.pieces)


def _works_nothing(pieces: Sequence[Piece]) -> bool:
    return all(
        isinstance(piece, MakeChain | ChainNote | NoStartChain | SetLoop | SetFoundation | Remark)
        for piece in pieces
    )


def _is_open(end: str, terms_id: TermsId) -> bool:
    """Return whether a line that ends so wants more words."""
    opened = sum(end.count(mark) for mark in "[({") - sum(end.count(mark) for mark in "])}")
    if opened > 0 or end.endswith(_OPEN_MARKS):
        return True
    if find_label(end, terms_id).words == len(end) > 0:
        return True
    last = _LAST_WORD.search(end)
    if last is None:
        return False
    word = last[1].lower()
    known = lexicon_for(terms_id).words.get(word)
    return word in ARTICLES or word == PARTICLE or (known is not None and known.kind in _OPEN_KINDS)
