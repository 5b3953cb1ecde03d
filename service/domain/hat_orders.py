"""Everything a hat is planned from, as one value."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Self

from service.domain.crown_orders import DecreasePlacement, refuse_second_layout
from service.domain.crown_targets import CrownShape, Worked
from service.domain.crowns import default_crown_shape
from service.domain.errors import ChooseOne, SpiralNeedsPlainFabric, YarnUnderdetermined
from service.domain.fabrics import Fabric
from service.domain.gauge import GivenGauge
from service.domain.hat_rounds import RoundManner
from service.domain.heads import Head
from service.domain.sizing import SizeOrder
from service.domain.yarn_buying import Certainty
from service.domain.yarn_colourings import Colouring
from service.domain.yarn_swatches import Swatch
from service.domain.yarns import Yarn

__all__ = ["BrimOrder", "CrownWishes", "HatOrder", "MeasuredGauge"]

#: Stitches low enough that a spiral does not show where a round begins (common practice, no source).
_SPIRAL_STITCHES = ("sc", "hdc")


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredGauge:
    """A gauge as stated, and the fabric it was measured in."""

    given: GivenGauge
    measured_in: Fabric


@dataclass(frozen=True, slots=True, kw_only=True)
class BrimOrder:
    """A brim. ``round_count`` leaves out the plain first round under a post rib.

    ``is_default`` tells that nobody asked for it, so that it may shrink.

    Raises
    ------
    ChooseOne
        If both rounds and a height are given.
    """

    fabric: Fabric
    round_count: int | None = None
    height_mm: float | None = None
    is_default: bool = False

    def __post_init__(self) -> None:
        """Refuse two answers to one question."""
        if self.round_count is not None and self.height_mm is not None:
            names = ("brim.round_count", "brim.height_cm")
            raise ChooseOne(fields=names, given=names)


@dataclass(frozen=True, slots=True, kw_only=True)
class CrownWishes:
    """How the crown is to be; ``None`` is what nobody said.

    Raises
    ------
    ChooseOne
        If both rounds and a depth are given.
    """

    shape: CrownShape | None = None
    round_count: int | None = None
    depth_mm: float | None = None
    section_count: int | None = None
    is_scattered: bool = False
    closing_stitch_count_min: int | None = None
    closing_stitch_count_max: int | None = None
    settle_round_count: int = 1
    group_count: int | None = None

    def __post_init__(self) -> None:
        """Refuse two answers to one question."""
        if self.round_count is not None and self.depth_mm is not None:
            names = ("crown_round_count", "crown_depth_cm")
            raise ChooseOne(fields=names, given=names)


@dataclass(frozen=True, slots=True, kw_only=True)
class HatOrder:
    """A head, a swatch and wishes.

    ``brim`` is ``None`` for a hat without one.

    Raises
    ------
    SpiralNeedsPlainFabric
        If a spiral is asked for in a fabric that needs joined rounds.
    YarnUnderdetermined
        If colours are named of a yarn that nothing is known of.
    ChooseOne
        If a crown in sections is also laid out by its fabric, or scattered.
    """

    size: SizeOrder
    gauge: MeasuredGauge
    fabric: Fabric
    brim: BrimOrder | None
    brim_gauge: MeasuredGauge | None = None
    crown: CrownWishes = field(default_factory=CrownWishes)
    worked: Worked = "from_brim"
    manner: RoundManner = field(default_factory=RoundManner)
    is_left_handed: bool = False
    has_edging: bool = False
    yarn: Yarn | None = None
    swatch: Swatch | None = None
    stitch_weights: Mapping[str, float] = field(default_factory=dict)
    certainty_percent: Certainty = 95
    pace_units_per_minute: float | None = None
    colouring: Colouring | None = None

    def __post_init__(self) -> None:
        """Refuse a spiral that would show, colours of no yarn, and two layouts of one crown."""
        fabrics = [self.fabric] if self.brim is None else [self.fabric, self.brim.fabric]
        if not self.manner.is_joined and not all(map(_holds_a_spiral, fabrics)):
            raise SpiralNeedsPlainFabric(stitches=_SPIRAL_STITCHES)
        if self.colouring is not None and self.yarn is None:
            raise YarnUnderdetermined(missing=("yarn",))
        if self.has_crown and self.crown.section_count is not None:
            placement: DecreasePlacement = "scattered" if self.crown.is_scattered else "sections"
            refuse_second_layout(fabric=self.fabric, decrease_placement=placement)

    def for_head(self, head: Head) -> Self:
        """Return the same wishes for another head."""
        return replace(self, size=replace(self.size, head=head))

    @property
    def has_crown(self) -> bool:
        """Whether the hat closes at the top."""
        return self.size.style != "headband"

    @property
    def has_crown_wishes(self) -> bool:
        """Whether anything was asked for a crown, or to begin with one."""
        return self.worked == "from_crown" or self.crown != CrownWishes()

    @property
    def is_from_brim(self) -> bool:
        """Whether the first round stands in the foundation chain."""
        return self.worked == "from_brim" or not self.has_crown

    @property
    def crown_shape(self) -> CrownShape:
        """Return the shape asked for, or the one that goes with the hat."""
        is_slouch = self.size.style == "slouch"
        return self.crown.shape or default_crown_shape(self.fabric, self.worked, is_slouch=is_slouch)


def _holds_a_spiral(fabric: Fabric) -> bool:
    return not fabric.is_textured and fabric.stitch in _SPIRAL_STITCHES
