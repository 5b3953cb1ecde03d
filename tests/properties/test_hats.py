"""Laws of whole hats over random heads, gauges and fabrics, both ways up."""

from itertools import pairwise

from hypothesis import assume, given
from hypothesis import strategies as st

from service.domain.errors import PatternMathError
from service.domain.hat_orders import HatOrder
from service.domain.hats import HatPlan, plan_hat
from service.domain.steps import canonical, consumed_by, made_by
from tests.orders import TABLES, WORSTED, hat_order, hat_orders


def _planned(order: HatOrder) -> HatPlan:
    try:
        return plan_hat(order, TABLES)
    except PatternMathError:
        assume(False)
        raise


@given(hat_orders())
def test_every_round_uses_up_exactly_what_the_round_before_made(order):
    plan = _planned(order)

    for before, after in pairwise(plan.rounds):
        if after.worked_into == "previous_round":
            assert after.consumed_stitch_count == before.stitch_count
    first, last = plan.rounds[0], plan.rounds[-1]
    assert first.consumed_stitch_count == plan.foundation_stitch_count
    if last.worked_into == "foundation_edge":
        assert last.consumed_stitch_count == plan.foundation_stitch_count


@given(hat_orders())
def test_counts_are_those_of_the_steps_and_of_the_counting_chain(order):
    plan = _planned(order)

    for worked in plan.rounds:
        counting = 1 if worked.start is not None and worked.start.counts_as_stitch else 0
        in_ring = worked.worked_into == "ring"
        consumed = consumed_by(worked.steps, worked_into=worked.worked_into)
        assert consumed + (0 if in_ring else counting) == worked.consumed_stitch_count
        assert made_by(worked.steps) + counting == worked.stitch_count


@given(hat_orders())
def test_steps_stand_in_their_standard_form(order):
    plan = _planned(order)

    for worked in plan.rounds:
        assert worked.steps == canonical(worked.steps)


@given(hat_orders())
def test_body_and_brim_hold_whole_repeats_and_the_crown_meets_the_body(order):
    plan = _planned(order)

    assert plan.counts.body == plan.counts.chosen.count.repeat_count * order.fabric.stitch_multiple
    if order.brim is not None:
        assert plan.counts.brim % order.brim.fabric.stitch_multiple == 0
    body = {worked.stitch_count for worked in plan.rounds if worked.section == "body"}
    assert body == {plan.counts.body}
    if plan.crown is not None:
        wide = plan.crown.rounds[0 if order.is_from_brim else -1]
        edge = wide.consumed_stitch_count if order.is_from_brim else wide.stitch_count
        assert edge == plan.counts.body


@given(hat_orders())
def test_heights_add_up_to_the_depth_within_half_a_round(order):
    plan = _planned(order)

    assert abs(plan.depth_mm - plan.size.depth_mm) <= plan.gauges.body.round_height_mm / 2 + 1e-6


@given(hat_orders())
def test_cables_cross_one_vertical_repeat_apart_with_a_straight_round_at_the_end(order):
    plan = _planned(order)
    assume(order.fabric.is_crossed and order.fabric.round_repeat_count > 1)

    body = [worked.kind for worked in plan.rounds if worked.section == "body"]
    rounds = {column.crossing.round_in_repeat for column in order.fabric.columns if column.crossing}
    places = [number for number, kind in enumerate(body) if kind == "cross"]
    if len(rounds) == 1:
        assert {after - before for before, after in pairwise(places)} <= {order.fabric.round_repeat_count}
    if order.is_from_brim:
        assert body[-1] == "pattern"


@given(hat_orders())
def test_yarn_by_round_adds_up_to_the_whole(order):
    plan = _planned(order)
    estimate = plan.yarn.estimate
    assume(estimate is not None)

    assert sum(part.length_m for part in estimate.parts) == estimate.parts[-1].cumulative_length_m
    assert abs(estimate.parts[-1].cumulative_length_m - estimate.length_m.median) < 1e-9
    assert len(estimate.parts) == len(plan.rounds) + (plan.foundation_stitch_count > 0)


@given(st.floats(330, 620), st.floats(1, 40), st.sampled_from(["plain-sc", "cable-2x2", "post-rib-2x2"]))
def test_a_bigger_head_never_gets_a_smaller_hat(head_mm, more_mm, fabric):
    small = _planned(hat_order(head_mm=head_mm, fabric=fabric, brim=None))
    large = _planned(hat_order(head_mm=head_mm + more_mm, fabric=fabric, brim=None))

    assert large.counts.body >= small.counts.body
    assert large.size.depth_mm >= small.size.depth_mm


@given(st.floats(400, 620), st.floats(12, 24), st.floats(1.0, 1.5))
def test_a_finer_gauge_never_gets_fewer_stitches(head_mm, stitches, finer):
    coarse = _planned(hat_order(head_mm=head_mm, stitches_per_10cm=stitches))
    fine = _planned(hat_order(head_mm=head_mm, stitches_per_10cm=stitches * finer))

    assert fine.counts.body >= coarse.counts.body


@given(st.floats(500, 620), st.sampled_from(["plain-sc", "cable-2x2"]))
def test_a_hat_with_one_repeat_more_takes_more_yarn(head_mm, fabric):
    plan = _planned(hat_order(head_mm=head_mm, fabric=fabric, brim=None, yarn=WORSTED))

    for each in plan.alternatives:
        larger = each.fit.count.stitch_count > plan.counts.body
        assert (each.yarn_difference_m > 0) == larger


@given(st.floats(480, 620), st.floats(5, 60), st.sampled_from(["plain-sc", "cable-2x2", "post-rib-2x2"]))
def test_a_body_with_more_repeats_takes_at_least_their_yarn_more(head_mm, more_mm, fabric):
    small = _planned(hat_order(head_mm=head_mm, fabric=fabric, brim=None))
    large = _planned(hat_order(head_mm=head_mm + more_mm, fabric=fabric, brim=None))
    assume(large.counts.body > small.counts.body)

    # Each stitch more is at least a single crochet in a straight round, and a larger hat is no shallower.
    more = _body_units(large)[-1] - _body_units(small)[-1]
    assert more >= large.counts.body - small.counts.body - 1e-6
    assert large.depth_mm >= small.depth_mm - small.gauges.body.round_height_mm


def _body_units(plan):
    pairs = zip(plan.rounds, plan.yarn.round_units, strict=True)
    return [units for worked, units in pairs if worked.section == "body"]
