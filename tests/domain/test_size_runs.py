"""Size runs: every size is the plan of its head alone; told are sizes that share counts or fit poorly."""

from dataclasses import replace
from typing import Any

import pytest

from service.domain.errors import RepeatWiderThanHat, WorkBudgetExceeded
from service.domain.fabrics import Column, Crossing, Fabric
from service.domain.hat_orders import BrimOrder, HatOrder
from service.domain.hats import plan_hat
from service.domain.heads import head_of_size, measured_head
from service.domain.size_runs import SizeRun, SizeRunOrder, plan_size_run, run_measurements
from tests.orders import TABLES, WORSTED, hat_order, measured

HEADS_MM = (480, 500, 520, 540, 560, 580, 600, 620)
#: A cable so wide that half a repeat is 4.5 cm.
WIDE = Fabric("dc", (Column("back", 2), Column("front", 14, Crossing(7, "right"))), round_repeat_count=2)


def _run(design: HatOrder, *heads_mm: float, compared: tuple[HatOrder, ...] = ()) -> SizeRun:
    heads = tuple(measured_head(head_mm, tables=TABLES) for head_mm in heads_mm)
    return plan_size_run(SizeRunOrder(heads=heads, design=design, compared=compared), TABLES)


@pytest.mark.parametrize("worked", ["from_brim", "from_crown"])
@pytest.mark.parametrize("fabric_id", ["cable-2x2", "plain-dc", "post-rib-2x2"])
def test_eight_heads_are_the_eight_single_plans(fabric_id: str, worked: Any) -> None:
    design = hat_order(fabric=fabric_id, yarn=WORSTED, worked=worked)

    run = _run(design, *HEADS_MM)

    alone = [
        plan_hat(hat_order(head_mm=head_mm, fabric=fabric_id, yarn=WORSTED, worked=worked), TABLES)
        for head_mm in HEADS_MM
    ]
    assert list(run.plans) == alone


def test_sizes_are_sorted_by_head() -> None:
    run = _run(hat_order(), 600, 520, 560)

    assert [plan.size.head.circumference_mm for plan in run.plans] == [520, 560, 600]


def test_equal_heads_are_planned_once() -> None:
    run = _run(hat_order(), 560, 560)

    assert run.plans[0] is run.plans[1]


def test_crowns_of_equal_counts_are_planned_once() -> None:
    run = _run(hat_order(fabric="cable-4x4", brim=None), 560, 562)

    small, large = run.plans
    assert small.counts.body == large.counts.body
    assert small.crown is large.crown


def test_sizes_that_share_their_counts_are_told() -> None:
    run = _run(hat_order(fabric=WIDE, brim=None), 540, 545, 600)

    told = [each for each in run.notices if each.notice.code == "sizes_share_counts"]
    assert run.shared_counts == ((1, 2),)
    assert [each.size_numbers for each in told] == [(1, 2)]


def test_a_poor_fit_is_told_with_the_gauge_and_the_repeat_that_cure_it() -> None:
    design = hat_order(fabric=WIDE, brim=None)

    run = _run(design, 520, 545, 570, 600)

    assert run.poor_fits
    for poor in run.poor_fits:
        head_mm = run.plans[poor.size_number - 1].size.head.circumference_mm
        assert poor.fit_probability < 0.8
        assert poor.exact_stitches_per_10cm is not None
        cured = plan_hat(
            hat_order(
                head_mm=head_mm, fabric=WIDE, brim=None, stitches_per_10cm=poor.exact_stitches_per_10cm
            ),
            TABLES,
        )
        assert cured.counts.gripping.fit_probability >= 0.8
        assert poor.largest_stitch_multiple is not None
        assert 1 <= poor.largest_stitch_multiple < 16


def test_where_the_gauge_is_too_unsure_nothing_cures_a_fit() -> None:
    design = hat_order(brim=None)
    unsure = replace(design.gauge.given.gauge, width_error=0.08)
    given = replace(design.gauge.given, gauge=unsure)

    run = _run(replace(design, gauge=replace(design.gauge, given=given)), 540, 580)

    assert [poor.size_number for poor in run.poor_fits] == [1, 2]
    assert {poor.exact_stitches_per_10cm for poor in run.poor_fits} == {None}
    assert {poor.largest_stitch_multiple for poor in run.poor_fits} == {None}


def test_under_a_fold_the_repeat_that_cures_is_the_brims() -> None:
    wide_rib = Fabric("dc", (Column("front", 10), Column("back", 10)))
    design = hat_order(
        fabric="plain-dc",
        size={"style": "cuffed"},
        brim=BrimOrder(fabric=wide_rib),
        brim_gauge=measured(18, 14, wide_rib, error=0.02),
    )

    run = _run(design, 505, 530, 555, 580, 605)

    assert run.poor_fits
    assert all(1 <= (poor.largest_stitch_multiple or 0) < 20 for poor in run.poor_fits)


def test_fabrics_are_ranked_by_their_poorest_fit() -> None:
    design = hat_order(fabric="cable-2x2")
    others = (hat_order(fabric=WIDE), hat_order(fabric="cable-4x4"), design)

    run = _run(design, *HEADS_MM, compared=others)

    lowest = [grade.lowest_fit_probability for grade in run.ranking]
    assert lowest == sorted(lowest, reverse=True)
    assert [grade.position for grade in run.ranking] == [2, 1, 0]
    own = next(grade for grade in run.ranking if grade.position == 2)
    fits = [plan.counts.gripping.fit_probability for plan in run.plans]
    assert own.lowest_fit_probability == min(fits)
    assert own.size_number == 1 + fits.index(min(fits))


def test_a_fabric_that_makes_no_hat_for_a_head_ranks_last() -> None:
    design = hat_order(fabric="plain-dc", brim=None)
    too_wide = Fabric("dc", (Column("flat", 16),) * 4)

    run = _run(design, 330, 340, compared=(replace(design, fabric=too_wide), design))

    assert [grade.position for grade in run.ranking] == [1, 0]
    assert run.ranking[1].lowest_fit_probability == 0.0


def test_a_size_that_cannot_be_planned_is_refused_with_what_would_fit() -> None:
    too_wide = Fabric("dc", (Column("front", 16), Column("back", 16)) * 2)

    with pytest.raises(RepeatWiderThanHat) as refusal:
        _run(hat_order(fabric=too_wide, brim=None), 300, 600)

    assert refusal.value.largest_stitch_multiple < 64


def test_too_many_sizes_in_too_many_fabrics_are_refused_before_the_work() -> None:
    design = hat_order()

    with pytest.raises(WorkBudgetExceeded) as refusal:
        _run(design, *(400 + 10 * number for number in range(24)), compared=(design,) * 60)

    assert refusal.value.work_units > refusal.value.limit


def test_notices_tell_which_sizes_they_are_about() -> None:
    heads = (head_of_size("12-months", tables=TABLES), head_of_size("adult-m", tables=TABLES))

    run = plan_size_run(SizeRunOrder(heads=heads, design=hat_order()), TABLES)

    sizes = {each.notice.code: each.size_numbers for each in run.notices}
    assert sizes["sleep"] == (1,)
    assert sizes["thickness_assumed"] == (1, 2)


def test_measurements_are_those_of_the_counts_and_rounds() -> None:
    run = _run(hat_order(), 520, 580)

    rows = run_measurements(run)

    for row, plan in zip(rows, run.plans, strict=True):
        gauge = plan.gauges.body
        assert plan.crown is not None
        assert row.circumference_mm == pytest.approx(plan.counts.body * gauge.stitch_width_mm)
        assert row.depth_mm == pytest.approx(sum(worked.height_mm for worked in plan.rounds))
        assert row.brim_mm < row.depth_mm
        assert row.crown_mm == pytest.approx(len(plan.crown.rounds) * gauge.round_height_mm)


def test_a_headband_has_no_crown_to_measure() -> None:
    run = _run(hat_order(size={"style": "headband"}, brim=None), 520, 580)

    assert [row.crown_mm for row in run_measurements(run)] == [None, None]
