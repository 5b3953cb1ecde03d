"""Tell the lines that are no instructions: headings, notes, and what an abbreviation stands for.

A line is an instruction if a label of rounds stands before it, if it names a stitch or anything else that
is worked, or if it ends in a count. Any other line is a heading, whatever words and figures it has.
So no instruction is passed over in silence: what names a stitch is read, or said not to be understood.
Only two kinds of line name stitches and are passed over all the same. What stands behind ``Gauge:``,
``Materials:`` or ``Notes:`` is a note, unless it says what a chain counts as; and a line that gives the full
name of an abbreviation tells nothing that the reader does not know.
"""

import re

from service.notation.faults import NotUnderstood
from service.notation.labels import find_label
from service.notation.lexer import tokens_of
from service.notation.lexicon import (
    ARTICLES,
    HEADING_WORDS,
    NOTE_WORDS,
    PARTICLE,
    lexicon_for,
    read_stitch_word,
)
from service.notation.reader import read_line
from service.notation.terms import TERMS, TermsId
from service.notation.tokens import Token
from service.notation.tree import ChainNote, Line

__all__ = ["bears_on_counts", "ends_in_count", "is_heading", "opens_notes"]

_RULE = re.compile(r"[-=_*\s]{3,}")
_HEADING = re.compile(r"([^\W\d_][^\d\[\](){}*.,;:]{0,80}):?")
_WORD = re.compile(r"[^\W_]+(?:['’]t)?")
_MARKER = re.compile(r"stitch(?= markers?)", re.IGNORECASE)
_PLURAL = re.compile(r"\((?:e?s)\)")
_BRACKETED_NUMBER_AT_END = re.compile(r"[\[(]\s*\d+\s*[\])]\s*\.?$")
#: Words before a colon or a dash, and what stands behind it.
_EXPLAINED = re.compile(r"\s*([^:=–—]{1,40}?)\s*(?:[:=–—]|\s-\s)(.*)", re.DOTALL)
_CHAIN = re.compile(r"\bch(?:ain)?[-‐‑–]?\d|\d-?ch\b", re.IGNORECASE)
_NUMBER = re.compile(r"\d+|three|four|five")
#: Words that tell to go on, though they name no stitch: ``5 more rounds``, ``Do it again``.
_GOES_ON = re.compile(
    r"\b(?:again|same|times|more\s+(?:r(?:ou)?nds?|rows?)|\d+\s+(?:r(?:ou)?nds?|rows?)"
    r"|f(?:sc|h?dc)\s+\d+|\d+\s+f(?:sc|h?dc)"
    r"|(?:begin|start|continue|keep)\s+(?:to\s+)?(?:de|in)creas(?:e|ing))\b",
    re.IGNORECASE,
)
_MOST_NOTE_WORDS = 4
#: Kinds of words that tell something to do.
_WORK = frozenset(
    [
        *("STITCH", "ST", "CH", "INC", "DEC", "SHELL", "TOG", "POST", "LOOP", "RING", "MAGIC"),
        *("SKIP", "SKIPPED", "REP", "JOIN", "TURN", "WEAVE", "EVEN", "COUNTS"),
    ]
)
#: Words that tell something to do where a line begins with them.
_FIRST_WORK = frozenset(["work", "cont", "continue", "in", "with", "change", "fasten", "finish", "cut"])


def is_heading(text: str, terms_id: TermsId) -> bool:
    """Return whether a line is a heading, a note or blank: it tells nothing to do.

    Examples
    --------
    >>> lines = ("", "## Crown", "Joining round", "Edging:", "Body (rounds 6 to 20)", "Gauge: 16 sc = 10 cm")
    >>> [is_heading(line, "us") for line in lines]
    [True, True, True, True, True, True]
    >>> lines = ("Sc around", "Turn", "Join.", "Rnd 3:", "Work in pattern", "Note: ch 3 counts as dc.")
    >>> [is_heading(line, "us") for line in lines]
    [False, False, False, False, False, False]
    """
    line = text.strip()
    if not line or line.startswith("#") or _RULE.fullmatch(line):
        return True
    goes_on = _GOES_ON.search(line) is not None
    if not goes_on and _is_title(line, terms_id):
        return True
    if find_label(line, terms_id).words:
        return False
    if ends_in_count(line):
        return False
    return (
        not (goes_on or _tells_work(line, terms_id))
        or _is_note(line, terms_id)
        or _is_abbreviation(line, terms_id)
    )


def ends_in_count(text: str) -> bool:
    """Return whether a line ends in a number in brackets, as the count of a round does.

    Examples
    --------
    >>> ends_in_count("Bobbles all over. (24)"), ends_in_count("Body (rounds 6 to 20)")
    (True, False)
    """
    return _BRACKETED_NUMBER_AT_END.search(text.rstrip()) is not None


def opens_notes(text: str) -> bool:
    """Return whether a heading stands above notes, which tell nothing to do.

    Examples
    --------
    >>> opens_notes("## Materials"), opens_notes("Special stitches:"), opens_notes("Crown")
    (True, True, False)
    """
    words = [word.lower() for word in _WORD.findall(text)]
    return 0 < len(words) <= _MOST_NOTE_WORDS and any(word in NOTE_WORDS for word in words)


def bears_on_counts(text: str, terms_id: TermsId) -> bool:
    """Return whether a note that is not understood says what a chain counts as, or what a change is.

    Examples
    --------
    >>> notes = ("Ch 3 never counts", "Inc: 3 sc in a st", "Counts in brackets")
    >>> [bears_on_counts(each, "us") for each in notes]
    [True, True, False]
    """
    words = [word.lower() for word in _WORD.findall(text)]
    known = lexicon_for(terms_id).words
    kinds = {known[word].kind for word in words if word in known}
    if "COUNTS" in kinds and (kinds & {"CH", "TCH"} or _CHAIN.search(text)):
        return True
    parts = _EXPLAINED.match(text)
    first = known.get(words[0]) if words else None
    is_change = parts is not None and first is not None and first.kind in ("INC", "DEC")
    return is_change and any(number != "2" for number in _NUMBER.findall(text))


def _is_title(line: str, terms_id: TermsId) -> bool:
    """Return whether a line is made of words of headings and of words that mean nothing in a round."""
    words = _HEADING.fullmatch(line)
    if words is None or not line[0].isupper():
        return False
    known = lexicon_for(terms_id).words
    names = [word.lower() for word in words[1].split()]
    return all(
        name in HEADING_WORDS
        or name in ARTICLES
        or name == PARTICLE
        or name not in known
        or known[name].kind == "SEP"
        for name in names
    ) and not any(read_stitch_word(lexicon_for(terms_id), name) for name in names)


def _tells_work(line: str, terms_id: TermsId) -> bool:
    words = [word.lower().replace("’", "'") for word in _WORD.findall(_MARKER.sub("", line))]
    if not words:
        return False
    return words[0] in _FIRST_WORK or any(_names_work(word, each) for word in words for each in TERMS)


def _names_work(word: str, terms_id: TermsId) -> bool:
    lexicon = lexicon_for(terms_id)
    known = lexicon.words.get(word)
    if known is not None:
        return known.kind in _WORK
    begins = re.fullmatch(r"(?:\d+|r\d+)?(ch|[^\W\d_]*)\d*", word)
    bare = begins[1] if begins else ""
    return read_stitch_word(lexicon, word) is not None or (bare != word and _is_stitch_name(bare, terms_id))


def _is_stitch_name(word: str, terms_id: TermsId) -> bool:
    lexicon = lexicon_for(terms_id)
    known = lexicon.words.get(word)
    return (known is not None and known.kind in _WORK) or read_stitch_word(lexicon, word) is not None


def _is_note(line: str, terms_id: TermsId) -> bool:
    """Return whether a line is a note, as ``Gauge: 16 sc = 10 cm``, that says of no chain what it counts as.

    Such a sentence is read, and bears on the counts.
    """
    parts = _EXPLAINED.match(line)
    if parts is None or not opens_notes(parts[1]):
        return False
    said = read_line(parts[2].strip(), terms_id)
    if isinstance(said, Line) and any(isinstance(piece, ChainNote) for piece in said.pieces):
        return False
    known = lexicon_for(terms_id).words
    kinds = [known[word].kind for word in map(str.lower, _WORD.findall(parts[2])) if word in known]
    return "COUNTS" not in kinds


def _is_abbreviation(line: str, terms_id: TermsId) -> bool:
    """Return whether a line gives the name of an abbreviation, and it is the right one."""
    parts = _EXPLAINED.fullmatch(_PLURAL.sub("", line))
    if parts is None:
        return False
    short, long = (_words(part, terms_id) for part in (parts[1], parts[2].rstrip(" .,;")))
    if len(short) != 1:
        return False
    if len(long) != 1 or long[0].type != short[0].type:
        return False
    return short[0].type not in ("STITCH", "POST", "LOOP") or long[0].value == short[0].value


def _words(text: str, terms_id: TermsId) -> list[Token]:
    try:
        return tokens_of(text, lexicon_for(terms_id))
    except NotUnderstood:
        return []
