"""The ideal circumference of a crown, shape by shape."""

import math

import pytest

from service.domain.crown_targets import (
    CrownShape,
    cone_target,
    crown_target,
    disc_target,
    dome_target,
    round_targets_mm,
    shaped_round_count,
    stations_mm,
    target_circumference_mm,
)
from service.domain.errors import CrownCannotClose


def test_the_arc_of_each_shape_is_its_share_of_the_circumference() -> None:
    arcs = [
        disc_target(1.0).arc_mm,
        dome_target(1.0).arc_mm,
        dome_target(1.0, height_ratio=1.0).arc_mm,
        cone_target(1.0, sine=0.5).arc_mm,
    ]

    # Geometry: 1 / 2 pi, the quarter ellipse, a quarter of the circle, 1 / (2 pi sin a).
    assert arcs == pytest.approx([0.1592, 0.2257, 0.25, 0.3183], abs=5e-5)


def test_a_rounded_crown_of_88_stitches_has_the_arc_worked_by_hand() -> None:
    dome = dome_target(88 * 6.0)

    assert dome.arc_mm == pytest.approx(119.17, abs=0.005)
    assert shaped_round_count("rounded", dome, round_height_mm=5.0) == 24


@pytest.mark.parametrize(
    ("shape", "width_mm", "height_mm", "start", "expected"),
    [
        ("rounded", 7.2, 13.0, 72, 9),
        ("rounded", 7.0, 18.2, 74, 6),
        ("rounded", 4.4, 6.1, 110, 18),
        ("rounded", 7.0, 18.2, 80, 7),
        ("rounded", 5.6, 7.2, 58, 10),
        ("flat", 6.0, 5.0, 88, 17),
        ("gathered", 6.0, 5.0, 88, 12),
        ("tapered", 6.0, 5.0, 88, 26),
    ],
)
def test_the_usual_round_count_is_the_arc_in_whole_rounds(
    shape: CrownShape, width_mm: float, height_mm: float, start: int, expected: int
) -> None:
    target = crown_target(
        shape, circumference_mm=start * width_mm, round_height_mm=height_mm, round_count=None
    )

    assert shaped_round_count(shape, target, round_height_mm=height_mm) == expected


def test_a_crown_never_has_fewer_than_two_usual_rounds() -> None:
    assert shaped_round_count("flat", disc_target(60.0), round_height_mm=40.0) == 2


@pytest.mark.parametrize(("ratio", "trade"), [(0.90, 5.65), (1.27, 7.98), (1.85, 11.62), (2.60, 16.3)])
def test_a_flat_disc_grows_by_the_trades_stitches_a_round(ratio: float, trade: float) -> None:
    disc = disc_target(1000.0)
    targets = round_targets_mm(disc, round_count=3, round_height_mm=ratio, worked="from_crown")

    # Geometry: 2 pi h / w; the trade begins discs with 6, 8, 12 and 16 stitches.
    assert targets[2] - targets[1] == pytest.approx(2 * math.pi * ratio)
    assert 2 * math.pi * ratio == pytest.approx(trade, abs=0.05)


#: Stitches and rows over the same length, from ball-band leaflets and one weighed test.
PUBLISHED_GAUGES = [
    (22, 24, 5.76),
    (14, 15, 5.86),
    (13, 14, 5.83),
    (12, 14, 5.39),
    (10, 11, 5.71),
    (10, 10, 6.28),
    (8, 9, 5.59),
    (7, 8, 5.50),
    (12.8, 13.9, 5.79),
    (13, 10, 8.17),
    (11.85, 8.65, 8.61),
    (16, 8, 12.57),
    (13, 8, 10.21),
    (8, 5, 10.05),
    (10, 4, 15.71),
]


@pytest.mark.parametrize(("stitches", "rows", "rate"), PUBLISHED_GAUGES)
def test_published_gauges_give_the_flat_disc_rate(stitches: float, rows: float, rate: float) -> None:
    width, height = 100 / stitches, 100 / rows

    targets = round_targets_mm(
        disc_target(10_000.0), round_count=2, round_height_mm=height, worked="from_crown"
    )

    # Reckoned from the published gauges as 2 pi stitches / rows, printed to two digits.
    assert (targets[1] - targets[0]) / width == pytest.approx(rate, abs=0.01)


def test_stitch_tops_lie_half_a_round_in_from_the_brim_and_whole_rounds_from_the_crown() -> None:
    inward = stations_mm(round_count=4, round_height_mm=10.0, worked="from_brim")
    outward = stations_mm(round_count=4, round_height_mm=10.0, worked="from_crown")

    assert inward == (35.0, 25.0, 15.0, 5.0)
    assert outward == (10.0, 20.0, 30.0, 40.0)


def test_a_tapered_crown_fits_the_rounds_it_is_given() -> None:
    cone = crown_target("tapered", circumference_mm=528.0, round_height_mm=5.0, round_count=20)

    # sin a = R / (K h), so the arc is K h.
    assert cone.arc_mm == 100.0
    assert target_circumference_mm(cone, 50.0) == pytest.approx(264.0)


def test_a_tapered_crown_shorter_than_the_radius_is_refused_with_the_rounds_that_do() -> None:
    with pytest.raises(CrownCannotClose) as refused:
        crown_target("tapered", circumference_mm=528.0, round_height_mm=5.0, round_count=16)

    # R = 84.03 mm is 16.8 rounds of 5 mm.
    assert refused.value.smallest_round_count == 17


def test_a_crown_that_begins_beyond_the_arc_has_the_full_circumference() -> None:
    assert target_circumference_mm(dome_target(528.0), 119.2) == 528.0
