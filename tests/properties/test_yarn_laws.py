"""Laws of yarn: totals are conserved, figures scale and grow, intervals are in order."""

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.domain.steps import Step, made_by
from service.domain.yarn_buying import Finishing
from service.domain.yarn_estimates import estimate_yarn
from service.domain.yarn_orders import YarnOrder
from service.domain.yarn_swatches import Swatch
from service.domain.yarn_weights import crossing_factor, stitch_weight, tally_units, together_factor
from service.domain.yarn_work import StitchSize, part_units, work_from_counts, work_from_steps
from service.domain.yarns import Yarn, yarn_diameter_mm
from tests.strategies import stitch_counts, stitch_sizes, worked_steps, yarn_orders, yarns

BASES = ("sc", "hdc", "dc", "tr", "dtr")


@given(order=yarn_orders())
def test_the_yarn_of_the_parts_adds_up_to_the_whole_exactly(order: YarnOrder) -> None:
    estimate = estimate_yarn(order)

    running = 0.0
    for part in estimate.parts:
        running += part.length_m
    assert running == estimate.length_m.median
    assert estimate.mass_g.median == pytest.approx(running * estimate.tex.strand_tex / 1000)
    assert sum(part.units for part in estimate.parts) == estimate.units


@given(order=yarn_orders())
def test_low_is_under_the_median_and_the_median_under_high(order: YarnOrder) -> None:
    estimate = estimate_yarn(order)

    assert estimate.length_m.low <= estimate.length_m.median <= estimate.length_m.high
    assert estimate.mass_g.low <= estimate.mass_g.median <= estimate.mass_g.high
    assert estimate.length_m.low * estimate.length_m.high == pytest.approx(estimate.length_m.median**2)


@given(order=yarn_orders())
def test_more_certainty_never_needs_less_yarn_or_fewer_balls(order: YarnOrder) -> None:
    purchases = estimate_yarn(order).buy_by_certainty

    for less_sure, surer in pairwise(purchases):
        assert less_sure.length_m <= surer.length_m
        assert (less_sure.ball_count or 0) <= (surer.ball_count or 0)


@given(order=yarn_orders())
def test_what_is_bought_holds_what_is_needed(order: YarnOrder) -> None:
    buy = estimate_yarn(order).buy

    if buy.leftover_m is not None and buy.expected_leftover_m is not None:
        assert buy.leftover_m >= -1e-6 * buy.length_m
        assert buy.expected_leftover_m >= buy.leftover_m


@given(order=yarn_orders(), more=worked_steps())
def test_more_work_never_needs_less_yarn_or_fewer_balls(order: YarnOrder, more: tuple[Step, ...]) -> None:
    estimate = estimate_yarn(order)
    part = work_from_steps(more, number=len(order.work), size=order.work[0].size)

    longer = estimate_yarn(replace(order, work=(*order.work, part)))

    assert longer.length_m.median >= estimate.length_m.median
    # More of the swatch's own stitches can make an estimate surer, and then less is kept in reserve.
    if longer.tier.number >= estimate.tier.number:
        assert longer.buy.length_m >= estimate.buy.length_m
        assert (longer.buy.ball_count or 0) >= (estimate.buy.ball_count or 0)


@given(order=yarn_orders(), changes=st.integers(0, 40))
def test_extras_never_shrink_a_purchase(order: YarnOrder, changes: int) -> None:
    bare = estimate_yarn(replace(order, finishing=Finishing(gathers_crown=False)))

    full = estimate_yarn(replace(order, finishing=Finishing(has_edging=True, colour_change_count=changes)))

    assert full.length_m == bare.length_m
    assert full.buy.length_m > bare.buy.length_m


@given(order=yarn_orders(), times=st.integers(2, 9))
def test_so_many_hats_take_so_many_times_the_yarn(order: YarnOrder, times: int) -> None:
    one = estimate_yarn(order)

    many = estimate_yarn(replace(order, work=order.work * times))

    assert many.length_m.median == pytest.approx(times * one.length_m.median)
    assert many.tier == one.tier


@given(counts=stitch_counts(), size=stitch_sizes(), factor=st.floats(0.25, 4))
def test_yarn_by_gauge_grows_with_the_size_of_a_stitch(
    counts: dict[str, int], size: StitchSize, factor: float
) -> None:
    larger = StitchSize(factor * size.stitch_width_mm, factor * size.round_height_mm, size.stitch)

    small, large = [
        estimate_yarn(YarnOrder(yarn=Yarn(tex=500), work=(work_from_counts(counts, each),)))
        for each in (size, larger)
    ]

    assert large.length_m.median == pytest.approx(factor * small.length_m.median)


@given(counts=stitch_counts(), mass_g=st.floats(1, 100), factor=st.floats(0.25, 4))
def test_a_swatch_so_much_heavier_makes_the_work_so_much_heavier(
    counts: dict[str, int], mass_g: float, factor: float
) -> None:
    work = (work_from_counts(counts),)

    light, heavy = [
        estimate_yarn(YarnOrder(yarn=Yarn(tex=500), work=work, swatch=Swatch(each, {"sc": 400, "ch": 40})))
        for each in (mass_g, factor * mass_g)
    ]

    assert heavy.mass_g.median == pytest.approx(factor * light.mass_g.median)


@given(counts=stitch_counts(), mass_g=st.floats(1, 100), tex=st.floats(20, 5000))
def test_a_hat_that_is_its_own_swatch_weighs_what_was_weighed(
    counts: dict[str, int], mass_g: float, tex: float
) -> None:
    order = YarnOrder(yarn=Yarn(tex=tex), work=(work_from_counts(counts),), swatch=Swatch(mass_g, counts))

    estimate = estimate_yarn(order)

    assert estimate.tier.number == 1
    assert estimate.mass_g.median == pytest.approx(mass_g)


@given(steps=worked_steps(), size=stitch_sizes())
def test_a_round_and_its_counted_stitches_weigh_the_same(steps: tuple[Step, ...], size: StitchSize) -> None:
    part = work_from_steps(steps, number=1)

    doubled = work_from_steps([*steps, *steps], number=1)

    assert part_units(doubled, {}) == pytest.approx(2 * part_units(part, {}))
    # Every stitch that stands in the round takes yarn.
    assert part_units(part, {}) >= 0.5 * made_by(steps)


@given(yarn=yarns(), strand_count=st.integers(1, 8))
def test_a_yarn_grows_thicker_with_the_root_of_its_strands(yarn: Yarn, strand_count: int) -> None:
    held = replace(yarn, strand_count=strand_count)
    single = replace(yarn, strand_count=1)

    assert yarn_diameter_mm(held) == pytest.approx(strand_count**0.5 * yarn_diameter_mm(single))


@given(base=st.sampled_from(BASES), leg_count=st.integers(1, 8))
def test_each_further_leg_takes_more_and_less_than_a_whole_stitch(base: str, leg_count: int) -> None:
    few = together_factor(base=base, leg_count=leg_count)  # type: ignore[arg-type]
    more = together_factor(base=base, leg_count=leg_count + 1)  # type: ignore[arg-type]

    assert few < more < few + 1
    assert few <= leg_count


@given(first=st.sampled_from(BASES), second=st.sampled_from(BASES))
def test_legs_that_differ_weigh_between_their_kinds_and_order_is_no_matter(first: str, second: str) -> None:
    mixed = tally_units((first, second), {})

    low, high = sorted(stitch_weight(f"{base}2tog").sc_units for base in (first, second))
    assert low - 1e-9 <= mixed <= high + 1e-9
    assert mixed == pytest.approx(tally_units((second, first), {}))


@given(size=stitch_sizes(), over=st.integers(1, 8))
def test_a_wider_crossing_takes_more(size: StitchSize, over: int) -> None:
    near, far = [
        crossing_factor(
            over=each,
            stitch_width_mm=size.stitch_width_mm,
            round_height_mm=size.round_height_mm,
            stitch_length_mm=50,
        )
        for each in (over, over + 1)
    ]

    assert 1 < near < far


@given(counts=stitch_counts(), size=stitch_sizes(), factor=st.floats(0.5, 2))
def test_measured_weights_all_scaled_scale_the_units(
    counts: dict[str, int], size: StitchSize, factor: float
) -> None:
    scaled = {code: factor * tally_units(code, {}) for code in counts}

    units = part_units(work_from_counts(counts, size), scaled)

    assert units == pytest.approx(factor * part_units(work_from_counts(counts, size), {}))
