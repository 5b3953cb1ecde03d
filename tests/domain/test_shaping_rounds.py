"""Evenly shaped rounds: worked examples, laws and refusals."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.domain.errors import ShapingOutOfReach
from service.domain.rounding import ceil_half
from service.domain.shaping_rounds import even_positions, plan_shaping_round
from service.domain.steps import IntoOne, Repeat, Work, canonical, consumed_by, flat, made_by

counts = st.integers(1, 400)


def test_the_worked_example_of_six_over_seventy():
    # Hand-worked: floor(j * 70 / 6).
    assert even_positions(change_count=6, stitch_count=70, staggered=False) == (0, 11, 23, 35, 46, 58)


def test_eighty_to_a_hundred_is_two_in_one_and_one_in_each_of_three():
    # A worked hat, common practice, no source.
    planned = plan_shaping_round(from_stitch_count=80, to_stitch_count=100, stitch="dc", staggered=False)

    assert planned.steps == (Repeat(20, (IntoOne(("dc", "dc")), Work("dc", 3))),)
    assert planned.is_uniform
    assert planned.runs == (0, *[3] * 20)


def test_halving_ignores_the_stagger_so_that_no_pair_runs_over_the_join():
    assert even_positions(change_count=5, stitch_count=10, staggered=True) == (0, 2, 4, 6, 8)


def test_a_round_without_changes_is_worked_straight():
    planned = plan_shaping_round(from_stitch_count=7, to_stitch_count=7, stitch="sc", staggered=True)

    assert planned.changes == ()
    assert planned.steps == (Work("sc", 7),)


@given(n=counts, m=counts, staggered=st.booleans())
def test_gaps_differ_by_at_most_one(n, m, staggered):
    m = min(n, m)

    positions = even_positions(change_count=m, stitch_count=n, staggered=staggered)

    gaps = [b - a for a, b in pairwise([*positions, positions[0] + n])]
    assert max(gaps) - min(gaps) <= 1
    assert sum(gaps) == n


@given(n=counts, part=st.floats(0, 1), staggered=st.booleans())
def test_steps_use_up_the_round_before_and_make_the_count(n, part, staggered):
    low = ceil_half(n)
    to = low + round(part * (2 * n - low))

    planned = plan_shaping_round(from_stitch_count=n, to_stitch_count=to, stitch="hdc", staggered=staggered)

    assert consumed_by(planned.steps) == n
    assert made_by(planned.steps) == to
    assert planned.steps == canonical(planned.steps)


@given(n=counts, part=st.floats(0, 1), staggered=st.booleans())
def test_the_changes_in_the_steps_stand_where_the_changes_say(n, part, staggered):
    low = ceil_half(n)
    to = low + round(part * (2 * n - low))

    planned = plan_shaping_round(from_stitch_count=n, to_stitch_count=to, stitch="sc", staggered=staggered)

    place, places = 0, []
    for step in flat(planned.steps):
        if not isinstance(step, Work):
            places.append(place)
        place += consumed_by([step])
    assert tuple(places) == planned.changes


@given(n=counts, part=st.floats(0, 1), staggered=st.booleans())
def test_runs_and_changes_add_up_to_the_round_before(n, part, staggered):
    low = ceil_half(n)
    to = low + round(part * (2 * n - low))

    planned = plan_shaping_round(from_stitch_count=n, to_stitch_count=to, stitch="sc", staggered=staggered)

    taken = 1 if to > n else 2
    assert sum(planned.runs) + taken * len(planned.changes) == n


@pytest.mark.parametrize(("n", "to"), [(10, 4), (10, 21), (9, 4), (1, 3)])
def test_a_round_that_more_than_doubles_or_halves_is_refused_with_what_would_fit(n, to):
    with pytest.raises(ShapingOutOfReach) as refusal:
        plan_shaping_round(from_stitch_count=n, to_stitch_count=to, stitch="sc", staggered=False)

    assert (refusal.value.low, refusal.value.high) == (ceil_half(n), 2 * n)
    assert str(refusal.value.high) in str(refusal.value)


def test_more_changes_than_stitches_are_refused():
    with pytest.raises(ShapingOutOfReach):
        even_positions(change_count=3, stitch_count=2, staggered=False)
