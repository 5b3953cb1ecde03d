"""Reference tables as values: what a calculation may look up, handed to it and never read by it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any, Literal

from service.domain.fabrics import BaseStitch, Fabric
from service.domain.report import Assumption, Confidence

__all__ = [
    "UK90_FROM_MONTHS",
    "WHO_UNTIL_MONTHS",
    "FabricRow",
    "GrowthPoint",
    "HeadSize",
    "HeadSurvey",
    "HookSize",
    "Prior",
    "ReferenceTables",
    "Sex",
    "StitchRow",
    "YarnWeight",
]

Sex = Literal["female", "male"]

#: The WHO standard carries the curve up to this age, UK90 from the second age on (convention:
#: the two differ by 2 cm at four years, so the curve runs straight between them instead of jumping).
WHO_UNTIL_MONTHS = 36
UK90_FROM_MONTHS = 72


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadSize:
    """A measured head that a size stands for, with the spread of the heads that choose it.

    ``age_months`` is the age of the rows that stand for one, else ``None``.
    """

    size_id: str
    name: str
    mean_mm: float
    sd_mm: float
    age_months: float | None
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadSurvey:
    """A survey of adult heads: how many were measured, their mean and spread."""

    survey_id: str
    sex: Sex
    head_count: int | None
    mean_mm: float
    sd_mm: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GrowthPoint:
    """Head circumference at one age in one published reference.

    The references have L = 1: the median is the mean, and the standard deviation is ``M * S``.
    Ages before term are negative.
    """

    reference: str
    sex: Sex
    age_months: float
    mean_mm: float
    sd_mm: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class YarnWeight:
    """A category of yarn weight: the gauge, hooks and thickness that go with it.

    An open end of a range is ``None``. ``gauge_stitch`` is what the gauge counts per 10 cm.
    """

    weight_category: int
    name: str
    gauge_stitch: BaseStitch
    stitches_per_10cm_low: float | None
    stitches_per_10cm_high: float
    hook_mm_low: float
    hook_mm_high: float | None
    hook_us: str
    wraps_per_inch_low: float
    wraps_per_inch_high: float | None
    tex: float
    fabric_g_per_m2: float
    confidence: Confidence
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HookSize:
    """A crochet hook by its shank in millimetres, with the US and old UK sizes where there are any."""

    diameter_mm: float
    us: str | None
    uk: str | None
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StitchRow:
    """A stitch by its code: its names, what it uses up and makes, its height and its yarn."""

    code: str
    us_abbreviation: str
    us_name: str
    uk_abbreviation: str
    uk_name: str
    consumed_stitch_count: int
    made_stitch_count: int
    turning_chain_count: int
    relative_height: float
    sc_units: float
    sc_units_sd: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FabricRow:
    """A fabric the service knows by name."""

    fabric_id: str
    name: str
    fabric: Fabric
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Prior:
    """A figure used for want of a measurement, with its standard deviation where one is known."""

    name: str
    value: float
    sd: float | None
    unit: str
    confidence: Confidence
    source: str

    def as_assumption(self) -> Assumption:
        """Return the prior as an answer lists it."""
        return Assumption(self.name, self.value, self.unit, self.confidence, self.source)


@dataclass(frozen=True, slots=True, kw_only=True)
class ReferenceTables:
    """Every reference table, read once, with its rows by their ids."""

    head_sizes: tuple[HeadSize, ...]
    head_surveys: tuple[HeadSurvey, ...]
    growth_points: tuple[GrowthPoint, ...]
    yarn_weights: tuple[YarnWeight, ...]
    hook_sizes: tuple[HookSize, ...]
    stitches: tuple[StitchRow, ...]
    fabrics: tuple[FabricRow, ...]
    priors: tuple[Prior, ...]
    head_size_by_id: Mapping[str, HeadSize] = field(init=False, repr=False, compare=False)
    yarn_weight_by_category: Mapping[int, YarnWeight] = field(init=False, repr=False, compare=False)
    stitch_by_code: Mapping[str, StitchRow] = field(init=False, repr=False, compare=False)
    fabric_by_id: Mapping[str, Fabric] = field(init=False, repr=False, compare=False)
    prior_by_name: Mapping[str, Prior] = field(init=False, repr=False, compare=False)
    growth_curves: Mapping[Sex, tuple[GrowthPoint, ...]] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Index the rows once."""
        self._index("head_size_by_id", {row.size_id: row for row in self.head_sizes})
        self._index("yarn_weight_by_category", {row.weight_category: row for row in self.yarn_weights})
        self._index("stitch_by_code", {row.code: row for row in self.stitches})
        self._index("fabric_by_id", {row.fabric_id: row.fabric for row in self.fabrics})
        self._index("prior_by_name", {row.name: row for row in self.priors})
        sexes: tuple[Sex, ...] = ("female", "male")
        self._index("growth_curves", {sex: _growth_curve(self.growth_points, sex) for sex in sexes})

    def _index(self, name: str, rows: Mapping[Any, object]) -> None:
        object.__setattr__(self, name, MappingProxyType(dict(rows)))

    def prior(self, name: str) -> float:
        """Return the value of a prior by its name."""
        return self.prior_by_name[name].value


def _growth_curve(points: Iterable[GrowthPoint], sex: Sex) -> tuple[GrowthPoint, ...]:
    """Return the points of one sex that make up the curve, youngest first."""
    chosen = [point for point in points if point.sex == sex and _is_on_curve(point)]
    return tuple(sorted(chosen, key=lambda point: point.age_months))


def _is_on_curve(point: GrowthPoint) -> bool:
    if point.reference == "WHO":
        return point.age_months <= WHO_UNTIL_MONTHS
    return point.reference == "UK90" and point.age_months >= UK90_FROM_MONTHS
