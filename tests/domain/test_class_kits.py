"""Classes: every kit is the plan of its head alone; sums add up, and pooled yarn never takes more balls."""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.domain.class_kits import ClassKits, ClassOrder, Kit, Participant, plan_class
from service.domain.class_workshops import gauge_in_hand
from service.domain.class_yarns import ClassYarn, total_working
from service.domain.errors import (
    CrownCannotClose,
    FabricTooComplex,
    NoRoomForHead,
    WorkBudgetExceeded,
    YarnUnderdetermined,
)
from service.domain.fabrics import Column, Crossing, Fabric
from service.domain.hat_orders import CrownWishes, HatOrder
from service.domain.hats import HatPlan, plan_hat
from service.domain.heads import head_of_size, measured_head
from service.domain.yarns import Yarn, yarn_diameter_mm
from tests.orders import TABLES, WORSTED, hat_order

FINE = Yarn(tex=400, ball_mass_g=50, ball_length_m=125)
YARNS = (ClassYarn(yarn=WORSTED, name="worsted", colour="red"), ClassYarn(yarn=FINE, name="fine"))


def _people(*heads_mm: float, **options: Any) -> tuple[Participant, ...]:
    return tuple(Participant(head=measured_head(head_mm, tables=TABLES), **options) for head_mm in heads_mm)


def _class(people: tuple[Participant, ...], *, design: HatOrder | None = None, **rest: Any) -> ClassKits:
    return plan_class(ClassOrder(participants=people, design=design or hat_order(), **rest), TABLES)


def _plan(kit: Kit) -> HatPlan:
    assert kit.plan is not None
    return kit.plan


@pytest.mark.parametrize("worked", ["from_brim", "from_crown"])
@pytest.mark.parametrize("fabric", ["cable-2x2", "plain-sc", "basket-weave-4x4"])
def test_every_kit_is_the_plan_of_its_head_alone(fabric: str, worked: Any) -> None:
    heads_mm = (500, 560, 561, 600, 500)
    design = hat_order(fabric=fabric, worked=worked)

    made = _class(_people(*heads_mm, yarn_position=1), design=design, yarns=YARNS)

    for kit, head_mm in zip(made.kits, heads_mm, strict=True):
        alone = hat_order(
            head_mm=head_mm,
            fabric=fabric,
            worked=worked,
            yarn=FINE,
            size={"yarn_diameter_mm": yarn_diameter_mm(FINE)},
        )
        assert kit.plan == plan_hat(alone, TABLES)


def test_equal_heads_with_equal_options_are_planned_once() -> None:
    made = _class(_people(560, 600, 560))

    assert made.kits[0].plan is made.kits[2].plan
    assert made.totals.distinct_plan_count == 2


def test_heads_with_equal_counts_share_their_rounds() -> None:
    made = _class(_people(560, 560.5))

    first, second = map(_plan, made.kits)
    assert first is not second
    assert first.rounds is second.rounds


def test_a_hat_that_cannot_be_made_is_one_refusal_among_ninety_nine_kits() -> None:
    heads_mm = [480 + 1.5 * number for number in range(100)]
    heads_mm[41] = 60
    design = hat_order(size={"ease_mm": -35.0})

    made = _class(_people(*heads_mm), design=design)

    assert isinstance(made.kits[41].refusal, NoRoomForHead)
    assert [number for number, kit in enumerate(made.kits) if kit.plan is None] == [41]
    assert made.totals.kit_count == 99


def test_a_crown_that_cannot_be_made_is_tried_once_for_heads_with_equal_counts() -> None:
    made = _class(_people(560, 560.5), design=hat_order(crown=CrownWishes(round_count=2)))

    first, second = (kit.refusal for kit in made.kits)
    assert isinstance(first, CrownCannotClose)
    assert second is first


def test_a_crown_that_is_given_up_weighs_what_was_done_of_it() -> None:
    wide = Fabric(
        "dc",
        (
            Column("back", 3),
            Column("front", 8, Crossing(4, "right")),
            Column("flat", 3),
            Column("front", 4, Crossing(2, "left")),
        ),
        4,
    )
    design = hat_order(
        fabric=wide, stitches_per_10cm=40, rounds_per_10cm=24, crown=CrownWishes(group_count=3)
    )

    made = _class(_people(560, 560.5), design=design)

    refusal = made.kits[0].refusal
    assert isinstance(refusal, FabricTooComplex)
    assert refusal.weighed_work_units > 0
    # Two hats are begun at 2000 units each; the crown of both is tried once.
    assert made.work_units == 2 * 2000 + refusal.weighed_work_units


def test_the_fit_of_a_participant_beats_the_ease_of_the_design() -> None:
    people = (*_people(570), *_people(570, fit="close"))

    usual, close = map(_plan, _class(people, design=hat_order(size={"ease_mm": -30.0})).kits)

    assert usual.size.ease_mm == -30
    alone = hat_order(head_mm=570, size={"fit": "close"})
    assert close == plan_hat(alone, TABLES)


def test_options_change_the_plan_and_nothing_else_does() -> None:
    people = (
        *_people(570),
        *_people(570, fit="relaxed"),
        *_people(570, is_left_handed=True),
        *_people(570, evenness="beginner"),
    )

    usual, relaxed, left, uneven = (_plan(kit) for kit in _class(people).kits)

    assert relaxed.size.finished_circumference_mm > usual.size.finished_circumference_mm
    assert left.rounds == usual.rounds
    assert "left_handed" in {notice.code for notice in left.notices}
    assert uneven.counts.fit_probability < usual.counts.fit_probability


def test_an_uneven_hand_is_less_sure_and_a_steady_one_drifts_still() -> None:
    given_gauge = hat_order().gauge.given
    sure = replace(given_gauge, gauge=replace(given_gauge.gauge, width_error=0.02))

    errors = [
        gauge_in_hand(sure, hand, TABLES).gauge.width_error for hand in ("steady", "typical", "beginner")
    ]

    # s^2 = 0.02^2 + (0.12^2 - 0.08^2) / 18.5; a steady hand is no surer than what was stated.
    assert errors == pytest.approx([0.02, 0.02, 0.028852], abs=1e-6)


def test_balls_are_counted_by_kit_and_from_one_heap() -> None:
    made = _class(_people(*[570] * 10), yarns=YARNS)

    worsted, fine = made.yarns
    need = _plan(made.kits[0]).yarn.estimate
    assert need is not None
    assert worsted.balls is not None
    # Each needs a little over one ball of 170 m: two by kit, less when it is wound off.
    assert need.buy.ball_count == 2
    assert worsted.balls.by_kit == 20
    assert worsted.balls.pooled == -(-10 * need.buy.length_m // 170)
    assert worsted.balls.one_lot == 20 + worsted.balls.spare
    assert (fine.kit_count, fine.length_m) == (0, 0.0)
    assert fine.balls is not None
    assert (fine.balls.by_kit, fine.balls.pooled, fine.balls.spare) == (0, 0, 0)


def test_what_is_left_over_is_the_balls_less_what_the_kits_need() -> None:
    made = _class(_people(*[570] * 10), yarns=YARNS)

    balls, need = made.yarns[0].balls, _plan(made.kits[0]).yarn.estimate
    assert balls is not None
    assert need is not None
    assert balls.by_kit_leftover_m == pytest.approx(10 * round(need.buy.leftover_m or 0, 1))
    assert balls.pooled_leftover_m == pytest.approx(170 * balls.pooled - 10 * need.buy.length_m, abs=0.05)


def test_a_ball_known_by_its_mass_is_as_long_as_its_tex_makes_it() -> None:
    by_mass = ClassYarn(yarn=Yarn(tex=500, ball_mass_g=50))

    [total] = _class(_people(*[570] * 4), yarns=(by_mass,)).yarns

    # 50 g at 500 tex are 100 m.
    assert total.balls is not None
    assert total.balls.pooled_leftover_m == pytest.approx(
        100 * total.balls.pooled - 2 * total.mass_g, abs=0.4
    )


def test_a_yarn_without_a_ball_is_told_by_length_and_mass_alone() -> None:
    [total] = _class(_people(560, 600), yarns=(ClassYarn(yarn=Yarn(tex=400)),)).yarns

    assert total.balls is None
    # 400 tex are 0.4 g to the metre.
    assert total.mass_g == pytest.approx(0.4 * total.length_m, abs=0.1)
    assert [line.name for line in total_working([total])] == ["yarn_0.length", "yarn_0.mass"]


def test_the_working_tells_how_each_sum_of_a_yarn_was_reached() -> None:
    by_mass = ClassYarn(yarn=Yarn(tex=500, ball_mass_g=50))

    totals = _class(_people(570, 580), yarns=(*YARNS[:1], by_mass)).yarns

    lines = {line.name: line for line in total_working(totals)}
    for place, (total, measure) in enumerate(zip(totals, ("length", "mass"), strict=True)):
        assert total.balls is not None
        assert lines[f"yarn_{place}.by_kit"].value == total.balls.by_kit
        assert lines[f"yarn_{place}.spare"].value == total.balls.spare
        pooled = lines[f"yarn_{place}.pooled"]
        assert pooled.value == total.balls.pooled
        assert pooled.formula == f"ceil(sum of the {measure}s of its kits / {measure} of a ball)"


@pytest.mark.parametrize(("yarns", "ball_count"), [(YARNS, 0), ((ClassYarn(yarn=Yarn(tex=400)),), None)])
def test_where_nobody_has_a_kit_nothing_is_bought(
    yarns: tuple[ClassYarn, ...], ball_count: int | None
) -> None:
    made = _class(_people(60), design=hat_order(size={"ease_mm": -35.0}), yarns=yarns)

    assert made.kits[0].plan is None
    assert (made.totals.length_m, made.totals.mass_g, made.totals.ball_count) == (0, 0, ball_count)


def test_without_yarn_there_is_none_to_buy() -> None:
    made = _class(_people(560, 600))

    assert made.yarns == ()
    assert made.totals.length_m is None
    assert made.totals.ball_count is None


def test_without_yarns_of_the_class_the_design_has_its_own() -> None:
    made = _class(_people(560), design=hat_order(yarn=WORSTED))

    assert [total.offered.yarn for total in made.yarns] == [WORSTED]
    assert made.kits[0].yarn_position == 0


def test_a_yarn_that_nothing_is_known_of_is_refused_for_the_class() -> None:
    with pytest.raises(YarnUnderdetermined):
        _class(_people(560), yarns=(ClassYarn(yarn=Yarn()),))


def test_a_hat_that_takes_longer_than_the_class_is_begun_at_home() -> None:
    [alone] = _class(_people(570)).kits
    [kit] = _class(_people(570), class_hours=3).kits

    assert kit.fits_class is False
    assert kit.beforehand is not None
    plan, pace = _plan(kit), 12 * 60
    before = kit.beforehand.to_round
    assert sum(plan.yarn.round_units[before:]) / pace <= 3
    assert sum(plan.yarn.round_units[before - 1 :]) / pace > 3
    assert kit.beforehand.section == plan.rounds[before - 1].section
    assert kit.beforehand.hours == round(sum(plan.yarn.round_units[:before]) / pace, 1)
    assert (alone.fits_class, alone.beforehand) == (None, None)


def test_a_hat_that_fits_the_class_is_begun_there() -> None:
    made = _class(_people(400, 600), class_hours=5, design=hat_order(pace_units_per_minute=15))

    assert (made.kits[0].fits_class, made.kits[0].beforehand) == (True, None)
    assert made.totals.fits_class_count == sum(kit.hours <= 5 for kit in made.kits)


def test_sizes_are_counted_by_whole_centimetres_of_the_head() -> None:
    people = (*_people(564.9, 565, 570), Participant(head=head_of_size("adult-m", tables=TABLES)))

    made = _class(people)

    assert [(size.metric_cm, size.kit_count) for size in made.size_counts] == [(56, 1), (57, 3)]


def test_a_class_that_weighs_too_much_is_refused_before_the_work() -> None:
    fine = hat_order(fabric="plain-sc", stitches_per_10cm=60, rounds_per_10cm=70)

    with pytest.raises(WorkBudgetExceeded) as refusal:
        _class(_people(*(300 + 0.8 * number for number in range(500))), design=fine)

    assert refusal.value.work_units > refusal.value.limit


PEOPLE = st.lists(
    st.builds(
        Participant,
        head=st.sampled_from([measured_head(head_mm, tables=TABLES) for head_mm in (90, 480, 545, 560, 615)]),
        fit=st.sampled_from([None, "close", "relaxed"]),
        evenness=st.sampled_from([None, "steady", "beginner"]),
        is_left_handed=st.sampled_from([None, True]),
        yarn_position=st.sampled_from([None, 0, 1]),
    ),
    min_size=1,
    max_size=8,
).map(tuple)


@given(people=PEOPLE)
def test_totals_are_the_sums_of_the_kits(people: tuple[Participant, ...]) -> None:
    made = _class(people, yarns=YARNS, class_hours=4)

    planned = [kit for kit in made.kits if kit.plan is not None]
    buys = [kit.plan.yarn.estimate.buy for kit in planned if kit.plan and kit.plan.yarn.estimate]
    assert made.totals.kit_count == len(planned) == sum(total.kit_count for total in made.yarns)
    assert made.totals.hours == pytest.approx(sum(kit.hours for kit in planned))
    assert sum(size.kit_count for size in made.size_counts) == len(planned)
    assert (made.totals.length_m or 0) == pytest.approx(sum(round(buy.length_m, 1) for buy in buys))
    assert (made.totals.length_m or 0) == pytest.approx(sum(total.length_m for total in made.yarns))
    assert (made.totals.mass_g or 0) == pytest.approx(sum(total.mass_g for total in made.yarns))
    by_kit = [total.balls.by_kit for total in made.yarns if total.balls]
    assert (made.totals.ball_count or 0) == sum(by_kit) == sum(buy.ball_count or 0 for buy in buys)


@given(people=PEOPLE, certainty=st.sampled_from([90, 95, 99]))
def test_pooling_never_needs_more_balls_than_kits(people: tuple[Participant, ...], certainty: Any) -> None:
    made = _class(people, design=hat_order(certainty_percent=certainty), yarns=YARNS)

    assert all(total.balls is not None for total in made.yarns)
    assert all(total.balls.pooled <= total.balls.by_kit for total in made.yarns if total.balls)
    assert all(total.balls.spare >= 1 for total in made.yarns if total.balls and total.kit_count)
    assert all(
        0 <= total.balls.pooled_leftover_m <= total.balls.by_kit_leftover_m + 0.1 * len(people)
        for total in made.yarns
        if total.balls
    )


@given(people=PEOPLE)
def test_more_certainty_never_takes_fewer_balls(people: tuple[Participant, ...]) -> None:
    made = [
        _class(people, design=hat_order(certainty_percent=certainty), yarns=YARNS)
        for certainty in (90, 95, 99)
    ]

    for totals in zip(*(each.yarns for each in made), strict=True):
        balls = [total.balls for total in totals if total.balls]
        assert [each.by_kit for each in balls] == sorted(each.by_kit for each in balls)
        assert [each.pooled for each in balls] == sorted(each.pooled for each in balls)


@given(data=st.data(), people=PEOPLE)
def test_permuting_participants_changes_nothing_but_the_order(
    data: st.DataObject, people: tuple[Participant, ...]
) -> None:
    order = data.draw(st.permutations(range(len(people))))

    made = _class(people, yarns=YARNS, class_hours=4)
    permuted = _class(tuple(people[place] for place in order), yarns=YARNS, class_hours=4)

    for kit, place in zip(permuted.kits, order, strict=True):
        before = made.kits[place]
        assert replace(kit, refusal=None) == replace(before, refusal=None)
        assert str(kit.refusal) == str(before.refusal)
    assert permuted.yarns == made.yarns
    assert permuted.size_counts == made.size_counts
    assert permuted.totals == made.totals
