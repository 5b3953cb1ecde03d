"""Fit probabilities, reckoned by hand with a table of the normal distribution."""

from math import pi

import pytest

from service.domain.errors import FitBandEmpty
from service.domain.fit import (
    FitTarget,
    banded_target,
    bare_target,
    fit_error,
    fit_probability,
    fitted_heads,
    head_target,
    likeliest_inner_mm,
    thickness_allowance_mm,
)
from service.reference.load import load_reference_tables

TABLES = load_reference_tables()
STANDARD = head_target(head_mm=500, grip=-0.08, finished_mm=460, allowance_mm=0, tables=TABLES)


# Target -8 %, band -13 to -3 %, no thickness.
@pytest.mark.parametrize(
    ("error", "expected"), [(0.02, 0.993), (0.03, 0.930), (0.04, 0.826), (0.05, 0.723), (0.10, 0.413)]
)
def test_a_hat_on_target_fits_as_often_as_its_error_allows(error: float, expected: float) -> None:
    probability = fit_probability(circumference_mm=460, target=STANDARD, error=error)

    assert probability == pytest.approx(expected, abs=0.0005)


# Band -15 to 0 %.
@pytest.mark.parametrize(("error", "expected"), [(0.03, 0.993), (0.05, 0.895)])
def test_a_wider_band_accepts_more(error: float, expected: float) -> None:
    band = FitTarget(target_mm=460, low_mm=425, high_mm=500)

    assert fit_probability(circumference_mm=460, target=band, error=error) == pytest.approx(
        expected, abs=0.0005
    )


def test_thickness_is_taken_from_the_inside() -> None:
    thick = FitTarget(target_mm=482, low_mm=435, high_mm=485, allowance_mm=22)

    assert fit_probability(circumference_mm=482, target=thick, error=0.03) == pytest.approx(
        fit_probability(circumference_mm=460, target=STANDARD, error=0.03)
    )


def test_a_hat_with_nothing_inside_fits_nobody() -> None:
    thick = FitTarget(target_mm=20, low_mm=10, high_mm=30, allowance_mm=22)

    assert fit_probability(circumference_mm=22, target=thick, error=0.03) == 0


def test_without_any_error_a_hat_fits_or_does_not() -> None:
    assert fit_probability(circumference_mm=485, target=STANDARD, error=0) == 1
    assert fit_probability(circumference_mm=485.1, target=STANDARD, error=0) == 0


def test_two_layers_take_twice_as_much() -> None:
    assert thickness_allowance_mm(thickness_mm=3, layer_count=1) == pytest.approx(3 * pi)
    assert thickness_allowance_mm(thickness_mm=3, layer_count=2) == pytest.approx(6 * pi)


def test_the_standard_band_is_13_to_3_percent_under_the_head() -> None:
    assert (STANDARD.low_mm, STANDARD.high_mm) == pytest.approx((435, 485))


def test_a_circumference_without_a_head_is_accepted_within_5_percent() -> None:
    target = bare_target(target_mm=500, tables=TABLES)

    assert (target.low_mm, target.high_mm) == pytest.approx((473, 527))


def test_a_band_whose_low_end_lies_above_its_high_end_is_refused() -> None:
    with pytest.raises(FitBandEmpty, match=r"from 52\.00 to 49\.00 cm") as refused:
        banded_target(target_mm=500, low_mm=520, high_mm=490)

    assert (refused.value.low_cm, refused.value.high_cm) == (52, 49)


def test_gauge_and_head_add_in_quadrature() -> None:
    assert fit_error(width_error=0.03, head_error=0.04) == pytest.approx(0.05)


def test_a_hat_fits_heads_within_two_and_a_half_points() -> None:
    heads = fitted_heads(inner_mm=460, grip=-0.08, tables=TABLES)

    assert (heads.low_mm, heads.high_mm) == pytest.approx((460 / 0.945, 460 / 0.895))


@pytest.mark.parametrize(("inner_mm", "grip"), [(0, -0.08), (-5, -0.08), (10, -0.98)])
def test_a_hat_without_room_is_refused(inner_mm: float, grip: float) -> None:
    with pytest.raises(ValueError, match="fits no head"):
        fitted_heads(inner_mm=inner_mm, grip=grip, tables=TABLES)


@pytest.mark.parametrize("error", [0.005, 0.03, 0.1, 0.3])
def test_nothing_near_the_likeliest_circumference_fits_better(error: float) -> None:
    best_mm = likeliest_inner_mm(target=STANDARD, error=error)

    best = fit_probability(circumference_mm=best_mm, target=STANDARD, error=error)
    others = [
        fit_probability(circumference_mm=best_mm + step, target=STANDARD, error=error)
        for step in (-40, -5, -0.5, 0.5, 5, 40)
    ]
    assert best >= max(others)


@pytest.mark.parametrize(("low_mm", "high_mm"), [(460, 460), (0, 500)])
def test_a_band_without_width_or_without_a_low_end_is_fitted_best_in_its_middle(
    low_mm: float, high_mm: float
) -> None:
    band = FitTarget(target_mm=460, low_mm=low_mm, high_mm=high_mm)

    assert likeliest_inner_mm(target=band, error=0.03) == (low_mm + high_mm) / 2
