"""Yarn by colour: stripes, a colour for each section, strands of different colours held together.

Every change is cut and sewn in; nothing is carried up inside the hat.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import islice, pairwise

from service.domain.report import Notice
from service.domain.rounding import printed
from service.domain.rounds import Section
from service.domain.yarn_buying import (
    CERTAINTIES,
    GATHER_M,
    Extras,
    YarnNeed,
    YarnPurchase,
    buying_notices,
    leftover_join_count,
    leftovers_used_m,
    median_ball_count,
    plan_purchases,
)
from service.domain.yarn_colourings import (
    ColourSource,
    SectionColours,
    StrandColours,
    Stripe,
    StripedColours,
)
from service.domain.yarn_orders import ColourPart, ColourYarn, PartYarn, YarnEstimate, YarnOrder, YarnRange
from service.domain.yarns import TEX_DISAGREEMENT, Yarn, YarnTex, fibre_notices, yarn_tex

__all__ = [
    "colour_change_count",
    "colour_estimate",
    "colour_yarns",
    "part_colours",
    "section_colours",
    "striped_colours",
]


def colour_estimate(order: YarnOrder, estimate: YarnEstimate) -> YarnEstimate:
    """Return an estimate with its colours, and the whole as their sum; as it is where there are none.

    Lengths and masses to buy are added as they are printed, so that a reader's sum agrees.

    Parameters
    ----------
    order
        The work, its yarn and its colouring.
    estimate
        The yarn of the work in one colour.

    Raises
    ------
    StrandColoursUnequal
        If a stripe or a section has more or fewer colours than there are strands, and not one.

    Examples
    --------
    >>> from service.domain.steps import Work
    >>> from service.domain.yarn_colourings import Colouring
    >>> from service.domain.yarn_estimates import estimate_yarn
    >>> from service.domain.yarn_swatches import Swatch
    >>> from service.domain.yarn_work import work_from_steps
    >>> from service.domain.yarns import Yarn
    >>> rounds = tuple(work_from_steps([Work("sc", 100)], number=number) for number in (1, 2, 3, 4))
    >>> order = YarnOrder(yarn=Yarn(tex=500), work=rounds, swatch=Swatch(10.0, {"sc": 400}))
    >>> striped = Colouring(StripedColours((Stripe(("red",), 1), Stripe(("blue",), 2))))
    >>> parted = colour_estimate(replace(order, colouring=striped), estimate_yarn(order))
    >>> [(each.colour, round(each.need.mass_g, 1)) for each in parted.colours], parted.colour_change_count
    ([('red', 5.0), ('blue', 5.0)], 2)
    """
    if order.colouring is None:
        return estimate
    order.colouring.refuse_unequal(order.yarn.strand_count)
    colours = part_colours(estimate.parts, order.colouring.layout)
    parted = colour_yarns(order, estimate, colours=colours, sources=order.colouring.source_by_colour)
    need = replace(estimate.need, mass_g=sum([each.need.mass_g for each in parted]))
    bought = tuple(map(_summed, zip(*[each.buy_by_certainty for each in parted], strict=True)))
    return replace(
        estimate,
        mass_g=YarnRange.around(need.mass_g, log_sd=need.mass_log_sd),
        need=need,
        extras=_all_extras([each.extras for each in parted]),
        buy=bought[CERTAINTIES.index(order.certainty_percent)],
        buy_by_certainty=bought,
        colours=parted,
        colour_change_count=colour_change_count(estimate.parts, colours),
        idle_colour_count=len(order.colouring.names) - len(parted),
    )


def _all_extras(extras: Sequence[Extras]) -> Extras:
    return Extras(
        work_end_count=sum(each.work_end_count for each in extras),
        join_count=sum(each.join_count for each in extras),
        gathering_m=sum(each.gathering_m for each in extras),
        swatch_m=sum(each.swatch_m for each in extras),
        leftover_join_count=sum(each.leftover_join_count for each in extras),
    )


def _summed(purchases: Sequence[YarnPurchase]) -> YarnPurchase:
    """Return what is bought in all; balls are only counted where every colour has them."""
    balls = [each.ball_count for each in purchases if each.ball_count is not None]
    return YarnPurchase(
        certainty_percent=purchases[0].certainty_percent,
        ball_count=sum(balls) if len(balls) == len(purchases) else None,
        length_m=_printed_sum([each.length_m for each in purchases]),
        mass_g=_printed_sum([each.mass_g for each in purchases]),
        leftover_m=_sum_of_known([each.leftover_m for each in purchases]),
        expected_leftover_m=_sum_of_known([each.expected_leftover_m for each in purchases]),
        from_leftovers_m=_printed_sum([each.from_leftovers_m for each in purchases]),
    )


def _printed_sum(values: Sequence[float]) -> float:
    return printed(sum([printed(value, 1) for value in values]), 1)


def _sum_of_known(values: Sequence[float | None]) -> float | None:
    known = [value for value in values if value is not None]
    return _printed_sum(known) if len(known) == len(values) else None


def part_colours(
    parts: Sequence[PartYarn], layout: StripedColours | SectionColours
) -> tuple[StrandColours, ...]:
    """Return the colours of each stretch of work.

    Examples
    --------
    >>> rounds = [PartYarn(number, "body", 10.0, 1.0, 1.0) for number in (1, 2, 3)]
    >>> part_colours(rounds, StripedColours((Stripe(("red",), 1), Stripe(("blue",), 1))))
    (('red',), ('blue',), ('red',))
    >>> part_colours(rounds, SectionColours(("red",)))
    (('red',), ('red',), ('red',))
    """
    if isinstance(layout, StripedColours):
        return striped_colours(parts, layout.stripes)
    return section_colours(parts, layout.by_section, ground=layout.ground)


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
    in_turn = (stripe.colours for stripe in stripes for _ in range(stripe.round_count))
    one_repeat = list(islice(in_turn, len(parts)))
    return tuple(one_repeat[max(part.number - 1, 0) % len(one_repeat)] for part in parts)


def section_colours(
    parts: Sequence[PartYarn], colours: Mapping[Section, StrandColours], *, ground: StrandColours
) -> tuple[StrandColours, ...]:
    """Return the colours of each stretch of work when every section has its own.

    The foundation has the colours of the first section; work that belongs to none has those of the ground.

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
    sections = (first if part.number == 0 else part.section for part in parts)
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

    Examples
    --------
    >>> from service.domain.steps import Work
    >>> from service.domain.yarn_estimates import estimate_yarn
    >>> from service.domain.yarn_swatches import Swatch
    >>> from service.domain.yarn_work import work_from_steps
    >>> from service.domain.yarns import Yarn
    >>> rounds = tuple(work_from_steps([Work("sc", 100)], number=number) for number in (1, 2))
    >>> order = YarnOrder(yarn=Yarn(tex=500), work=rounds, swatch=Swatch(10.0, {"sc": 400}))
    >>> names = [("blue",), ("red",)]
    >>> each = colour_yarns(order, estimate_yarn(order), colours=names, sources={})
    >>> [(yarn.colour, round(yarn.need.mass_g, 1), yarn.extras.end_count) for yarn in each]
    [('blue', 2.5, 2), ('red', 2.5, 2)]

    Notes
    -----
    Convention: the error of the estimate is the maker's hand and is the same for all colours.
    """
    strands = [_each_strand(names, order.yarn.strand_count) for names in colours]
    shares = _shares(estimate.parts, strands)
    lengths_m = {colour: sum([part.length_m for part in share]) for colour, share in shares.items()}
    most_used = max(lengths_m, key=lambda colour: lengths_m[colour], default=None)
    gathering = _gathering_colour(estimate.parts, strands)
    last = _edging_apart(order, estimate.parts, strands)
    return tuple(
        _colour_yarn(
            order,
            estimate,
            colour=colour,
            parts=tuple(share),
            length_m=lengths_m[colour],
            begun_count=share[-1].begun_count + last.count(colour),
            gathers=colour == gathering and order.finishing.gathers_crown,
            keeps_swatch=colour == most_used,
            source=sources.get(colour, ColourSource()),
        )
        for colour, share in shares.items()
    )


def _each_strand(names: StrandColours, strand_count: int) -> StrandColours:
    if len(names) == strand_count:
        return names
    assert len(names) == 1
    return names * strand_count


def _shares(parts: Sequence[PartYarn], strands: Sequence[StrandColours]) -> dict[str, list[ColourPart]]:
    """Return what each colour gives, in the order in which they are first worked."""
    shares: dict[str, list[ColourPart]] = {}
    for part, names, begins in zip(parts, strands, _beginnings(parts, strands), strict=True):
        for name in dict.fromkeys(names):
            share = shares.setdefault(name, [])
            count = names.count(name)
            begun = (share[-1].begun_count if share else 0) + begins.count(name)
            share.append(ColourPart(part.number, part.length_m * count / len(names), count, begun))
    return shares


def _beginnings(parts: Sequence[PartYarn], strands: Sequence[StrandColours]) -> Iterator[StrandColours]:
    """Yield the strands that are begun with each stretch: at the start, at a change and at the edging."""
    before: StrandColours = ()
    was_edging = False
    for part, names in zip(parts, strands, strict=True):
        is_edging = part.section == "edging"
        old = before if is_edging == was_edging else ()
        yield tuple(name for place, name in enumerate(names) if place >= len(old) or old[place] != name)
        before, was_edging = names, is_edging


def _edging_apart(
    order: YarnOrder, parts: Sequence[PartYarn], strands: Sequence[StrandColours]
) -> StrandColours:
    """Return the colours that an edging begins once more where no stretch of the work is said to be it."""
    if not order.finishing.has_edging or any(part.section == "edging" for part in parts) or not strands:
        return ()
    return strands[-1]


def _gathering_colour(parts: Sequence[PartYarn], strands: Sequence[StrandColours]) -> str | None:
    worked = [names for part, names in zip(parts, strands, strict=True) if part.section != "edging"]
    return worked[-1][0] if worked else None


def _colour_yarn(
    order: YarnOrder,
    estimate: YarnEstimate,
    *,
    colour: str,
    parts: tuple[ColourPart, ...],
    length_m: float,
    begun_count: int,
    gathers: bool,
    keeps_swatch: bool,
    source: ColourSource,
) -> ColourYarn:
    yarn = source.yarn or order.yarn
    tex = estimate.tex if yarn == order.yarn else yarn_tex(yarn)
    need = replace(estimate.need, length_m=length_m, mass_g=length_m * tex.strand_tex / 1000)
    leftovers_m = source.lengths_m(tex.strand_tex)
    extras = Extras(
        work_end_count=2 * begun_count,
        join_count=median_ball_count(need, yarn) - 1,
        gathering_m=GATHER_M if gathers else 0.0,
        swatch_m=estimate.extras.swatch_m if keeps_swatch else 0.0,
        leftover_join_count=_joins_by_leftovers(need, yarn, leftovers_m),
    )
    purchases = plan_purchases(
        need=need,
        extras=extras,
        yarn=yarn,
        strand_tex=tex.strand_tex,
        leftovers_m=leftovers_m,
    )
    buy = purchases[CERTAINTIES.index(order.certainty_percent)]
    said = buying_notices(purchase=buy, yarn=yarn, strand_tex=tex.strand_tex)
    return ColourYarn(
        colour=colour,
        yarn=yarn,
        tex=tex,
        parts=parts,
        need=need,
        extras=extras,
        buy=buy,
        buy_by_certainty=purchases,
        notices=said
        if yarn == order.yarn
        else (*tex.notices, *_weight_notices(tex, estimate.tex), *fibre_notices(yarn), *said),
    )


def _joins_by_leftovers(need: YarnNeed, yarn: Yarn, leftovers_m: Sequence[float]) -> int:
    """Return how many joins more there are with leftovers: of those that run out, less the balls spared."""
    left = 1 - leftovers_used_m(leftovers_m, need.length_m) / need.length_m if need.length_m > 0 else 0.0
    rest = replace(need, length_m=need.length_m * left, mass_g=need.mass_g * left)
    spared_count = median_ball_count(need, yarn) - median_ball_count(rest, yarn)
    return leftover_join_count(leftovers_m, need.length_m) - spared_count


def _weight_notices(tex: YarnTex, main: YarnTex) -> tuple[Notice, ...]:
    """Return a caution where the yarn of a colour is so much heavier or lighter that its gauge differs."""
    if max(tex.strand_tex, main.strand_tex) <= TEX_DISAGREEMENT * min(tex.strand_tex, main.strand_tex):
        return ()
    return (Notice("colour_weighs_otherwise", {"tex": tex.strand_tex, "main_tex": main.strand_tex}),)
