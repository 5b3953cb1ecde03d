"""What an estimate of yarn says about itself: cautions, suppositions and the reckoning line by line."""

from math import floor, log10

from service.domain.report import Assumption, Notice, Working
from service.domain.stitches import HEIGHT_RATIOS
from service.domain.yarn_buying import buying_notices
from service.domain.yarn_orders import YarnEstimate, YarnOrder
from service.domain.yarn_swatches import swatch_notices, swatch_units
from service.domain.yarn_tiers import SINGLE_CROCHET_ASPECT, category_size, strand_length_mm_per_unit
from service.domain.yarn_weights import tally_code, weight_assumptions
from service.domain.yarn_work import (
    POST_TEXTURE,
    UNIT_LENGTH_FACTOR,
    flattened_crossing,
    has_post_stitches,
    summed_tallies,
)
from service.domain.yarns import CLOTH_FACTOR

__all__ = ["estimate_assumptions", "estimate_notices", "estimate_working", "two_figures"]

_JUDGEMENT = "judgement, no source"
_PRACTICE = "common practice, no source"
_OWN_SWATCH = "the weighed swatch"


def two_figures(value: float) -> float:
    """Return a value with two significant figures, as a rough estimate is told. [>= 0]

    Examples
    --------
    >>> two_figures(187.4), two_figures(94.6), two_figures(0.0)
    (190.0, 95.0, 0.0)

    Notes
    -----
    Convention: a third figure would claim a precision that the estimate does not have.
    """
    return round(value, 1 - floor(log10(value))) if value > 0 else 0.0


def estimate_notices(order: YarnOrder, estimate: YarnEstimate) -> tuple[Notice, ...]:
    """Return what the maker should know: doubts about the figures first, then advice for the shop."""
    return (
        *estimate.tex.notices,
        *_swatch_notices(order, estimate),
        *_rough_notices(estimate),
        *_crossing_notices(order),
        *_shop_notices(order, estimate),
    )


def _shop_notices(order: YarnOrder, estimate: YarnEstimate) -> tuple[Notice, ...]:
    """Return the advice for the shop; what is about the balls of one colour stands with that colour."""
    if not estimate.colours:
        return buying_notices(purchase=estimate.buy, yarn=order.yarn, strand_tex=estimate.tex.strand_tex)
    idle = Notice("colours_not_worked", {"colour_count": estimate.idle_colour_count})
    has_lots = any(notice.code == "one_dye_lot" for colour in estimate.colours for notice in colour.notices)
    return (
        *((idle,) if estimate.idle_colour_count else ()),
        *((Notice("one_dye_lot"),) if has_lots else ()),
    )


def _swatch_notices(order: YarnOrder, estimate: YarnEstimate) -> tuple[Notice, ...]:
    if order.swatch is None:
        return ()
    return swatch_notices(order.swatch, held_tex=estimate.tex.held_tex, measured=order.stitch_weights)


def _rough_notices(estimate: YarnEstimate) -> tuple[Notice, ...]:
    if estimate.tier.number <= 2:
        return ()
    low_m, high_m = two_figures(estimate.length_m.low), two_figures(estimate.length_m.high)
    values: dict[str, int | float | str] = {"tier": estimate.tier.number, "low_m": low_m, "high_m": high_m}
    return (Notice("yarn_estimate_rough", values),)


def _crossing_notices(order: YarnOrder) -> tuple[Notice, ...]:
    crossed = flattened_crossing(order.work)
    if crossed is None:
        return ()
    return (Notice("crossing_pulls_in", {"over": crossed.over, "stitch": crossed.stitch}),)


def estimate_assumptions(order: YarnOrder, estimate: YarnEstimate) -> tuple[Assumption, ...]:
    """Return what stood in for a measurement, each with its source."""
    tier = estimate.tier
    spread = Assumption("yarn_log_sd", tier.log_sd, "", tier.confidence, _JUDGEMENT)
    return (
        spread,
        *estimate.tex.assumptions,
        *(each for colour in estimate.colours for each in colour.tex.assumptions),
        *(_area_assumptions(order) if tier.number == 4 else _weight_assumptions(order)),
        *(_length_assumptions(order) if tier.number == 3 else ()),
        *_kept_swatch(order, estimate),
    )


def _weight_assumptions(order: YarnOrder) -> tuple[Assumption, ...]:
    codes = set(order.swatch.stitch_counts) if order.swatch else set()
    for tally, count in summed_tallies(order.work).items():
        if count:
            code = tally_code(tally)
            codes.update(tally if code is None else (code,))
    return weight_assumptions(sorted(codes), order.stitch_weights)


def _length_assumptions(order: YarnOrder) -> tuple[Assumption, ...]:
    stitches = sorted({part.size.stitch for part in order.work if part.size} - {"sc"})
    return (
        Assumption("unit_length_factor", UNIT_LENGTH_FACTOR, "", "M", _PRACTICE),
        *(
            Assumption(f"height_ratio_{stitch}", HEIGHT_RATIOS[stitch], "", "M", _PRACTICE)
            for stitch in stitches
        ),
    )


def _area_assumptions(order: YarnOrder) -> tuple[Assumption, ...]:
    lines = [Assumption("cloth_factor", CLOTH_FACTOR, "", "M", _PRACTICE)]
    if any(has_post_stitches(part) for part in order.work):
        lines.append(Assumption("post_texture_factor", POST_TEXTURE, "", "L", _JUDGEMENT))
    if any(part.size is None for part in order.work):
        width_mm = category_size(order.yarn).stitch_width_mm
        source = "Craft Yarn Council, Standard Yarn Weight System: middle of the gauge range"
        lines.append(Assumption("stitches_per_10cm", 100 / width_mm, "per_10cm", "L", source))
        lines.append(Assumption("single_crochet_aspect", SINGLE_CROCHET_ASPECT, "", "M", _PRACTICE))
    return tuple(lines)


def _kept_swatch(order: YarnOrder, estimate: YarnEstimate) -> tuple[Assumption, ...]:
    if order.swatch is None or order.swatch.is_unravelled:
        return ()
    source = "Convention: a swatch is kept, since a washed one cannot be worked again"
    return (Assumption("kept_swatch", estimate.extras.swatch_m, "m", "L", source),)


def estimate_working(order: YarnOrder, estimate: YarnEstimate) -> tuple[Working, ...]:
    """Return how the figures were reached, line by line, for a pencil."""
    need, buy, extras = estimate.need, estimate.buy, estimate.extras
    tex = estimate.tex
    return (
        Working("strand_tex", _TEX_FORMULAS[tex.basis], tex.strand_tex, "tex", "ISO 1144"),
        Working(
            "work_units", "sum of r over every stitch, chain and join", estimate.units, "sc_unit", _PRACTICE
        ),
        *_tier_working(order, estimate),
        Working("length", _LENGTH_FORMULAS[estimate.tier.number], need.length_m, "m", _PRACTICE),
        Working("mass", "length * tex / 1000", need.mass_g, "g", "ISO 1144"),
        Working("extras", "ends + joins + gathering + swatch kept", extras.total_m, "m", _PRACTICE),
        Working("length_to_buy", "median * exp(z * sd) + extras", buy.length_m, "m", "log-normal"),
        *_leftover_working(estimate),
        *(() if buy.ball_count is None else (_ball_working(order, estimate, buy.ball_count),)),
    )


_TEX_FORMULAS = {"tex": "as given", "ball": "1000 * g / m", "category": "middle of the category"}
_LENGTH_FORMULAS = {
    1: "g per unit * units * 1000 / tex",
    2: "g per unit * units * 1000 / tex",
    3: "sum of strands * r * 7.5 * sqrt(w * h_sc)",
    4: "strands * 28 / sqrt(tex) * sum of texture * area",
}


def _leftover_working(estimate: YarnEstimate) -> tuple[Working, ...]:
    used_m = estimate.buy.from_leftovers_m
    if used_m <= 0:
        return ()
    return (Working("from_leftovers", "longest first, each less 0.3 m for a join", used_m, "m", _PRACTICE),)


def _ball_working(order: YarnOrder, estimate: YarnEstimate, ball_count: int) -> Working:
    if estimate.colours:
        formula = "sum over the colours of ceil((need - leftovers) / ball)"
    else:
        formula = "ceil(length / ball)" if order.yarn.ball_length_m is not None else "ceil(mass / ball)"
    return Working("ball_count", formula, ball_count, "", "whole balls only")


def _tier_working(order: YarnOrder, estimate: YarnEstimate) -> tuple[Working, ...]:
    """Return the lines that only a swatch or only a gauge has."""
    if order.swatch is not None:
        units = swatch_units(order.swatch, order.stitch_weights)
        unit_mm = strand_length_mm_per_unit(order.swatch, tex=estimate.tex, measured=order.stitch_weights)
        return (
            Working("swatch_units", "sum of r over the swatch", units, "sc_unit", _OWN_SWATCH),
            Working("unit_mass", "swatch mass / swatch units", order.swatch.mass_g / units, "g", _OWN_SWATCH),
            Working("unit_length", "unit mass * 1e6 / tex", unit_mm, "mm", _OWN_SWATCH),
        )
    if estimate.tier.number == 4:
        return ()
    lengths = {part.size.unit_length_mm for part in order.work if part.size is not None}
    return tuple(
        Working("unit_length", "7.5 * sqrt(w * h_sc)", length, "mm", _PRACTICE) for length in sorted(lengths)
    )
