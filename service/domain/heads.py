"""Heads: measured with a tape, looked up by size, or expected at an age."""

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, sqrt
from operator import attrgetter

from service.domain.report import Assumption, Notice
from service.domain.rounding import TIE_TOLERANCE
from service.domain.tables import (
    UK90_FROM_MONTHS,
    WHO_UNTIL_MONTHS,
    GrowthPoint,
    ReferenceTables,
    Sex,
)

__all__ = [
    "LAST_AGE_MONTHS",
    "Head",
    "child_cautions",
    "head_assumptions",
    "head_at_age",
    "head_of_size",
    "measured_head",
    "outgrown_at_age_months",
]

#: The oldest age the references reach: 18 years.
LAST_AGE_MONTHS = 216

#: A head or an age below which a caution for children stands.
_SLEEP_HEAD_MM, _SLEEP_AGE_MONTHS = 480, 24
_SMALL_PARTS_HEAD_MM, _SMALL_PARTS_AGE_MONTHS = 500, 36

_AGE = attrgetter("age_months")


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """A head: its circumference, how unsure that is, and where it comes from.

    ``sd_mm`` is the spread of the heads it may be: the tape's for a measured one,
    the people's for a size or an age. ``size_id`` or ``age_months`` say how it was chosen.
    """

    circumference_mm: float
    sd_mm: float
    source: str
    size_id: str | None = None
    age_months: float | None = None
    sex: Sex | None = None

    @property
    def error(self) -> float:
        """Return the relative standard deviation of the circumference."""
        return self.sd_mm / self.circumference_mm


def measured_head(circumference_mm: float, *, tables: ReferenceTables) -> Head:
    """Return a head measured with a tape, known to 0.7 %.

    Parameters
    ----------
    circumference_mm
        Around the head, above the ears. [mm, > 0]

    Examples
    --------
    >>> from service.reference.load import load_reference_tables
    >>> round(measured_head(560, tables=load_reference_tables()).sd_mm, 2)
    3.92
    """
    sd_mm = circumference_mm * tables.prior("head_tape_error")
    return Head(circumference_mm=circumference_mm, sd_mm=sd_mm, source="measured with a tape")


def head_of_size(size_id: str, *, tables: ReferenceTables) -> Head:
    """Return the head that a size stands for.

    Raises
    ------
    KeyError
        If there is no such size.

    Examples
    --------
    >>> from service.reference.load import load_reference_tables
    >>> head_of_size("adult-m", tables=load_reference_tables()).circumference_mm
    570.0
    """
    row = tables.head_size_by_id[size_id]
    return Head(circumference_mm=row.mean_mm, sd_mm=row.sd_mm, source=row.source, size_id=size_id)


def head_at_age(age_months: float, *, sex: Sex | None, tables: ReferenceTables) -> Head:
    """Return the head expected at an age: the mean of the published references.

    WHO to 36 months, UK90 from 72 months, a straight line between neighbouring ages of the tables and from
    WHO to UK90. WHO stands there by week for the first quarter and by month beyond, so that no straight
    line is off by more than 0.3 mm. Without a sex both count alike:
    ``sd = sqrt((sd_f ** 2 + sd_m ** 2) / 2 + ((mean_f - mean_m) / 2) ** 2)``.

    Parameters
    ----------
    age_months
        Age. [months of 30.4375 days, 0 to 216]
    sex
        ``female``, ``male``, or ``None`` for the mean of both.

    Raises
    ------
    ValueError
        If the age is outside the references.

    Examples
    --------
    >>> from service.reference.load import load_reference_tables
    >>> tables = load_reference_tables()
    >>> head_at_age(12, sex="male", tables=tables).circumference_mm
    460.661
    >>> round(head_at_age(0, sex=None, tables=tables).circumference_mm, 1)
    341.7

    Notes
    -----
    WHO Child Growth Standards (2007); UK 1990 reference (UK90). Girls' UK90 ends at 17 years and is held.
    """
    if not 0 <= age_months <= LAST_AGE_MONTHS:
        raise ValueError(f"no reference reaches an age of {age_months} months")
    means, sds = zip(
        *(_point_at(age_months, tables.growth_curves[each]) for each in _sexes(sex)), strict=True
    )
    return Head(
        circumference_mm=sum(means) / len(means),
        sd_mm=_pooled_sd(means, sds),
        source=_age_source(age_months, sex),
        age_months=age_months,
        sex=sex,
    )


def _sexes(sex: Sex | None) -> tuple[Sex, ...]:
    return ("female", "male") if sex is None else (sex,)


def _point_at(age_months: float, curve: Sequence[GrowthPoint]) -> tuple[float, float]:
    """Return mean and standard deviation at an age, straight between neighbours and held at the ends."""
    after = bisect_right(curve, age_months, key=_AGE)
    if after == len(curve):
        return curve[-1].mean_mm, curve[-1].sd_mm
    younger, older = curve[after - 1], curve[after]
    share = (age_months - younger.age_months) / (older.age_months - younger.age_months)
    mean_mm = younger.mean_mm + share * (older.mean_mm - younger.mean_mm)
    return mean_mm, younger.sd_mm + share * (older.sd_mm - younger.sd_mm)


def _pooled_sd(means: Sequence[float], sds: Sequence[float]) -> float:
    """Return the spread of equal groups taken together."""
    middle = sum(means) / len(means)
    squares = [sd**2 + (mean - middle) ** 2 for mean, sd in zip(means, sds, strict=True)]
    return sqrt(sum(squares) / len(squares))


def _age_source(age_months: float, sex: Sex | None) -> str:
    who, uk90 = "WHO Child Growth Standards (2007)", "UK 1990 reference (UK90)"
    if age_months <= WHO_UNTIL_MONTHS:
        source = who
    elif age_months < UK90_FROM_MONTHS:
        source = f"straight line from {who} at 36 months to {uk90} at 72 months"
    else:
        source = uk90
    return source if sex else f"{source}, mean of both sexes"


def outgrown_at_age_months(
    *, inner_mm: float, age_months: float, sex: Sex | None, tables: ReferenceTables
) -> int | None:
    """Return the first whole month at which the expected head is too big for the hat.

    Too big means a grip beyond -13 %. ``None`` where growth ends before that.

    Parameters
    ----------
    inner_mm
        Circumference inside the hat. [mm, > 0]
    age_months
        Age for which it is made. [0 to 216]

    Examples
    --------
    >>> from service.reference.load import load_reference_tables
    >>> tables = load_reference_tables()
    >>> outgrown_at_age_months(inner_mm=0.92 * 460.661, age_months=12, sex="male", tables=tables)
    28
    >>> outgrown_at_age_months(inner_mm=0.92 * 560, age_months=180, sex="male", tables=tables) is None
    True

    Notes
    -----
    Convention: the closest grip of trade practice; the child is taken to grow along the mean.
    """
    largest_mm = inner_mm / (1 + tables.prior("grip_outgrown")) + TIE_TOLERANCE
    months = range(ceil(age_months), LAST_AGE_MONTHS + 1)

    def is_outgrown(month: int) -> bool:
        """Return whether the head of that month is too big."""
        return head_at_age(month, sex=sex, tables=tables).circumference_mm > largest_mm

    first = bisect_left(months, True, key=is_outgrown)
    return months[first] if first < len(months) else None


def head_assumptions(head: Head) -> tuple[Assumption, ...]:
    """Return what stands in for a tape: nothing for a measured head."""
    if head.size_id is None and head.age_months is None:
        return ()
    return (Assumption("head_circumference_mm", head.circumference_mm, "mm", "H", head.source),)


def child_cautions(head: Head) -> tuple[Notice, ...]:
    """Return what to heed when the head is a small child's.

    Asleep: under 48 cm or 24 months. Small parts, cords and selling: under 50 cm or 36 months.

    Examples
    --------
    >>> from service.reference.load import load_reference_tables
    >>> head = head_of_size("36-months", tables=load_reference_tables())
    >>> [notice.code for notice in child_cautions(head)]
    ['small_parts', 'cords', 'selling']

    Notes
    -----
    Good practice after the safe-sleep advice of paediatricians; no law is claimed.
    """
    codes = []
    if _is_younger(head, head_mm=_SLEEP_HEAD_MM, age_months=_SLEEP_AGE_MONTHS):
        codes.append("sleep")
    if _is_younger(head, head_mm=_SMALL_PARTS_HEAD_MM, age_months=_SMALL_PARTS_AGE_MONTHS):
        codes += ["small_parts", "cords", "selling"]
    return tuple(Notice(code) for code in codes)


def _is_younger(head: Head, *, head_mm: float, age_months: float) -> bool:
    is_smaller = head.circumference_mm < head_mm - TIE_TOLERANCE
    return is_smaller or (head.age_months is not None and head.age_months < age_months)
