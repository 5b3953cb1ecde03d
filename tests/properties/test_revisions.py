"""Laws of hats on the hook, whatever the hat, the round and the tension."""

from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from service.domain.errors import PatternMathError
from service.domain.hat_orders import HatOrder
from service.domain.hats import HatPlan, plan_hat
from service.domain.hook_states import HookState, planned_state
from service.domain.revision_outcomes import FELT_MM, lies_better
from service.domain.revisions import Revision, RevisionOption, revise_hat
from service.domain.rounding import TIE_TOLERANCE
from service.domain.rounds import Round
from tests.orders import TABLES, hat_orders

PARTS = st.floats(0, 1)
WIDTHS, HEIGHTS = st.floats(0.9, 1.1), st.floats(0.92, 1.08)


def _planned(order: HatOrder) -> HatPlan:
    try:
        return plan_hat(order, TABLES)
    except PatternMathError:
        assume(False)
        raise


def _round_at(plan: HatPlan, part: float) -> int:
    return 1 + int(part * (len(plan.rounds) - 1))


def _state(plan: HatPlan, number: int, width: float, height: float, rip: int | None = None) -> HookState:
    planned = planned_state(plan, number)
    return HookState(
        round_number=number,
        circumference_mm=planned.circumference_mm * width,
        height_mm=planned.height_mm * height,
        rip_back_to_round=rip,
    )


def _told(worked: Round) -> tuple[object, ...]:
    return (worked.worked_into, worked.stitch_count, worked.start, worked.join, worked.steps)


def _by_action(revision: Revision) -> dict[str, RevisionOption]:
    found: dict[str, RevisionOption] = {option.action: option for option in revision.options}
    assert len(found) == len(revision.options)
    return found


@given(order=hat_orders(), part=PARTS)
def test_on_plan_and_on_gauge_there_is_nothing_to_do_but_go_on(order: HatOrder, part: float) -> None:
    plan = _planned(order)
    number = _round_at(plan, part)

    revision = revise_hat(plan, _state(plan, number, 1, 1), TABLES)

    [option] = revision.options
    assert option.action == "go_on"
    assert [_told(worked) for worked in option.rounds] == [_told(worked) for worked in plan.rounds[number:]]


@given(order=hat_orders(), part=PARTS, width=WIDTHS, height=HEIGHTS)
def test_every_way_goes_on_from_the_stitches_that_it_keeps(
    order: HatOrder, part: float, width: float, height: float
) -> None:
    plan = _planned(order)
    number = _round_at(plan, part)

    revision = revise_hat(plan, _state(plan, number, width, height), TABLES)

    for option in revision.options:
        kept, rounds = option.after_round, option.plan.rounds
        assert kept == number if option.action != "rip_back" else kept < number
        assert [_told(worked) for worked in rounds[:kept]] == [_told(worked) for worked in plan.rounds[:kept]]
        assert [worked.number for worked in option.rounds] == list(range(kept + 1, len(rounds) + 1))
        for before, worked in pairwise((*plan.rounds[:kept], *option.rounds)):
            if worked.worked_into == "previous_round":
                assert worked.consumed_stitch_count == before.stitch_count
        miss_mm = abs(option.plan.depth_mm - plan.size.depth_mm)
        assert option.outcome.depth_miss_mm == pytest.approx(miss_mm, abs=1e-6)
        if kept and option.rounds and option.rounds[0].worked_into == "foundation_edge":
            assert option.plan.foundation_stitch_count == plan.foundation_stitch_count


@given(order=hat_orders(), part=PARTS, width=WIDTHS, height=HEIGHTS)
def test_no_way_stands_that_gains_nothing(order: HatOrder, part: float, width: float, height: float) -> None:
    plan = _planned(order)

    ways = _by_action(revise_hat(plan, _state(plan, _round_at(plan, part), width, height), TABLES))

    going_on = ways.pop("go_on")
    for option in ways.values():
        assert option.likelihood >= going_on.likelihood - TIE_TOLERANCE
        nearer_mm = going_on.outcome.depth_miss_mm - option.outcome.depth_miss_mm
        is_likelier = option.likelihood > going_on.likelihood + 0.01
        is_smoother = nearer_mm > -FELT_MM and lies_better(option.outcome, going_on.outcome)
        assert is_likelier or nearer_mm >= FELT_MM or is_smoother
        assert option.action == "adjust" or is_likelier


@given(order=hat_orders(), part=PARTS, width=WIDTHS, height=HEIGHTS)
def test_ripping_back_undoes_no_round_that_the_new_hat_has_as_well(
    order: HatOrder, part: float, width: float, height: float
) -> None:
    plan = _planned(order)

    ways = _by_action(revise_hat(plan, _state(plan, _round_at(plan, part), width, height), TABLES))

    if "rip_back" in ways:
        option = ways["rip_back"]
        assert option.changed_rounds[:1] == (option.after_round + 1,)


@given(order=hat_orders(), part=PARTS, width=st.sampled_from([0.95, 1.05]))
def test_a_looser_hand_never_gets_more_stitches_and_a_tighter_one_never_fewer(
    order: HatOrder, part: float, width: float
) -> None:
    plan = _planned(order)
    number = _round_at(plan, part)

    revision = revise_hat(plan, _state(plan, number, width, 1), TABLES)

    for option in revision.options:
        change = option.plan.counts.body - plan.counts.body
        assert change <= 0 if width > 1 else change >= 0


@given(order=hat_orders(), part=PARTS, back=st.floats(0, 0.999), width=WIDTHS)
def test_ripping_back_as_asked_is_always_answered(
    order: HatOrder, part: float, back: float, width: float
) -> None:
    plan = _planned(order)
    number = _round_at(plan, part)
    asked = int(back * number)

    revision = revise_hat(plan, _state(plan, number, width, 1, rip=asked), TABLES)

    option = _by_action(revision)["rip_back"]
    assert option.after_round == asked
    assert bool(option.changed_rounds) != bool(revision.notices)
