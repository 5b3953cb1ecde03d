"""Gauge: the width of a stitch and the height of a round, and how well they are known.

Errors are relative standard deviations.
"""

from dataclasses import dataclass, replace
from math import sqrt

from service.domain.report import Assumption, Notice
from service.domain.tables import ReferenceTables

__all__ = [
    "Gauge",
    "GivenGauge",
    "combined",
    "combined_error",
    "give_gauge",
    "refine_gauge",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Gauge:
    """Stitch width and round height with their errors, and the fabric they were measured in.

    ``fabric_id`` is ``None`` where the gauge is the body fabric's own.
    """

    stitch_width_mm: float
    round_height_mm: float
    width_error: float
    height_error: float
    washed: bool = True
    fabric_id: str | None = None

    @property
    def stitches_per_10cm(self) -> float:
        """Return the stitches across 10 cm."""
        return 100 / self.stitch_width_mm

    @property
    def rounds_per_10cm(self) -> float:
        """Return the rounds up 10 cm."""
        return 100 / self.round_height_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenGauge:
    """A gauge stated without its readings, with what had to be supposed about it."""

    gauge: Gauge
    notices: tuple[Notice, ...]
    assumptions: tuple[Assumption, ...]


def combined(first: float, first_error: float, second: float, second_error: float) -> float:
    """Return the mean of two independent measurements, each weighted by the inverse of its variance.

    Examples
    --------
    >>> round(combined(6.0, 0.03, 6.2, 0.01), 3)
    6.179

    Notes
    -----
    Textbook least squares. An error of 0 takes all the weight.
    """
    first_variance, second_variance = (first * first_error) ** 2, (second * second_error) ** 2
    total = first_variance + second_variance
    if total == 0:
        return (first + second) / 2
    return (first * second_variance + second * first_variance) / total


def combined_error(first: float, first_error: float, second: float, second_error: float) -> float:
    """Return the relative error of :func:`combined`: never more than the smaller of the two deviations.

    Examples
    --------
    >>> round(combined_error(6.0, 0.03, 6.2, 0.01), 4)
    0.0095
    """
    first_variance, second_variance = (first * first_error) ** 2, (second * second_error) ** 2
    total = first_variance + second_variance
    if total == 0:
        return 0.0
    return sqrt(first_variance * second_variance / total) / combined(first, first_error, second, second_error)


def refine_gauge(
    gauge: Gauge,
    *,
    circumference_mm: float,
    stitch_count: int,
    tables: ReferenceTables,
    reading_error: float = 0.0,
) -> Gauge:
    """Return the gauge corrected by the measured circumference of the work itself.

    Parameters
    ----------
    gauge
        What the swatch said.
    circumference_mm
        The work measured around. [mm, > 0]
    stitch_count
        Stitches of the round that was measured. [>= 1]
    tables
        Priors: the work is measured to 1 % at best.
    reading_error
        Relative error of this reading, where it is larger. [>= 0]

    Examples
    --------
    >>> from service.reference.load import load_reference_tables
    >>> swatch = Gauge(stitch_width_mm=6.0, round_height_mm=7.0, width_error=0.03, height_error=0.03)
    >>> work = refine_gauge(swatch, circumference_mm=620, stitch_count=100, tables=load_reference_tables())
    >>> round(work.stitch_width_mm, 3), round(work.width_error, 4)
    (6.179, 0.0095)
    """
    worked_mm = circumference_mm / stitch_count
    error = max(tables.prior("work_measured_error"), reading_error)
    pair = (gauge.stitch_width_mm, gauge.width_error, worked_mm, error)
    return replace(gauge, stitch_width_mm=combined(*pair), width_error=combined_error(*pair))


def give_gauge(
    *,
    stitches_per_10cm: float,
    rounds_per_10cm: float,
    fabric_id: str | None,
    width_error: float | None,
    height_error: float | None,
    washed: bool | None,
    tables: ReferenceTables,
) -> GivenGauge:
    """Return a gauge as somebody states it, with the error it has for want of readings.

    A gauge without an error counts as 3.2 %, and as washed unless it is said not to be; an unwashed one
    takes the wash on top. A stated error is taken as it stands.

    Parameters
    ----------
    stitches_per_10cm, rounds_per_10cm
        The gauge. [> 0]
    width_error, height_error
        Relative errors where they are known. [>= 0]
    washed
        Whether the swatch was washed; ``None`` where nobody said.

    Examples
    --------
    >>> from service.reference.load import load_reference_tables
    >>> given = give_gauge(
    ...     stitches_per_10cm=16, rounds_per_10cm=14.5, fabric_id=None,
    ...     width_error=None, height_error=None, washed=None, tables=load_reference_tables(),
    ... )
    >>> given.gauge.stitch_width_mm, given.gauge.width_error, [notice.code for notice in given.notices]
    (6.25, 0.032, ['wash_swatch'])
    """
    bare = tables.prior("gauge_bare_error")
    if washed is False:
        bare = sqrt(bare**2 + tables.prior("gauge_wash") ** 2)
    gauge = Gauge(
        stitch_width_mm=100 / stitches_per_10cm,
        round_height_mm=100 / rounds_per_10cm,
        width_error=bare if width_error is None else width_error,
        height_error=bare if height_error is None else height_error,
        washed=washed is not False,
        fabric_id=fabric_id,
    )
    is_bare = width_error is None or height_error is None
    return GivenGauge(
        gauge=gauge,
        notices=_given_notices(
            gauge, ask_for_wash=not washed and (is_bare or washed is False), tables=tables
        ),
        assumptions=_bare_assumptions(width_error, height_error, bare, tables),
    )


def _bare_assumptions(
    width_error: float | None, height_error: float | None, bare: float, tables: ReferenceTables
) -> tuple[Assumption, ...]:
    prior = tables.prior_by_name["gauge_bare_error"]
    errors = (("width_error_percent", width_error), ("height_error_percent", height_error))
    return tuple(
        Assumption(name, 100 * bare, "percent", prior.confidence, prior.source)
        for name, error in errors
        if error is None
    )


def _given_notices(gauge: Gauge, *, ask_for_wash: bool, tables: ReferenceTables) -> tuple[Notice, ...]:
    notices = []
    if ask_for_wash:
        notices.append(Notice("wash_swatch"))
    if gauge.width_error > tables.prior("gauge_uncertain_above"):
        notices.append(Notice("gauge_uncertain", {"width_error_percent": 100 * gauge.width_error}))
    return tuple(notices)
