"""Hats on the hook: what the work shows of its gauge, the ways on from there, and whether the yarn lasts."""

from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.domain.errors import StateContradictsPlan, YarnUnderdetermined
from service.domain.hat_orders import CrownWishes, HatOrder
from service.domain.hats import HatPlan, plan_hat
from service.domain.hook_states import HookState, gauge_as_worked, planned_state
from service.domain.revision_yarn import weighing_notices
from service.domain.revisions import Revision, RevisionOption, revise_hat
from service.domain.yarn_buying import Certainty
from service.domain.yarn_colourings import Colouring, Stripe, StripedColours
from service.patterns.proofs import prove_together
from tests.orders import TABLES, WORSTED, hat_order, hat_orders

#: Rounds 1 to 5 are the brim, 6 joins, 7 to 17 are the body, 18 to 24 the crown.
CABLES = hat_order(fabric="cable-4x4")
#: Rounds 1 to 9 are the crown: 8 16 24 32 40 48 64 72 80.
DISC = hat_order(fabric="plain-hdc", stitches_per_10cm=15, rounds_per_10cm=11, brim=None, worked="from_crown")
#: Rounds 1 to 10 are the crown.
FROM_CROWN = hat_order(fabric="plain-sc", worked="from_crown")


def _state(
    plan: HatPlan, round_number: int, *, width: float = 1.0, height: float = 1.0, **rest: Any
) -> HookState:
    planned = planned_state(plan, round_number)
    return HookState(
        round_number=round_number,
        stitch_count=planned.stitch_count,
        circumference_mm=planned.circumference_mm * width,
        height_mm=planned.height_mm * height,
        **rest,
    )


def _revise(order: HatOrder, round_number: int, **state: Any) -> Revision:
    plan = plan_hat(order, TABLES)
    return revise_hat(plan, _state(plan, round_number, **state), TABLES)


def _option(revision: Revision, action: str) -> RevisionOption:
    return next(option for option in revision.options if option.action == action)


@pytest.mark.parametrize("round_number", [1, 3, 5, 6, 7, 9, 12, 17, 18, 21, 24])
@pytest.mark.parametrize("order", [CABLES, FROM_CROWN, hat_order(fabric="basket-weave-4x4")])
def test_a_state_on_plan_and_on_gauge_returns_the_same_rest_of_the_plan(
    order: HatOrder, round_number: int
) -> None:
    plan = plan_hat(order, TABLES)
    if round_number > len(plan.rounds):
        round_number = len(plan.rounds)

    revision = revise_hat(plan, _state(plan, round_number), TABLES)

    best = revision.options[0]
    assert best.action == "go_on"
    assert best.changed_rounds == ()
    assert [worked.number for worked in best.rounds] == list(range(round_number + 1, len(plan.rounds) + 1))
    for worked, planned in zip(best.rounds, plan.rounds[round_number:], strict=True):
        assert (worked.steps, worked.stitch_count, worked.start) == (
            planned.steps,
            planned.stitch_count,
            planned.start,
        )
        assert worked.height_mm == pytest.approx(planned.height_mm)
    assert best.plan.counts.body == plan.counts.body


def test_the_work_beats_the_swatch_by_inverse_variance() -> None:
    plan = plan_hat(CABLES, TABLES)

    gauge = gauge_as_worked(plan, _state(plan, 12, width=1.05), TABLES)

    # Swatch 3.2 %, work 1 % of a width 5 % greater: weights 1/(1 * 0.032)^2 and 1/(1.05 * 0.01)^2.
    ratio = gauge.body.stitch_width_mm / plan.gauges.body.stitch_width_mm
    assert ratio == pytest.approx((1 / 0.032**2 + 1.05 / 0.0105**2) / (1 / 0.032**2 + 1 / 0.0105**2))
    assert gauge.body.width_error < 0.01
    assert gauge.body.round_height_mm == pytest.approx(plan.gauges.body.round_height_mm)


def test_what_was_not_measured_keeps_the_gauge_of_the_plan() -> None:
    plan = plan_hat(CABLES, TABLES)

    gauge = gauge_as_worked(plan, HookState(round_number=12), TABLES)

    assert gauge.body == plan.gauges.body
    assert gauge.brim == plan.gauges.brim


def test_the_brim_tells_of_the_body_by_the_same_hand() -> None:
    plan = plan_hat(CABLES, TABLES)

    gauge = gauge_as_worked(plan, _state(plan, 4, width=1.05), TABLES)

    assert plan.gauges.brim is not None
    assert gauge.brim is not None
    looser = gauge.brim.stitch_width_mm / plan.gauges.brim.stitch_width_mm
    assert 1.04 < looser < 1.05
    assert gauge.body.stitch_width_mm / plan.gauges.body.stitch_width_mm == pytest.approx(looser)
    assert gauge.body.width_error == plan.gauges.body.width_error
    assert gauge.brim.width_error < plan.gauges.brim.width_error


def test_a_tape_around_a_small_round_hardly_moves_the_swatch() -> None:
    plan = plan_hat(FROM_CROWN, TABLES)

    ring = gauge_as_worked(plan, _state(plan, 1, width=0.9), TABLES)
    body = gauge_as_worked(plan, _state(plan, 20, width=0.9), TABLES)

    # 6 stitches of 5.4 mm are 32.4 mm; the swatch is off by 3.2 % of that, the tape by 5 mm.
    ratio = ring.body.stitch_width_mm / plan.gauges.body.stitch_width_mm
    assert plan.rounds[0].stitch_count == 6
    assert ratio == pytest.approx(1 - 0.1 * 0.032**2 / (0.032**2 + (5 / (6 * 100 / 18.5)) ** 2))
    assert ratio > 0.99
    assert body.body.stitch_width_mm / plan.gauges.body.stitch_width_mm < 0.91


def test_a_crown_that_is_gathered_in_does_not_measure_the_gauge_of_the_body() -> None:
    plan = plan_hat(CABLES, TABLES)

    for number in (18, 19, 20):
        gauge = gauge_as_worked(plan, _state(plan, number, width=1.1), TABLES)

        assert gauge.body.stitch_width_mm / plan.gauges.body.stitch_width_mm < 1.01


def test_a_crown_that_lies_smooth_measures_the_gauge_of_the_body() -> None:
    plan = plan_hat(hat_order(fabric="plain-sc", rounds_per_10cm=19, brim=None), TABLES)
    number = next(worked.number for worked in plan.rounds if worked.section == "crown") + 4

    gauge = gauge_as_worked(plan, _state(plan, number, width=1.05), TABLES)

    assert gauge.body.stitch_width_mm / plan.gauges.body.stitch_width_mm > 1.04


def test_a_gathered_edge_that_is_held_open_is_credible() -> None:
    plan = plan_hat(CABLES, TABLES)

    for number in (19, 20):
        held_open = _state(plan, number, width=1.6)

        assert revise_hat(plan, held_open, TABLES).options[0].action == "go_on"


def test_a_hat_that_begins_with_the_rounds_on_the_hook_is_an_adjustment() -> None:
    # A disc of 8 more each round: looser by 6 % it is the crown of a smaller hat, up to round 6.
    revision = _revise(DISC, 5, width=1.06)

    best = revision.options[0]
    assert (best.action, best.after_round) == ("adjust", 5)
    assert best.changed_rounds[0] == 7
    assert (best.plan.counts.body, plan_hat(DISC, TABLES).counts.body) == (76, 80)


@pytest.mark.parametrize("round_number", [10, 13])
def test_ripping_back_ends_at_the_last_round_that_both_hats_have(round_number: int) -> None:
    revision = _revise(DISC, round_number, width=1.06)

    best = revision.options[0]
    assert (best.action, best.after_round) == ("rip_back", 6)
    assert best.changed_rounds[0] == 7


def test_ripping_back_as_asked_keeps_the_rounds_that_were_asked_for() -> None:
    revision = _revise(DISC, 10, width=1.06, rip_back_to_round=3)

    option = _option(revision, "rip_back")
    assert (option.after_round, option.plan.counts.body) == (3, 76)
    assert option.changed_rounds[0] == 7
    assert revision.notices == ()


def test_ripping_back_too_little_says_where_another_hat_begins() -> None:
    revision = _revise(DISC, 10, width=1.06, rip_back_to_round=8)

    option = _option(revision, "rip_back")
    assert (option.after_round, option.changed_rounds) == (8, ())
    assert [notice.code for notice in revision.notices] == ["rip_back_further"]
    assert revision.notices[0].values == {"from_round": 9, "other_from_round": 7}


def test_ripping_back_on_gauge_says_that_it_is_the_same_hat_again() -> None:
    revision = _revise(CABLES, 20, rip_back_to_round=18)

    assert _option(revision, "rip_back").changed_rounds == ()
    assert [notice.code for notice in revision.notices] == ["rip_back_as_planned"]
    assert revision.notices[0].values == {"from_round": 19}


def test_another_count_is_found_whose_crown_begins_like_the_one_on_the_hook() -> None:
    plan = plan_hat(DISC, TABLES)

    revision = _revise(DISC, 9, width=0.95)

    for option in revision.options:
        told = [worked.stitch_count for worked in plan.rounds[: option.after_round]]
        assert [worked.stitch_count for worked in option.plan.rounds[: option.after_round]] == told


def test_other_crown_rounds_that_no_one_sees_are_left_out() -> None:
    revision = _revise(CABLES, 15, width=1.01)

    assert [option.action for option in revision.options] == ["go_on"]


def test_a_crown_that_lies_better_is_offered_at_the_same_fit_and_depth() -> None:
    revision = _revise(hat_order(), 15, width=0.952)

    adjusting, going_on = _option(revision, "adjust"), _option(revision, "go_on")
    assert adjusting.likelihood == pytest.approx(going_on.likelihood)
    assert adjusting.plan.depth_mm == pytest.approx(going_on.plan.depth_mm)
    assert adjusting.outcome.crown_shape_error is not None
    assert going_on.outcome.crown_shape_error is not None
    assert adjusting.outcome.crown_shape_error < going_on.outcome.crown_shape_error - 0.02


def test_a_body_that_would_be_further_from_its_depth_is_left_out() -> None:
    # Rounds lower by 6 %: one whole repeat more of the cable is 8 mm too deep, as it is 10 mm too shallow.
    revision = _revise(hat_order(), 11, height=0.92)

    assert "adjust" not in {option.action for option in revision.options}


def test_a_headband_has_no_crown_to_lie_better() -> None:
    revision = _revise(hat_order(size={"style": "headband"}), 8, width=1.05)

    assert {option.outcome.crown_shape_error for option in revision.options} == {None}


def test_a_cone_of_too_few_rounds_has_no_shape_to_be_told_by() -> None:
    cone = hat_order(fabric="plain-dc", brim=None, crown=CrownWishes(shape="tapered", round_count=11))

    revision = _revise(cone, 5, width=1.13, height=0.85)

    assert _option(revision, "go_on").outcome.crown_shape_error is None


def test_in_the_brim_a_looser_hand_gets_fewer_increases_and_a_tighter_one_more() -> None:
    planned = plan_hat(hat_order(), TABLES).counts.body

    looser = _option(_revise(hat_order(), 4, width=1.05), "adjust")
    tighter = _option(_revise(hat_order(), 4, width=0.95), "adjust")

    assert looser.plan.counts.body < planned < tighter.plan.counts.body
    for option in (looser, tighter):
        assert option.plan.counts.brim == 82
        assert option.rounds[0].consumed_stitch_count == 82
        assert option.changed_rounds[0] == 6


@pytest.mark.parametrize(("width", "wanted"), [(1.05, "fewer"), (0.95, "more")])
def test_in_the_body_counts_change_by_ripping_back_to_the_brim(width: float, wanted: str) -> None:
    revision = _revise(hat_order(), 9, width=width)

    option = _option(revision, "rip_back")
    change = option.plan.counts.body - 102
    assert option.after_round == 5
    assert (change < 0) == (wanted == "fewer")
    assert change != 0
    assert option.plan.counts.fit_probability > _option(revision, "go_on").plan.counts.fit_probability


def test_a_hat_that_fits_badly_is_ripped_back_and_one_that_fits_goes_on() -> None:
    bad, good = _revise(hat_order(), 9, width=1.06), _revise(hat_order(), 9, width=1.005)

    assert bad.options[0].action == "rip_back"
    assert good.options[0].action == "go_on"


def test_higher_rounds_shorten_a_cabled_body_by_whole_repeats() -> None:
    plan = plan_hat(CABLES, TABLES)

    option = _option(_revise(CABLES, 11, height=1.35), "adjust")

    fewer = plan.layout.body_round_count - option.plan.layout.body_round_count
    assert fewer == 4
    assert abs(option.plan.depth_mm - plan.size.depth_mm) < 1.35 * 4 * plan.gauges.body.round_height_mm


def test_a_cable_keeps_its_rhythm() -> None:
    plan = plan_hat(CABLES, TABLES)

    option = _option(_revise(CABLES, 13, height=0.9), "adjust")

    crossings = [
        worked.number for worked in option.plan.rounds if worked.section == "body" and worked.kind == "cross"
    ]
    assert [b - a for a, b in pairwise(crossings)] == [4] * (len(crossings) - 1)
    assert option.plan.layout.lead_in_round_count == plan.layout.lead_in_round_count


def test_from_the_crown_the_rest_of_the_body_changes_and_the_crown_stays() -> None:
    plan = plan_hat(FROM_CROWN, TABLES)

    option = _option(_revise(FROM_CROWN, 14, height=1.06), "adjust")

    assert option.plan.crown == plan.crown
    assert option.plan.layout.body_round_count < plan.layout.body_round_count
    assert abs(option.plan.depth_mm - plan.size.depth_mm) < plan.gauges.body.round_height_mm


def test_in_the_brim_from_the_crown_its_rounds_fill_the_depth() -> None:
    plan = plan_hat(FROM_CROWN, TABLES)
    number = len(plan.rounds) - 2

    option = _option(_revise(FROM_CROWN, number, height=0.92), "adjust")

    assert option.plan.layout.brim_round_count > plan.layout.brim_round_count
    assert option.plan.counts.brim == plan.counts.brim


def test_a_hat_without_a_brim_that_waits_for_its_edging_has_no_rounds_to_fill_the_depth() -> None:
    order = hat_order(fabric="plain-sc", worked="from_crown", brim=None, has_edging=True)
    plan = plan_hat(order, TABLES)
    last = len(plan.rounds)

    revision = _revise(order, last, height=1.1)

    assert [option.action for option in revision.options] == ["rip_back", "go_on"]
    assert _option(revision, "go_on").rounds == ()
    assert _option(revision, "rip_back").plan.rounds[-1].section == "edging"


def test_a_rest_that_no_longer_fits_the_depth_is_no_way_on() -> None:
    # Ten crown rounds and a body fill 16.3 cm; at rounds half as high again they do not.
    shallow = hat_order(crown=CrownWishes(round_count=10), size={"depth_mm": 163.0})

    revision = _revise(shallow, 4, height=1.5)

    assert [option.action for option in revision.options] == ["go_on"]


def test_ripping_back_goes_where_it_is_asked_to() -> None:
    revision = _revise(CABLES, 12, rip_back_to_round=8)

    option = _option(revision, "rip_back")
    assert option.after_round == 8
    assert option.rounds[0].number == 9


@pytest.mark.parametrize(
    ("state", "departs", "word"),
    [
        (HookState(round_number=40), 24, "24 rounds"),
        (HookState(round_number=12, stitch_count=101), 12, "101"),
        (HookState(round_number=20, stitch_count=100), 18, "part at round 18"),
        (HookState(round_number=9, stitch_count=80), 6, "part at round 6"),
        (HookState(round_number=12, circumference_mm=270), 12, "all the way around"),
        (HookState(round_number=12, circumference_mm=1000), 12, "tension"),
        (HookState(round_number=12, height_mm=30), 12, "along the fabric"),
        (HookState(round_number=12, rip_back_to_round=12), 12, "round 12"),
    ],
)
def test_a_state_that_contradicts_the_plan_is_refused_with_the_round_where_it_departs(
    state: HookState, departs: int, word: str
) -> None:
    with pytest.raises(StateContradictsPlan) as refusal:
        revise_hat(plan_hat(CABLES, TABLES), state, TABLES)

    assert refusal.value.round == departs
    assert word in str(refusal.value)


def test_yarn_that_lasts_is_said_to_last() -> None:
    revision = _revise(hat_order(yarn=WORSTED), 12, mass_left_g=200)

    outlook = revision.options[0].yarn
    assert outlook is not None
    assert outlook.checkpoint.lasts_probability > 0.999
    assert outlook.checkpoint.lasts_to_round == len(revision.options[0].plan.rounds)
    assert outlook.shortening is None


def test_yarn_that_does_not_last_says_how_far_and_what_to_shorten() -> None:
    order = hat_order(fabric="plain-sc", brim=None, yarn=WORSTED)
    plan = plan_hat(order, TABLES)
    enough = _needed_g(plan, 6)

    revision = revise_hat(plan, HookState(round_number=6, mass_left_g=enough - 8), TABLES)

    [going_on] = revision.options
    outlook = going_on.yarn
    assert outlook is not None
    assert outlook.shortening is not None
    assert 6 < outlook.checkpoint.lasts_to_round < len(plan.rounds)
    assert outlook.checkpoint.missing_g == pytest.approx(8)
    body_m = next(part.length_m for part in _parts(plan) if part.section == "body")
    # At 95 % and an sd of 0.15 each body round is reckoned 28 % dearer than its median.
    assert outlook.shortening.round_count == -(-8 // (body_m * 100 / 170 * 1.2798))


def test_in_the_crown_no_body_is_left_to_shorten() -> None:
    plan = plan_hat(hat_order(yarn=WORSTED), TABLES)
    crown_begins = next(worked.number for worked in plan.rounds if worked.section == "crown")

    revision = revise_hat(plan, HookState(round_number=crown_begins, mass_left_g=0), TABLES)

    outlook = revision.options[0].yarn
    assert outlook is not None
    assert outlook.checkpoint.missing_g > 0
    assert outlook.shortening is None


@pytest.mark.parametrize(
    ("colours", "mass_left_g", "counts"),
    [(("red", "blue"), 60.0, [2]), (("red", "blue"), None, []), (("red",), 60.0, [])],
)
def test_yarn_of_several_colours_that_was_weighed_as_one_is_cautioned_about(
    colours: tuple[str, ...], mass_left_g: float | None, counts: list[int]
) -> None:
    stripes = StripedColours(tuple(Stripe((colour,), 2) for colour in colours))
    plan = plan_hat(hat_order(yarn=WORSTED, colouring=Colouring(stripes)), TABLES)

    notices = weighing_notices(plan, mass_left_g=mass_left_g)

    assert [notice.values["colour_count"] for notice in notices] == counts


def _parts(plan: HatPlan) -> Any:
    assert plan.yarn.estimate is not None
    return plan.yarn.estimate.parts


def _needed_g(plan: HatPlan, after_round: int) -> float:
    """Return what the rest takes to be 95 % sure, by weighing nothing at all."""
    state = HookState(round_number=after_round, mass_left_g=0)
    outlook = revise_hat(plan, state, TABLES).options[0].yarn
    assert outlook is not None
    return outlook.checkpoint.missing_g


def test_ripping_back_gives_its_yarn_back() -> None:
    order = hat_order(yarn=WORSTED)

    revision = _revise(order, 12, mass_left_g=50, rip_back_to_round=8)

    going_on, ripping = _option(revision, "go_on").yarn, _option(revision, "rip_back").yarn
    assert going_on is not None
    assert ripping is not None
    assert ripping.checkpoint.remaining_g.median > going_on.checkpoint.remaining_g.median
    assert ripping.checkpoint.lasts_probability == pytest.approx(
        going_on.checkpoint.lasts_probability, abs=0.15
    )


def test_yarn_that_nothing_is_known_of_cannot_be_judged() -> None:
    with pytest.raises(YarnUnderdetermined):
        _revise(hat_order(), 12, mass_left_g=50)


@pytest.mark.parametrize("certainty", [90, 95, 99])
def test_more_certainty_never_reaches_further(certainty: Certainty) -> None:
    surer: Certainty = 99

    reached = [
        _revise(hat_order(yarn=WORSTED, certainty_percent=each), 9, mass_left_g=40).options[0].yarn
        for each in (certainty, surer)
    ]

    assert reached[0] is not None
    assert reached[1] is not None
    assert reached[1].checkpoint.lasts_to_round <= reached[0].checkpoint.lasts_to_round
    assert reached[1].checkpoint.missing_g >= reached[0].checkpoint.missing_g


@given(order=hat_orders(), part=st.floats(0, 1), width=st.floats(0.9, 1.1), height=st.floats(0.85, 1.15))
def test_every_way_on_continues_the_work_and_can_be_proved(
    order: HatOrder, part: float, width: float, height: float
) -> None:
    try:
        plan = plan_hat(order, TABLES)
    except ValueError:
        return
    number = 1 + int(part * (len(plan.rounds) - 1))

    revision = revise_hat(plan, _state(plan, number, width=width, height=height), TABLES)

    prove_together([option.plan for option in revision.options])
    assert revision.options[0].likelihood >= _option(revision, "go_on").likelihood
    for option in revision.options:
        rounds = option.plan.rounds
        assert [worked.number for worked in rounds] == list(range(1, len(rounds) + 1))
        assert [worked.steps for worked in rounds[: option.after_round]] == [
            worked.steps for worked in plan.rounds[: option.after_round]
        ]
        for before, worked in pairwise(rounds):
            if worked.worked_into == "previous_round":
                assert worked.consumed_stitch_count == before.stitch_count


@pytest.mark.parametrize("done", [1, 2])
def test_in_the_brim_from_the_crown_no_more_is_planned_than_is_worked_where_that_fills_the_depth(
    done: int,
) -> None:
    plan = plan_hat(FROM_CROWN, TABLES)
    begins = next(worked.number for worked in plan.rounds if worked.section == "brim")

    option = _option(_revise(FROM_CROWN, begins - 1 + done, height=1.3), "adjust")

    assert option.plan.layout.brim_round_count == done
    assert option.rounds == ()


@pytest.mark.parametrize(("missing_g", "round_count"), [(1, 1), (8, 2), (15, 3)])
def test_a_weave_that_crosses_nothing_is_shortened_round_by_round(missing_g: float, round_count: int) -> None:
    plan = plan_hat(hat_order(fabric="basket-weave-4x4", yarn=WORSTED), TABLES)
    state = HookState(round_number=6, mass_left_g=_needed_g(plan, 6) - missing_g)

    outlook = revise_hat(plan, state, TABLES).options[0].yarn

    assert outlook is not None
    assert outlook.shortening is not None
    assert outlook.shortening.round_count == round_count
    assert outlook.shortening.height_mm == pytest.approx(round_count * plan.gauges.body.round_height_mm)
