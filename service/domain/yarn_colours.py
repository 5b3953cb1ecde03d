"""Yarn by colour: stripes, a colour for each section, strands of different colours held together.

A round is worked in the colours of its strands, one name for each strand.
Every change is cut and sewn in; nothing is carried up inside the hat.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import cycle, pairwise
from typing import TypeAlias

from service.domain.report import Notice
from service.domain.rounds import Section
from service.domain.yarn_buying import (
    CERTAINTIES,
    END_M,
    GATHER_M,
    JOIN_M,
    Extras,
    YarnNeed,
    YarnPurchase,
    buying_notices,
    median_ball_count,
    plan_purchases,
)
from service.domain.yarn_orders import PartYarn, YarnEstimate, YarnOrder
from service.domain.yarns import Yarn, yarn_tex

__all__ = [
    "ColourSource",
    "ColourYarn",
    "StrandColours",
    "Stripe",
    "colour_change_count",
    "colour_yarns",
    "section_colours",
    "striped_colours",
]

#: The colour of each strand of a stretch of work; one name stands for all strands.
StrandColours: TypeAlias = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Stripe:
    """So many rounds in the same colours. [rounds, >= 1]"""

    colours: StrandColours
    round_count: int


@dataclass(frozen=True, slots=True)
class ColourSource:
    """Where a colour comes from: its yarn with its own ball, and lengths left from earlier work. [m]"""

    yarn: Yarn
    leftovers_m: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class ColourYarn:
    """The yarn of one colour, strands added up. ``need`` is of the work alone."""

    colour: str
    need: YarnNeed
    extras: Extras
    buy: YarnPurchase
    buy_by_certainty: tuple[YarnPurchase, ...]
    notices: tuple[Notice, ...]


def striped_colours(parts: Sequence[PartYarn], stripes: Sequence[Stripe]) -> tuple[StrandColours, ...]:
    """Return the colours of each stretch of work when stripes follow each other again and again.

    The foundation has the colours of the first round.

    Parameters
    ----------
    parts
        The work in working order.
    stripes
        The stripes of one repeat, at least one.

    Examples
    --------
    >>> rounds = [PartYarn(number, "body", 10.0, 1.0, 1.0) for number in range(5)]
    >>> striped_colours(rounds, [Stripe(("red",), 1), Stripe(("blue",), 2)])
    (('red',), ('red',), ('blue',), ('blue',), ('red',))
    """
    one_repeat = [stripe.colours for stripe in stripes for _ in range(stripe.round_count)]
    by_round = cycle(one_repeat)
    return tuple(one_repeat[0] if part.number == 0 else next(by_round) for part in parts)


def section_colours(
    parts: Sequence[PartYarn], colours: Mapping[Section, StrandColours], *, ground: StrandColours
) -> tuple[StrandColours, ...]:
    """Return the colours of each stretch of work when every section has its own.

    The foundation has the colours of the first section.

    Parameters
    ----------
    parts
        The work in working order.
    colours
        Colours by section.
    ground
        Colours of every other section.

    Examples
    --------
    >>> rounds = [PartYarn(0, None, 1.0, 1.0, 1.0), PartYarn(1, "brim", 1.0, 1.0, 2.0),
    ...           PartYarn(2, "body", 1.0, 1.0, 3.0)]
    >>> section_colours(rounds, {"brim": ("red",)}, ground=("blue",))
    (('red',), ('red',), ('blue',))
    """
    first = next((part.section for part in parts if part.section is not None), None)
    sections = (part.section or first for part in parts)
    return tuple(ground if section is None else colours.get(section, ground) for section in sections)


def colour_change_count(parts: Sequence[PartYarn], colours: Sequence[StrandColours]) -> int:
    """Return how many rounds begin in other colours than the round before ended; the edging is apart.

    Examples
    --------
    >>> rounds = [PartYarn(number, "body", 10.0, 1.0, 1.0) for number in range(5)]
    >>> colour_change_count(rounds, striped_colours(rounds, [Stripe(("red",), 2), Stripe(("blue",), 2)]))
    1
    """
    main = [names for part, names in zip(parts, colours, strict=True) if part.section != "edging"]
    return sum(before != after for before, after in pairwise(main))


def colour_yarns(
    order: YarnOrder,
    estimate: YarnEstimate,
    *,
    colours: Sequence[StrandColours],
    sources: Mapping[str, ColourSource],
) -> tuple[ColourYarn, ...]:
    """Return the yarn of each colour, in the order in which they are first worked.

    A colour takes from each stretch of work the share of its strands. It has two ends for each time it is
    begun; the last colour before the edging gathers the crown; the swatch is of the colour used most.
    Leftovers are used before new balls.

    Parameters
    ----------
    order
        The work and its yarn.
    estimate
        The yarn of the work as a whole.
    colours
        Colours of each stretch of work; as many names as strands, or one for all of them.
    sources
        Yarn and leftovers by colour; a colour without one has the yarn of the order.

    Notes
    -----
    Convention: the error of the estimate is the maker's hand and is the same for all colours.
    """
    strands = [_each_strand(names, order.yarn.strand_count) for names in colours]
    lengths_m = _length_by_colour(estimate.parts, strands)
    most_used = max(lengths_m, key=lambda colour: lengths_m[colour], default=None)
    begun = _begun_counts(estimate.parts, strands)
    gathering = _gathering_colour(estimate.parts, strands)
    return tuple(
        _colour_yarn(
            order,
            estimate,
            colour=colour,
            length_m=length_m,
            begun_count=begun[colour],
            gathers=colour == gathering and order.finishing.gathers_crown,
            keeps_swatch=colour == most_used,
            source=sources.get(colour, ColourSource(order.yarn)),
        )
        for colour, length_m in lengths_m.items()
    )


def _each_strand(names: StrandColours, strand_count: int) -> StrandColours:
    if len(names) == strand_count:
        return names
    assert len(names) == 1
    return names * strand_count


def _length_by_colour(parts: Sequence[PartYarn], strands: Sequence[StrandColours]) -> dict[str, float]:
    lengths_m: dict[str, float] = {}
    for part, names in zip(parts, strands, strict=True):
        for name in names:
            lengths_m[name] = lengths_m.get(name, 0.0) + part.length_m / len(names)
    return lengths_m


def _begun_counts(parts: Sequence[PartYarn], strands: Sequence[StrandColours]) -> dict[str, int]:
    """Return how often a strand of each colour is begun: at the start, at a change and at the edging."""
    counts: dict[str, int] = {}
    before: StrandColours = ()
    was_edging = False
    for part, names in zip(parts, strands, strict=True):
        is_edging = part.section == "edging"
        old = before if is_edging == was_edging else ()
        for place, name in enumerate(names):
            begins = place >= len(old) or old[place] != name
            counts[name] = counts.get(name, 0) + begins
        before, was_edging = names, is_edging
    return counts


def _gathering_colour(parts: Sequence[PartYarn], strands: Sequence[StrandColours]) -> str | None:
    worked = [names for part, names in zip(parts, strands, strict=True) if part.section != "edging"]
    return worked[-1][0] if worked else None


def _colour_yarn(
    order: YarnOrder,
    estimate: YarnEstimate,
    *,
    colour: str,
    length_m: float,
    begun_count: int,
    gathers: bool,
    keeps_swatch: bool,
    source: ColourSource,
) -> ColourYarn:
    strand_tex = estimate.tex.strand_tex if source.yarn == order.yarn else yarn_tex(source.yarn).strand_tex
    need = YarnNeed(
        length_m=length_m,
        length_log_sd=estimate.need.length_log_sd,
        mass_g=length_m * strand_tex / 1000,
        mass_log_sd=estimate.need.mass_log_sd,
    )
    extras = Extras(
        ends_m=2 * END_M * begun_count,
        joins_m=JOIN_M * (median_ball_count(need, source.yarn) - 1),
        gathering_m=GATHER_M if gathers else 0.0,
        swatch_m=estimate.extras.swatch_m if keeps_swatch else 0.0,
    )
    purchases = plan_purchases(
        need=need,
        extras=extras,
        yarn=source.yarn,
        strand_tex=strand_tex,
        leftovers_m=source.leftovers_m,
    )
    buy = purchases[CERTAINTIES.index(order.certainty_percent)]
    return ColourYarn(
        colour=colour,
        need=need,
        extras=extras,
        buy=buy,
        buy_by_certainty=purchases,
        notices=buying_notices(purchase=buy, yarn=source.yarn, strand_tex=strand_tex),
    )
