"""Laws of gauge errors and fit probabilities."""

from hypothesis import assume, given
from hypothesis import strategies as st

from service.domain.fit import FitTarget, fit_probability, likeliest_inner_mm
from service.domain.gauge import combined, combined_error
from service.domain.gauge_readings import GaugeOrder, GaugeReading, measure_gauge, reading_error
from service.reference.load import load_reference_tables

TABLES = load_reference_tables()

errors = st.floats(0.002, 0.3)
lengths_mm = st.floats(1, 20)


@st.composite
def readings(draw: st.DrawFn) -> GaugeReading:
    count = draw(st.integers(4, 60))
    rounds = draw(st.integers(4, 60))
    width_mm, height_mm = draw(st.floats(2, 15)), draw(st.floats(2, 30))
    return GaugeReading(
        stitch_count=count, width_mm=count * width_mm, round_count=rounds, height_mm=rounds * height_mm
    )


@given(places=st.lists(readings(), min_size=1, max_size=6))
def test_a_gauge_lies_between_its_readings(places: list[GaugeReading]) -> None:
    gauge = measure_gauge(GaugeOrder(readings=tuple(places)), TABLES).gauge

    widths = [place.width_mm / place.stitch_count for place in places]
    assert min(widths) - 1e-9 <= gauge.stitch_width_mm <= max(widths) + 1e-9


@given(places=st.lists(readings(), min_size=1, max_size=6), more=readings())
def test_another_reading_never_makes_a_gauge_less_certain(
    places: list[GaugeReading], more: GaugeReading
) -> None:
    fewer = measure_gauge(GaugeOrder(readings=tuple(places)), TABLES).gauge
    gauge = measure_gauge(GaugeOrder(readings=(*places, more)), TABLES).gauge

    assert gauge.width_error <= fewer.width_error + 1e-12
    assert gauge.height_error <= fewer.height_error + 1e-12


@given(places=st.lists(readings(), min_size=2, max_size=6), data=st.data())
def test_the_order_of_readings_changes_nothing(places: list[GaugeReading], data: st.DataObject) -> None:
    shuffled = data.draw(st.permutations(places))

    gauge = measure_gauge(GaugeOrder(readings=tuple(places)), TABLES).gauge
    other = measure_gauge(GaugeOrder(readings=tuple(shuffled)), TABLES).gauge

    assert abs(gauge.stitch_width_mm - other.stitch_width_mm) < 1e-9


@given(count=st.integers(1, 100), width_mm=lengths_mm, cv=st.sampled_from([0.05, 0.08, 0.12]))
def test_a_wider_reading_is_never_less_certain(count: int, width_mm: float, cv: float) -> None:
    narrow = reading_error(count=count, length_mm=count * width_mm, place_count=1, cv=cv, tables=TABLES)
    wide = reading_error(
        count=count + 1, length_mm=(count + 1) * width_mm, place_count=1, cv=cv, tables=TABLES
    )

    assert wide < narrow


@given(first=lengths_mm, first_error=errors, second=lengths_mm, second_error=errors)
def test_two_measurements_are_surer_than_either(
    first: float, first_error: float, second: float, second_error: float
) -> None:
    mean = combined(first, first_error, second, second_error)
    deviation = mean * combined_error(first, first_error, second, second_error)

    assert min(first, second) - 1e-9 <= mean <= max(first, second) + 1e-9
    assert deviation <= min(first * first_error, second * second_error) + 1e-12


@st.composite
def targets(draw: st.DrawFn) -> FitTarget:
    low_mm = draw(st.floats(150, 700))
    high_mm = low_mm * draw(st.floats(1.01, 1.4))
    return FitTarget(target_mm=(low_mm + high_mm) / 2, low_mm=low_mm, high_mm=high_mm)


@given(target=targets(), error=errors, inner_mm=st.floats(50, 1200))
def test_a_probability_is_a_probability(target: FitTarget, error: float, inner_mm: float) -> None:
    assert 0 <= fit_probability(circumference_mm=inner_mm, target=target, error=error) <= 1


@given(target=targets(), error=errors, inner_mm=st.floats(50, 1200))
def test_nothing_fits_better_than_the_likeliest(target: FitTarget, error: float, inner_mm: float) -> None:
    best_mm = likeliest_inner_mm(target=target, error=error)

    best = fit_probability(circumference_mm=best_mm, target=target, error=error)

    assert fit_probability(circumference_mm=inner_mm, target=target, error=error) <= best + 1e-12


@given(target=targets(), error=errors, near=st.floats(0, 1), far=st.floats(0, 1), above=st.booleans())
def test_fit_falls_on_either_side_of_the_likeliest(
    target: FitTarget, error: float, near: float, far: float, above: bool
) -> None:
    assume(near < far)
    best_mm = likeliest_inner_mm(target=target, error=error)
    side = 1 if above else -0.9

    nearer = fit_probability(circumference_mm=best_mm * (1 + side * near), target=target, error=error)
    further = fit_probability(circumference_mm=best_mm * (1 + side * far), target=target, error=error)

    assert further <= nearer + 1e-12


@given(target=targets(), error=errors)
def test_a_smaller_error_never_fits_worse_at_the_middle_of_the_band(target: FitTarget, error: float) -> None:
    wide = fit_probability(circumference_mm=target.target_mm, target=target, error=error)
    narrow = fit_probability(circumference_mm=target.target_mm, target=target, error=error / 2)

    assert narrow >= wide
