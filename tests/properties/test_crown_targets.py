"""What holds for every ideal crown."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import ellipe, ellipeinc

from service.domain.crown_targets import disc_target, dome_target, target_circumference_mm

RATIOS = st.floats(0.6, 1.6)


@given(ratio=RATIOS)
def test_the_arc_of_a_dome_is_the_complete_elliptic_integral(ratio: float) -> None:
    dome = dome_target(2 * math.pi, height_ratio=ratio)

    assert dome.arc_mm == pytest.approx(ellipe(1 - ratio**2), abs=1e-12)


@given(ratio=RATIOS, angle=st.floats(0.001, math.pi / 2 - 0.001))
def test_the_circumference_of_a_dome_inverts_the_elliptic_integral(ratio: float, angle: float) -> None:
    dome = dome_target(2 * math.pi, height_ratio=ratio)

    circumference = target_circumference_mm(dome, float(ellipeinc(angle, 1 - ratio**2)))

    assert circumference == pytest.approx(2 * math.pi * math.sin(angle), abs=1e-9)


@given(share=st.floats(0, 1), circumference=st.floats(100, 2000))
def test_a_dome_of_height_one_is_the_hemisphere(share: float, circumference: float) -> None:
    hemisphere = dome_target(circumference, height_ratio=1.0)
    radius = circumference / (2 * math.pi)

    distance = share * hemisphere.arc_mm

    assert target_circumference_mm(hemisphere, distance) == pytest.approx(
        circumference * math.sin(distance / radius), rel=1e-9, abs=1e-9
    )


@given(circumference=st.floats(100, 2000), distances=st.lists(st.floats(0, 900), min_size=2, max_size=2))
def test_a_target_never_shrinks_outward_nor_beats_the_flat_disc(
    circumference: float, distances: list[float]
) -> None:
    near, far = sorted(distances)
    dome, disc = dome_target(circumference), disc_target(circumference)

    assert target_circumference_mm(dome, near) <= target_circumference_mm(dome, far) + 1e-9
    assert target_circumference_mm(dome, near) <= target_circumference_mm(disc, near) + 1e-9
