"""How many rounds each part of a hat has, so that their heights add up to its depth."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from typing import TypeAlias

from service.domain.crown_orders import CrownOrder, CrownSchedule
from service.domain.crown_targets import CrownShape
from service.domain.crown_work import CrownWork
from service.domain.crowns import plan_crown
from service.domain.errors import BrimTooTall, CrownCannotClose
from service.domain.fabrics import Fabric
from service.domain.hat_counts import HatCounts
from service.domain.hat_gauges import HatGauges
from service.domain.hat_orders import HatOrder
from service.domain.hat_rounds import face_in_round
from service.domain.rounding import half_up
from service.domain.sizing import FinishedSize
from service.domain.stitches import HEIGHT_RATIOS
from service.domain.tables import ReferenceTables
from service.domain.yarns import yarn_diameter_mm

__all__ = ["CrownPlanner", "HatLayout", "lay_out_hat", "turned_fabric"]

#: What turns the order of a crown into its schedule: several hats may share one that remembers.
CrownPlanner: TypeAlias = Callable[[CrownOrder], CrownSchedule]

#: Ribs shorter than this do not hold (common practice, no source).
_FEWEST_RIB_ROUNDS = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class HatLayout:
    """The rounds of each part. ``brim_round_count`` leaves out the plain first round.

    ``lead_in_round_count`` are the body's straight rounds beside whole vertical repeats.
    """

    has_first_round: bool
    brim_round_count: int
    has_joining_round: bool
    body_round_count: int
    lead_in_round_count: int
    crown: CrownSchedule | None
    brim_mm: float
    joining_mm: float
    edging_mm: float

    @property
    def round_count(self) -> int:
        """Return all worked rounds."""
        crown = 0 if self.crown is None else len(self.crown.rounds)
        plain = self.has_first_round + self.has_joining_round + (self.edging_mm > 0)
        return plain + self.brim_round_count + self.body_round_count + crown


@dataclass(frozen=True, slots=True)
class _Attempt:
    """One way to share out the depth: a brim and a crown."""

    brim_round_count: int
    crown: CrownSchedule | None


@dataclass(frozen=True, slots=True)
class _Planner:
    """Everything the heights depend on."""

    order: HatOrder
    size: FinishedSize
    gauges: HatGauges
    counts: HatCounts
    tables: ReferenceTables
    plan_crown: CrownPlanner

    @property
    def height_mm(self) -> float:
        """Return the height of a body round."""
        return self.gauges.body.round_height_mm

    @property
    def brim_height_mm(self) -> float:
        """Return the height of a brim round."""
        return self.height_mm if self.gauges.brim is None else self.gauges.brim.round_height_mm

    @property
    def has_first_round(self) -> bool:
        """Whether a plain round lies under the first post stitches: never in the middle of a hat."""
        lowest = self.order.fabric if self.order.brim is None else self.order.brim.fabric
        return self.order.is_from_brim and lowest.is_post

    @property
    def has_joining_round(self) -> bool:
        """Whether brim and body differ in count or fabric."""
        if self.order.brim is None:
            return False
        return self.counts.brim != self.counts.body or self.order.brim.fabric != self.order.fabric

    @property
    def first_round_mm(self) -> float:
        """Return the height of the plain first round, 0 where there is none."""
        return self.gauges.first_round_mm if self.has_first_round else 0.0

    @property
    def joining_mm(self) -> float:
        """Return the height of the joining round, 0 where there is none."""
        return self.gauges.joining_mm if self.has_joining_round else 0.0

    @property
    def edging_mm(self) -> float:
        """Return the height of the edging: a single crochet."""
        if not self.order.has_edging:
            return 0.0
        return self.gauges.joining_mm / HEIGHT_RATIOS[self.gauges.joining_stitch]

    @property
    def fewest_body_rounds(self) -> int:
        """Return the body rounds that are needed: one vertical repeat of a cable, else one."""
        return self.order.fabric.round_repeat_count if self.order.fabric.is_crossed else 1

    def brim_mm(self, brim_round_count: int) -> float:
        """Return the height of the brim with so many rounds."""
        return self.first_round_mm + brim_round_count * self.brim_height_mm

    def asked_brim_rounds(self) -> int:
        """Return the rounds of the brim as it was asked for."""
        brim = self.order.brim
        if brim is None:
            return 0
        if brim.round_count is not None:
            return brim.round_count
        height_mm = brim.height_mm or self._usual_brim_mm()
        fewest = _FEWEST_RIB_ROUNDS if brim.fabric.is_post else 1
        return max(fewest, half_up((height_mm - self.first_round_mm) / self.brim_height_mm))

    def _usual_brim_mm(self) -> float:
        """Return the height of a brim that nobody gave: twice its cuff, or 8 % of the head."""
        if self.size.cuff_mm:
            return 2 * self.size.cuff_mm
        return self.tables.prior("brim_height_ratio") * self.size.head.circumference_mm

    def body_rounds(self, attempt: _Attempt) -> int:
        """Return the body rounds that fill the depth."""
        crown_mm = 0.0 if attempt.crown is None else len(attempt.crown.rounds) * self.height_mm
        rest_mm = (
            self.size.depth_mm
            - self.brim_mm(attempt.brim_round_count)
            - self.joining_mm
            - self.edging_mm
            - crown_mm
        )
        return half_up(rest_mm / self.height_mm)

    def crown(self, shape: CrownShape, round_count: int | None, fabric: Fabric) -> CrownSchedule:
        """Return the crown of a shape, with so many rounds or as many as it takes."""
        wishes = self.order.crown
        return self.plan_crown(
            CrownOrder(
                start_stitch_count=self.counts.body,
                stitch_width_mm=self.gauges.body.stitch_width_mm,
                round_height_mm=self.height_mm,
                stitch=fabric.stitch,
                crown_shape=shape,
                worked=self.order.worked,
                fabric=fabric,
                section_count=wishes.section_count,
                decrease_placement="scattered" if wishes.is_scattered else "sections",
                round_count=round_count if round_count is not None else wishes.round_count,
                depth_mm=None if round_count is not None else wishes.depth_mm,
                closing_stitch_count_min=wishes.closing_stitch_count_min,
                closing_stitch_count_max=wishes.closing_stitch_count_max,
                settle_round_count=wishes.settle_round_count,
                crown_group_count=wishes.group_count,
                crossing_stitches=self.gauges.crossing_stitches,
                yarn_diameter_mm=None if self.order.yarn is None else yarn_diameter_mm(self.order.yarn),
            )
        )

    def smallest_crown(self, shape: CrownShape, fabric: Fabric) -> CrownSchedule:
        """Return the crown with the fewest rounds that close."""
        try:
            return self.crown(shape, 1, fabric)
        except CrownCannotClose as refusal:
            return self.crown(shape, refusal.smallest_round_count, fabric)


def lay_out_hat(
    order: HatOrder,
    size: FinishedSize,
    gauges: HatGauges,
    counts: HatCounts,
    tables: ReferenceTables,
    *,
    crown_planner: CrownPlanner | None = None,
) -> HatLayout:
    """Return the rounds of each part, the body filling what brim and crown leave of the depth.

    Where the body would have too few rounds, a brim that nobody asked for shrinks to two rounds or more,
    then a crown whose shape nobody asked for is gathered, then one whose rounds nobody asked for takes
    the fewest that close.

    Raises
    ------
    BrimTooTall
        If the body still has too few rounds, with the depth that would do.
    CrownCannotClose
        If the crown rounds that were asked for cannot close.
    """
    planner = _Planner(order, size, gauges, counts, tables, crown_planner or _crowns_of_one_hat())
    attempt = _Attempt(0, None)
    for attempt in _attempts(planner):
        if planner.body_rounds(attempt) >= planner.fewest_body_rounds:
            return _layout(planner, attempt)
    crown_mm = 0.0 if attempt.crown is None else len(attempt.crown.rounds) * planner.height_mm
    smallest_mm = (
        planner.brim_mm(attempt.brim_round_count)
        + planner.joining_mm
        + planner.edging_mm
        + crown_mm
        + planner.fewest_body_rounds * planner.height_mm
    )
    # The depth that is asked for leaves out what is folded up.
    raise BrimTooTall(depth_cm=size.worn_depth_mm / 10, smallest_depth_cm=(smallest_mm - size.cuff_mm) / 10)


def _crowns_of_one_hat() -> CrownPlanner:
    """Return a planner whose crowns share the work that one request may do."""
    return partial(plan_crown, work=CrownWork())


def _attempts(planner: _Planner) -> Iterator[_Attempt]:
    """Yield ways to share out the depth, the wished one first."""
    order, wishes = planner.order, planner.order.crown
    shape = order.crown_shape
    crown = planner.crown(shape, None, order.fabric) if order.has_crown else None
    brim_round_count = planner.asked_brim_rounds()
    yield _Attempt(brim_round_count, crown)
    if order.brim is not None and order.brim.is_default:
        for fewer in range(brim_round_count - 1, _FEWEST_RIB_ROUNDS - 1, -1):
            yield _Attempt(fewer, crown)
        brim_round_count = min(brim_round_count, _FEWEST_RIB_ROUNDS)
    if crown is None:
        return
    if wishes.shape is None and shape != "gathered":
        shape = "gathered"
        yield _Attempt(brim_round_count, planner.crown(shape, None, order.fabric))
    if wishes.round_count is None and wishes.depth_mm is None:
        yield _Attempt(brim_round_count, planner.smallest_crown(shape, order.fabric))


def _layout(planner: _Planner, attempt: _Attempt) -> HatLayout:
    order, body_round_count = planner.order, planner.body_rounds(attempt)
    crown = attempt.crown
    if crown is not None and order.fabric.flip_round_count is not None and order.is_from_brim:
        fabric = turned_fabric(order.fabric, body_round_count)
        crown = planner.crown(crown.crown_shape, len(crown.rounds), fabric)
    crossed = order.fabric.is_crossed
    return HatLayout(
        has_first_round=planner.has_first_round,
        brim_round_count=attempt.brim_round_count,
        has_joining_round=planner.has_joining_round,
        body_round_count=body_round_count,
        lead_in_round_count=body_round_count % order.fabric.round_repeat_count if crossed else 0,
        crown=crown,
        brim_mm=planner.brim_mm(attempt.brim_round_count),
        joining_mm=planner.joining_mm,
        edging_mm=planner.edging_mm,
    )


def turned_fabric(fabric: Fabric, round_in_fabric: int) -> Fabric:
    """Return a fabric with the faces it shows in one of its rounds, turning no more.

    Examples
    --------
    >>> from service.domain.fabrics import Column
    >>> basket = Fabric("dc", (Column("front", 4), Column("back", 4)), 8, flip_round_count=4)
    >>> [column.face for column in turned_fabric(basket, 5).columns]
    ['back', 'front']
    """
    columns = tuple(
        replace(column, face=face_in_round(fabric, column, round_in_fabric)) for column in fabric.columns
    )
    return replace(fabric, columns=columns, flip_round_count=None)
