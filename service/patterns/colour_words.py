"""What a pattern says of its colours: how much of each to have at hand, and where it is worked."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from types import MappingProxyType

from service.domain.rounds import Section
from service.domain.units import M_PER_YARD
from service.domain.yarn_colourings import Colouring, StrandColours, Stripe, StripedColours
from service.domain.yarn_orders import ColourYarn, YarnEstimate
from service.domain.yarn_reports import two_figures
from service.patterns.lengths import counted, measured

__all__ = [
    "ColourFigures",
    "colour_figures",
    "colour_sentences",
    "colouring_sentence",
    "round_ranges",
    "yarn_amount",
]

#: Estimates from this tier on rest on no swatch.
ROUGH_TIER = 3

_SENTENCES: Mapping[str, str] = MappingProxyType(
    {
        "amount": "{length_m:.0f} m ({length_yd:.0f} yd), {mass}",
        "colour": "{colour}, about {amount}{balls}. {place}.",
        "leftovers": ", {length_m:.0f} m of it from leftovers",
        "own_balls": "{balls} of {mass}, {length}",
        "round": "Round {rounds}",
        "rounds": "Rounds {rounds}",
        "stripes": "Stripes from the first round to the last, again and again: {stripes}.",
        "stripe": "{rounds} in {colours}",
        "sections": "{sections}; all else in {ground}.",
        "section": "{section} in {colours}",
        "throughout": "All in {colours}.",
        "held": "{colours} held together",
    }
)

_SECTION_WORDS: Mapping[Section, str] = MappingProxyType({"joining": "joining round"})


@dataclass(frozen=True, slots=True)
class ColourFigures:
    """One colour in words: how much of it, how many balls if any, and the rounds that are worked in it."""

    colour: str
    amount: str
    balls: str
    rounds: str


def colour_sentences(estimate: YarnEstimate) -> tuple[str, ...]:
    """Return a sentence for each colour: its yarn, its balls, its rounds; none where no colour is named."""
    return tuple(_sentence(colour, estimate) for colour in estimate.colours)


def _sentence(colour: ColourYarn, estimate: YarnEstimate) -> str:
    balls = _balls(colour, estimate)
    return _SENTENCES["colour"].format(
        colour=colour.colour,
        amount=_amount(colour, estimate),
        balls=f": {balls}" if balls else "",
        place=_place(colour.worked_rounds),
    )


def colour_figures(estimate: YarnEstimate, told_numbers: Sequence[int]) -> tuple[ColourFigures, ...]:
    """Return what a table tells of each colour; none where no colour is named.

    Parameters
    ----------
    estimate
        The yarn of the work.
    told_numbers
        The number that each round has in the text that the table goes with.
    """
    return tuple(
        ColourFigures(
            colour=colour.colour,
            amount=_amount(colour, estimate),
            balls=_balls(colour, estimate),
            rounds=round_ranges(told_numbers[number - 1] for number in colour.worked_rounds),
        )
        for colour in estimate.colours
    )


def _amount(colour: ColourYarn, estimate: YarnEstimate) -> str:
    amount = yarn_amount(estimate, length_m=colour.buy.length_m, mass_g=colour.buy.mass_g)
    used_m = colour.buy.from_leftovers_m
    return amount + (_SENTENCES["leftovers"].format(length_m=used_m) if used_m > 0 else "")


def _balls(colour: ColourYarn, estimate: YarnEstimate) -> str:
    """Return the balls of a colour, with their size where it is not that of the work's yarn."""
    count, yarn = colour.buy.ball_count, colour.yarn
    if not count:
        return ""
    balls = counted(count, "ball")
    if colour.tex is estimate.tex or yarn.ball_mass_g is None or yarn.ball_length_m is None:
        return balls
    mass, length = measured(yarn.ball_mass_g, "g"), measured(yarn.ball_length_m, "m")
    return _SENTENCES["own_balls"].format(balls=balls, mass=mass, length=length)


def _place(numbers: Sequence[int]) -> str:
    return _SENTENCES["round" if len(numbers) == 1 else "rounds"].format(rounds=round_ranges(numbers))


def colouring_sentence(colouring: Colouring) -> str:
    """Return which colours are worked when, for a hat of any size.

    Examples
    --------
    >>> from service.domain.yarn_colourings import SectionColours
    >>> colouring_sentence(Colouring(SectionColours(("red",), {"brim": ("blue", "grey")})))
    'Brim in blue and grey held together; all else in red.'
    """
    layout = colouring.layout
    if isinstance(layout, StripedColours):
        return _SENTENCES["stripes"].format(stripes=", ".join(map(_stripe, layout.stripes)))
    if not layout.by_section:
        return _SENTENCES["throughout"].format(colours=_held(layout.ground))
    sections = ", ".join(_section(name, colours) for name, colours in layout.by_section.items())
    sentence = _SENTENCES["sections"].format(sections=sections, ground=_held(layout.ground))
    return sentence[0].upper() + sentence[1:]


def _stripe(stripe: Stripe) -> str:
    rounds = counted(stripe.round_count, "round")
    return _SENTENCES["stripe"].format(rounds=rounds, colours=_held(stripe.colours))


def _section(name: Section, colours: StrandColours) -> str:
    section = _SECTION_WORDS.get(name, name)
    return _SENTENCES["section"].format(section=section, colours=_held(colours))


def _held(colours: StrandColours) -> str:
    if len(colours) == 1:
        return colours[0]
    return _SENTENCES["held"].format(colours=" and ".join(colours))


def yarn_amount(estimate: YarnEstimate, *, length_m: float, mass_g: float) -> str:
    """Return a length and a mass of yarn in words, in both systems.

    The two roughest tiers are told with two figures: a third would claim too much.

    Parameters
    ----------
    estimate
        What the figures were reckoned in.
    length_m, mass_g
        The yarn. [m, g]
    """
    rounded = two_figures if estimate.tier.number >= ROUGH_TIER else float
    told_m = rounded(length_m)
    return _SENTENCES["amount"].format(
        length_m=told_m, length_yd=rounded(told_m / M_PER_YARD), mass=measured(rounded(mass_g), "g")
    )


def round_ranges(numbers: Iterable[int]) -> str:
    """Return rounds in words, those that follow each other as a range.

    Examples
    --------
    >>> round_ranges([1, 2, 3, 5, 8, 9])
    '1–3, 5, 8–9'
    """
    runs = [[number for _, number in run] for _, run in groupby(enumerate(numbers), _offset)]
    return ", ".join(f"{run[0]}–{run[-1]}" if len(run) > 1 else str(run[0]) for run in runs)


def _offset(numbered: tuple[int, int]) -> int:
    """Return what rounds that follow each other have in common."""
    place, number = numbered
    return number - place
