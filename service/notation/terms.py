"""The words of the written language, as data: stitch names, units and sentences in US and in UK terms.

Another language is another :class:`Terms`: its stitches, its words and its sentences.
US names count the loops before the first is pulled up, UK names after, so each UK name
stands one step higher than its US twin (craft-teaching handbooks).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Literal, get_args

from service.domain.stitches import PLAIN_CODES, read_stitch

__all__ = ["TERMS", "UK", "US", "StitchName", "Terms", "TermsId", "is_post"]

TermsId = Literal["us", "uk"]


@dataclass(frozen=True, slots=True)
class StitchName:
    """How a stitch is written in a round, and its full name."""

    abbreviation: str
    name: str


@dataclass(frozen=True, slots=True)
class Terms:
    """A vocabulary to write and read in.

    ``bases`` names the stitches from the short to the tall, by our code; ``others`` the stitches
    that have no post and no loop; ``manners`` how a stitch worked round a post or in one loop is
    called; ``words`` the rest of the trade's words that differ; ``sentences`` are templates.
    """

    terms_id: TermsId
    bases: Mapping[str, StitchName]
    others: Mapping[str, StitchName]
    manners: Mapping[str, StitchName]
    words: Mapping[str, str]
    sentences: Mapping[str, str]

    def abbreviation(self, code: str) -> str:
        """Return how a stitch code is written in a round.

        Examples
        --------
        >>> US.abbreviation("fpdc2tog"), UK.abbreviation("fpdc2tog"), UK.abbreviation("sl_st")
        ('FPdc2tog', 'FPtr2tog', 'ss')
        """
        return _name_stitch(self.terms_id, code).abbreviation

    def name(self, code: str) -> str:
        """Return the full name of a stitch code.

        Examples
        --------
        >>> US.name("fpdc2tog"), UK.name("fpdc")
        ('front post double crochet 2 stitches together', 'raised treble front')
        """
        return _name_stitch(self.terms_id, code).name

    def say(self, sentence: str, **values: object) -> str:
        """Return a sentence with its values put in.

        Examples
        --------
        >>> UK.say("skip", count=3, units="sts")
        'miss 3 sts'
        """
        return self.sentences[sentence].format_map(values)


@cache
def is_post(code: str) -> bool:
    """Return whether a stitch is worked around a post rather than into a stitch.

    Examples
    --------
    >>> is_post("fpdc"), is_post("sc"), is_post("rev_sc")
    (True, False, False)
    """
    return code.startswith(("fp", "bp"))


@cache
def _name_stitch(terms_id: TermsId, code: str) -> StitchName:
    terms = TERMS[terms_id]
    if code in terms.others:
        return terms.others[code]
    stitch = read_stitch(code)
    base = terms.bases[stitch.base]
    legs = stitch.leg_count
    end, end_name = (f"{legs}tog", f" {legs} stitches together") if legs > 1 else ("", "")
    if not stitch.manner:
        return StitchName(base.abbreviation + end, base.name + end_name)
    manner = terms.manners[stitch.manner]
    return StitchName(
        manner.abbreviation.format(base=base.abbreviation) + end,
        manner.name.format(base=base.name) + end_name,
    )


def _english(*, skip: str, skipped: str, slip: str) -> Mapping[str, str]:
    """Return the English sentences with the three words in which the terms differ."""
    return MappingProxyType(
        {
            "round": "Rnd {number}: ",
            "rounds": "Rnds {first}–{last}: ",
            "rounds_again": "Rep Rnds {first}–{last}.",
            "count": "({count})",
            "foundation": f"Ch {{count}}, join with {slip} in first ch to form a ring.",
            "magic_ring": "Make a magic ring.",
            "join_edge": "join yarn in any foundation ch",
            "start_counts": "ch {count} (counts as a st)",
            "start_does_not_count": "ch {count} (does not count as a st)",
            "no_start": "without a starting ch",
            "next_one": "{stitch} {preposition} next {unit}",
            "next_many": "{stitch} {preposition} next {count} {units}",
            "each_of_next": "{stitch} {preposition} each of next {count} {units}",
            "each_around": "{stitch} {preposition} each {unit} around",
            "ring": "{count} {stitch} in ring",
            "together": "({stitches}) tog over next {count} {units}",
            "skip": f"{skip} {{count}} {{units}}",
            "chain": "ch {count}",
            "chain_counts_one": "ch {count} (counts as a st)",
            "chain_counts_many": "ch {count} (counts as {counting} sts)",
            "repeat_square": "[{steps}] {times} times",
            "repeat_round": "({steps}) {times} times",
            "cross_right": (
                f"{skip} {{count}} {{units}}, {{first}}, working behind the {{made}} just made "
                f"{{stitch}} {{preposition}} {{count}} {skipped} {{units}}"
            ),
            "cross_left": (
                f"{skip} {{count}} {{units}}, {{first}}, working in front of the {{made}} just made "
                f"{{stitch}} {{preposition}} {{count}} {skipped} {{units}}"
            ),
            "join_first": f"join with {slip} in first st",
            "join_start": f"join with {slip} in top of starting ch",
            "fasten_off": "Fasten off.",
            "draw_shut": (
                "Fasten off, leaving a long tail. "
                "Weave the tail through the rem {count} sts, pull tight and secure."
            ),
            "weave_ends": "Weave in all ends.",
        }
    )


_UNITS = {
    "st": "st",
    "sts": "sts",
    "ch": "ch",
    "chs": "ch",
    "foundation_ch": "foundation ch",
    "foundation_chs": "foundation ch",
    "in": "in",
    "around": "around",
}

_SECTIONS = {
    "foundation": "Foundation",
    "brim": "Brim",
    "joining": "Joining round",
    "body": "Body",
    "crown": "Crown",
    "edging": "Edging",
    "finishing": "Finishing",
}

US = Terms(
    terms_id="us",
    bases=MappingProxyType(
        {
            "sc": StitchName("sc", "single crochet"),
            "hdc": StitchName("hdc", "half double crochet"),
            "dc": StitchName("dc", "double crochet"),
            "tr": StitchName("tr", "treble crochet"),
            "dtr": StitchName("dtr", "double treble crochet"),
        }
    ),
    others=MappingProxyType(
        {
            "ch": StitchName("ch", "chain"),
            "sl_st": StitchName("sl st", "slip stitch"),
            "rev_sc": StitchName("rev sc", "reverse single crochet"),
        }
    ),
    manners=MappingProxyType(
        {
            "fp": StitchName("FP{base}", "front post {base}"),
            "bp": StitchName("BP{base}", "back post {base}"),
            "fl": StitchName("FLO {base}", "front loop only {base}"),
            "bl": StitchName("BLO {base}", "back loop only {base}"),
        }
    ),
    words=MappingProxyType({**_UNITS, **_SECTIONS, "gauge": "gauge", "skip": "skip", "yarn_over": "yo"}),
    sentences=_english(skip="sk", skipped="skipped", slip="sl st"),
)

UK = Terms(
    terms_id="uk",
    bases=MappingProxyType(
        {
            "sc": StitchName("dc", "double crochet"),
            "hdc": StitchName("htr", "half treble"),
            "dc": StitchName("tr", "treble"),
            "tr": StitchName("dtr", "double treble"),
            "dtr": StitchName("trtr", "triple treble"),
        }
    ),
    others=MappingProxyType(
        {
            "ch": StitchName("ch", "chain"),
            "sl_st": StitchName("ss", "slip stitch"),
            "rev_sc": StitchName("rev dc", "reverse double crochet"),
        }
    ),
    manners=MappingProxyType(
        {
            "fp": StitchName("FP{base}", "raised {base} front"),
            "bp": StitchName("BP{base}", "raised {base} back"),
            "fl": StitchName("FLO {base}", "front loop only {base}"),
            "bl": StitchName("BLO {base}", "back loop only {base}"),
        }
    ),
    words=MappingProxyType({**_UNITS, **_SECTIONS, "gauge": "tension", "skip": "miss", "yarn_over": "yoh"}),
    sentences=_english(skip="miss", skipped="missed", slip="ss"),
)

TERMS: Mapping[TermsId, Terms] = MappingProxyType({"us": US, "uk": UK})

assert set(TERMS) == set(get_args(TermsId))
assert all(set(terms.others) == set(PLAIN_CODES) for terms in TERMS.values())
