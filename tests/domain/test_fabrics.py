"""Fabrics that somebody spells out: what they add up to, and what no fabric can be."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.domain.errors import CrossingOutsideRepeat, CrossingUnequal, RepeatTooWide
from service.domain.fabrics import Column, Crossing, Fabric, make_fabric


def _cabled(*, round_in_repeat: int, round_repeat_count: int) -> Fabric:
    crossed = Column("front", 4, Crossing(2, "right", round_in_repeat=round_in_repeat))
    return make_fabric(
        stitch="dc",
        columns=(Column("back", 2), crossed),
        round_repeat_count=round_repeat_count,
        flip_round_count=None,
    )


@given(over=st.integers(1, 8), width=st.integers(1, 16))
def test_a_crossed_column_is_twice_as_wide_as_its_crossing_or_refused(over: int, width: int) -> None:
    crossing = Crossing(over, "left")

    if width == 2 * over:
        assert Column("front", width, crossing).is_crossed
    else:
        with pytest.raises(CrossingUnequal) as refusal:
            Column("front", width, crossing)
        assert (refusal.value.width, refusal.value.over) == (width, over)


@given(widths=st.lists(st.integers(1, 16), min_size=1, max_size=12))
def test_a_repeat_has_the_stitches_of_its_columns_and_at_most_64(widths: list[int]) -> None:
    columns = tuple(Column("front", width) for width in widths)

    if sum(widths) <= 64:
        fabric = make_fabric(stitch="dc", columns=columns, round_repeat_count=1, flip_round_count=None)
        assert fabric.stitch_multiple == sum(widths)
    else:
        with pytest.raises(RepeatTooWide) as refusal:
            make_fabric(stitch="dc", columns=columns, round_repeat_count=1, flip_round_count=None)
        assert (refusal.value.work_units, refusal.value.limit) == (sum(widths), 64)


@pytest.mark.parametrize(("round_in_repeat", "round_repeat_count"), [(1, 1), (1, 2), (3, 4)])
def test_a_straight_round_follows_each_crossing(round_in_repeat: int, round_repeat_count: int) -> None:
    fabric = _cabled(round_in_repeat=round_in_repeat, round_repeat_count=round_repeat_count)

    assert fabric.is_crossed
    assert fabric.is_post
    assert fabric.is_textured


@pytest.mark.parametrize(
    ("round_in_repeat", "round_repeat_count", "largest_round"), [(2, 1, 1), (2, 2, 1), (4, 4, 3), (9, 4, 3)]
)
def test_a_crossing_on_the_last_round_or_beyond_it_is_refused(
    round_in_repeat: int, round_repeat_count: int, largest_round: int
) -> None:
    with pytest.raises(CrossingOutsideRepeat) as refusal:
        _cabled(round_in_repeat=round_in_repeat, round_repeat_count=round_repeat_count)

    assert (refusal.value.round, refusal.value.largest_round) == (round_in_repeat, largest_round)


def test_flat_columns_alone_have_no_texture() -> None:
    fabric = Fabric("sc", (Column("flat", 1),))

    assert not fabric.is_textured
    assert not fabric.is_crossed
    assert not fabric.is_post
