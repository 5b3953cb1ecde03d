"""How long a piece of work takes on the hook."""

from dataclasses import dataclass

from service.domain.report import Assumption, Notice

__all__ = ["DEFAULT_PACE_UNITS_PER_MINUTE", "WorkingTime", "working_time"]

#: A practised maker's single crochets in a minute, pauses to count and to turn the work included.
DEFAULT_PACE_UNITS_PER_MINUTE = 12.0

#: Work from this many hours on is advised to be broken up.
LONG_WORK_HOURS = 3.0


@dataclass(frozen=True, slots=True)
class WorkingTime:
    """Hours on the hook at a pace, without sewing in."""

    hours: float
    pace_units_per_minute: float
    notices: tuple[Notice, ...]
    assumptions: tuple[Assumption, ...]


def working_time(*, units: float, pace_units_per_minute: float | None = None) -> WorkingTime:
    """Return the hours that the work takes: ``units / (60 * pace)``.

    Yarn through the hook is the measure of time: a stitch that takes twice the yarn takes twice as long.

    Parameters
    ----------
    units
        Yarn of the work. [sc units, >= 0]
    pace_units_per_minute
        The maker's pace: single crochets in a minute. None for the usual 12. [> 0]

    Examples
    --------
    >>> time = working_time(units=2877.5)
    >>> round(time.hours, 1), time.notices[0].code, time.assumptions[0].value
    (4.0, 'hands', 12.0)
    >>> working_time(units=2877.5, pace_units_per_minute=20).assumptions
    ()

    Notes
    -----
    Convention: the usual pace is a judgement without a source; paces from 8 to 20 are common.
    """
    pace = DEFAULT_PACE_UNITS_PER_MINUTE if pace_units_per_minute is None else pace_units_per_minute
    hours = units / (60 * pace)
    usual = Assumption("pace_units_per_minute", pace, "sc_unit", "L", "judgement, no source")
    return WorkingTime(
        hours=hours,
        pace_units_per_minute=pace,
        notices=(Notice("hands", {"hours": hours}),) if hours > LONG_WORK_HOURS else (),
        assumptions=(usual,) if pace_units_per_minute is None else (),
    )
