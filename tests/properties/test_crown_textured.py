"""What holds for every textured crown; nothing that the rules allow is cheaper."""

import math
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from service.domain.crown_closing import ClosingLimits
from service.domain.crown_copies import reckoned_copy_work
from service.domain.crown_targets import Worked
from service.domain.crown_textured import (
    CrownFabric,
    crown_fabric,
    plan_textured_crown,
    smallest_textured_round_count,
)
from service.domain.fabrics import Column, Crossing
from tests.crown_oracle import Rules, best_crown

WORKED: tuple[Worked, ...] = ("from_brim", "from_crown")
WAYS = st.sampled_from(WORKED)


def columns(widest: int) -> st.SearchStrategy[Column]:
    """Return a column that crosses or does not."""
    faces = st.sampled_from(["front", "back", "flat"])
    straight = st.builds(Column, faces, st.integers(1, widest))
    crossed = st.builds(
        lambda face, over: Column(face, 2 * over, Crossing(over, "left")),
        faces,
        st.integers(1, max(1, widest // 2)),
    )
    return straight | crossed


def fabrics(widest: int, most_columns: int) -> st.SearchStrategy[list[Column]]:
    """Return the columns of one repeat."""
    return st.lists(columns(widest), min_size=1, max_size=most_columns)


@st.composite
def crowns(draw: st.DrawFn) -> tuple[CrownFabric, list[Column], ClosingLimits, Worked, list[float]]:
    """Draw a fabric and a crown that has rounds enough to close it."""
    drawn = draw(fabrics(6, 4))
    repeats = draw(st.integers(5, 30))
    width = sum(column.width for column in drawn)
    fabric = crown_fabric(
        drawn, start_stitch_count=repeats * width, settle_round_count=draw(st.integers(0, 2))
    )
    assume(reckoned_copy_work(fabric.period, settle_round_count=2) ** fabric.group_size < 300_000)
    limits = ClosingLimits(5, draw(st.integers(8, 14)))
    worked: Worked = draw(WAYS)
    fewest = smallest_textured_round_count(fabric, limits, worked)
    rounds = draw(st.integers(fewest, fewest + 6))
    shares = draw(st.lists(st.floats(0.02, 1.2), min_size=rounds, max_size=rounds))
    ideals = [share * repeats * width for share in sorted(shares, reverse=worked == "from_brim")]
    return fabric, drawn, limits, worked, ideals


@given(crown=crowns())
def test_a_textured_crown_never_rises_at_most_halves_but_for_thirds_and_closes(
    crown: tuple[CrownFabric, list[Column], ClosingLimits, Worked, list[float]],
) -> None:
    fabric, _, limits, worked, ideals = crown

    planned = plan_textured_crown(fabric, ideal_counts=ideals, limits=limits, worked=worked)

    counts = [state.stitch_count for state in planned.inward]
    assert counts[0] == fabric.start_stitch_count
    assert len(planned.stitch_counts) == len(ideals)
    assert counts[-1] <= limits.stitch_count_max
    for outer, inner in pairwise(planned.inward):
        before, after = outer.stitch_count, inner.stitch_count
        has_threes = any(copy.stitch_count == 3 for copy in outer.copies)
        assert after <= before
        assert 2 * after >= before or (has_threes and 3 * after >= before)


@given(crown=crowns())
def test_the_cost_is_the_sum_over_the_rounds(
    crown: tuple[CrownFabric, list[Column], ClosingLimits, Worked, list[float]],
) -> None:
    fabric, _, limits, worked, ideals = crown

    planned = plan_textured_crown(fabric, ideal_counts=ideals, limits=limits, worked=worked)

    again = sum(
        math.log(count / ideal) ** 2 for count, ideal in zip(planned.stitch_counts, ideals, strict=True)
    )
    assert planned.cost == pytest.approx(again, abs=1e-9)


@given(crown=crowns(), data=st.data())
def test_the_order_of_the_columns_changes_no_count(
    crown: tuple[CrownFabric, list[Column], ClosingLimits, Worked, list[float]], data: st.DataObject
) -> None:
    fabric, drawn, limits, worked, ideals = crown
    turn = data.draw(st.integers(0, len(drawn) - 1))
    start = fabric.start_stitch_count
    rotated = crown_fabric(
        drawn[turn:] + drawn[:turn],
        start_stitch_count=start,
        settle_round_count=fabric.settle_round_count,
        group_size=fabric.group_size,
    )

    one = plan_textured_crown(fabric, ideal_counts=ideals, limits=limits, worked=worked)
    other = plan_textured_crown(rotated, ideal_counts=ideals, limits=limits, worked=worked)

    assert one.stitch_counts == other.stitch_counts


@given(crown=crowns(), times=st.integers(2, 3))
def test_writing_the_repeat_more_than_once_changes_nothing(
    crown: tuple[CrownFabric, list[Column], ClosingLimits, Worked, list[float]], times: int
) -> None:
    fabric, drawn, limits, worked, ideals = crown
    multiple = times * sum(column.width for column in drawn)
    assume(fabric.start_stitch_count % multiple == 0 and len(drawn) * times <= 12)

    written = crown_fabric(
        drawn * times,
        start_stitch_count=fabric.start_stitch_count,
        settle_round_count=fabric.settle_round_count,
        group_size=fabric.group_size,
    )

    one = plan_textured_crown(fabric, ideal_counts=ideals, limits=limits, worked=worked)
    assert plan_textured_crown(written, ideal_counts=ideals, limits=limits, worked=worked) == one


@given(data=st.data(), drawn=fabrics(4, 2), worked=WAYS)
def test_nothing_that_the_rules_allow_is_cheaper(
    data: st.DataObject, drawn: list[Column], worked: Worked
) -> None:
    assume(len(drawn) == 1 or drawn[0] != drawn[1])
    group_size, settle = data.draw(st.integers(1, 2)), data.draw(st.integers(0, 2))
    groups = data.draw(st.integers(3, 6))
    start = groups * group_size * sum(column.width for column in drawn)
    fabric = crown_fabric(drawn, start_stitch_count=start, settle_round_count=settle, group_size=group_size)
    limits = ClosingLimits(5, data.draw(st.integers(8, 12)))
    rounds = smallest_textured_round_count(fabric, limits, worked) + data.draw(st.integers(0, 1))
    assume(rounds <= 5)
    shares = data.draw(st.lists(st.floats(0.05, 1.2), min_size=rounds, max_size=rounds))
    inward = [share * start for share in sorted(shares, reverse=True)]

    crown = plan_textured_crown(
        fabric,
        ideal_counts=inward if worked == "from_brim" else inward[::-1],
        limits=limits,
        worked=worked,
    )

    rules = Rules(tuple(drawn), groups, group_size, settle, limits.stitch_count_min, limits.stitch_count_max)
    edge = 0.0 if worked == "from_brim" else math.log(start / inward[0]) ** 2
    expected = best_crown(rules, inward if worked == "from_brim" else inward[1:])
    assert expected is not None
    assert tuple(state.stitch_count for state in crown.inward[1:]) == expected[0]
    assert crown.cost == pytest.approx(expected[2] + edge, abs=1e-9)
