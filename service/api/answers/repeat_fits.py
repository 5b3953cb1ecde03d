"""From a circumference and a gauge to stitch counts that hold whole repeats."""

from collections.abc import Mapping
from typing import Any

from service.api.answers.common import cm, report_to_json, steps_to_json
from service.api.orders import given_gauge_of, mm
from service.domain.fit import FitTarget, banded_target, bare_target
from service.domain.gauge import GivenGauge
from service.domain.joining_rounds import JoiningRound
from service.domain.repeat_fits import (
    BrimFit,
    CountOrder,
    NeighbourCount,
    RepeatFit,
    RepeatFitOrder,
    fit_repeats,
    order_counts,
)
from service.domain.report import Assumption
from service.domain.rounding import printed
from service.domain.shaping_rounds import shaping_steps
from service.domain.tables import ReferenceTables
from service.notation.terms import TERMS, Terms
from service.notation.writer import write_steps

__all__ = ["repeat_fits_to_json"]

Json = dict[str, Any]

#: The stitch of a joining round, whatever the fabrics it joins: plain, and as tall as most textures.
_JOINING_STITCH = "dc"


def repeat_fits_to_json(order: Json, tables: ReferenceTables) -> Json:
    """Return the answer to an order of whole repeats."""
    gauges = _gauges_of(order, tables)
    fits = fit_repeats(_order_of(order, gauges, tables), tables)
    terms = TERMS[order["terms"]]
    return {
        "candidates": [_candidate_to_json(fit, terms) for fit in fits.candidates],
        "neighbours": [_neighbour_to_json(neighbour) for neighbour in fits.neighbours],
        **report_to_json(
            notices=(*fits.notices, *(notice for given in gauges for notice in given.notices)),
            assumptions=(
                *(assumed for given in gauges for assumed in given.assumptions),
                *_supposed_bands(order, tables),
            ),
            working=fits.working if order["show_working"] else None,
        ),
    }


def _gauges_of(order: Json, tables: ReferenceTables) -> list[GivenGauge]:
    """Return the body's gauge and, where there is a brim, the brim's."""
    parts = [order, *filter(None, [order.get("brim")])]
    return [given_gauge_of(part["gauge"], tables) for part in parts]


def _order_of(order: Json, gauges: list[GivenGauge], tables: ReferenceTables) -> RepeatFitOrder:
    target = _target_of(order, tables)
    return RepeatFitOrder(
        body=order_counts(
            gauge=gauges[0].gauge,
            stitch_multiple=order["stitch_multiple"],
            extra_stitch_count=order["extra_stitch_count"],
            target=target,
        ),
        brim=None if order.get("brim") is None else _brim_of(order["brim"], gauges[1], target, tables),
        limit=order["limit"],
        tolerance_mm=mm(order.get("tolerance_cm")),
    )


def _target_of(order: Json, tables: ReferenceTables) -> FitTarget:
    target_mm, band = 10 * order["target_circumference_cm"], order.get("fit_band_cm")
    if band is None:
        return bare_target(target_mm=target_mm, tables=tables)
    return banded_target(target_mm=target_mm, low_mm=10 * band["low"], high_mm=10 * band["high"])


def _brim_of(
    brim: Mapping[str, Any], given: GivenGauge, body_target: FitTarget, tables: ReferenceTables
) -> CountOrder:
    own_mm = mm(brim.get("target_circumference_cm"))
    return order_counts(
        gauge=given.gauge,
        stitch_multiple=brim["stitch_multiple"],
        target=body_target if own_mm is None else bare_target(target_mm=own_mm, tables=tables),
    )


def _supposed_bands(order: Json, tables: ReferenceTables) -> tuple[Assumption, ...]:
    """Return the band that stands in for one that nobody stated."""
    own_brim_target = (order.get("brim") or {}).get("target_circumference_cm")
    if order.get("fit_band_cm") is not None and own_brim_target is None:
        return ()
    return (tables.prior_by_name["bare_target_band"].as_assumption(),)


def _candidate_to_json(fit: RepeatFit, terms: Terms) -> Json:
    count = fit.count
    return {
        "stitch_count": count.stitch_count,
        "repeat_count": count.repeat_count,
        "circumference_cm": cm(count.circumference_mm),
        "difference_cm": cm(count.difference_mm),
        "within_tolerance": fit.within_tolerance,
        "fit_probability": printed(count.fit_probability, 3),
        "exact_stitches_per_10cm": printed(fit.exact_stitches_per_10cm, 3),
        "brim": None if fit.brim is None else _brim_to_json(fit.brim, terms),
    }


def _brim_to_json(brim: BrimFit, terms: Terms) -> Json:
    return {
        "stitch_count": brim.count.stitch_count,
        "repeat_count": brim.count.repeat_count,
        "circumference_cm": cm(brim.count.circumference_mm),
        "fit_probability": printed(brim.count.fit_probability, 3),
        "joining_round": _joining_round_to_json(brim.joining_round, terms),
    }


def _joining_round_to_json(join: JoiningRound, terms: Terms) -> Json:
    steps = shaping_steps(
        from_stitch_count=join.from_stitch_count,
        to_stitch_count=join.to_stitch_count,
        stitch=_JOINING_STITCH,
        staggered=False,
    )
    return {
        "uniform": join.is_uniform,
        "change_count": join.change_count,
        "text": write_steps(steps, terms=terms),
        "steps": steps_to_json(steps),
    }


def _neighbour_to_json(neighbour: NeighbourCount) -> Json:
    return {
        "stitch_count": neighbour.stitch_count,
        "repeat_count": neighbour.repeat_count,
        "circumference_cm": cm(neighbour.circumference_mm),
        "exact_stitches_per_10cm": printed(neighbour.exact_stitches_per_10cm, 3),
    }
