"""How stitches are worked whose abbreviations a maker cannot look up."""

from collections.abc import Iterator, Mapping
from types import MappingProxyType

from service.domain.hats import HatPlan
from service.domain.steps import stitch_tallies
from service.domain.stitches import PLAIN_CODES, read_stitch
from service.notation.terms import TERMS, Terms, TermsId
from service.patterns.text_abbreviations import Abbreviation

__all__ = ["define_stitches", "is_standard"]

#: Stitches worked together that the Craft Yarn Council's list of abbreviations has.
_STANDARD_TOGETHER = frozenset(["sc2tog", "hdc2tog", "dc2tog", "tr2tog"])

#: The most legs that one abbreviation names.
_MOST_LEGS = 8

#: Yarn overs before the hook goes in, and pulls through two loops before the last loop is left.
_YARN_OVERS = {"sc": 0, "hdc": 1, "dc": 1, "tr": 2, "dtr": 3}
_PULLS = {"sc": 0, "hdc": 0, "dc": 1, "tr": 2, "dtr": 3}

_PLACES: Mapping[str, str] = MappingProxyType(
    {
        "": "insert hook in next st",
        "fp": "insert hook from front to back to front around post of next st",
        "bp": "insert hook from back to front to back around post of next st",
        "fl": "insert hook in front loop of next st",
        "bl": "insert hook in back loop of next st",
    }
)
_SENTENCES: Mapping[str, str] = MappingProxyType(
    {
        "yarn_over": "{over}, ",
        "yarn_overs": "{over} {count} times, ",
        "leg": "{begin}{place}, {over} and pull up a loop{pulls}",
        "pull": ", {over} and draw through 2 loops",
        "pulls": ", ({over} and draw through 2 loops) {count} times",
        "together": "[{leg}] {legs} times, {over} and draw through all {loops} loops on hook.",
        "tog": (
            "Work each of the stitches in the brackets in the next st in turn, but only until one more loop "
            "of each is on the hook; then {over} and draw through all loops on hook."
        ),
    }
)


def is_standard(code: str) -> bool:
    """Return whether a stitch's abbreviation is on the standard list, or made of two that are.

    Examples
    --------
    >>> is_standard("fpdc"), is_standard("dc2tog"), is_standard("blsc"), is_standard("fpdc2tog")
    (True, True, True, False)

    Notes
    -----
    Craft Yarn Council, list of crochet abbreviations.
    """
    return code in PLAIN_CODES or code in _STANDARD_TOGETHER or read_stitch(code).leg_count == 1


def define_stitches(plan: HatPlan, terms_id: TermsId) -> tuple[Abbreviation, ...]:
    """Return how each stitch of a plan is worked that is not on the standard list of abbreviations.

    A stitch worked together leaves a loop for each leg, two for a leg of half double crochet,
    and is closed with a last yarn over.
    """
    terms = TERMS[terms_id]
    codes = dict.fromkeys(_codes(plan))
    found = {
        terms.abbreviation(code): _together_words(code, terms) for code in codes if not is_standard(code)
    }
    if any(len(set(legs)) > 1 or len(legs) > _MOST_LEGS for legs in _legs(plan)):
        found["tog"] = _SENTENCES["tog"].format(over=terms.words["yarn_over"])
    return tuple(Abbreviation(name, found[name]) for name in sorted(found, key=str.lower))


def _codes(plan: HatPlan) -> Iterator[str]:
    """Yield the code of every stitch that is worked, those worked together as one."""
    for worked in plan.rounds:
        for stitch, _ in stitch_tallies(worked.steps):
            if isinstance(stitch, str):
                yield stitch
            elif len(set(stitch)) == 1 and len(stitch) <= _MOST_LEGS:
                yield f"{stitch[0]}{len(stitch)}tog"


def _legs(plan: HatPlan) -> Iterator[tuple[str, ...]]:
    for worked in plan.rounds:
        for stitch, _ in stitch_tallies(worked.steps):
            if not isinstance(stitch, str):
                yield stitch


def _together_words(code: str, terms: Terms) -> str:
    """Return how stitches of one kind are worked together.

    Examples
    --------
    >>> from service.notation.terms import US
    >>> _together_words("sc3tog", US)
    '[insert hook in next st, yo and pull up a loop] 3 times, yo and draw through all 4 loops on hook.'
    """
    stitch = read_stitch(code)
    over = terms.words["yarn_over"]
    leg = _SENTENCES["leg"].format(
        begin=_counted("yarn_over", _YARN_OVERS[stitch.base], over),
        place=_PLACES[stitch.manner],
        over=over,
        pulls=_counted("pull", _PULLS[stitch.base], over),
    )
    loops_of_leg = 2 if stitch.base == "hdc" else 1
    return _SENTENCES["together"].format(
        leg=leg, legs=stitch.leg_count, over=over, loops=loops_of_leg * stitch.leg_count + 1
    )


def _counted(sentence: str, count: int, over: str) -> str:
    if count == 0:
        return ""
    return _SENTENCES[sentence if count == 1 else f"{sentence}s"].format(over=over, count=count)
