"""From a piece of work and a yarn to what to buy."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from service.api.answers.common import notices_to_json, report_to_json
from service.api.orders import given_gauge_of, refuse_both, refuse_neither, swatch_of, yarn_of
from service.api.orders_colours import (
    colouring_of,
    refuse_changes_twice,
    refuse_without_rounds,
    states_of,
)
from service.api.orders_steps import steps_of, worked_rounds_of
from service.api.work import count_work
from service.domain.report import Notice
from service.domain.rounding import printed
from service.domain.rounds import Start
from service.domain.steps import step_count
from service.domain.tables import ReferenceTables
from service.domain.work_units import steps_work, yarn_work
from service.domain.yarn_buying import Finishing, YarnPurchase
from service.domain.yarn_checkpoints import Checkpoint, YarnState, check_states
from service.domain.yarn_estimates import estimate_yarn
from service.domain.yarn_orders import ColourYarn, YarnEstimate, YarnOrder, YarnRange
from service.domain.yarn_work import StitchSize, WorkPart, work_from_counts, work_from_steps
from service.domain.yarns import fibre_notices

__all__ = ["checkpoints_to_json", "range_to_json", "yarn_estimate_to_json", "yarn_needed_to_json"]

Json = dict[str, Any]


def yarn_estimate_to_json(order: Json, tables: ReferenceTables) -> Json:
    """Return the answer to a yarn order."""
    refuse_both(order, "stitch_counts", "rounds")
    refuse_neither(order, "stitch_counts", "rounds")
    refuse_changes_twice(order)
    refuse_without_rounds(order)
    size, gauge_notices = _size_of(order, tables)
    yarn_order = _yarn_order_of(order, size)
    estimate = estimate_yarn(yarn_order)
    count_work(yarn_work(len(yarn_order.work)))
    states = states_of(order.get("checkpoints", ()))
    checks = check_states(yarn_order, estimate, states)
    doubts = (notice for check in checks for notice in check.notices)
    return {
        **yarn_needed_to_json(estimate),
        "checkpoints": checkpoints_to_json(states, checks),
        **report_to_json(
            notices=(*estimate.notices, *fibre_notices(yarn_order.yarn), *gauge_notices, *doubts),
            assumptions=estimate.assumptions,
            working=estimate.working if order["show_working"] else None,
        ),
    }


def _yarn_order_of(order: Json, size: StitchSize | None) -> YarnOrder:
    return YarnOrder(
        yarn=yarn_of(order["yarn"]),
        work=_work_of(order, size),
        swatch=swatch_of(order.get("swatch"), size),
        stitch_weights=order.get("stitch_weights", {}),
        certainty_percent=order["certainty_percent"],
        finishing=Finishing(
            gathers_crown=order["gathers_crown"],
            has_edging=order["has_edging"],
            colour_change_count=order["colour_change_count"],
        ),
        colouring=colouring_of(order.get("colouring")),
    )


def _size_of(order: Json, tables: ReferenceTables) -> tuple[StitchSize | None, tuple[Notice, ...]]:
    if order.get("gauge") is None:
        return None, ()
    given = given_gauge_of(order["gauge"], tables)
    size = StitchSize(given.gauge.stitch_width_mm, given.gauge.round_height_mm, order["stitch"])
    return size, given.notices


def _work_of(order: Json, size: StitchSize | None) -> tuple[WorkPart, ...]:
    if order.get("stitch_counts") is not None:
        return (work_from_counts(order["stitch_counts"], size),)
    rounds = worked_rounds_of(order["rounds"])
    # A few written rounds may stand for hundreds of equal ones: each is read once.
    parts = {id(written): _part_of(written, size) for written in order["rounds"]}
    return tuple(replace(parts[id(written)], number=number) for number, written in enumerate(rounds, start=1))


def _part_of(written: Mapping[str, Any], size: StitchSize | None) -> WorkPart:
    start, steps = written.get("start"), steps_of(written["steps"])
    count_work(steps_work(step_count(steps)))
    return work_from_steps(
        steps,
        number=1,
        section=written.get("section"),
        start=None if start is None else Start(start["chain_count"], start["counts_as_stitch"]),
        is_joined=written.get("join") is not None,
        size=size,
    )


def yarn_needed_to_json(estimate: YarnEstimate, *, told_numbers: Sequence[int] | None = None) -> Json:
    """Return an estimate without its report.

    ``told_numbers`` are those of the rounds in the text that they are told in, where it has others.
    """
    return {
        "tier": estimate.tier.number,
        "sc_units": printed(estimate.units, 1),
        "length_m": range_to_json(estimate.length_m),
        "mass_g": range_to_json(estimate.mass_g),
        "buy": _purchase_to_json(estimate.buy),
        "buy_by_certainty": [_purchase_to_json(purchase) for purchase in estimate.buy_by_certainty],
        "colours": [_colour_to_json(colour, told_numbers) for colour in estimate.colours],
        "colour_change_count": estimate.colour_change_count,
        "end_count": estimate.extras.end_count,
    }


def _colour_to_json(colour: ColourYarn, told_numbers: Sequence[int] | None) -> Json:
    rounds = colour.worked_rounds
    return {
        "colour": colour.colour,
        "worked_rounds": list(rounds)
        if told_numbers is None
        else [told_numbers[each - 1] for each in rounds],
        "length_m": range_to_json(colour.length_m),
        "mass_g": range_to_json(colour.mass_g),
        "buy": _purchase_to_json(colour.buy),
        "buy_by_certainty": [_purchase_to_json(purchase) for purchase in colour.buy_by_certainty],
        "end_count": colour.extras.end_count,
        "notices": notices_to_json(colour.notices),
    }


def checkpoints_to_json(states: Sequence[YarnState], checks: Sequence[Checkpoint]) -> list[Json]:
    """Return whether the yarn that is left lasts, checkpoint by checkpoint."""
    return [_checkpoint_to_json(state, check) for state, check in zip(states, checks, strict=True)]


def _checkpoint_to_json(state: YarnState, check: Checkpoint) -> Json:
    return {
        "round": state.round_number,
        "colour": state.colour,
        "remaining_g": range_to_json(check.remaining_g),
        "reserve_g": printed(check.reserve_g, 1),
        "lasts_probability": printed(check.lasts_probability, 3),
        "lasts_to_round": check.lasts_to_round,
        "missing_g": printed(check.missing_g, 1),
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
        "from_leftovers_m": printed(purchase.from_leftovers_m, 1),
    }
