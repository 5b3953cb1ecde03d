"""What holds for every plain crown."""

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from service.domain.crown_closing import ClosingLimits
from service.domain.crown_plain import (
    scattered_counts,
    section_counts,
    smallest_scattered_round_count,
    smallest_section_round_count,
)
from service.domain.crown_targets import Worked

LIMITS = st.tuples(st.integers(3, 6), st.integers(6, 20)).map(lambda pair: ClosingLimits(*pair))
WAYS = st.sampled_from(["from_brim", "from_crown"])


@st.composite
def ideals(draw: st.DrawFn, start: int, fewest_rounds: int, worked: Worked) -> list[float]:
    """Draw the ideal counts of a crown that has rounds enough."""
    rounds = draw(st.integers(fewest_rounds, fewest_rounds + 12))
    shares = draw(st.lists(st.floats(0.01, 1.3), min_size=rounds, max_size=rounds))
    return [share * start for share in sorted(shares, reverse=worked == "from_brim")]


def inward(counts: tuple[int, ...], start: int, worked: Worked) -> list[int]:
    """Return the counts from the wide edge to the centre; from the crown the last round is the edge."""
    return [start, *counts] if worked == "from_brim" else list(reversed(counts))


@given(data=st.data(), start=st.integers(8, 400), limits=LIMITS, worked=WAYS)
def test_a_scattered_crown_never_rises_at_most_halves_and_closes(
    data: st.DataObject, start: int, limits: ClosingLimits, worked: Worked
) -> None:
    fewest = smallest_scattered_round_count(start, limits, worked)
    ideal_counts = data.draw(ideals(start, fewest, worked))

    counts = scattered_counts(
        start_stitch_count=start, ideal_counts=ideal_counts, limits=limits, worked=worked
    )

    line = inward(counts, start, worked)
    assert line[0] == start
    assert len(counts) == len(ideal_counts)
    assert all((before + 1) // 2 <= after <= before for before, after in pairwise(line))
    assert line[-1] <= limits.stitch_count_max


@given(data=st.data(), start=st.integers(8, 400), limits=LIMITS, worked=WAYS)
def test_a_crown_in_sections_never_rises_at_most_halves_and_closes(
    data: st.DataObject, start: int, limits: ClosingLimits, worked: Worked
) -> None:
    sections = data.draw(st.integers(1, min(start, 40)))
    fewest = smallest_section_round_count(start, section_count=sections, limits=limits, worked=worked)
    ideal_counts = data.draw(ideals(start, fewest, worked))

    counts = section_counts(
        start_stitch_count=start,
        section_count=sections,
        ideal_counts=ideal_counts,
        limits=limits,
        worked=worked,
    )

    line = inward(counts, start, worked)
    assert line[0] == start
    assert len(counts) == len(ideal_counts)
    assert all((before + 1) // 2 <= after <= before for before, after in pairwise(line))
    assert line[-1] <= limits.stitch_count_max
    assert all(count % sections == 0 for count in line[1:] if count > sections)


@given(start=st.integers(8, 400), limits=LIMITS, sections=st.integers(1, 40))
def test_one_round_fewer_than_the_fewest_cannot_close(
    start: int, limits: ClosingLimits, sections: int
) -> None:
    fewest = smallest_scattered_round_count(start, limits, "from_brim")

    # Halving every round, rounding up, is the fastest way down.
    assert start <= limits.stitch_count_max << fewest
    assert fewest == 1 or start > limits.stitch_count_max << (fewest - 1)
