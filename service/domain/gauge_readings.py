"""The gauge of a swatch from its readings: how large the error is, and what would make it smaller.

Errors are relative standard deviations.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Literal

from service.domain.gauge import Gauge
from service.domain.report import Assumption, Notice, Working
from service.domain.tables import ReferenceTables

__all__ = [
    "Evenness",
    "GaugeOrder",
    "GaugeReading",
    "GaugeReport",
    "measure_gauge",
    "reading_error",
    "total_error",
]

Evenness = Literal["steady", "typical", "beginner"]

#: Places to measure before more of them stop helping: beyond three the drift of the hat outweighs the rest.
ENOUGH_PLACES = 3
#: Advice that would make the error smaller by less than this is not given.
WORTH_THE_TROUBLE = 0.001

#: Stitches and rounds of a swatch that is wide enough to measure well.
ENOUGH_STITCHES = 20
#: Readings further from their mean than this many standard deviations contradict one another.
DISAGREEMENT = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class GaugeReading:
    """Stitches counted over a width and rounds counted over a height, in one place of the swatch."""

    stitch_count: float
    width_mm: float
    round_count: float
    height_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class GaugeOrder:
    """A measured swatch. ``evenness`` is ``None`` where the maker did not say."""

    readings: tuple[GaugeReading, ...]
    washed: bool = False
    evenness: Evenness | None = None
    after_wash_readings: tuple[GaugeReading, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class GaugeReport:
    """The gauge of a swatch, how to measure better, and how the figures were reached."""

    gauge: Gauge
    advice: tuple[Notice, ...]
    assumptions: tuple[Assumption, ...]
    working: tuple[Working, ...]


def reading_error(
    *, count: float, length_mm: float, place_count: int, cv: float, tables: ReferenceTables
) -> float:
    """Return the relative error of a width or height read off a swatch.

    ``sqrt(((f / (sqrt(3) N)) ** 2 + 2 * (r / (sqrt(3) W)) ** 2 + cv ** 2 / N) / m)``: counting to f of a
    stitch, reading the ruler to r at both ends, and stitches that vary by cv.

    Parameters
    ----------
    count
        Stitches or rounds counted, N. [> 0]
    length_mm
        Length they were counted over, W. [mm, > 0]
    place_count
        Independent places measured alike, m. [>= 1]
    cv
        Variation from one stitch to the next. [0.05 steady, 0.08 typical, 0.12 beginner]
    tables
        Priors: f is 0.25 stitch, r is 1 mm.

    Examples
    --------
    >>> from service.reference.load import load_reference_tables
    >>> tables = load_reference_tables()
    >>> round(reading_error(count=20, length_mm=140, place_count=1, cv=0.08, tables=tables), 4)
    0.0202
    >>> round(reading_error(count=8, length_mm=56, place_count=1, cv=0.08, tables=tables), 4)
    0.0366

    Notes
    -----
    Convention: errors spread evenly within their limits, hence the root of 3; our own error budget.
    """
    counting = tables.prior("reading_count_error") ** 2 / (3 * count**2)
    ruler = 2 * tables.prior("reading_ruler_error_mm") ** 2 / (3 * length_mm**2)
    return sqrt((counting + ruler + cv**2 / count) / place_count)


def total_error(*, measured_error: float, washed: bool, tables: ReferenceTables) -> float:
    """Return the error of a swatch as a forecast of the hat: reading, drift and wash in quadrature.

    Examples
    --------
    >>> from service.reference.load import load_reference_tables
    >>> tables = load_reference_tables()
    >>> round(total_error(measured_error=0.0116, washed=True, tables=tables), 4)
    0.0276
    >>> round(total_error(measured_error=0.0116, washed=False, tables=tables), 4)
    0.0486

    Notes
    -----
    Convention: 2.5 % from swatch to hat, 4 % for a wash that is still to come.
    """
    wash = 0.0 if washed else tables.prior("gauge_wash")
    return sqrt(measured_error**2 + tables.prior("gauge_drift") ** 2 + wash**2)


def measure_gauge(order: GaugeOrder, tables: ReferenceTables) -> GaugeReport:
    """Return the gauge of a swatch from its readings, with its errors and advice.

    Readings are weighted by the inverse of their variance, so that a wide reading counts for more than a
    narrow one. Readings after the wash replace those before it.

    Parameters
    ----------
    order
        The readings, whether the swatch was washed as the hat will be, and the hand's evenness.
    tables
        Priors of the error budget.

    Examples
    --------
    >>> from service.reference.load import load_reference_tables
    >>> reading = GaugeReading(stitch_count=20, width_mm=140, round_count=18, height_mm=113.4)
    >>> order = GaugeOrder(readings=(reading,) * 3, washed=True, evenness="typical")
    >>> gauge = measure_gauge(order, load_reference_tables()).gauge
    >>> round(gauge.stitch_width_mm, 6), round(100 * gauge.width_error, 1)
    (7.0, 2.8)
    """
    readings = order.after_wash_readings or order.readings
    washed = order.washed or bool(order.after_wash_readings)
    evenness = order.evenness or "typical"
    cv = tables.prior(f"evenness_{evenness}")
    width_mm, width_reading = _weighted(readings, _width, cv, tables)
    height_mm, height_reading = _weighted(readings, _height, cv, tables)
    gauge = Gauge(
        stitch_width_mm=width_mm,
        round_height_mm=height_mm,
        width_error=total_error(measured_error=width_reading, washed=washed, tables=tables),
        height_error=total_error(measured_error=height_reading, washed=washed, tables=tables),
        washed=washed,
    )
    return GaugeReport(
        gauge=gauge,
        advice=_advice(order, readings, gauge, cv, tables),
        assumptions=_evenness_assumption(order, tables),
        working=_gauge_working(gauge, len(readings), width_reading, height_reading),
    )


_Measure = Callable[[GaugeReading], tuple[float, float]]


def _width(reading: GaugeReading) -> tuple[float, float]:
    return reading.stitch_count, reading.width_mm


def _height(reading: GaugeReading) -> tuple[float, float]:
    return reading.round_count, reading.height_mm


def _weighted(
    readings: Sequence[GaugeReading], measure: _Measure, cv: float, tables: ReferenceTables
) -> tuple[float, float]:
    """Return the weighted mean of a stitch's width or a round's height, and the relative error of it."""
    total_weight, total = 0.0, 0.0
    for reading in readings:
        count, length_mm = measure(reading)
        error = reading_error(count=count, length_mm=length_mm, place_count=1, cv=cv, tables=tables)
        total_weight += error**-2
        total += error**-2 * length_mm / count
    return total / total_weight, total_weight**-0.5


def _evenness_assumption(order: GaugeOrder, tables: ReferenceTables) -> tuple[Assumption, ...]:
    if order.evenness is not None:
        return ()
    prior = tables.prior_by_name["evenness_typical"]
    return (Assumption("evenness", "typical", "", prior.confidence, prior.source),)


def _advice(
    order: GaugeOrder, readings: Sequence[GaugeReading], gauge: Gauge, cv: float, tables: ReferenceTables
) -> tuple[Notice, ...]:
    """Return what would make the gauge better known, each with the error it would leave."""
    advice = [Notice("leave_edges_out", {"stitch_count": 2, "round_count": 1})]
    _, read_error = _weighted(readings, _width, cv, tables)
    if not gauge.washed:
        advice.append(
            _advised("wash_swatch", total_error(measured_error=read_error, washed=True, tables=tables))
        )
    if len(readings) < ENOUGH_PLACES:
        fewer = read_error * sqrt(len(readings) / ENOUGH_PLACES)
        error = total_error(measured_error=fewer, washed=gauge.washed, tables=tables)
        if error < gauge.width_error - WORTH_THE_TROUBLE:
            advice.append(_advised("measure_more_places", error, place_count=ENOUGH_PLACES))
    if min(reading.stitch_count for reading in readings) < ENOUGH_STITCHES:
        advice.append(
            _advised("make_wider_swatch", _wide_error(readings, gauge, cv, tables), stitch_count=20)
        )
    if _disagreement(readings, cv, tables) > DISAGREEMENT:
        advice.append(Notice("readings_disagree", {"spread_percent": 100 * _spread(readings)}))
    if order.after_wash_readings:
        advice.append(_wash_change(order, cv, tables))
    if gauge.width_error > tables.prior("gauge_uncertain_above"):
        advice.append(_advised("gauge_uncertain", gauge.width_error))
    return tuple(advice)


def _advised(code: str, error: float, **figures: int) -> Notice:
    return Notice(code, {**figures, "width_error_percent": 100 * error})


def _wide_error(readings: Sequence[GaugeReading], gauge: Gauge, cv: float, tables: ReferenceTables) -> float:
    """Return the error that readings over 20 stitches in as many places would have."""
    wide = reading_error(
        count=ENOUGH_STITCHES,
        length_mm=ENOUGH_STITCHES * gauge.stitch_width_mm,
        place_count=len(readings),
        cv=cv,
        tables=tables,
    )
    return total_error(measured_error=wide, washed=gauge.washed, tables=tables)


def _disagreement(readings: Sequence[GaugeReading], cv: float, tables: ReferenceTables) -> float:
    """Return how many standard deviations the odd reading lies from the mean of all, across or up."""
    worst = 0.0
    for measure in (_width, _height):
        mean, _ = _weighted(readings, measure, cv, tables)
        for reading in readings:
            count, length_mm = measure(reading)
            error = reading_error(count=count, length_mm=length_mm, place_count=1, cv=cv, tables=tables)
            worst = max(worst, abs(length_mm / count / mean - 1) / error)
    return worst


def _spread(readings: Sequence[GaugeReading]) -> float:
    """Return the widest stitch over the narrowest, or the tallest round over the lowest, minus 1."""
    widths = [reading.width_mm / reading.stitch_count for reading in readings]
    heights = [reading.height_mm / reading.round_count for reading in readings]
    return max(max(widths) / min(widths), max(heights) / min(heights)) - 1


def _wash_change(order: GaugeOrder, cv: float, tables: ReferenceTables) -> Notice:
    changes = {}
    for name, measure in (("width_percent", _width), ("height_percent", _height)):
        before, _ = _weighted(order.readings, measure, cv, tables)
        after, _ = _weighted(order.after_wash_readings, measure, cv, tables)
        changes[name] = 100 * (after / before - 1)
    return Notice("changed_in_wash", changes)


def _gauge_working(
    gauge: Gauge, place_count: int, width_reading: float, height_reading: float
) -> tuple[Working, ...]:
    source = "Convention: our own error budget of a swatch"
    mean = "mean over readings, weighted by inverse variance"
    read = "sqrt(1 / sum(1 / s_i^2)), s_i^2 = (f/(sqrt(3) N))^2 + 2 (r/(sqrt(3) W))^2 + cv^2/N"
    total = "sqrt(s_reading^2 + s_drift^2 + s_wash^2)"
    return (
        Working("places", "readings used", place_count, "", source),
        Working("stitch_width_mm", mean, gauge.stitch_width_mm, "mm", source),
        Working("round_height_mm", mean, gauge.round_height_mm, "mm", source),
        Working("width_reading_error_percent", read, 100 * width_reading, "percent", source),
        Working("height_reading_error_percent", read, 100 * height_reading, "percent", source),
        Working("width_error_percent", total, 100 * gauge.width_error, "percent", source),
        Working("height_error_percent", total, 100 * gauge.height_error, "percent", source),
    )
