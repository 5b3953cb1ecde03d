"""A piece of work to reckon yarn for, and the yarn that it takes."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from service.domain.report import Assumption, Notice, Working
from service.domain.rounds import Section
from service.domain.yarn_buying import Certainty, Extras, Finishing, YarnNeed, YarnPurchase
from service.domain.yarn_swatches import Swatch
from service.domain.yarn_tiers import Tier
from service.domain.yarn_work import WorkPart
from service.domain.yarns import Yarn, YarnTex

__all__ = ["PartYarn", "YarnEstimate", "YarnOrder", "YarnRange"]


@dataclass(frozen=True, slots=True)
class YarnRange:
    """A median with its central interval of 90 %."""

    low: float
    median: float
    high: float


@dataclass(frozen=True, slots=True)
class PartYarn:
    """The yarn of a stretch of work, all strands added up. ``number`` is its round, 0 for the foundation."""

    number: int
    section: Section | None
    units: float
    length_m: float
    cumulative_length_m: float


@dataclass(frozen=True, slots=True)
class YarnOrder:
    """A piece of work to reckon yarn for, and what is known about it.

    ``stitch_weights`` are the maker's own, by stitch code. [sc units, > 0]
    """

    yarn: Yarn
    work: tuple[WorkPart, ...]
    swatch: Swatch | None = None
    stitch_weights: Mapping[str, float] = field(default_factory=dict)
    certainty_percent: Certainty = 95
    finishing: Finishing = field(default_factory=Finishing)


@dataclass(frozen=True, slots=True)
class YarnEstimate:
    """The yarn of a piece of work. Length and mass are of the work alone; extras come in ``buy``.

    The parts stand in working order, and the last cumulative length is the median of the whole.
    ``buy_by_certainty`` has a purchase for 90, 95 and 99 %.
    """

    tier: Tier
    tex: YarnTex
    units: float
    parts: tuple[PartYarn, ...]
    length_m: YarnRange
    mass_g: YarnRange
    need: YarnNeed
    extras: Extras
    buy: YarnPurchase
    buy_by_certainty: tuple[YarnPurchase, ...]
    notices: tuple[Notice, ...] = ()
    assumptions: tuple[Assumption, ...] = ()
    working: tuple[Working, ...] = ()
