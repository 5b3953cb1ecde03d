"""From a piece of work and a yarn to what to buy."""

from collections.abc import Mapping
from typing import Any

from service.api.answers.common import report_to_json
from service.api.orders import given_gauge_of, refuse_both, refuse_neither, swatch_of, yarn_of
from service.api.orders_steps import steps_of
from service.domain.report import Notice
from service.domain.rounding import printed
from service.domain.rounds import Start
from service.domain.tables import ReferenceTables
from service.domain.yarn_buying import Finishing, YarnPurchase
from service.domain.yarn_estimates import estimate_yarn
from service.domain.yarn_orders import YarnEstimate, YarnOrder, YarnRange
from service.domain.yarn_work import StitchSize, WorkPart, work_from_counts, work_from_steps
from service.domain.yarns import fibre_notices

__all__ = ["range_to_json", "yarn_estimate_to_json", "yarn_needed_to_json"]

Json = dict[str, Any]


def yarn_estimate_to_json(order: Json, tables: ReferenceTables) -> Json:
    """Return the answer to a yarn order."""
    refuse_both(order, "stitch_counts", "rounds")
    refuse_neither(order, "stitch_counts", "rounds")
    size, gauge_notices = _size_of(order, tables)
    yarn = yarn_of(order["yarn"])
    estimate = estimate_yarn(
        YarnOrder(
            yarn=yarn,
            work=_work_of(order, size),
            swatch=swatch_of(order.get("swatch"), size),
            stitch_weights=order.get("stitch_weights", {}),
            certainty_percent=order["certainty_percent"],
            finishing=Finishing(
                gathers_crown=order["gathers_crown"],
                has_edging=order["has_edging"],
                colour_change_count=order["colour_change_count"],
            ),
        )
    )
    return {
        **yarn_needed_to_json(estimate),
        **report_to_json(
            notices=(*estimate.notices, *fibre_notices(yarn), *gauge_notices),
            assumptions=estimate.assumptions,
            working=estimate.working if order["show_working"] else None,
        ),
    }


def _size_of(order: Json, tables: ReferenceTables) -> tuple[StitchSize | None, tuple[Notice, ...]]:
    if order.get("gauge") is None:
        return None, ()
    given = given_gauge_of(order["gauge"], tables)
    size = StitchSize(given.gauge.stitch_width_mm, given.gauge.round_height_mm, order["stitch"])
    return size, given.notices


def _work_of(order: Json, size: StitchSize | None) -> tuple[WorkPart, ...]:
    if order.get("stitch_counts") is not None:
        return (work_from_counts(order["stitch_counts"], size),)
    worked = [each for each in order["rounds"] for _ in range(each["repeat_count"])]
    return tuple(_part_of(number, each, size) for number, each in enumerate(worked, start=1))


def _part_of(number: int, worked: Mapping[str, Any], size: StitchSize | None) -> WorkPart:
    start = worked.get("start")
    return work_from_steps(
        steps_of(worked["steps"]),
        number=number,
        section=None,
        start=None if start is None else Start(start["chain_count"], start["counts_as_stitch"]),
        is_joined=worked.get("join") is not None,
        size=size,
    )


def yarn_needed_to_json(estimate: YarnEstimate) -> Json:
    """Return an estimate without its report."""
    return {
        "tier": estimate.tier.number,
        "sc_units": printed(estimate.units, 1),
        "length_m": range_to_json(estimate.length_m),
        "mass_g": range_to_json(estimate.mass_g),
        "buy": _purchase_to_json(estimate.buy),
        "buy_by_certainty": [_purchase_to_json(purchase) for purchase in estimate.buy_by_certainty],
    }


def range_to_json(values: YarnRange) -> Json:
    """Return a median with its interval."""
    return {
        "low": printed(values.low, 1),
        "median": printed(values.median, 1),
        "high": printed(values.high, 1),
    }


def _purchase_to_json(purchase: YarnPurchase) -> Json:
    left_m = purchase.leftover_m
    return {
        "certainty_percent": purchase.certainty_percent,
        "ball_count": purchase.ball_count,
        "length_m": printed(purchase.length_m, 1),
        "mass_g": printed(purchase.mass_g, 1),
        "leftover_m": None if left_m is None else printed(left_m, 1),
    }
