"""What the maker should know, with the figures that its sentence needs."""

from dataclasses import replace
from math import floor
from typing import Any

import pytest

from service.domain.crown_orders import CrownOrder
from service.domain.crown_reviews import closing_notices
from service.domain.crowns import plan_crown
from service.domain.fabrics import Column, Crossing, Fabric
from service.domain.fit import FitTarget
from service.domain.gauge import give_gauge
from service.domain.gauge_readings import GaugeOrder, GaugeReading, measure_gauge
from service.domain.hat_orders import CrownWishes
from service.domain.hats import plan_hat
from service.domain.heads import head_at_age, measured_head
from service.domain.repeat_fits import CountOrder, RepeatFitOrder, fit_repeats
from service.domain.report import Notice
from service.domain.sizing import SizeOrder, finish_size
from service.domain.steps import Cross, Step, Work
from service.domain.texture import gauge_for_fabric
from service.domain.yarn_buying import YarnPurchase, buying_notices
from service.domain.yarn_colourings import Colouring, ColourSource, Stripe, StripedColours
from service.domain.yarn_estimates import estimate_yarn
from service.domain.yarn_hours import working_time
from service.domain.yarn_orders import YarnOrder
from service.domain.yarn_swatches import Swatch
from service.domain.yarn_work import StitchSize, work_from_steps
from service.domain.yarns import Yarn, fibre_notices, yarn_tex
from tests.orders import TABLES, WORSTED, hat_order, measured

PLAIN = TABLES.fabric_by_id["plain-sc"]
PLAIN_DC = TABLES.fabric_by_id["plain-dc"]
DOUBLE = StitchSize(stitch_width_mm=7.0, round_height_mm=12.6, stitch="dc")


def near(value: float) -> Any:
    """Stand for a figure, but for the last digits of its reckoning."""
    return pytest.approx(value, rel=1e-3)


def reading(*, stitch_count: float = 20, width_mm: float = 140) -> GaugeReading:
    return GaugeReading(stitch_count=stitch_count, width_mm=width_mm, round_count=20, height_mm=140)


# A reading over 56 mm errs by 3.66 % alone; with it stand 2.5 % of drift and 4 % of a wash to come.
SMALL_SWATCH = (
    Notice("leave_edges_out", {"stitch_count": 2, "round_count": 1}),
    # sqrt(3.66^2 + 2.5^2)
    Notice("wash_swatch", {"width_error_percent": near(4.434)}),
    # sqrt(3.66^2 / 3 + 2.5^2 + 4^2)
    Notice("measure_more_places", {"place_count": 3, "width_error_percent": near(5.169)}),
    # sqrt(2.015^2 + 2.5^2 + 4^2)
    Notice("make_wider_swatch", {"stitch_count": 20, "width_error_percent": near(5.130)}),
    # sqrt(3.66^2 + 2.5^2 + 4^2)
    Notice("gauge_uncertain", {"width_error_percent": near(5.972)}),
)


def test_a_small_unwashed_swatch_is_told_what_each_advice_would_leave() -> None:
    report = measure_gauge(GaugeOrder(readings=(reading(stitch_count=8, width_mm=56),)), TABLES)

    assert report.advice == SMALL_SWATCH


def test_readings_that_disagree_are_told_by_how_much_the_widest_beats_the_narrowest() -> None:
    places = (reading(), reading(width_mm=141), reading(width_mm=168))

    advice = measure_gauge(GaugeOrder(readings=places, washed=True), TABLES).advice

    assert Notice("readings_disagree", {"spread_percent": near(20)}) in advice


def test_a_wash_is_told_by_what_it_changed_across_and_up() -> None:
    after = GaugeReading(stitch_count=20, width_mm=133, round_count=20, height_mm=143)

    advice = measure_gauge(GaugeOrder(readings=(reading(),), after_wash_readings=(after,)), TABLES).advice

    # 133 and 143 mm for 140 before.
    assert advice[-1] == Notice(
        "changed_in_wash", {"width_percent": near(-5), "height_percent": near(2.1429)}
    )


@pytest.mark.parametrize(
    ("width_error", "height_error", "washed", "told"),
    [
        (None, None, True, ()),
        (0.02, 0.02, None, ()),
        (0.02, None, None, (Notice("wash_swatch"),)),
        # sqrt(3.2^2 + 4^2)
        (
            None,
            0.02,
            False,
            (Notice("wash_swatch"), Notice("gauge_uncertain", {"width_error_percent": near(5.122)})),
        ),
        (0.02, 0.02, False, (Notice("wash_swatch"),)),
        # Beyond 4 %, and not at it.
        (0.04, 0.02, True, ()),
        (0.0401, 0.02, True, (Notice("gauge_uncertain", {"width_error_percent": near(4.01)}),)),
    ],
)
def test_a_stated_gauge_is_told_what_it_lacks(
    width_error: float | None, height_error: float | None, washed: bool | None, told: tuple[Notice, ...]
) -> None:
    given = give_gauge(
        stitches_per_10cm=16,
        rounds_per_10cm=18,
        fabric_id=None,
        width_error=width_error,
        height_error=height_error,
        washed=washed,
        tables=TABLES,
    )

    assert given.notices == told
    assert given.gauge.washed is (washed is not False)


def fitted(*, target_mm: float, multiple: int, error: float = 0.03, half_band: float = 0.05) -> Any:
    band = FitTarget(
        target_mm=target_mm, low_mm=target_mm * (1 - half_band), high_mm=target_mm * (1 + half_band)
    )
    order = CountOrder(stitch_width_mm=5.0, error=error, stitch_multiple=multiple, target=band)
    return fit_repeats(RepeatFitOrder(body=order), TABLES)


def test_a_repeat_that_forces_the_size_is_told_with_the_half_of_it_and_the_difference() -> None:
    # Repeats of 20 stitches are 100 mm: 500 mm is 20 mm less than 520, and half a repeat 50 mm.
    notices = fitted(target_mm=520, multiple=20).notices

    figures = {"stitch_multiple": 20, "half_repeat_mm": 50.0, "difference_mm": near(-20)}
    assert notices[0] == Notice("repeat_forces_size", figures)


def test_a_size_that_is_unlikely_is_told_the_gauge_at_which_its_count_would_meet_it() -> None:
    fits = fitted(target_mm=540, multiple=20)

    # 100 stitches in 540 mm are 18.52 to 10 cm.
    best = fits.candidates[0].count
    figures = {
        "fit_percent": floor(100 * best.fit_probability + 0.5),
        "exact_stitches_per_10cm": near(100 * best.stitch_count / 540),
    }
    assert fits.notices[-1] == Notice("fit_unlikely", figures)


def test_a_size_that_even_the_exact_gauge_would_leave_unsure_is_told_the_best_there_is() -> None:
    fits = fitted(target_mm=500, multiple=10, error=0.1)

    # 5 % to either side is half a deviation: 2 * 0.1915 is 38 %, a little more a little below the middle.
    best = fits.candidates[0].count
    assert best.circumference_mm == 500
    figures = {"fit_percent": 38, "best_percent": 38}
    assert fits.notices[-1] == Notice("fit_uncertain", figures)


def crown(**wishes: Any) -> Any:
    return plan_crown(CrownOrder(start_stitch_count=88, stitch_width_mm=6.0, round_height_mm=5.0, **wishes))


def test_a_short_rounded_crown_is_told_its_depth_and_the_arc_it_wants() -> None:
    schedule = crown(crown_shape="rounded", round_count=14)

    # A dome over 528 mm has an arc of 0.2257 of it, and 14 rounds are 70 mm.
    assert schedule.notices[0] == Notice("crown_gathers", {"depth_mm": 70.0, "arc_mm": near(0.2257 * 528)})


def test_a_crown_of_hardly_any_rounds_is_told_how_far_it_misses_its_shape() -> None:
    schedule = crown(crown_shape="rounded", round_count=5)

    assert schedule.notices[0] == Notice("crown_pouches", {"shape_error": schedule.shape_error})


def test_a_crown_to_be_blocked_is_told_its_error_and_how_many_rounds_there_are() -> None:
    schedule = crown(crown_shape="rounded")

    rounds = [row.round for row in schedule.diagnosis if row.code == "needs_blocking"]
    figures = {"shape_error": schedule.shape_error, "round_count": len(rounds)}
    assert schedule.notices == (Notice("needs_blocking", figures),)


# Worsted of 1.5 mm: a plug of n stitches is 2 * 1.5 * sqrt(A n / pi), neat up to a diameter that 20 have.
@pytest.mark.parametrize(("stitch_count", "is_told"), [(20, False), (21, True)])
def test_too_many_stitches_to_close_are_told_the_most_that_close_neatly(
    stitch_count: int, is_told: bool
) -> None:
    notices = closing_notices(stitch_count, yarn_diameter_mm=None)

    assert [notice.code for notice in notices] == ["too_many_to_close"] * is_told
    for notice in notices:
        assert notice.values["stitch_count"] == stitch_count
        assert notice.values["neat_stitch_count"] == 20
        assert float(notice.values["plug_mm"]) > 0
    assert notices == closing_notices(stitch_count, yarn_diameter_mm=1.5)


def test_a_swatch_of_another_fabric_is_told_what_it_was_taken_for() -> None:
    rib = TABLES.fabric_by_id["post-rib-1x1"]
    gauge = measured(16, 9, PLAIN_DC).given.gauge

    converted = gauge_for_fabric(gauge, measured=PLAIN_DC, wanted=rib, tables=TABLES)

    # 16 / 0.85; the error of that ratio, 0.05 in 0.85, joins the 3.2 %.
    figures = {"stitches_per_10cm": near(16 / 0.85), "width_error_percent": near(6.697)}
    assert converted.notices == (Notice("swatch_fabric", figures),)


@pytest.mark.parametrize(
    ("wishes", "told"),
    [
        ({}, (Notice("thickness_assumed", {"thickness_mm": 3.0}),)),
        ({"thickness_mm": 3.0}, ()),
        (
            {"head": head_at_age(6, sex=None, tables=TABLES), "thickness_mm": 3.0, "depth_mm": 120.0},
            tuple(Notice(code, {"style": "slouch"}) for code in ("sleep", "small_parts", "cords", "selling")),
        ),
    ],
)
def test_a_size_is_told_what_is_supposed_and_what_to_heed(wishes: dict[str, Any], told: Any) -> None:
    order = {"head": measured_head(570, tables=TABLES), "fabric": PLAIN, "style": "slouch", **wishes}

    assert finish_size(SizeOrder(**order), TABLES).notices == told


def test_a_depth_by_the_rule_for_children_is_told_with_the_depth() -> None:
    head = measured_head(510, tables=TABLES)

    size = finish_size(SizeOrder(head=head, fabric=PLAIN, thickness_mm=3), TABLES)

    assert size.notices == (Notice("depth_child_rule", {"depth_mm": size.depth_mm}),)


def _cable(*, over: int, round_repeat_count: int) -> Fabric:
    crossed = Column("front", 2 * over, Crossing(over, "right"))
    return Fabric("dc", (Column("back", 2), crossed), round_repeat_count=round_repeat_count)


@pytest.mark.parametrize(
    ("order", "told"),
    [
        (hat_order(is_left_handed=True), Notice("left_handed")),
        (hat_order(fabric="plain-sc"), Notice("seam_leans")),
        (
            hat_order(brim=None, size={"style": "headband"}, crown=CrownWishes(round_count=9)),
            Notice("headband_has_no_crown"),
        ),
        (hat_order(crown=CrownWishes(is_scattered=True)), Notice("scattered_not_used")),
        (hat_order(yarn=None, swatch=Swatch(9.6, {"sc": 360})), Notice("swatch_not_used")),
        (
            hat_order(fabric=_cable(over=3, round_repeat_count=1)),
            Notice("crosses_every_round", {"over": 3, "round_count": 6}),
        ),
    ],
)
def test_a_hat_is_told_what_its_order_brings_with_it(order: Any, told: Notice) -> None:
    assert told in plan_hat(order, TABLES).notices
    assert told not in plan_hat(hat_order(), TABLES).notices


@pytest.mark.parametrize(("over", "round_repeat_count"), [(1, 1), (3, 2), (3, 6)])
def test_a_cable_with_straight_rounds_or_of_one_stitch_over_one_is_not_doubted(
    over: int, round_repeat_count: int
) -> None:
    plan = plan_hat(hat_order(fabric=_cable(over=over, round_repeat_count=round_repeat_count)), TABLES)

    assert "crosses_every_round" not in {notice.code for notice in plan.notices}


def test_a_weave_too_short_to_turn_is_told_its_rounds_and_when_it_would() -> None:
    plan = plan_hat(hat_order(fabric="basket-weave-4x4", size={"depth_mm": 170}), TABLES)

    rounds = plan.layout.body_round_count
    assert rounds <= 4
    assert Notice("weave_never_turns", {"round_count": rounds, "flip_round_count": 4}) in plan.notices


def test_lead_in_rounds_are_told_by_their_number() -> None:
    plan = plan_hat(hat_order(fabric="cable-4x4"), TABLES)

    rounds = plan.layout.lead_in_round_count
    assert rounds > 0
    assert Notice("lead_in_rounds", {"round_count": rounds}) in plan.notices


def test_a_crossing_that_pulls_in_is_told_by_its_widest_and_the_stitch_it_is_worked_in() -> None:
    crossed = Column("front", 8, Crossing(4, "right", stitch="dc"))
    order = hat_order(fabric=Fabric("dc", (Column("back", 2), crossed), round_repeat_count=4), yarn=None)

    told = [notice for notice in plan_hat(order, TABLES).notices if notice.code == "crossing_pulls_in"]

    assert told == [Notice("crossing_pulls_in", {"over": 4, "stitch": "fpdc"})]


def yarn_order(**rest: Any) -> YarnOrder:
    work = tuple(work_from_steps([Work("dc", 100)], number=number, size=DOUBLE) for number in (1, 2, 3))
    return YarnOrder(**{"yarn": Yarn(tex=500), "work": work, **rest})


def test_a_flat_crossing_in_the_work_is_told_by_the_widest() -> None:
    steps: list[Step] = [Work("dc", 20), Cross(2, "fpdc", "right"), Cross(3, "fpdc", "left")]
    work = (work_from_steps(steps, number=1, size=DOUBLE),)

    notices = estimate_yarn(yarn_order(work=work)).notices

    assert Notice("crossing_pulls_in", {"over": 3, "stitch": "fpdc"}) in notices


def test_an_estimate_from_the_gauge_alone_is_told_to_be_rough_in_two_figures() -> None:
    estimate = estimate_yarn(yarn_order())

    # 300 stitches of 1.85 units at 7.5 * sqrt(7 * 6.3) mm are 27.6 m, and exp(1.645 * 0.15) is 1.28.
    assert estimate.length_m.median == near(27.64)
    assert estimate.notices == (
        Notice("yarn_estimate_rough", {"tier": 3, "low_m": 22.0, "high_m": 35.0}),
        Notice("one_dye_lot"),
    )


def test_a_swatch_of_an_unlikely_mass_is_told_what_it_should_weigh() -> None:
    swatch = Swatch(mass_g=96.0, stitch_counts={"sc": 360, "ch": 39})

    notices = estimate_yarn(yarn_order(yarn=Yarn(tex=560), swatch=swatch)).notices

    # 10.1 g, 35 % less and more.
    figures = {"mass_g": 96.0, "low_g": near(6.567), "high_g": near(13.639)}
    assert notices[0] == Notice("swatch_mass_unlikely", figures)


def test_a_colour_that_is_never_worked_is_told_by_how_many_there_are() -> None:
    stripes = tuple(Stripe((name,), 2) for name in ("red", "blue", "green", "grey"))

    notices = estimate_yarn(yarn_order(colouring=Colouring(StripedColours(stripes)))).notices

    assert notices[-2:] == (Notice("colours_not_worked", {"colour_count": 2}), Notice("one_dye_lot"))


def test_a_colour_in_a_much_heavier_yarn_is_told_both_weights() -> None:
    heavier = ColourSource(Yarn(tex=900))
    stripes = Colouring(StripedColours((Stripe(("red",), 1), Stripe(("blue",), 1))), (("red", heavier),))

    red, _ = estimate_yarn(yarn_order(colouring=stripes)).colours

    assert red.notices == (
        Notice("colour_weighs_otherwise", {"tex": 900.0, "main_tex": 500.0}),
        Notice("one_dye_lot"),
    )


def test_a_ball_that_contradicts_the_tex_is_told_with_both() -> None:
    tex = yarn_tex(Yarn(tex=500, ball_mass_g=50, ball_length_m=50))

    figures: dict[str, int | float | str] = {
        "basis": "tex",
        "tex": 500,
        "other_basis": "ball",
        "other_tex": 1000.0,
    }
    assert tex.notices == (Notice("yarn_figures_disagree", figures),)


@pytest.mark.parametrize(
    ("yarn", "told"),
    [
        (Yarn(fibre="wool"), (Notice("fibre"),)),
        (Yarn(fibre="alpaca", fibre_diameter_um=31), (Notice("fibre", {"fibre_diameter_um": 31}),)),
    ],
)
def test_a_fibre_that_may_itch_is_told_by_its_diameter_where_it_is_known(yarn: Yarn, told: Any) -> None:
    assert fibre_notices(yarn) == told


@pytest.mark.parametrize(
    ("ball_count", "leftover_m", "told"),
    [
        (None, None, (Notice("one_dye_lot"),)),
        (0, 0.0, ()),
        (1, 8.5, ()),
        (
            1,
            8.4,
            (
                Notice("last_ball_tight", {"leftover_m": 8.4, "ball_length_m": 170}),
                Notice("one_dye_lot", {"ball_count": 1}),
            ),
        ),
        (2, 8.5, (Notice("one_dye_lot", {"ball_count": 2}),)),
        (
            2,
            8.4,
            (
                Notice("last_ball_tight", {"leftover_m": 8.4, "ball_length_m": 170}),
                Notice("one_dye_lot", {"ball_count": 2}),
            ),
        ),
    ],
)
def test_the_shop_is_told_of_one_dye_lot_and_of_a_last_ball_under_a_twentieth(
    ball_count: int | None, leftover_m: float | None, told: tuple[Notice, ...]
) -> None:
    bought = estimate_yarn(yarn_order()).buy
    purchase: YarnPurchase = replace(bought, ball_count=ball_count, leftover_m=leftover_m)

    assert buying_notices(purchase=purchase, yarn=WORSTED, strand_tex=588) == told


def test_long_work_is_told_its_hours() -> None:
    # 2880 units at 12 to the minute.
    assert working_time(units=2880).notices == (Notice("hands", {"hours": 4.0}),)


def test_a_hat_tells_each_notice_once_in_the_order_of_its_making() -> None:
    plan = plan_hat(hat_order(fabric="cable-4x4", yarn=WORSTED, is_left_handed=True), TABLES)

    assert plan.yarn.estimate is not None
    every = [
        *plan.size.notices,
        *plan.gauges.notices,
        *plan.counts.notices,
        Notice("lead_in_rounds", {"round_count": plan.layout.lead_in_round_count}),
        Notice("left_handed"),
        *(plan.crown.notices if plan.crown else ()),
        *plan.yarn.notices,
    ]
    assert list(plan.notices) == [notice for place, notice in enumerate(every) if notice not in every[:place]]
