"""The words a reader knows, as data: each word or phrase of a pattern and what kind of word it is.

The grammar is made of kinds (``NEXT``, ``STITCH``, ``SKIP``), never of words,
so that another language needs another lexicon and no other grammar.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from itertools import product
from types import MappingProxyType

from service.notation.terms import TERMS, Terms, TermsId

__all__ = [
    "ARTICLES",
    "HEADING_WORDS",
    "NOTE_WORDS",
    "PARTICLE",
    "SPECIAL_STITCHES",
    "Lexicon",
    "Word",
    "lexicon_for",
    "read_stitch_word",
]


@dataclass(frozen=True, slots=True)
class Word:
    """A word's kind, and what it stands for where the kind alone does not say."""

    kind: str
    value: str


#: Words without which a sentence says the same.
ARTICLES = frozenset(["the", "a", "an", "these", "those", "your", "does", "do", "is", "are", "here"])

#: Left out like an article, except where it makes a phrase: "in front of" is no "in front loop".
PARTICLE = "of"

_NOTES = """
abbreviations circumference finished gauge hook hooks materials measurements note notes notions skill
size sizes sizing special tension tools yarn yarns
"""
#: Words of headings above notes and before them: materials, sizes, tension.
NOTE_WORDS = frozenset(_NOTES.split())

_HEADINGS = """
abbreviations beanie body border brim close closing cowl crown cuff decrease decreases ear edge edging
finishing foundation gauge hat headband hem increase increases instructions joining materials notes pattern
round rounds section shaping slouch special start stitches tension top
"""
#: Words of headings: a line made of these alone is no instruction.
HEADING_WORDS = frozenset(_HEADINGS.split())

_NUMBERS = "one two three four five six seven eight nine ten eleven twelve"

_WORDS = {
    "ROUND": "rnd rnds round rounds row rows",
    "NEXT": "next nxt following foll",
    "EACH": "each every ea all",
    "IN": "in into on",
    "AROUND": "around across",
    "OVER": "over",
    "TO": "to",
    "END": "end",
    "LAST": "last",
    "FIRST": "first",
    "SAME": "same",
    "AS": "as",
    "ST": "st sts stitch stitches",
    "CH": "ch chs chain chains",
    "SPACE": "sp sps space spaces lp lps loop loops",
    "RING": "ring circle",
    "SKIP": "sk skip miss",
    "SKIPPED": "skipped missed unworked",
    "REP": "rep repeat",
    "FROM": "from",
    "TIMES": "times time",
    "MORE": "more",
    "UNTIL": "until till",
    "EVEN": "even",
    "REM": "rem remaining remain",
    "ALT": "alt alternate",
    "BET": "bet between",
    "TURN": "turn",
    "JOIN": "join joining",
    "WITH": "with using",
    "WITHOUT": "without",
    "THROUGH": "through",
    "TOG": "tog together",
    "INC": "inc increase",
    "DEC": "dec decrease invdec",
    "COUNTS": "counts count counting",
    "NOT": "not doesn't don't",
    "WORK": "work cont continue make",
    "WORKING": "working",
    "BEHIND": "behind",
    "MADE": "made worked",
    "FOUNDATION": "foundation",
    "BEG": "beg beginning starting turning",
    "TOP": "top",
    "TCH": "tch",
    "HOOK": "hook",
    "YARN": "yarn",
    "ANY": "any",
    "COLOUR": "mc cc colour color colours colors",
    "CHANGE": "change switch",
    "FACING": "facing",
    "PREV": "prev previous",
    "THROUGHOUT": "throughout",
    "EDGING": "edging border",
    "WEAVE": "weave thread draw run",
    "TAIL": "tail",
    "LEAVING": "leaving leave",
    "LONG": "long",
    "PIECE": "piece hat",
    "MEASURES": "measures",
    "APPROX": "approx approximately about",
    "LENGTH": "cm mm",
    "PAT": "pat patt pattern",
    "EST": "est established set",
    "YO": "yo yoh yrh",
    "REMARK": "secure close",
    "MARKER": "pm sm",
    "SEP": "and then",
}

_RINGS = ["", " it", " ring", " circle", " loop", " tail", " magic ring", " up"]
_CARE = [
    "being careful ",
    "taking care ",
    "careful ",
    "making sure ",
    "being sure ",
    "take care ",
    "be careful ",
]
_PHRASES = {
    "MAGIC": ["magic ring", "magic circle", "magic loop", "adjustable ring"],
    "FRONT_OF": ["in front of"],
    "BEHIND": ["in back of"],
    "JUST_MADE": ["just made", "just worked"],
    "IN_ALL": ["in all", "in total", "total"],
    "FASTEN_OFF": ["fasten off", "finish off", "cut yarn", "break yarn"],
    "FOLD": ["fold brim up by", "turn brim up by"],
    "TO_JOIN": [f"to {verb}{rnd}" for verb in ("join", "close") for rnd in ("", " rnd", " round")],
    "FORM_RING": ["to form ring", "to form circle", "to make ring", "forming ring"],
    "ALT": ["every other"],
    "AT_START": [
        f"at {start}{of}{each}{rnd}"
        for start, of, each, rnd in product(
            ["beg", "beginning", "start"],
            [" of", ""],
            ["", " each", " every", " all"],
            [" rnd", " round", " row", " rnds", " rounds", " rows"],
        )
    ],
    "AROUND": ["around post", "around posts", "all around", "all way around", "way around"],
    "DEC": [f"{before} {dec}" for before in ("inv", "inv .", "invisible") for dec in ("dec", "decrease")],
    "YARN": ["new yarn", "new ball", "new skein"],
    "COLOUR": ["new colour", "new color", "next colour", "next color", "second colour", "second color"],
    "TAIL": ["yarn tail", "yarn end", "tail for sewing", "end for sewing"],
    "MARKER": ["place marker", "place stitch marker", "slip marker", "move marker", "move marker up"],
    "REMARK": [
        "pull tight",
        "pull tail of magic ring tight",
        *(
            f"{pull}{what} {how}"
            for pull, what, how in product(["pull", "draw"], _RINGS, ["closed", "tight"])
        ),
        *(
            f"{pull} {ring}"
            for pull, ring in product(["tighten", "close", "pull to close"], ["ring", "loop"])
        ),
        *(f"{care}not to twist{ch}" for care, ch in product(_CARE, ["", " ch", " chain", " chains", " sts"])),
        "not twist",
        "not twist ch",
        "not twist chain",
        "secure it",
        "in spiral",
        *(f"in {how}{rounds}" for how in ("", "continuous ", "joined ") for rounds in ("rnds", "rounds")),
        "in rows",
        "draw up tightly",
        "pull tight to close",
        "pull to close",
        "secure end",
        "secure ends",
        "pull up tight",
        "pull tightly",
        "weave in ends",
        "weave in all ends",
        "without twisting",
    ],
}

_VALUED = {
    "MAGIC": {"mr": ""},
    "SHELL": {
        **dict.fromkeys(["sh", "shell", "shells"], "shell"),
        **dict.fromkeys(["v st", "v sts", "v stitch", "v stitches", "vst"], "v"),
        **dict.fromkeys(["fan", "fans"], "fan"),
    },
    "ORDINAL": {"second": "2", "third": "3", "fourth": "4", "fifth": "5"},
    "ST": {"st or sp": "", "st or space": "", "stitch or space": ""},
    "NUMBER": {word: str(number) for number, word in enumerate(_NUMBERS.split(), start=1)},
    "ONCE": {"once": "1", "twice": "2", "thrice": "3"},
    "SIDE": {"rs": "right", "ws": "wrong", "right side": "right", "wrong side": "wrong"},
    "LOOP": {
        **dict.fromkeys(["blo", "bl", "tbl"], "bl"),
        **dict.fromkeys(["flo", "fl"], "fl"),
        **{
            f"{before}{side} {loop}{after}": code
            for (side, code), before, loop, after in product(
                [("back", "bl"), ("front", "fl")],
                ["", "through "],
                ["loop", "loops", "lp", "lps"],
                ["", " only"],
            )
        },
        **{f"{word} only": word for word in ("bl", "fl")},
        **dict.fromkeys(["both loops", "through both loops", "both lps"], ""),
    },
    "POST": {"fp": "fp", "front post": "fp", "bp": "bp", "back post": "bp"},
}

#: Stitches that close to one stitch however they are made, and the extended ones: no row in the domain.
_SPECIAL = {
    "bo": ["bobble", "bobbles", "bobble st", "bobble sts", "bobble stitch"],
    "cl": ["cl", "cls", "cluster", "clusters"],
    "pc": ["pc", "popcorn", "popcorns", "popcorn st", "popcorn sts", "popcorn stitch"],
    "ps": ["ps", "puff", "puffs", "puff st", "puff sts", "puff stitch"],
}

#: Stitches that a text may explain: how many stitches of the round before they take differs.
SPECIAL_STITCHES = frozenset(_SPECIAL)

_EXTENDED = {
    "us": {"esc": ["esc"], "ehdc": ["ehdc"], "edc": ["edc"], "etr": ["etr"], "trtr": ["trtr"]},
    "uk": {"esc": ["edc"], "ehdc": ["ehtr"], "edc": ["etr"], "etr": ["edtr"], "trtr": ["quadtr", "qtr"]},
}

#: Other ways to spell a stitch, beside the abbreviation and the name the writer uses.
_ALSO: Mapping[str, Mapping[str, list[str]]] = {
    "us": {
        "sl_st": ["sl st", "slst", "ss", "slip st"],
        "rev_sc": ["rev sc", "reverse sc", "crab st", "crab stitch"],
        "tr": ["treble", "triple crochet"],
        "dtr": ["double treble"],
        "hdc": ["half double"],
    },
    "uk": {
        "sl_st": ["sl st", "slst", "ss", "slip st"],
        "rev_sc": ["rev dc", "reverse dc", "crab st", "crab stitch"],
        "hdc": ["half treble crochet"],
        "dc": ["treble crochet"],
        "tr": ["double treble crochet"],
        "dtr": ["triple treble crochet", "treble treble"],
        "fpdc": ["rtrf"],
        "bpdc": ["rtrb"],
        "fphdc": ["rhtrf"],
        "bphdc": ["rhtrb"],
        "fptr": ["rdtrf"],
        "bptr": ["rdtrb"],
    },
}

_MANNERS = {"": "", "fp": "fp", "bp": "bp", "blo": "bl", "flo": "fl", "bl": "bl", "fl": "fl"}


@dataclass(frozen=True, slots=True)
class Lexicon:
    """The words and phrases of one set of terms.

    ``phrases`` holds, by first word, the other words of each phrase, longest first.
    ``stitch_word`` takes words such as ``fpdc2tog`` apart.
    """

    words: Mapping[str, Word]
    phrases: Mapping[str, tuple[tuple[tuple[str, ...], Word], ...]]
    stitch_word: re.Pattern[str]
    bases: Mapping[str, str]


@cache
def lexicon_for(terms_id: TermsId) -> Lexicon:
    """Return the lexicon of a set of terms.

    Examples
    --------
    >>> lexicon_for("us").words["miss"], lexicon_for("uk").words["tr"]
    (Word(kind='SKIP', value='miss'), Word(kind='STITCH', value='dc'))
    """
    terms = TERMS[terms_id]
    bases = {name.abbreviation: code for code, name in terms.bases.items()}
    entries = {**_common_entries(), **_stitch_entries(terms)}
    longest_first = "|".join(sorted(bases, key=len, reverse=True))
    pattern = re.compile(
        rf"(?P<manner>fp|bp|flo|blo|fl|bl)?(?P<base>{longest_first})(?P<legs>[2-8]tog)?(?P<loop>flo|blo)?"
    )
    return Lexicon(
        words=MappingProxyType({text: word for text, word in entries.items() if " " not in text}),
        phrases=_phrases_by_first_word(entries),
        stitch_word=pattern,
        bases=MappingProxyType(bases),
    )


def read_stitch_word(lexicon: Lexicon, word: str) -> str | None:
    """Return the code of a stitch written as one word, or nothing.

    Examples
    --------
    >>> read_stitch_word(lexicon_for("uk"), "fptr2tog"), read_stitch_word(lexicon_for("us"), "scblo")
    ('fpdc2tog', 'blsc')
    >>> read_stitch_word(lexicon_for("uk"), "sc")
    """
    match = lexicon.stitch_word.fullmatch(word)
    if match is None or (match["manner"] and match["loop"]):
        return None
    manner = _MANNERS[match["manner"] or match["loop"] or ""]
    return manner + lexicon.bases[match["base"]] + (match["legs"] or "")


def _common_entries() -> dict[str, Word]:
    entries = {text: Word(kind, text) for kind, texts in _WORDS.items() for text in texts.split()}
    entries |= {text: Word(kind, text) for kind, texts in _PHRASES.items() for text in texts}
    entries |= {text: Word(kind, code) for kind, codes in _VALUED.items() for text, code in codes.items()}
    entries |= {text: Word("STITCH", code) for code, texts in _SPECIAL.items() for text in texts}
    return entries


def _stitch_entries(terms: Terms) -> dict[str, Word]:
    codes = [manner + base for manner in ("", *terms.manners) for base in terms.bases]
    spelled = {terms.name(code).lower(): code for code in [*codes, "sl_st", "rev_sc"]}
    spelled |= {f"{terms.name(base).lower()}s": base for base in terms.bases}
    spelled |= {terms.abbreviation(code).lower(): code for code in codes if not code.startswith(("bl", "fl"))}
    for also in (_ALSO[terms.terms_id], _EXTENDED[terms.terms_id]):
        spelled |= {text: code for code, texts in also.items() for text in texts}
    return {text: Word("STITCH", code) for text, code in spelled.items()}


def _phrases_by_first_word(
    entries: Mapping[str, Word],
) -> Mapping[str, tuple[tuple[tuple[str, ...], Word], ...]]:
    grouped: dict[str, list[tuple[tuple[str, ...], Word]]] = {}
    for text, word in entries.items():
        first, *rest = text.split()
        if rest:
            grouped.setdefault(first, []).append((tuple(rest), word))
    return MappingProxyType(
        {first: tuple(sorted(found, key=lambda each: -len(each[0]))) for first, found in grouped.items()}
    )
