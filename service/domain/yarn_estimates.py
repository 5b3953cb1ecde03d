"""How much yarn a piece of work takes, stretch by stretch and in all, and how sure that is."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import accumulate
from math import hypot

from service.domain.yarn_buying import (
    CERTAINTIES,
    YarnNeed,
    plan_purchases,
    reckon_extras,
)
from service.domain.yarn_colours import colour_estimate
from service.domain.yarn_orders import PartYarn, YarnEstimate, YarnOrder, YarnRange
from service.domain.yarn_reports import estimate_assumptions, estimate_notices, estimate_working
from service.domain.yarn_swatches import Swatch
from service.domain.yarn_tiers import Tier, choose_tier, part_lengths_m
from service.domain.yarn_work import part_units
from service.domain.yarns import YarnTex, yarn_tex

__all__ = ["CATEGORY_TEX_LOG_SD", "estimate_yarn"]

#: Standard deviation of the logarithm of a yarn's tex inside its category (judgement, no source).
CATEGORY_TEX_LOG_SD = 0.15


def estimate_yarn(order: YarnOrder) -> YarnEstimate:
    """Return how much yarn a piece of work takes and what to buy.

    The best tier that the order allows gives the length of every part; the whole is their sum.
    The interval is ``median * exp(+-1.645 * sd)`` with the tier's sd of the logarithm.
    Coloured work is bought colour by colour, and the whole is the sum of that.

    Parameters
    ----------
    order
        The work, the yarn and what was measured.

    Raises
    ------
    YarnUnderdetermined
        If the yarn has no tex, ball or category, or there is no swatch, gauge or category.
    StrandColoursUnequal
        If anything is to be worked in more or fewer colours than there are strands, and not in one.
    ValueError
        If a code is no stitch.

    Examples
    --------
    >>> from service.domain.yarn_work import work_from_counts
    >>> from service.domain.yarns import Yarn
    >>> swatch = Swatch(mass_g=9.6, stitch_counts={"sc": 360, "ch": 39})
    >>> hat = work_from_counts({"sc": 2753, "sc2tog": 83})
    >>> estimate = estimate_yarn(YarnOrder(yarn=Yarn(tex=560), work=(hat,), swatch=swatch))
    >>> estimate.tier.number, round(estimate.mass_g.median, 1), round(estimate.length_m.median, 1)
    (1, 72.8, 130.0)
    """
    tex = yarn_tex(order.yarn)
    units = [part_units(part, order.stitch_weights) for part in order.work]
    tier = choose_tier(
        yarn=order.yarn,
        tex=tex,
        swatch=order.swatch,
        parts=order.work,
        units=sum(units),
        measured=order.stitch_weights,
    )
    estimate = colour_estimate(order, _priced(order, tex, tier, _part_yarns(order, tex, tier, units)))
    return replace(
        estimate,
        notices=estimate_notices(order, estimate),
        assumptions=estimate_assumptions(order, estimate),
        working=estimate_working(order, estimate),
    )


def _priced(order: YarnOrder, tex: YarnTex, tier: Tier, parts: tuple[PartYarn, ...]) -> YarnEstimate:
    need = _need(parts, tex, tier)
    swatch_m = _kept_swatch_m(order.swatch, tex)
    extras = reckon_extras(need=need, yarn=order.yarn, finishing=order.finishing, swatch_m=swatch_m)
    purchases = plan_purchases(need=need, extras=extras, yarn=order.yarn, strand_tex=tex.strand_tex)
    return YarnEstimate(
        tier=tier,
        tex=tex,
        units=sum([part.units for part in parts]),
        parts=parts,
        length_m=YarnRange.around(need.length_m, log_sd=need.length_log_sd),
        mass_g=YarnRange.around(need.mass_g, log_sd=need.mass_log_sd),
        need=need,
        extras=extras,
        buy=purchases[CERTAINTIES.index(order.certainty_percent)],
        buy_by_certainty=purchases,
        colour_change_count=order.finishing.colour_change_count,
    )


def _part_yarns(order: YarnOrder, tex: YarnTex, tier: Tier, units: Sequence[float]) -> tuple[PartYarn, ...]:
    lengths_m = part_lengths_m(
        tier=tier,
        yarn=order.yarn,
        tex=tex,
        swatch=order.swatch,
        parts=order.work,
        units=units,
        measured=order.stitch_weights,
    )
    rows = zip(order.work, units, lengths_m, accumulate(lengths_m), strict=True)
    return tuple(PartYarn(part.number, part.section, *figures) for part, *figures in rows)


def _need(parts: Sequence[PartYarn], tex: YarnTex, tier: Tier) -> YarnNeed:
    """Return the whole: the last sum of the parts.

    A swatch is weighed, so its estimate is of a mass; the length hangs on the tex as well.
    """
    length_m = parts[-1].cumulative_length_m if parts else 0.0
    is_tex_guessed = tier.number <= 2 and tex.basis == "category"
    return YarnNeed(
        length_m=length_m,
        length_log_sd=hypot(tier.log_sd, CATEGORY_TEX_LOG_SD) if is_tex_guessed else tier.log_sd,
        mass_g=length_m * tex.strand_tex / 1000,
        mass_log_sd=tier.log_sd,
    )


def _kept_swatch_m(swatch: Swatch | None, tex: YarnTex) -> float:
    if swatch is None or swatch.is_unravelled:
        return 0.0
    return swatch.mass_g * 1000 / tex.strand_tex
