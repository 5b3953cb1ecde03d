"""What is bought: balls by length or by mass, with leftovers worked first."""

from math import exp, hypot

import pytest

from service.domain.yarn_buying import Extras, YarnNeed, plan_purchase
from service.domain.yarn_estimates import CATEGORY_TEX_LOG_SD, estimate_yarn
from service.domain.yarn_orders import YarnOrder
from service.domain.yarn_swatches import Swatch
from service.domain.yarn_work import work_from_counts
from service.domain.yarns import Yarn

# 200 m at 500 tex are 100 g; nothing is unsure, and the extras are 2 m.
NEED = YarnNeed(length_m=200.0, length_log_sd=0.0, mass_g=100.0, mass_log_sd=0.0)
EXTRAS = Extras(work_end_count=4, join_count=2, gathering_m=0.8, swatch_m=0.0)
BY_MASS = Yarn(tex=500, ball_mass_g=50)
BY_LENGTH = Yarn(ball_mass_g=50, ball_length_m=100)


@pytest.mark.parametrize("yarn", [BY_MASS, BY_LENGTH], ids=["mass", "length"])
@pytest.mark.parametrize(
    ("leftovers_m", "used_m", "ball_count", "leftover_m"),
    [
        # 202 m are two balls of 100 m and a little.
        ((), 0.0, 3, 98.0),
        # 2.3 m less a join of 0.3 m leave just two balls.
        ((2.3,), 2.0, 2, 0.0),
        ((2.2,), 1.9, 3, 99.9),
        ((50.3, 40.3), 90.0, 2, 88.0),
        ((202.0,), 202.0, 0, 0.0),
    ],
)
def test_leftovers_are_taken_off_what_is_bought(
    yarn: Yarn, leftovers_m: tuple[float, ...], used_m: float, ball_count: int, leftover_m: float
) -> None:
    bought = plan_purchase(
        need=NEED, extras=EXTRAS, yarn=yarn, strand_tex=500, certainty=95, leftovers_m=leftovers_m
    )

    assert bought.from_leftovers_m == pytest.approx(used_m)
    assert bought.ball_count == ball_count
    assert bought.leftover_m == pytest.approx(leftover_m, abs=1e-9)
    assert bought.expected_leftover_m == pytest.approx(leftover_m, abs=1e-9)
    # The whole need, leftovers or not.
    assert (bought.length_m, bought.mass_g) == pytest.approx((202.0, 101.0))


@pytest.mark.parametrize("yarn", [BY_MASS, BY_LENGTH], ids=["mass", "length"])
def test_what_is_left_over_as_a_rule_is_more_than_what_is_left_at_worst(yarn: Yarn) -> None:
    unsure = YarnNeed(length_m=200.0, length_log_sd=0.1, mass_g=100.0, mass_log_sd=0.1)

    bought = plan_purchase(need=unsure, extras=EXTRAS, yarn=yarn, strand_tex=500, certainty=95)

    # 200 * exp(1.645 * 0.1) + 2 are 237.8 m, of three balls 62.2 m are left; at the median 98 m.
    worst_m = 200 * exp(1.6449 * 0.1) + 2
    assert bought.ball_count == 3
    assert bought.leftover_m == pytest.approx(300 - worst_m, abs=0.01)
    assert bought.expected_leftover_m == pytest.approx(98.0)


@pytest.mark.parametrize("stitch", ["sc", "fpdc"])
def test_the_length_from_a_weighed_swatch_hangs_on_a_guessed_tex_whatever_its_stitches(stitch: str) -> None:
    swatch = Swatch(mass_g=10.0, stitch_counts={"sc": 400})
    order = YarnOrder(yarn=Yarn(weight_category=4), work=(work_from_counts({stitch: 400}),), swatch=swatch)

    estimate = estimate_yarn(order)

    tier_sd = {"sc": 0.06, "fpdc": 0.10}[stitch]
    assert estimate.need.mass_log_sd == tier_sd
    assert estimate.need.length_log_sd == hypot(tier_sd, CATEGORY_TEX_LOG_SD)
