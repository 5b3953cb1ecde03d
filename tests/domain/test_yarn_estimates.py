"""Estimates of yarn in four tiers: examples worked by hand, what is bought, what is said and refused."""

from dataclasses import replace
from math import exp, sqrt

import pytest

from service.domain.errors import YarnUnderdetermined
from service.domain.steps import Together, Work
from service.domain.yarn_buying import (
    CERTAINTIES,
    Certainty,
    Extras,
    Finishing,
    YarnNeed,
    buying_notices,
    plan_purchase,
    reckon_extras,
)
from service.domain.yarn_estimates import estimate_yarn
from service.domain.yarn_orders import YarnOrder
from service.domain.yarn_reports import two_figures
from service.domain.yarn_swatches import Swatch, swatch_units
from service.domain.yarn_tiers import TIERS, category_size, strand_length_mm_per_unit
from service.domain.yarn_work import StitchSize, work_from_counts, work_from_foundation, work_from_steps
from service.domain.yarns import Yarn, yarn_tex

SINGLE = StitchSize(stitch_width_mm=7.0, round_height_mm=6.3, stitch="sc")
DOUBLE = StitchSize(stitch_width_mm=7.0, round_height_mm=12.6, stitch="dc")
SWATCH = Swatch(mass_g=9.60, stitch_counts={"sc": 20 * 18, "ch": 21 + 18})
HAT = work_from_counts({"sc": 18 * 88 + 1252 - 83, "sc2tog": 83})
WEIGHED = YarnOrder(yarn=Yarn(tex=560), work=(HAT,), swatch=SWATCH)


def test_a_weighed_swatch_gives_the_yarn_of_one_unit() -> None:
    unit_mm = strand_length_mm_per_unit(SWATCH, tex=yarn_tex(Yarn(tex=560)), measured={})

    assert swatch_units(SWATCH, {}) == 379.5
    assert SWATCH.mass_g / 379.5 == pytest.approx(0.025296, abs=5e-7)
    assert unit_mm == pytest.approx(45.17, abs=0.005)


def test_the_hat_from_the_weighed_swatch_takes_72_8_g_and_130_m() -> None:
    estimate = estimate_yarn(WEIGHED)

    assert estimate.tier.number == 1
    assert estimate.units == 2877.5
    assert estimate.mass_g.median == pytest.approx(72.8, abs=0.05)
    assert estimate.length_m.median == pytest.approx(130.0, abs=0.05)


def test_the_working_shows_the_pencil_values() -> None:
    lines = {line.name: line.value for line in estimate_yarn(WEIGHED).working}

    assert lines["swatch_units"] == 379.5
    assert lines["unit_mass"] == pytest.approx(0.025296, abs=5e-7)
    assert lines["unit_length"] == pytest.approx(45.17, abs=0.005)
    assert lines["work_units"] == 2877.5


@pytest.mark.parametrize(("together_count", "tier"), [(20, 1), (21, 2)])
def test_a_tenth_of_the_yarn_may_be_in_stitches_that_the_swatch_lacks(together_count: int, tier: int) -> None:
    # 20 of sc2tog are 30 units of 300; 21 are 31.5 of 301.5.
    work = (work_from_counts({"sc": 270, "sc2tog": together_count}),)

    estimate = estimate_yarn(replace(WEIGHED, work=work))

    assert estimate.tier.number == tier


def test_a_stitch_that_the_swatch_has_none_of_counts_as_absent() -> None:
    swatch = Swatch(mass_g=9.60, stitch_counts={"sc": 380, "dc": 0})

    estimate = estimate_yarn(replace(WEIGHED, work=(work_from_counts({"dc": 100}),), swatch=swatch))

    assert estimate.tier.number == 2


def test_gauge_and_tex_give_the_yarn_of_single_and_double_crochet() -> None:
    single = estimate_yarn(YarnOrder(yarn=Yarn(tex=560), work=(work_from_counts({"sc": 1}, SINGLE),)))
    double = estimate_yarn(YarnOrder(yarn=Yarn(tex=560), work=(work_from_counts({"dc": 1}, DOUBLE),)))

    single_mm, double_mm = 1000 * single.length_m.median, 1000 * double.length_m.median
    assert (single.tier.number, double.tier.number) == (3, 3)
    assert single_mm == pytest.approx(49.8, abs=0.05)
    assert single_mm / SINGLE.area_mm2 == pytest.approx(1.129, abs=0.0005)
    assert double_mm == pytest.approx(92.1, abs=0.05)


def test_a_category_gives_yarn_by_area() -> None:
    work = (work_from_counts({"sc": 1000}, SINGLE),)

    estimate = estimate_yarn(YarnOrder(yarn=Yarn(weight_category=4), work=work))

    # 28 / sqrt(590) mm on each of 1000 x 7.0 x 6.3 mm2
    assert estimate.tier.number == 4
    assert estimate.length_m.median == pytest.approx(28 / sqrt(590) * 44100 / 1000)
    assert estimate.mass_g.median == pytest.approx(28 * sqrt(590) * 0.0441)


def test_a_category_without_a_gauge_takes_the_middle_gauge() -> None:
    work = (work_from_counts({"sc": 1000}),)

    estimate = estimate_yarn(YarnOrder(yarn=Yarn(weight_category=4), work=work))

    # 12.5 single crochets on 10 cm: 8 mm wide, 7.2 mm high
    assert category_size(Yarn(weight_category=4)).area_mm2 == pytest.approx(57.6)
    assert estimate.length_m.median == pytest.approx(28 / sqrt(590) * 57.6)


def test_a_tex_without_a_gauge_falls_back_on_the_category() -> None:
    order = YarnOrder(yarn=Yarn(tex=560, weight_category=4), work=(work_from_counts({"sc": 1000}),))

    estimate = estimate_yarn(order)

    assert estimate.tier.number == 4
    assert estimate.length_m.median == pytest.approx(28 / sqrt(560) * 57.6)


def test_post_rib_takes_half_as_much_again_on_its_area() -> None:
    rib = work_from_steps([Work("fpdc", 50), Work("bpdc", 50)], number=1, size=DOUBLE)
    plain = work_from_steps([Work("dc", 100)], number=1, size=DOUBLE)

    lengths = [
        estimate_yarn(YarnOrder(yarn=Yarn(weight_category=4), work=(part,))).length_m.median
        for part in (rib, plain)
    ]

    assert lengths[0] == pytest.approx(1.5 * lengths[1])


@pytest.mark.parametrize(
    ("number", "low_percent", "high_percent", "factor"),
    [(1, -9, 10, 1.10), (2, -15, 18, 1.18), (3, -22, 28, 1.28), (4, -34, 51, 1.51)],
)
def test_each_tier_has_its_interval(number: int, low_percent: int, high_percent: int, factor: float) -> None:
    tier = next(tier for tier in TIERS.values() if tier.number == number)

    assert 100 * (exp(-1.645 * tier.log_sd) - 1) == pytest.approx(low_percent, abs=0.5)
    assert 100 * (exp(1.645 * tier.log_sd) - 1) == pytest.approx(high_percent, abs=0.5)
    assert exp(1.645 * tier.log_sd) == pytest.approx(factor, abs=0.005)


def test_the_interval_of_an_estimate_is_that_of_its_tier() -> None:
    estimate = estimate_yarn(WEIGHED)

    assert estimate.length_m.low / estimate.length_m.median == pytest.approx(exp(-1.645 * 0.06))
    assert estimate.mass_g.high / estimate.mass_g.median == pytest.approx(exp(1.645 * 0.06))


def test_a_length_from_a_weighed_swatch_hangs_on_a_guessed_tex() -> None:
    estimate = estimate_yarn(replace(WEIGHED, yarn=Yarn(weight_category=4)))

    assert estimate.mass_g.high / estimate.mass_g.median == pytest.approx(exp(1.645 * 0.06))
    assert estimate.length_m.high / estimate.length_m.median == pytest.approx(
        exp(1.645 * sqrt(0.06**2 + 0.15**2))
    )


def test_strands_held_together_take_as_much_mass_and_more_length() -> None:
    one = estimate_yarn(replace(WEIGHED, yarn=Yarn(tex=560)))
    two = estimate_yarn(replace(WEIGHED, yarn=Yarn(tex=280, strand_count=2)))

    assert two.mass_g.median == pytest.approx(one.mass_g.median)
    assert two.length_m.median == pytest.approx(2 * one.length_m.median)


def test_two_strands_through_one_gauge_take_twice_the_length() -> None:
    work = (work_from_counts({"sc": 1000}, SINGLE),)

    one = estimate_yarn(YarnOrder(yarn=Yarn(tex=560), work=work))
    two = estimate_yarn(YarnOrder(yarn=Yarn(tex=560, strand_count=2), work=work))

    assert two.length_m.median == pytest.approx(2 * one.length_m.median)


def test_two_strands_by_category_weigh_as_one_yarn_of_both() -> None:
    work = (work_from_counts({"sc": 1000}, SINGLE),)

    two = estimate_yarn(YarnOrder(yarn=Yarn(weight_category=4, strand_count=2), work=work))

    # 28 x sqrt(1180) g/m2 on 0.0441 m2; each metre of a strand weighs 0.59 g.
    assert two.mass_g.median == pytest.approx(28 * sqrt(1180) * 0.0441)
    assert two.length_m.median == pytest.approx(28 * sqrt(1180) * 0.0441 / 0.59)


def test_the_yarn_of_the_rounds_is_the_yarn_of_the_hat() -> None:
    size = SINGLE
    rounds = [
        work_from_steps([Work("sc", count)], number=n, size=size) for n, count in enumerate([30, 25, 7], 1)
    ]
    order = YarnOrder(yarn=Yarn(tex=560), work=(work_from_foundation(30, size), *rounds))

    estimate = estimate_yarn(order)

    running = 0.0
    for part in estimate.parts:
        running += part.length_m
        assert part.cumulative_length_m == running
    assert running == estimate.length_m.median
    assert [part.number for part in estimate.parts] == [0, 1, 2, 3]


def test_work_without_stitches_takes_no_yarn() -> None:
    estimate = estimate_yarn(YarnOrder(yarn=Yarn(tex=560), work=()))

    assert estimate.length_m.high == 0
    assert estimate.buy.length_m == pytest.approx(0.7)


def test_legs_that_differ_are_named_by_their_stitches() -> None:
    work = (work_from_steps([Together(("bpdc", "fpdc"))], number=1, size=DOUBLE),)

    names = [line.name for line in estimate_yarn(YarnOrder(yarn=Yarn(tex=560), work=work)).assumptions]

    assert names == [
        "yarn_log_sd",
        "stitch_weight_bpdc",
        "stitch_weight_fpdc",
        "unit_length_factor",
        "height_ratio_dc",
    ]


def test_the_extras_are_ends_joins_gathering_and_the_swatch_that_is_kept() -> None:
    order = replace(
        WEIGHED,
        yarn=Yarn(tex=560, ball_mass_g=28, ball_length_m=50, strand_count=2),
        finishing=Finishing(gathers_crown=True, has_edging=True, colour_change_count=4),
    )

    extras = estimate_yarn(order).extras

    # 130.0 m by the median are 3 balls: 2 joins, and 4 changes of 2 strands.
    assert extras.ends_m == pytest.approx(0.15 * 4 * 2)
    assert extras.joins_m == pytest.approx(0.3 * (2 + 8))
    assert extras.gathering_m == 0.4
    assert extras.swatch_m == pytest.approx(9.6 / 0.56)


def test_an_unravelled_swatch_costs_nothing() -> None:
    estimate = estimate_yarn(replace(WEIGHED, swatch=replace(SWATCH, is_unravelled=True)))

    assert estimate.extras.total_m == pytest.approx(0.7)
    assert "kept_swatch" not in [line.name for line in estimate.assumptions]


def test_balls_are_counted_by_length_with_certainty_and_extras() -> None:
    order = replace(
        WEIGHED,
        yarn=Yarn(tex=560, ball_mass_g=50, ball_length_m=90),
        swatch=replace(SWATCH, is_unravelled=True),
    )

    buy = estimate_yarn(order).buy

    # 129.985 x exp(1.645 x 0.06) + 0.3 + 0.3 + 0.4 = 144.469 m
    assert buy.length_m == pytest.approx(144.469, abs=0.005)
    assert buy.ball_count == 2
    assert buy.leftover_m == pytest.approx(180 - 144.469, abs=0.005)
    assert buy.expected_leftover_m == pytest.approx(180 - 130.985, abs=0.005)


def test_balls_of_unknown_length_are_counted_by_mass() -> None:
    order = replace(WEIGHED, yarn=Yarn(tex=560, ball_mass_g=50), swatch=replace(SWATCH, is_unravelled=True))

    buy = estimate_yarn(order).buy

    # 72.79 x exp(0.0987) + 1.0 x 0.56 = 80.90 g
    assert buy.mass_g == pytest.approx(80.90, abs=0.01)
    assert buy.ball_count == 2
    assert buy.leftover_m == pytest.approx((100 - buy.mass_g) / 0.56)


def test_without_a_ball_there_are_no_balls_to_count() -> None:
    buy = estimate_yarn(WEIGHED).buy

    assert (buy.ball_count, buy.leftover_m, buy.expected_leftover_m) == (None, None, None)


@pytest.mark.parametrize(("certainty", "z"), [(90, 1.282), (95, 1.645), (99, 2.326)])
def test_certainty_is_a_quantile_of_the_normal_distribution(certainty: Certainty, z: float) -> None:
    estimate = estimate_yarn(replace(WEIGHED, certainty_percent=certainty))

    needed_m = estimate.length_m.median * exp(z * 0.06) + estimate.extras.total_m
    assert estimate.buy.certainty_percent == certainty
    assert estimate.buy.length_m == pytest.approx(needed_m)


def test_every_certainty_is_answered() -> None:
    estimate = estimate_yarn(WEIGHED)

    assert tuple(purchase.certainty_percent for purchase in estimate.buy_by_certainty) == CERTAINTIES
    assert estimate.buy == estimate.buy_by_certainty[1]


@pytest.mark.parametrize(
    ("length_m", "codes"),
    [
        (96.0, ["last_ball_tight", "one_dye_lot"]),
        (94.0, []),
        (196.0, ["last_ball_tight", "one_dye_lot"]),
        (150.0, ["one_dye_lot"]),
    ],
)
def test_a_last_ball_that_is_nearly_used_up_is_warned_of(length_m: float, codes: list[str]) -> None:
    need = YarnNeed(length_m=length_m, length_log_sd=0.0, mass_g=0.0, mass_log_sd=0.0)
    yarn = Yarn(ball_mass_g=50, ball_length_m=100)
    purchase = plan_purchase(
        need=need, extras=Extras(0, 0, 0.0, 0.0), yarn=yarn, strand_tex=500, certainty=95
    )

    notices = buying_notices(purchase=purchase, yarn=yarn, strand_tex=500)

    assert [notice.code for notice in notices] == codes


def test_a_ball_that_is_exactly_used_up_is_one_ball() -> None:
    need = YarnNeed(length_m=0.1 + 0.2, length_log_sd=0.0, mass_g=0.0, mass_log_sd=0.0)

    extras = reckon_extras(need=need, yarn=Yarn(ball_length_m=0.3), finishing=Finishing(), swatch_m=0.0)

    assert extras.joins_m == 0


@pytest.mark.parametrize(
    ("mass_g", "codes"), [(9.6, []), (96.0, ["swatch_mass_unlikely"]), (6.5, ["swatch_mass_unlikely"])]
)
def test_a_swatch_that_weighs_far_too_much_or_little_is_doubted(mass_g: float, codes: list[str]) -> None:
    # Plain cloth of 560 tex weighs 662.6 g/m2; 360 stitches of 7 x 6.3 mm should weigh 10.5 g.
    swatch = Swatch(mass_g=mass_g, stitch_counts=SWATCH.stitch_counts, size=SINGLE)

    notices = estimate_yarn(replace(WEIGHED, swatch=swatch)).notices

    assert [notice.code for notice in notices] == [*codes, "one_dye_lot"]


@pytest.mark.parametrize(("mass_g", "is_doubted"), [(9.6, False), (96.0, True)])
def test_a_swatch_of_unknown_size_is_doubted_by_its_stitches(mass_g: float, is_doubted: bool) -> None:
    swatch = Swatch(mass_g=mass_g, stitch_counts=SWATCH.stitch_counts)

    codes = [notice.code for notice in estimate_yarn(replace(WEIGHED, swatch=swatch)).notices]

    assert ("swatch_mass_unlikely" in codes) is is_doubted


def test_the_lower_tiers_say_that_they_are_rough_in_two_figures() -> None:
    order = YarnOrder(yarn=Yarn(tex=560), work=(work_from_counts({"sc": 2877}, SINGLE),))

    rough = next(notice for notice in estimate_yarn(order).notices if notice.code == "yarn_estimate_rough")

    # 143.29 m; exp(+-0.24675) makes 111.96 and 183.39 m of it.
    assert rough.values == {"tier": 3, "low_m": 110, "high_m": 180}


@pytest.mark.parametrize(
    ("value", "told"), [(187.4, 190), (94.6, 95), (1234, 1200), (0.0456, 0.046), (99.7, 100), (0, 0)]
)
def test_a_rough_figure_has_two_figures(value: float, told: float) -> None:
    rough = two_figures(value)

    assert rough == pytest.approx(told)


@pytest.mark.parametrize(
    "order",
    [
        YarnOrder(yarn=Yarn(), work=(HAT,), swatch=SWATCH),
        YarnOrder(yarn=Yarn(tex=560), work=(HAT,)),
        YarnOrder(yarn=Yarn(tex=560), work=(HAT, work_from_counts({"sc": 9}, SINGLE))),
        YarnOrder(yarn=Yarn(tex=560), work=(HAT,), swatch=Swatch(mass_g=9.6, stitch_counts={"sc": 0})),
    ],
)
def test_yarn_that_nothing_determines_is_refused(order: YarnOrder) -> None:
    with pytest.raises(YarnUnderdetermined):
        estimate_yarn(order)


def test_what_is_missing_is_named() -> None:
    with pytest.raises(YarnUnderdetermined) as refusal:
        estimate_yarn(YarnOrder(yarn=Yarn(tex=560), work=(HAT,)))

    assert refusal.value.missing == ("swatch", "gauge", "yarn.weight_category")
