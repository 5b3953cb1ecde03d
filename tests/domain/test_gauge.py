"""Gauge and its errors, reckoned by hand."""

from math import hypot, sqrt

import pytest

from service.domain.gauge import Gauge, combined, combined_error, give_gauge, refine_gauge
from service.domain.gauge_readings import (
    GaugeOrder,
    GaugeReading,
    GaugeReport,
    measure_gauge,
    reading_error,
    total_error,
)
from service.reference.load import load_reference_tables

TABLES = load_reference_tables()


def reading(*, stitch_count: float = 20, width_mm: float = 140) -> GaugeReading:
    return GaugeReading(stitch_count=stitch_count, width_mm=width_mm, round_count=20, height_mm=140)


def codes(report: GaugeReport) -> list[str]:
    return [notice.code for notice in report.advice]


# Stitches 7 mm wide, a typical hand: reckoned by hand from our own error budget, to 0.1 %.
@pytest.mark.parametrize(
    ("stitch_count", "place_count", "expected"),
    [(20, 1, 0.020), (20, 3, 0.012), (8, 1, 0.037)],
)
def test_a_reading_has_the_error_of_its_width(stitch_count: int, place_count: int, expected: float) -> None:
    error = reading_error(
        count=stitch_count, length_mm=7 * stitch_count, place_count=place_count, cv=0.08, tables=TABLES
    )

    assert error == pytest.approx(expected, abs=0.0005)


# N = 20 in three places with drift 2.8 %, N = 8 in three places with drift 3.3 %.
@pytest.mark.parametrize(("stitch_count", "expected"), [(20, 0.028), (8, 0.033)])
def test_three_places_and_the_drift_add_in_quadrature(stitch_count: int, expected: float) -> None:
    place = reading(stitch_count=stitch_count, width_mm=7 * stitch_count)

    report = measure_gauge(GaugeOrder(readings=(place,) * 3, washed=True, evenness="typical"), TABLES)

    assert report.gauge.width_error == pytest.approx(expected, abs=0.0005)


def test_one_reading_worked_by_hand() -> None:
    # (0.25/20)^2/3 = 5.208e-5; 2/3/140^2 = 3.401e-5; 0.08^2/20 = 32e-5; the sum is 40.61e-5.
    error = reading_error(count=20, length_mm=140, place_count=1, cv=0.08, tables=TABLES)

    assert error == pytest.approx(sqrt(5.20833e-5 + 3.40136e-5 + 32e-5), rel=1e-6)


def test_equal_readings_are_one_reading_in_so_many_places() -> None:
    report = measure_gauge(GaugeOrder(readings=(reading(),) * 4, washed=True), TABLES)

    in_four = reading_error(count=20, length_mm=140, place_count=4, cv=0.08, tables=TABLES)
    assert report.gauge.width_error == pytest.approx(hypot(in_four, 0.025))
    assert report.gauge.stitch_width_mm == pytest.approx(7)


def test_a_wide_reading_counts_for_more_than_a_narrow_one() -> None:
    narrow, wide = reading(stitch_count=5, width_mm=30), reading(stitch_count=40, width_mm=280)

    width_mm = measure_gauge(GaugeOrder(readings=(narrow, wide)), TABLES).gauge.stitch_width_mm

    assert 6.5 < width_mm < 7


def test_an_unwashed_swatch_carries_the_wash() -> None:
    assert total_error(measured_error=0.02, washed=False, tables=TABLES) == pytest.approx(
        sqrt(0.02**2 + 0.025**2 + 0.04**2)
    )


def test_readings_after_the_wash_replace_those_before() -> None:
    order = GaugeOrder(readings=(reading(),), after_wash_readings=(reading(width_mm=133),))

    report = measure_gauge(order, TABLES)

    change = next(notice for notice in report.advice if notice.code == "changed_in_wash")
    assert report.gauge.stitch_width_mm == pytest.approx(6.65)
    assert report.gauge.washed
    assert "wash_swatch" not in codes(report)
    assert change.values["width_percent"] == pytest.approx(-5)
    assert change.values["height_percent"] == pytest.approx(0)


def test_a_small_unwashed_swatch_is_told_everything() -> None:
    report = measure_gauge(GaugeOrder(readings=(reading(stitch_count=8, width_mm=56),)), TABLES)

    assert codes(report) == [
        "leave_edges_out",
        "wash_swatch",
        "measure_more_places",
        "make_wider_swatch",
        "gauge_uncertain",
    ]


def test_a_good_swatch_is_told_only_to_leave_the_edges_out() -> None:
    report = measure_gauge(GaugeOrder(readings=(reading(),) * 3, washed=True, evenness="steady"), TABLES)

    assert codes(report) == ["leave_edges_out"]
    assert report.assumptions == ()


def test_advice_says_what_error_it_would_leave() -> None:
    report = measure_gauge(GaugeOrder(readings=(reading(),), washed=True), TABLES)

    places = next(notice for notice in report.advice if notice.code == "measure_more_places")
    assert places.values["width_error_percent"] == pytest.approx(2.76, abs=0.01)


def test_readings_that_contradict_one_another_are_named() -> None:
    places = (reading(), reading(width_mm=141), reading(width_mm=170))

    assert "readings_disagree" in codes(measure_gauge(GaugeOrder(readings=places), TABLES))


def test_a_hand_that_nobody_described_is_assumed_typical() -> None:
    report = measure_gauge(GaugeOrder(readings=(reading(),)), TABLES)

    assert [(a.name, a.value) for a in report.assumptions] == [("evenness", "typical")]


@pytest.mark.parametrize(
    ("width_error", "washed", "expected", "notices"),
    [
        (None, None, 0.032, ["wash_swatch"]),
        (None, True, 0.032, []),
        (None, False, hypot(0.032, 0.04), ["wash_swatch", "gauge_uncertain"]),
        (0.02, None, 0.02, []),
        (0.02, False, 0.02, ["wash_swatch"]),
        (0.06, True, 0.06, ["gauge_uncertain"]),
    ],
)
def test_a_stated_gauge_has_its_error(
    width_error: float | None, washed: bool | None, expected: float, notices: list[str]
) -> None:
    given = give_gauge(
        stitches_per_10cm=16,
        rounds_per_10cm=8,
        fabric_id=None,
        width_error=width_error,
        height_error=width_error,
        washed=washed,
        tables=TABLES,
    )

    assert given.gauge.width_error == pytest.approx(expected)
    assert (given.gauge.stitch_width_mm, given.gauge.round_height_mm) == (6.25, 12.5)
    assert [notice.code for notice in given.notices] == notices
    assert len(given.assumptions) == (2 if width_error is None else 0)


def test_the_work_outweighs_the_swatch_by_its_variance() -> None:
    # Variances (6 * 0.03)^2 = 0.0324 and (6.2 * 0.01)^2 = 0.003844:
    # (6 * 0.003844 + 6.2 * 0.0324) / 0.036244 = 6.17879; 0.0324 * 0.003844 / 0.036244 = 0.05862^2.
    assert combined(6.0, 0.03, 6.2, 0.01) == pytest.approx(6.178788, abs=1e-6)
    assert combined_error(6.0, 0.03, 6.2, 0.01) == pytest.approx(0.0586200 / 6.178788, rel=1e-5)


def test_two_exact_measurements_share_the_weight() -> None:
    assert combined(6.0, 0.0, 6.2, 0.0) == pytest.approx(6.1)
    assert combined_error(6.0, 0.0, 6.2, 0.0) == 0


def test_the_work_corrects_the_swatch() -> None:
    swatch = Gauge(stitch_width_mm=6.0, round_height_mm=7.0, width_error=0.03, height_error=0.04)

    work = refine_gauge(swatch, circumference_mm=620, stitch_count=100, tables=TABLES)

    assert work.stitch_width_mm == pytest.approx(6.178788, abs=1e-6)
    assert (work.round_height_mm, work.height_error) == (7.0, 0.04)


def test_gauge_per_10_cm_is_the_reciprocal() -> None:
    gauge = Gauge(stitch_width_mm=6.25, round_height_mm=8, width_error=0, height_error=0)

    assert (gauge.stitches_per_10cm, gauge.rounds_per_10cm) == (16, 12.5)
