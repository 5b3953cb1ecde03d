"""Laws of size runs: bigger heads get bigger hats, and the order in which heads are sent changes nothing."""

from itertools import pairwise

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from service.domain.errors import PatternMathError
from service.domain.hat_orders import HatOrder
from service.domain.heads import measured_head
from service.domain.size_runs import SizeRun, SizeRunOrder, plan_size_run, run_measurements
from tests.orders import TABLES, hat_orders

HEADS_MM = st.lists(st.floats(320, 640), min_size=2, max_size=8)


def _run(design: HatOrder, heads_mm: list[float]) -> SizeRun:
    heads = tuple(measured_head(head_mm, tables=TABLES) for head_mm in heads_mm)
    try:
        return plan_size_run(SizeRunOrder(heads=heads, design=design, compared=(design,)), TABLES)
    except PatternMathError:
        assume(False)
        raise


@settings(max_examples=40)
@given(hat_orders(), HEADS_MM)
def test_body_circumference_and_depth_never_fall_as_heads_grow(
    design: HatOrder, heads_mm: list[float]
) -> None:
    run = _run(design, heads_mm)

    for smaller, larger in pairwise(run.plans):
        assert larger.size.head.circumference_mm >= smaller.size.head.circumference_mm
        assert larger.counts.body >= smaller.counts.body
        assert larger.size.depth_mm >= smaller.size.depth_mm
    for less, more in pairwise(run_measurements(run)):
        assert more.circumference_mm >= less.circumference_mm
        round_height_mm = run.plans[0].gauges.body.round_height_mm
        assert more.depth_mm > less.depth_mm - round_height_mm


@settings(max_examples=20)
@given(hat_orders(), HEADS_MM, st.data())
def test_the_order_of_heads_changes_nothing(
    design: HatOrder, heads_mm: list[float], data: st.DataObject
) -> None:
    shuffled = data.draw(st.permutations(heads_mm))

    assert _run(design, shuffled) == _run(design, heads_mm)


@settings(max_examples=40)
@given(hat_orders(), HEADS_MM)
def test_the_poorest_fit_is_the_grade_of_the_design(design: HatOrder, heads_mm: list[float]) -> None:
    run = _run(design, heads_mm)

    fits = [plan.counts.gripping.fit_probability for plan in run.plans]
    assert run.ranking[0].lowest_fit_probability == min(fits)
    assert [poor.size_number for poor in run.poor_fits] == [
        number for number, fit in enumerate(fits, 1) if fit < TABLES.prior("fit_likely_above")
    ]


@settings(max_examples=40)
@given(hat_orders(), HEADS_MM)
def test_sizes_that_share_counts_have_the_same_bodies(design: HatOrder, heads_mm: list[float]) -> None:
    run = _run(design, heads_mm)

    bodies = [plan.counts.body for plan in run.plans]
    for numbers in run.shared_counts:
        assert len({bodies[number - 1] for number in numbers}) == 1
    assert len({number for numbers in run.shared_counts for number in numbers}) == sum(
        map(len, run.shared_counts)
    )
