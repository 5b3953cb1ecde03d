"""Counts of plain crowns, scattered and in sections, both ways."""

import pytest

from service.domain.crown_closing import ClosingLimits, closing_limits
from service.domain.crown_plain import (
    default_section_count,
    scattered_counts,
    section_counts,
    smallest_scattered_round_count,
    smallest_section_round_count,
)
from service.domain.crown_targets import (
    CrownShape,
    Worked,
    crown_target,
    round_targets_mm,
    shaped_round_count,
)
from service.domain.errors import CrownCannotClose, ShapingOutOfReach


def ideal_counts(
    start: int,
    width_mm: float,
    height_mm: float,
    *,
    shape: CrownShape = "rounded",
    worked: Worked = "from_brim",
) -> list[float]:
    target = crown_target(
        shape, circumference_mm=start * width_mm, round_height_mm=height_mm, round_count=None
    )
    rounds = shaped_round_count(shape, target, round_height_mm=height_mm)
    targets = round_targets_mm(target, round_count=rounds, round_height_mm=height_mm, worked=worked)
    return [circumference / width_mm for circumference in targets]


def numbers(text: str) -> tuple[int, ...]:
    return tuple(map(int, text.split()))


@pytest.mark.parametrize(
    ("start", "width_mm", "height_mm", "most", "expected"),
    [
        (
            88,
            6.0,
            5.0,
            8,
            "88 88 87 85 84 81 79 76 73 69 65 61 57 53 48 43 38 33 28 23 18 13 8 5",
        ),
        (72, 7.2, 13.0, 12, "72 69 64 57 48 38 28 17 9"),
        (74, 7.0, 18.2, 12, "72 64 53 39 24 12"),
        (110, 4.4, 6.1, 8, "110 109 107 104 100 95 90 84 77 70 63 55 47 39 30 22 13 7"),
    ],
)
def test_a_scattered_rounded_crown_from_the_brim_follows_the_dome(
    start: int, width_mm: float, height_mm: float, most: int, expected: str
) -> None:
    counts = scattered_counts(
        start_stitch_count=start,
        ideal_counts=ideal_counts(start, width_mm, height_mm),
        limits=ClosingLimits(5, most),
        worked="from_brim",
    )

    assert counts == numbers(expected)


@pytest.mark.parametrize(
    ("shape", "expected"),
    [
        ("flat", "86 81 76 71 65 60 55 50 45 39 34 29 24 18 13 8 5"),
        ("gathered", "57 53 48 43 38 33 28 23 18 13 8 5"),
        ("tapered", "86 82 79 76 72 69 66 62 59 56 52 49 45 42 39 35 32 29 25 22 19 15 12 8 5 5"),
    ],
)
def test_each_shape_of_88_stitches_from_the_brim(shape: CrownShape, expected: str) -> None:
    counts = scattered_counts(
        start_stitch_count=88,
        ideal_counts=ideal_counts(88, 6.0, 5.0, shape=shape),
        limits=ClosingLimits(5, 8),
        worked="from_brim",
    )

    assert counts == numbers(expected)


@pytest.mark.parametrize(
    ("start", "width_mm", "height_mm", "shape", "most", "expected"),
    [
        (
            88,
            6.0,
            5.0,
            "rounded",
            8,
            "6 10 16 21 26 31 36 41 46 50 55 59 63 67 71 74 77 80 83 85 86 87 88 88",
        ),
        (72, 7.2, 13.0, "rounded", 14, "11 22 33 43 53 60 67 71 72"),
        (88, 6.0, 5.0, "flat", 8, "6 10 16 21 26 31 37 42 47 52 58 63 68 73 79 84 88"),
    ],
)
def test_a_scattered_crown_from_the_crown_grows_to_the_whole_count(
    start: int, width_mm: float, height_mm: float, shape: CrownShape, most: int, expected: str
) -> None:
    counts = scattered_counts(
        start_stitch_count=start,
        ideal_counts=ideal_counts(start, width_mm, height_mm, shape=shape, worked="from_crown"),
        limits=ClosingLimits(5, most),
        worked="from_crown",
    )

    assert counts == numbers(expected)


@pytest.mark.parametrize(
    ("start", "width_mm", "height_mm", "sections", "most", "expected"),
    [
        (80, 7.0, 18.2, 8, 12, "80 72 64 56 32 16 8"),
        (58, 5.6, 7.2, 8, 8, "56 56 56 48 40 32 24 24 16 8"),
        (
            88,
            6.0,
            5.0,
            8,
            8,
            "88 88 88 88 80 80 80 72 72 72 64 64 56 56 48 40 40 32 32 24 16 16 8 8",
        ),
        (72, 7.2, 13.0, 9, 12, "72 72 63 54 45 36 27 18 9"),
    ],
)
def test_sections_from_the_brim_keep_equal_parts(
    start: int, width_mm: float, height_mm: float, sections: int, most: int, expected: str
) -> None:
    counts = section_counts(
        start_stitch_count=start,
        section_count=sections,
        ideal_counts=ideal_counts(start, width_mm, height_mm),
        limits=ClosingLimits(5, most),
        worked="from_brim",
    )

    assert counts == numbers(expected)


def test_sections_from_the_crown_begin_with_one_stitch_each() -> None:
    counts = section_counts(
        start_stitch_count=72,
        section_count=12,
        ideal_counts=ideal_counts(72, 7.2, 13.0, shape="flat", worked="from_crown"),
        limits=ClosingLimits(5, 14),
        worked="from_crown",
    )

    # A flat disc of dc grows by 2 pi 13 / 7.2 = 11.3 stitches a round: the trade's 12.
    assert counts == (12, 24, 36, 48, 60, 72)


def test_sections_that_do_not_divide_the_start_meet_it_in_one_uneven_round() -> None:
    counts = section_counts(
        start_stitch_count=90,
        section_count=8,
        ideal_counts=ideal_counts(90, 6.0, 5.0, worked="from_crown"),
        limits=ClosingLimits(5, 8),
        worked="from_crown",
    )

    assert counts[0] == 8
    assert counts[-2:] == (88, 90)


def test_more_sections_than_the_ring_holds_begin_with_half_of_them() -> None:
    counts = section_counts(
        start_stitch_count=88,
        section_count=11,
        ideal_counts=ideal_counts(88, 6.0, 5.0, worked="from_crown"),
        limits=ClosingLimits(5, 8),
        worked="from_crown",
    )

    assert counts[:3] == (6, 11, 22)


def test_many_sections_are_halved_more_than_once_before_the_close() -> None:
    counts = section_counts(
        start_stitch_count=120,
        section_count=30,
        ideal_counts=[100.0, 60.0, 30.0, 15.0, 6.0],
        limits=ClosingLimits(5, 8),
        worked="from_brim",
    )

    # 30 single stitches need two halvings to come under 8: 30, 15, 8.
    assert counts == (90, 60, 30, 15, 8)


@pytest.mark.parametrize(
    ("start", "width_mm", "height_mm", "expected"),
    [
        (88, 6.0, 5.0, 8),  # 2 pi h / w = 5.24; the divisors are 8 and 11
        (72, 7.2, 13.0, 12),  # 11.34; 6, 8, 9 and 12
        (58, 5.6, 7.2, 8),  # 8.08, and no divisor from 5 to 12
        (84, 6.0, 6.0 * 6.5 / 6.283185307179586, 7),  # 6.5: 6 and 7 tie, the larger wins
        (3, 6.0, 5.0, 3),  # never more sections than stitches
    ],
)
def test_the_usual_sections_divide_the_start_where_they_can(
    start: int, width_mm: float, height_mm: float, expected: int
) -> None:
    sections = default_section_count(
        start_stitch_count=start, stitch_width_mm=width_mm, round_height_mm=height_mm
    )

    assert sections == expected


def test_too_few_rounds_are_refused_with_the_fewest_that_close() -> None:
    with pytest.raises(CrownCannotClose) as refused:
        scattered_counts(
            start_stitch_count=88,
            ideal_counts=[40.0, 20.0, 8.0],
            limits=ClosingLimits(5, 8),
            worked="from_brim",
        )

    # 88 44 22 11 6: four halvings.
    assert refused.value.smallest_round_count == 4


def test_more_sections_than_stitches_are_refused() -> None:
    with pytest.raises(ShapingOutOfReach) as refused:
        smallest_section_round_count(7, section_count=8, limits=ClosingLimits(5, 8), worked="from_brim")

    assert refused.value.high == 7


def test_a_given_limit_beats_a_usual_one() -> None:
    limits = closing_limits("sc", "from_brim", stitch_count_min=10, stitch_count_max=None)

    assert limits == ClosingLimits(10, 10, is_min_asked=True)


def test_a_least_above_the_most_is_refused_with_both() -> None:
    with pytest.raises(ShapingOutOfReach) as refused:
        closing_limits("sc", "from_brim", stitch_count_min=11, stitch_count_max=9)

    assert (refused.value.low, refused.value.high) == (9, 11)


def test_single_stitches_are_not_halved_below_the_least() -> None:
    counts = section_counts(
        start_stitch_count=24,
        section_count=12,
        ideal_counts=[12.0, 6.0, 3.0],
        limits=ClosingLimits(5, 5, is_min_asked=True),
        worked="from_brim",
    )

    # Twelve singles halve to six, and six to three, but five were asked for.
    assert counts == (12, 6, 5)


def test_the_first_ring_of_many_sections_has_six_stitches() -> None:
    counts = section_counts(
        start_stitch_count=40,
        section_count=20,
        ideal_counts=[5.0, 9.0, 20.0, 40.0],
        limits=ClosingLimits(5, 8),
        worked="from_crown",
    )

    # Twenty single stitches come of ten, and ten of five, but a ring begins with six.
    assert counts == (6, 10, 20, 40)


def test_the_first_ring_has_five_stitches_where_five_were_asked_for() -> None:
    limits = ClosingLimits(5, 8, is_min_asked=True)

    counts = scattered_counts(
        start_stitch_count=20, ideal_counts=[3.0, 10.0, 20.0], limits=limits, worked="from_crown"
    )

    assert counts == (5, 10, 20)


def test_sections_that_cannot_close_between_the_limits_are_refused_with_those_that_can() -> None:
    limits = ClosingLimits(13, 20, is_min_asked=True)

    with pytest.raises(ShapingOutOfReach) as refused:
        smallest_section_round_count(48, section_count=12, limits=limits, worked="from_brim")

    assert (refused.value.low, refused.value.high) == (12, 24)


def test_the_usual_sections_close_between_the_limits_asked_for() -> None:
    # 72 stitches of 5 x 4.5 mm would have six sections, which close on 6 or 12 but never on 8.
    sections = default_section_count(
        start_stitch_count=72,
        stitch_width_mm=5.0,
        round_height_mm=4.5,
        limits=ClosingLimits(8, 8, is_min_asked=True),
    )

    assert sections == 8


def test_from_the_crown_one_more_round_is_needed_than_from_the_brim() -> None:
    limits = ClosingLimits(5, 8)

    assert smallest_scattered_round_count(64, limits, "from_brim") == 3
    assert smallest_scattered_round_count(64, limits, "from_crown") == 4


def test_sections_from_the_crown_double_where_the_rounds_are_few_whatever_the_ideal() -> None:
    # 8 stitches to a section in 4 rounds: 1, 2, 4, 8.
    counts = section_counts(
        start_stitch_count=64,
        section_count=8,
        ideal_counts=[8.0, 8.0, 8.0, 8.0],
        limits=ClosingLimits(5, 8),
        worked="from_crown",
    )

    assert counts == (8, 16, 32, 64)


def test_single_stitches_are_halved_down_to_the_least() -> None:
    counts = section_counts(
        start_stitch_count=12,
        section_count=12,
        ideal_counts=[6.0],
        limits=ClosingLimits(6, 12),
        worked="from_brim",
    )

    assert counts == (6,)
