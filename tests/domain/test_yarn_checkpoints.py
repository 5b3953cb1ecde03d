"""Whether the yarn lasts, in the middle of the work: examples worked by hand."""

from dataclasses import replace
from math import exp

import pytest

from service.domain.steps import Work
from service.domain.yarn_checkpoints import YarnState, check_yarn
from service.domain.yarn_estimates import estimate_yarn
from service.domain.yarn_orders import YarnOrder
from service.domain.yarn_swatches import Swatch
from service.domain.yarn_work import work_from_steps
from service.domain.yarns import Yarn

# A unit is 0.05 g: each of ten rounds takes 5 g, the whole 50 g.
ROUNDS = tuple(work_from_steps([Work("sc", 100)], number=number) for number in range(1, 11))
ORDER = YarnOrder(
    yarn=Yarn(tex=500),
    work=ROUNDS,
    swatch=Swatch(mass_g=10.0, stitch_counts={"sc": 200}, is_unravelled=True),
)
ESTIMATE = estimate_yarn(ORDER)


def test_before_the_first_stitch_the_rest_is_the_estimate() -> None:
    check = check_yarn(ORDER, ESTIMATE, YarnState(round_number=0, mass_left_g=60.0))

    assert check.remaining_g.median == pytest.approx(ESTIMATE.mass_g.median)
    assert check.remaining_g.high == pytest.approx(ESTIMATE.mass_g.high)
    assert check.reserve_g == pytest.approx(ESTIMATE.extras.total_m * 0.5)


def test_what_was_bought_for_95_percent_lasts_with_95_percent() -> None:
    check = check_yarn(ORDER, ESTIMATE, YarnState(round_number=0, mass_left_g=ESTIMATE.buy.mass_g))

    assert check.lasts_probability == pytest.approx(0.95, abs=1e-4)
    assert check.missing_g == pytest.approx(0, abs=1e-9)
    assert check.lasts_to_round == 10


def test_half_way_half_of_the_work_is_left() -> None:
    check = check_yarn(ORDER, ESTIMATE, YarnState(round_number=5, mass_left_g=25.275))

    # One end of 0.15 m and the gathering of 0.4 m are 0.275 g; 25 g are even chances for 25 g.
    assert check.remaining_g.median == pytest.approx(25)
    assert check.reserve_g == pytest.approx(0.275)
    assert check.lasts_probability == pytest.approx(0.5)
    # 25 / exp(0.0987) = 22.65 g are four rounds of 5 g.
    assert check.lasts_to_round == 9
    assert check.missing_g == pytest.approx(25 * exp(0.0987) - 25)


def test_yarn_weighed_so_far_corrects_the_rest() -> None:
    # Five rounds should take 25 g; 27.5 g without the 0.075 g of an end is a tenth more.
    state = YarnState(round_number=5, mass_left_g=27.0, mass_used_g=27.575)

    check = check_yarn(ORDER, ESTIMATE, state)

    # Variances 0.06^2 and 0.04^2 + (0.7 / 27.5)^2: the weight of the weighing is 0.61556.
    assert check.remaining_g.median == pytest.approx(25 * 1.1**0.61556, rel=1e-4)
    assert check.remaining_log_sd == pytest.approx(0.06 * (1 - 0.61556) ** 0.5, rel=1e-4)


def test_a_hand_that_takes_more_than_was_reckoned_gets_less_far() -> None:
    reckoned = check_yarn(ORDER, ESTIMATE, YarnState(round_number=5, mass_left_g=20.4))
    weighed = check_yarn(ORDER, ESTIMATE, YarnState(round_number=5, mass_left_g=20.4, mass_used_g=37.575))

    # 20.125 / exp(1.645 x 0.06) = 18.2 g are three rounds of 5 g. Half as much again was used so far:
    # the weight of that is 0.6488, so 20.125 / exp(1.645 x 0.03555) / 1.5**0.6488 = 14.6 g are two.
    assert reckoned.lasts_to_round == 8
    assert weighed.lasts_to_round == 7


def test_joins_still_to_come_are_kept_back_in_proportion() -> None:
    order = replace(ORDER, yarn=Yarn(tex=500, ball_mass_g=10, ball_length_m=20))
    estimate = estimate_yarn(order)

    check = check_yarn(order, estimate, YarnState(round_number=8, mass_left_g=50.0))

    # 100 m are five balls and four joins of 0.3 m; a fifth of the work is left.
    assert check.reserve_g == pytest.approx(0.5 * (0.15 + 0.4 + 1.2 / 5))


def test_too_little_yarn_used_to_weigh_corrects_nothing() -> None:
    check = check_yarn(ORDER, ESTIMATE, YarnState(round_number=1, mass_left_g=50.0, mass_used_g=0.5))

    assert check.remaining_log_sd == ESTIMATE.need.mass_log_sd


def test_the_finished_hat_needs_only_its_ends() -> None:
    enough = check_yarn(ORDER, ESTIMATE, YarnState(round_number=10, mass_left_g=0.3))
    short = check_yarn(ORDER, ESTIMATE, YarnState(round_number=10, mass_left_g=0.2))

    assert (enough.lasts_probability, enough.missing_g) == (1.0, 0.0)
    assert short.lasts_probability == 0.0
    assert short.missing_g == pytest.approx(0.075)


def test_no_yarn_left_lasts_nowhere() -> None:
    check = check_yarn(ORDER, ESTIMATE, YarnState(round_number=3, mass_left_g=0.0))

    assert (check.lasts_probability, check.lasts_to_round) == (0.0, 3)
