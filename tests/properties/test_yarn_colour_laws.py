"""Laws of colours and checkpoints: nothing is lost between colours, more yarn never lasts less."""

from dataclasses import replace
from itertools import pairwise
from math import fsum

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.domain.yarn_buying import leftovers_used_m
from service.domain.yarn_checkpoints import YarnState, check_states, check_yarn
from service.domain.yarn_colourings import Colouring, ColourSource, Stripe, StripedColours
from service.domain.yarn_colours import colour_yarns, striped_colours
from service.domain.yarn_estimates import estimate_yarn
from service.domain.yarn_orders import YarnOrder
from tests.strategies import yarn_orders

STRIPES = st.lists(
    st.builds(Stripe, st.sampled_from([("red",), ("blue",), ("white",)]), st.integers(1, 3)),
    min_size=1,
    max_size=4,
)
LENGTHS = st.lists(st.floats(0, 50), max_size=5)


@given(order=yarn_orders(), stripes=STRIPES)
def test_colours_add_up_to_the_whole(order: YarnOrder, stripes: list[Stripe]) -> None:
    estimate = estimate_yarn(order)
    colours = striped_colours(estimate.parts, stripes)

    parted = colour_yarns(order, estimate, colours=colours, sources={})

    assert fsum(each.need.length_m for each in parted) == pytest.approx(estimate.length_m.median)
    assert fsum(each.need.mass_g for each in parted) == pytest.approx(estimate.mass_g.median)
    assert sum(each.buy.ball_count or 0 for each in parted) >= (estimate.buy.ball_count or 0)


@given(order=yarn_orders())
def test_one_colour_is_the_whole(order: YarnOrder) -> None:
    estimate = estimate_yarn(order)

    (only,) = colour_yarns(order, estimate, colours=[("red",)] * len(estimate.parts), sources={})

    assert only.buy.length_m == pytest.approx(estimate.buy.length_m)
    assert only.extras == estimate.extras


@given(order=yarn_orders(), stripes=STRIPES, leftovers=LENGTHS)
def test_more_certainty_never_buys_fewer_balls_of_a_colour(
    order: YarnOrder, stripes: list[Stripe], leftovers: list[float]
) -> None:
    estimate = estimate_yarn(order)
    sources = {"red": ColourSource(order.yarn, tuple(leftovers))}
    colours = striped_colours(estimate.parts, stripes)

    parted = colour_yarns(order, estimate, colours=colours, sources=sources)

    for each in parted:
        for less_sure, surer in pairwise(each.buy_by_certainty):
            assert (less_sure.ball_count or 0) <= (surer.ball_count or 0)


@given(leftovers=LENGTHS, more_m=st.floats(0, 50), length_m=st.floats(0, 100))
def test_another_leftover_never_leaves_more_to_buy(
    leftovers: list[float], more_m: float, length_m: float
) -> None:
    few = leftovers_used_m(leftovers, length_m)

    many = leftovers_used_m([*leftovers, more_m], length_m)

    assert -1e-9 <= few <= many + 1e-9
    assert many <= length_m
    assert many <= fsum(leftovers) + more_m + 1e-9


@given(leftovers=LENGTHS, length_m=st.floats(0, 100), further_m=st.floats(0, 100))
def test_a_greater_need_never_leaves_less_to_buy(
    leftovers: list[float], length_m: float, further_m: float
) -> None:
    missing = length_m - leftovers_used_m(leftovers, length_m)

    later = length_m + further_m - leftovers_used_m(leftovers, length_m + further_m)

    assert missing <= later + 1e-9


@given(order=yarn_orders(), left_g=st.floats(0, 1e5))
def test_the_checkpoint_before_the_first_stitch_is_the_estimate(order: YarnOrder, left_g: float) -> None:
    estimate = estimate_yarn(order)

    check = check_yarn(order, estimate, YarnState(round_number=0, mass_left_g=left_g, mass_used_g=0.0))

    assert check.remaining_g.low == pytest.approx(estimate.mass_g.low)
    assert check.remaining_g.median == pytest.approx(estimate.mass_g.median)
    assert check.remaining_g.high == pytest.approx(estimate.mass_g.high)
    bought_g = estimate.buy.mass_g - estimate.extras.swatch_m * estimate.tex.strand_tex / 1000
    assert check.missing_g == pytest.approx(max(bought_g - left_g, 0), abs=1e-6 * bought_g)


@given(
    order=yarn_orders(),
    round_number=st.integers(0, 8),
    left_g=st.floats(0, 1e4),
    more_g=st.floats(0, 1e4),
    used_g=st.none() | st.floats(0, 1e4),
)
def test_more_yarn_left_never_lasts_less(
    order: YarnOrder, round_number: int, left_g: float, more_g: float, used_g: float | None
) -> None:
    estimate = estimate_yarn(order)

    few, many = [
        check_yarn(order, estimate, YarnState(round_number, mass_g, used_g))
        for mass_g in (left_g, left_g + more_g)
    ]

    assert few.lasts_probability <= many.lasts_probability
    assert few.lasts_to_round <= many.lasts_to_round
    assert few.missing_g >= many.missing_g
    assert 0 <= few.lasts_probability <= 1
    assert few.remaining_log_sd <= estimate.need.mass_log_sd


@given(order=yarn_orders(), round_number=st.integers(0, 8), left_g=st.floats(0, 1e4))
def test_the_work_done_and_the_work_ahead_make_the_whole(
    order: YarnOrder, round_number: int, left_g: float
) -> None:
    estimate = estimate_yarn(order)

    check = check_yarn(order, estimate, YarnState(round_number, left_g))

    worked_m = sum(part.length_m for part in estimate.parts if 0 < round_number >= part.number)
    worked_g = worked_m * estimate.tex.strand_tex / 1000
    assert worked_g + check.remaining_g.median == pytest.approx(estimate.mass_g.median)


@given(order=yarn_orders(), stripes=STRIPES, leftovers=LENGTHS)
def test_leftovers_never_raise_what_is_bought(
    order: YarnOrder, stripes: list[Stripe], leftovers: list[float]
) -> None:
    layout = StripedColours(tuple(stripes))
    source = ColourSource(leftovers_m=tuple(leftovers))
    colour = stripes[0].colours[0]

    without = estimate_yarn(replace(order, colouring=Colouring(layout)))
    with_them = estimate_yarn(replace(order, colouring=Colouring(layout, ((colour, source),))))

    for bare, helped in zip(without.buy_by_certainty, with_them.buy_by_certainty, strict=True):
        assert (helped.ball_count or 0) <= (bare.ball_count or 0)
        assert helped.length_m == bare.length_m


@given(order=yarn_orders(), stripes=STRIPES, turn=st.integers(0, 3))
def test_stripes_in_another_turn_take_as_much_in_all(
    order: YarnOrder, stripes: list[Stripe], turn: int
) -> None:
    turned = [*stripes[turn % len(stripes) :], *stripes[: turn % len(stripes)]]

    one, other = [
        estimate_yarn(replace(order, colouring=Colouring(StripedColours(tuple(each)))))
        for each in (stripes, turned)
    ]

    assert one.length_m == other.length_m
    assert one.mass_g.median == pytest.approx(other.mass_g.median)


@given(order=yarn_orders(), stripes=STRIPES)
def test_every_colour_gives_its_share_of_every_round(order: YarnOrder, stripes: list[Stripe]) -> None:
    estimate = estimate_yarn(replace(order, colouring=Colouring(StripedColours(tuple(stripes)))))

    for part in estimate.parts:
        shares = [
            share.length_m
            for colour in estimate.colours
            for share in colour.parts
            if share.number == part.number
        ]
        alike = [each.length_m for each in estimate.parts if each.number == part.number]
        assert fsum(shares) == pytest.approx(fsum(alike))


@given(order=yarn_orders(), stripes=STRIPES, share=st.floats(0, 1), left_g=st.floats(0, 1e4))
def test_the_checkpoints_of_the_colours_add_up_to_that_of_the_whole(
    order: YarnOrder, stripes: list[Stripe], share: float, left_g: float
) -> None:
    coloured = replace(order, colouring=Colouring(StripedColours(tuple(stripes))))
    estimate = estimate_yarn(coloured)
    round_number = int(share * estimate.parts[-1].number)

    by_colour = check_states(
        coloured,
        estimate,
        [YarnState(round_number, left_g, colour=each.colour) for each in estimate.colours],
    )

    whole = check_yarn(coloured, estimate, YarnState(round_number, left_g))
    assert fsum(each.remaining_g.median for each in by_colour) == pytest.approx(whole.remaining_g.median)
    assert fsum(each.reserve_g for each in by_colour) >= 0
    assert all(round_number <= each.lasts_to_round for each in by_colour)
    if round_number == 0:
        for each, colour in zip(by_colour, estimate.colours, strict=True):
            assert each.remaining_g.median == pytest.approx(colour.mass_g.median)
