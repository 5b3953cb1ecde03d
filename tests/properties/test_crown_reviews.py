"""What holds for every judgement on a crown."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.domain.crown_reviews import shape_error

ROUNDS = st.lists(st.tuples(st.integers(1, 300), st.floats(5.0, 900.0)), min_size=1, max_size=30)


@given(rounds=ROUNDS, factor=st.floats(0.1, 10.0))
def test_the_shape_error_has_no_unit(rounds: list[tuple[int, float]], factor: float) -> None:
    counts = [count for count, _ in rounds]
    targets = [target_mm for _, target_mm in rounds]

    one = shape_error(counts, targets, stitch_width_mm=5.0)
    scaled = shape_error(counts, [factor * mm for mm in targets], stitch_width_mm=5.0 * factor)

    assert scaled == pytest.approx(one, abs=1e-9)


@given(counts=st.lists(st.integers(1, 300), min_size=1, max_size=30), width_mm=st.floats(1.0, 20.0))
def test_a_crown_on_its_target_has_no_shape_error(counts: list[int], width_mm: float) -> None:
    targets = [count * width_mm for count in counts]

    assert shape_error(counts, targets, stitch_width_mm=width_mm) == pytest.approx(0.0, abs=1e-12)


@given(count=st.integers(1, 300), times=st.integers(1, 30), factor=st.floats(1.0, 3.0))
def test_too_full_and_too_tight_by_one_factor_are_equally_wrong(
    count: int, times: int, factor: float
) -> None:
    full = shape_error([count] * times, [count * 5.0 / factor] * times, stitch_width_mm=5.0)
    tight = shape_error([count] * times, [count * 5.0 * factor] * times, stitch_width_mm=5.0)

    assert full == pytest.approx(tight, abs=1e-9)
