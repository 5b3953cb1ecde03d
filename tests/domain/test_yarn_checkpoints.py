"""Whether the yarn lasts, in the middle of the work: examples worked by hand."""

from dataclasses import replace
from math import exp

import pytest

from service.domain.errors import ColourUnmatched, RoundBeyondEnd
from service.domain.steps import Work
from service.domain.yarn_checkpoints import YarnState, check_states, check_yarn
from service.domain.yarn_colourings import Colouring, Stripe, StripedColours
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


# Two rounds of red, three of blue, and so on: red is rounds 1 2 6 7, blue 3 4 5 8 9 10.
STRIPED_ORDER = replace(
    ORDER, colouring=Colouring(StripedColours((Stripe(("red",), 2), Stripe(("blue",), 3))))
)
STRIPED = estimate_yarn(STRIPED_ORDER)


def test_a_colour_is_weighed_by_itself() -> None:
    states = [YarnState(5, 11.0, colour="red"), YarnState(5, 11.0, colour="blue")]

    red, blue = check_states(STRIPED_ORDER, STRIPED, states)

    # Red has two rounds of 5 g before it and begins once more, two ends of 0.075 g.
    assert red.remaining_g.median == pytest.approx(10)
    assert red.reserve_g == pytest.approx(0.15)
    # Blue has three, is on the hook, begins once more and gathers: three ends and 0.2 g.
    assert blue.remaining_g.median == pytest.approx(15)
    assert blue.reserve_g == pytest.approx(3 * 0.075 + 0.2)


def test_a_colour_reaches_through_the_rounds_of_others() -> None:
    states = [
        YarnState(2, mass_left_g=11.5, colour="red"),
        YarnState(2, mass_left_g=6.5, colour="red"),
        YarnState(2, mass_left_g=0.0, colour="red"),
    ]

    enough, for_one, none = check_states(STRIPED_ORDER, STRIPED, states)

    # 10 g x exp(0.0987) and 0.225 g are 11.26 g; 6.5 g do for round 6; without any it rests until round 6.
    assert [each.lasts_to_round for each in (enough, for_one, none)] == [10, 6, 5]


def test_what_was_used_of_a_colour_is_held_against_its_own_rounds() -> None:
    state = YarnState(7, mass_left_g=50.0, mass_used_g=15.225, colour="blue")

    (check,) = check_states(STRIPED_ORDER, STRIPED, [state])

    # Three rounds of 5 g and two ends of 0.075 g should have been used: 0.075 g more tells nearly nothing.
    assert check.remaining_g.median == pytest.approx(15, rel=0.005)
    assert check.remaining_log_sd < 0.06


def test_where_all_is_one_colour_it_needs_no_name() -> None:
    order = replace(ORDER, colouring=Colouring(StripedColours((Stripe(("grey",), 1),))))

    [named, unnamed] = check_states(
        order, estimate_yarn(order), [YarnState(4, 30.0, colour="grey"), YarnState(4, 30.0)]
    )

    assert named == unnamed == check_yarn(ORDER, ESTIMATE, YarnState(4, 30.0))


def test_a_round_after_the_last_is_refused_with_the_last() -> None:
    with pytest.raises(RoundBeyondEnd, match="from 0, before the first stitch, to 10") as refused:
        check_states(ORDER, ESTIMATE, [YarnState(10, 1.0), YarnState(11, 1.0)])

    assert (refused.value.round, refused.value.largest_round) == (11, 10)


@pytest.mark.parametrize(("colour", "fault"), [("green", "not_worked"), (None, "unsaid")])
def test_a_colour_that_is_not_worked_or_not_named_is_refused(colour: str | None, fault: str) -> None:
    with pytest.raises(ColourUnmatched) as refused:
        check_states(
            STRIPED_ORDER, STRIPED, [YarnState(1, 1.0, colour="red"), YarnState(1, 1.0, colour=colour)]
        )

    assert (refused.value.entry_kind, refused.value.position, refused.value.fault) == ("state", 1, fault)


def test_a_colour_of_work_without_colours_is_refused() -> None:
    with pytest.raises(ColourUnmatched):
        check_states(ORDER, ESTIMATE, [YarnState(1, 1.0, colour="red")])


@pytest.mark.parametrize(
    ("round_number", "mass_used_g", "is_doubted"),
    [
        (1, 500.0, True),
        (5, 25.1, False),
        (5, 30.0, False),
        (5, 40.0, True),
        (5, 10.0, True),
        (5, 0.0, True),
        (0, 0.0, False),
        (0, 2.0, False),
        (0, 3.0, True),
    ],
)
def test_a_weighing_far_from_what_the_work_takes_is_doubted(
    round_number: int, mass_used_g: float, is_doubted: bool
) -> None:
    state = YarnState(round_number=round_number, mass_left_g=40.0, mass_used_g=mass_used_g)

    check = check_yarn(ORDER, ESTIMATE, state)

    assert [notice.code for notice in check.notices] == ["weighing_unlikely"] * is_doubted


def test_a_doubted_weighing_says_what_would_be_likely() -> None:
    state = YarnState(round_number=5, mass_left_g=40.0, mass_used_g=500.0)

    (notice,) = check_yarn(ORDER, ESTIMATE, state).notices

    # 25 g and 0.075 g of an end, three times 0.0721 either way, and three times 0.7 g for the scale.
    assert notice.values["low_g"] == pytest.approx(25.075 / exp(0.2163) - 2.1, abs=0.01)
    assert notice.values["high_g"] == pytest.approx(25.075 * exp(0.2163) + 2.1, abs=0.01)
    assert (notice.values["round"], notice.values["mass_g"]) == (5, 500)


def test_where_nothing_was_weighed_there_is_nothing_to_doubt() -> None:
    check = check_yarn(ORDER, ESTIMATE, YarnState(round_number=5, mass_left_g=4000.0))

    assert check.notices == ()
