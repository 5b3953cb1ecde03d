"""Outlines of crown searches: simpler crowns that never cost more than the real one."""

import pytest

from service.domain.crown_closing import ClosingLimits
from service.domain.crown_copies import copy_states
from service.domain.crown_outlines import CrownOutline, outline_costs, outline_crown
from service.domain.crown_states import CrownStates
from service.domain.crown_textured import crown_fabric, plan_textured_crown
from service.domain.fabrics import Column, Crossing
from service.domain.rounding import TIE_TOLERANCE

#: Back post and a cable 2 over 2, ten times around.
COLUMNS = (Column("back", 2), Column("front", 4, Crossing(2, "right")))
START = 60
IDEALS = [58.0, 52.0, 47.0, 40.0, 32.0, 24.0, 16.0, 8.0]
MOST = 12
#: Rounds beyond which the crossed stitches of a single copy are too much to tell apart.
VERY_MANY_ROUNDS = 100_000


def _outlined(*, group_size: int = 1, round_count: int = len(IDEALS)) -> tuple[CrownOutline, float]:
    """Return an outline and the least that its crown costs from the wide edge on."""
    fabric = crown_fabric(COLUMNS, start_stitch_count=START, group_size=group_size)
    copies = copy_states(fabric.period, settle_round_count=1)
    states = CrownStates(
        copies, group_count=START // 6 // group_size, group_size=group_size, stitch_count_min=5
    )
    outline = outline_crown(states, copies, round_count=round_count)
    costs = outline_costs(outline, ideal_counts=IDEALS, stitch_count_max=MOST)
    first = outline.onward[outline.place_of_start]
    return outline, min(costs.ahead[0][place] for place in first)


def test_a_single_copy_is_outlined_by_its_crossed_stitches_too() -> None:
    outline, _ = _outlined()

    assert outline.tells_crossed
    # Ten copies of six stitches, four of them crossed.
    assert outline.keys[outline.place_of_start] == (60, 40)


def test_an_outline_that_would_weigh_too_much_tells_rounds_apart_by_their_stitches_alone() -> None:
    outline, _ = _outlined(round_count=VERY_MANY_ROUNDS)

    assert not outline.tells_crossed
    assert outline.keys[outline.place_of_start] == (60, 0)
    assert {crossed for _, crossed in outline.keys} == {0}
    counts = [count for count, _ in outline.keys]
    assert counts == sorted(set(counts))


def test_no_round_of_an_outline_rises_or_falls_under_the_fewest_stitches() -> None:
    for group_size in (1, 2):
        outline, _ = _outlined(group_size=group_size)

        for (count, _), onward in zip(outline.keys, outline.onward, strict=True):
            assert all(5 <= outline.keys[place][0] <= count for place in onward)


@pytest.mark.parametrize("group_size", [1, 2, 5])
def test_what_is_told_apart_less_never_costs_more(group_size: int) -> None:
    fabric = crown_fabric(COLUMNS, start_stitch_count=START, group_size=group_size)
    real = plan_textured_crown(fabric, ideal_counts=IDEALS, limits=ClosingLimits(5, MOST), worked="from_brim")

    _, close = _outlined(group_size=group_size)
    _, coarse = _outlined(group_size=group_size, round_count=VERY_MANY_ROUNDS)

    assert 0 < coarse <= close <= real.cost + TIE_TOLERANCE
