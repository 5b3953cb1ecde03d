"""What is asked of a crown, and what comes back: a schedule of rounds, or a review of given counts."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from service.domain.crown_reviews import CrownJudgement, Diagnosis, Verdict
from service.domain.crown_targets import CrownShape, CrownTarget, Worked, bounded_round_count
from service.domain.errors import ChooseOne
from service.domain.fabrics import BaseStitch, Fabric
from service.domain.report import Assumption, Notice
from service.domain.rounding import half_up
from service.domain.rounds import ColumnState, Kind
from service.domain.steps import Step, WorkedInto

__all__ = [
    "CrownOrder",
    "CrownReview",
    "CrownRound",
    "CrownSchedule",
    "DecreasePlacement",
    "refuse_second_layout",
]

DecreasePlacement = Literal["sections", "scattered"]


@dataclass(frozen=True, slots=True)
class CrownOrder:
    """A crown to be planned.

    Parameters
    ----------
    start_stitch_count
        Stitches at the wide edge, whichever way the crown is worked. [stitches, >= 1]
    stitch_width_mm, round_height_mm
        Gauge of the crown. [mm, > 0]
    circumference_mm
        Circumference of the hat where the crown meets it; ``None`` for the stitches at their gauge.
    stitch
        The stitch of a plain crown; a fabric's own stitch wins.
    fabric
        What is worked below the crown, as it stands there; ``None`` for plain stitches.
    section_count, decrease_placement, is_staggered
        For plain crowns only: sections or scattered changes, and whether sections change half-way along
        in every other round.
    round_count, depth_mm
        Crown rounds, or the length along the fabric that they fill; at most one of them.
    closing_stitch_count_min, closing_stitch_count_max
        Fewest stitches of any round, and most at the centre; ``None`` for the usual.
    settle_round_count, crown_group_count
        For textured crowns: rounds between two that narrow a cable, and repeats that narrow as one.
    crossing_stitches
        The stitch to cross by its number over as many; the fabric's own where none is named.
    round_in_repeat
        Which round of the vertical repeat the first crown round is, from 1.
    yarn_diameter_mm
        Diameter of the yarn in the fabric, if it is known. [mm, > 0]

    Raises
    ------
    ChooseOne
        If both of two fields that exclude each other are given.
    """

    start_stitch_count: int
    stitch_width_mm: float
    round_height_mm: float
    circumference_mm: float | None = None
    stitch: BaseStitch = "sc"
    crown_shape: CrownShape = "rounded"
    worked: Worked = "from_brim"
    fabric: Fabric | None = None
    section_count: int | None = None
    decrease_placement: DecreasePlacement = "sections"
    is_staggered: bool = False
    round_count: int | None = None
    depth_mm: float | None = None
    closing_stitch_count_min: int | None = None
    closing_stitch_count_max: int | None = None
    settle_round_count: int | None = None
    crown_group_count: int | None = None
    crossing_stitches: Mapping[int, BaseStitch] = field(default_factory=dict)
    round_in_repeat: int = 1
    yarn_diameter_mm: float | None = None

    def __post_init__(self) -> None:
        """Refuse fields that exclude each other."""
        if self.round_count is not None and self.depth_mm is not None:
            fields = ("crown_round_count", "crown_depth_cm")
            raise ChooseOne(fields=fields, given=fields)
        if self.section_count is not None:
            refuse_second_layout(fabric=self.fabric, decrease_placement=self.decrease_placement)

    @property
    def textured_fabric(self) -> Fabric | None:
        """Return the fabric whose columns run up into the crown, if there is one."""
        return self.fabric if self.fabric is not None and self.fabric.is_textured else None

    @property
    def base_stitch(self) -> BaseStitch:
        """Return the stitch that the crown is worked in."""
        return self.stitch if self.fabric is None else self.fabric.stitch

    @property
    def hat_circumference_mm(self) -> float:
        """Return the circumference at the wide edge."""
        if self.circumference_mm is not None:
            return self.circumference_mm
        return self.start_stitch_count * self.stitch_width_mm

    @property
    def asked_round_count(self) -> int | None:
        """Return the crown rounds that were asked for, directly or by a depth; ``None`` where neither was."""
        if self.depth_mm is not None:
            return bounded_round_count(max(1, half_up(self.depth_mm / self.round_height_mm)))
        return self.round_count


def refuse_second_layout(*, fabric: Fabric | None, decrease_placement: DecreasePlacement) -> None:
    """Raise if the decreases of a crown in sections are placed by something else as well.

    Parameters
    ----------
    fabric
        The fabric of the crown; the columns of a textured one say where it narrows.
    decrease_placement
        Sections, or scattered over the round.

    Raises
    ------
    ChooseOne
        With the names of both.
    """
    other = "decrease_placement" if decrease_placement == "scattered" else None
    if fabric is not None and fabric.is_textured:
        other = "fabric"
    if other is not None:
        raise ChooseOne(fields=("section_count", other), given=("section_count", other))


@dataclass(frozen=True, slots=True)
class CrownRound:
    """A worked crown round, in working order from 1.

    ``columns`` are those of one crown repeat after the round; a plain crown has none.
    """

    number: int
    kind: Kind
    worked_into: WorkedInto
    consumed_stitch_count: int
    stitch_count: int
    steps: tuple[Step, ...]
    columns: tuple[ColumnState, ...]
    target_circumference_mm: float
    fabric_circumference_mm: float

    @property
    def fullness(self) -> float:
        """Return the fabric's circumference over the target's."""
        return self.fabric_circumference_mm / self.target_circumference_mm


@dataclass(frozen=True, slots=True)
class CrownSchedule:
    """A planned crown. ``cost`` is the sum over the rounds of the squared logarithm of fullness.

    ``section_count`` is ``None`` where changes are scattered or the crown keeps its texture;
    ``crown_group_count`` is ``None`` for a plain crown. ``work_units`` is what finding the rounds weighed,
    in moves of the exact search; a plain crown needs none.
    """

    crown_shape: CrownShape
    worked: Worked
    target: CrownTarget
    rounds: tuple[CrownRound, ...]
    closing_stitch_count: int
    depth_mm: float
    cost: float
    judgement: CrownJudgement
    section_count: int | None
    crown_group_count: int | None
    notices: tuple[Notice, ...]
    assumptions: tuple[Assumption, ...]
    work_units: int = 0

    @property
    def stitch_counts(self) -> tuple[int, ...]:
        """Return the count of every round in working order."""
        return tuple(row.stitch_count for row in self.rounds)

    @property
    def shape_error(self) -> float:
        """Return how far the whole crown is from its target."""
        return self.judgement.shape_error

    @property
    def verdict(self) -> Verdict:
        """Return the verdict on the crown."""
        return self.judgement.verdict

    @property
    def diagnosis(self) -> tuple[Diagnosis, ...]:
        """Return what there is to know about single rounds and the whole."""
        return self.judgement.diagnosis


@dataclass(frozen=True, slots=True)
class CrownReview:
    """Given counts judged, and the crown that the service would plan in as many rounds.

    ``proposal`` is ``None`` where no crown of that many rounds can be planned.
    """

    target: CrownTarget
    judgement: CrownJudgement
    depth_mm: float
    proposal: CrownSchedule | None
    notices: tuple[Notice, ...]
