"""A piece of work to reckon yarn for, and the yarn that it takes."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import exp
from typing import Self

from service.domain.report import Assumption, Notice, Working
from service.domain.rounds import Section
from service.domain.yarn_buying import INTERVAL_Z, Certainty, Extras, Finishing, YarnNeed, YarnPurchase
from service.domain.yarn_colourings import Colouring
from service.domain.yarn_swatches import Swatch
from service.domain.yarn_tiers import Tier
from service.domain.yarn_work import WorkPart
from service.domain.yarns import Yarn, YarnTex

__all__ = ["ColourPart", "ColourYarn", "PartYarn", "YarnEstimate", "YarnOrder", "YarnRange"]


@dataclass(frozen=True, slots=True)
class YarnRange:
    """A median with its central interval of 90 %."""

    low: float
    median: float
    high: float

    @classmethod
    def around(cls, median: float, *, log_sd: float) -> Self:
        """Return the interval of a median: ``median * exp(+-1.645 * sd)``.

        Examples
        --------
        >>> YarnRange.around(100.0, log_sd=0.0)
        YarnRange(low=100.0, median=100.0, high=100.0)
        """
        factor = exp(INTERVAL_Z * log_sd)
        return cls(low=median / factor, median=median, high=median * factor)


@dataclass(frozen=True, slots=True)
class PartYarn:
    """The yarn of a stretch of work, all strands added up. ``number`` is its round, 0 for the foundation."""

    number: int
    section: Section | None
    units: float
    length_m: float
    cumulative_length_m: float


@dataclass(frozen=True, slots=True)
class ColourPart:
    """What a colour gives to a stretch of work: how many of its strands, and their length.

    ``begun_count`` is how often strands of the colour were begun until then, here included.
    """

    number: int
    length_m: float
    strand_count: int
    begun_count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ColourYarn:
    """The yarn of one colour, strands added up. ``need`` is of the work alone.

    ``parts`` has the stretches that are worked in the colour, and no others.
    """

    colour: str
    yarn: Yarn
    tex: YarnTex
    parts: tuple[ColourPart, ...]
    need: YarnNeed
    extras: Extras
    buy: YarnPurchase
    buy_by_certainty: tuple[YarnPurchase, ...]
    notices: tuple[Notice, ...]

    @property
    def worked_rounds(self) -> tuple[int, ...]:
        """Return the rounds that are worked in it, from 1; the foundation is none."""
        return tuple(part.number for part in self.parts if part.number > 0)

    @property
    def length_m(self) -> YarnRange:
        """Return the length in the work, with its interval."""
        return YarnRange.around(self.need.length_m, log_sd=self.need.length_log_sd)

    @property
    def mass_g(self) -> YarnRange:
        """Return the mass in the work, with its interval."""
        return YarnRange.around(self.need.mass_g, log_sd=self.need.mass_log_sd)


@dataclass(frozen=True, slots=True)
class YarnOrder:
    """A piece of work to reckon yarn for, and what is known about it.

    ``stitch_weights`` are the maker's own, by stitch code. [sc units, > 0]
    ``colouring`` is ``None`` where all is worked in one colour that nothing is said of.
    """

    yarn: Yarn
    work: tuple[WorkPart, ...]
    swatch: Swatch | None = None
    stitch_weights: Mapping[str, float] = field(default_factory=dict)
    certainty_percent: Certainty = 95
    finishing: Finishing = field(default_factory=Finishing)
    colouring: Colouring | None = None


@dataclass(frozen=True, slots=True)
class YarnEstimate:
    """The yarn of a piece of work. Length and mass are of the work alone; extras come in ``buy``.

    The parts stand in working order, and the last cumulative length is the median of the whole.
    ``buy_by_certainty`` has a purchase for 90, 95 and 99 %. Of coloured work the mass, the extras and the
    purchases are the sums over the ``colours``; ``idle_colour_count`` of its colours are never worked.
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
    colours: tuple[ColourYarn, ...] = ()
    colour_change_count: int = 0
    idle_colour_count: int = 0

    @property
    def gram_per_m(self) -> float:
        """Return the mass of a metre of one strand; of coloured work the mean."""
        if not self.colours or self.need.length_m <= 0:
            return self.tex.strand_tex / 1000
        return self.need.mass_g / self.need.length_m
