"""A whole hat from a head, a swatch and wishes: the one model that text, yarn and drawings fold over."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from service.domain.crown_orders import CrownSchedule
from service.domain.errors import HatOutOfBounds
from service.domain.fit import HeadRange, fitted_heads
from service.domain.hat_assembly import assemble_rounds
from service.domain.hat_counts import HatCounts, fit_hat
from service.domain.hat_gauges import HatGauges, reckon_gauges
from service.domain.hat_layouts import CrownPlanner, HatLayout, lay_out_hat
from service.domain.hat_orders import HatOrder
from service.domain.hat_yarn import HatYarn, reckon_yarn
from service.domain.repeat_fits import RepeatFit
from service.domain.report import Assumption, Notice, Working
from service.domain.round_bounds import refuse_too_many_rounds
from service.domain.rounds import Round, Section
from service.domain.sizing import FinishedSize, finish_size
from service.domain.tables import ReferenceTables

__all__ = [
    "Alternative",
    "HatPlan",
    "HatSection",
    "complete_plan",
    "plan_hat",
    "refuse_out_of_bounds",
]

MOST_STITCHES = 60_000
#: Alternatives that a plan names.
_ALTERNATIVES = 3


@dataclass(frozen=True, slots=True)
class HatSection:
    """A part of the hat: its worked rounds and its height along the fabric."""

    name: Section
    round_count: int
    height_mm: float


@dataclass(frozen=True, slots=True)
class Alternative:
    """Another count that holds whole repeats.

    ``yarn_difference_m`` is ``None`` where no yarn is known.
    """

    fit: RepeatFit
    yarn_difference_m: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class HatPlan:
    """A planned hat. ``rounds`` holds each worked round once, in working order.

    ``foundation_stitch_count`` is 0 for a hat worked from the crown.
    """

    order: HatOrder
    size: FinishedSize
    gauges: HatGauges
    counts: HatCounts
    layout: HatLayout
    foundation_stitch_count: int
    rounds: tuple[Round, ...]
    sections: tuple[HatSection, ...]
    yarn: HatYarn
    alternatives: tuple[Alternative, ...]
    fits_head: HeadRange
    notices: tuple[Notice, ...]
    assumptions: tuple[Assumption, ...]
    working: tuple[Working, ...]

    @property
    def crown(self) -> CrownSchedule | None:
        """Return the crown, ``None`` for a headband."""
        return self.layout.crown

    @property
    def depth_mm(self) -> float:
        """Return the depth along the fabric with these rounds."""
        return sum(section.height_mm for section in self.sections)


def plan_hat(
    order: HatOrder,
    tables: ReferenceTables,
    *,
    gauges: HatGauges | None = None,
    crown_planner: CrownPlanner | None = None,
) -> HatPlan:
    """Return a whole hat: its counts, its rounds, its yarn and what to know about it.

    Size, gauges, counts, heights, crown and rounds follow one from another; what nobody said is supposed
    and listed.

    Parameters
    ----------
    order
        The hat.
    tables
        Published tables and priors.
    gauges
        The gauges of the hat, which are the same for every head; ``None`` to reckon them.
    crown_planner
        What plans the crown; many hats at once share one that plans equal crowns once.
        ``None`` for a hat by itself.

    Raises
    ------
    PatternMathError
        Where the wishes cannot be met together; the error says what would fit.

    Examples
    --------
    >>> from service.reference.examples import plain_hat_order
    >>> from service.reference.load import load_reference_tables
    >>> plan = plan_hat(plain_hat_order(), load_reference_tables())
    >>> plan.foundation_stitch_count, len(plan.rounds), plan.crown.stitch_counts[-1]
    (85, 38, 5)
    """
    gauges = gauges or reckon_gauges(order, tables)
    size = finish_size(order.size, tables)
    counts = fit_hat(order, size, gauges, tables)
    layout = lay_out_hat(order, size, gauges, counts, tables, crown_planner=crown_planner)
    refuse_out_of_bounds(counts, layout)
    rounds = assemble_rounds(order, gauges, counts, layout)
    return complete_plan(
        order, size, gauges, counts, layout, rounds, reckon_yarn(order, gauges, rounds), tables
    )


def complete_plan(
    order: HatOrder,
    size: FinishedSize,
    gauges: HatGauges,
    counts: HatCounts,
    layout: HatLayout,
    rounds: tuple[Round, ...],
    yarn: HatYarn,
    tables: ReferenceTables,
) -> HatPlan:
    """Return the plan of a hat whose rounds and yarn are known, with everything to know about it.

    Parameters
    ----------
    order, size, gauges, counts, layout
        The hat, as its parts follow one from another.
    rounds, yarn
        Its worked rounds, and the yarn that they take.
    tables
        Published tables and priors.
    """
    return HatPlan(
        order=order,
        size=size,
        gauges=gauges,
        counts=counts,
        layout=layout,
        foundation_stitch_count=rounds[0].consumed_stitch_count,
        rounds=rounds,
        sections=_sections(rounds),
        yarn=yarn,
        alternatives=_alternatives(counts, yarn),
        fits_head=fitted_heads(
            inner_mm=counts.inner_mm,
            grip=size.grip,
            tables=tables,
        ),
        notices=_notices(order, size, gauges, counts, layout, yarn),
        assumptions=_assumptions(size, gauges, layout, yarn),
        working=(*size.working, *counts.working, *_depth_working(layout), *yarn.working),
    )


def refuse_out_of_bounds(counts: HatCounts, layout: HatLayout) -> None:
    """Raise if a hat has more than 400 rounds or 60,000 stitches, before its rounds are made.

    Raises
    ------
    HatOutOfBounds
        With what there is too much of.
    """
    refuse_too_many_rounds(layout.round_count)
    crown = () if layout.crown is None else layout.crown.stitch_counts
    straight = layout.round_count - len(crown)
    stitch_count = straight * max(counts.body, counts.brim or 0) + sum(crown)
    if stitch_count > MOST_STITCHES:
        raise HatOutOfBounds(what="stitches", count=stitch_count, limit=MOST_STITCHES)


def _sections(rounds: tuple[Round, ...]) -> tuple[HatSection, ...]:
    names = dict.fromkeys(worked.section for worked in rounds)
    parts = {name: [worked for worked in rounds if worked.section == name] for name in names}
    return tuple(
        HatSection(name, len(part), sum(worked.height_mm for worked in part)) for name, part in parts.items()
    )


def _alternatives(counts: HatCounts, yarn: HatYarn) -> tuple[Alternative, ...]:
    return tuple(
        Alternative(other, _yarn_difference_m(other, counts, yarn)) for other in counts.others[:_ALTERNATIVES]
    )


def _yarn_difference_m(other: RepeatFit, counts: HatCounts, yarn: HatYarn) -> float | None:
    """Return the yarn that other counts take beside the plan's, each part in proportion to its stitches."""
    if yarn.estimate is None:
        return None
    body_m = sum(part.length_m for part in yarn.estimate.parts if part.section in ("body", "crown"))
    rest_m = sum(part.length_m for part in yarn.estimate.parts) - body_m
    body_ratio = other.count.stitch_count / counts.body
    brim_ratio = body_ratio
    if other.brim is not None and counts.brim is not None:
        brim_ratio = other.brim.count.stitch_count / counts.brim
    return body_m * (body_ratio - 1) + rest_m * (brim_ratio - 1)


def _notices(
    order: HatOrder,
    size: FinishedSize,
    gauges: HatGauges,
    counts: HatCounts,
    layout: HatLayout,
    yarn: HatYarn,
) -> tuple[Notice, ...]:
    """Return each notice once: what is true of brim and body alike needs no telling twice."""
    crown = () if layout.crown is None else layout.crown.notices
    mine = list(_unused_wishes(order))
    if over := order.fabric.widest_over_each_round:
        mine.append(Notice("crosses_every_round", {"over": over, "round_count": 2 * over}))
    if layout.lead_in_round_count:
        mine.append(Notice("lead_in_rounds", {"round_count": layout.lead_in_round_count}))
    flip = order.fabric.flip_round_count
    if flip is not None and layout.body_round_count <= flip:
        figures = {"round_count": layout.body_round_count, "flip_round_count": flip}
        mine.append(Notice("weave_never_turns", figures))
    if _leans(order):
        mine.append(Notice("seam_leans"))
    if order.is_left_handed:
        mine.append(Notice("left_handed"))
    every = (*size.notices, *gauges.notices, *counts.notices, *mine, *crown, *yarn.notices)
    return tuple(notice for place, notice in enumerate(every) if notice not in every[:place])


def _unused_wishes(order: HatOrder) -> Iterator[Notice]:
    """Yield what was asked for and has nothing to act upon."""
    if not order.has_crown and order.has_crown_wishes:
        yield Notice("headband_has_no_crown")
    if order.has_crown and order.crown.is_scattered and order.fabric.is_textured:
        yield Notice("scattered_not_used")
    if order.swatch is not None and order.yarn is None:
        yield Notice("swatch_not_used")


def _leans(order: HatOrder) -> bool:
    """Whether the seam shifts: joined single crochet with decreases above each other."""
    plain_sc = order.fabric.stitch == "sc" and not order.fabric.is_textured
    return order.manner.is_joined and plain_sc and order.has_crown and not order.crown.is_scattered


def _assumptions(
    size: FinishedSize, gauges: HatGauges, layout: HatLayout, yarn: HatYarn
) -> tuple[Assumption, ...]:
    crown = () if layout.crown is None else layout.crown.assumptions
    return (*size.assumptions, *gauges.assumptions, *crown, *yarn.assumptions)


def _depth_working(layout: HatLayout) -> tuple[Working, ...]:
    formula = "round((depth - brim - joining - edging - crown) / round height)"
    heights: Mapping[str, float] = {"brim_mm": layout.brim_mm, "joining_mm": layout.joining_mm}
    geometry = "geometry"
    return (
        *(Working(name, "rounds * their height", value, "mm", geometry) for name, value in heights.items()),
        Working("body_round_count", formula, layout.body_round_count, "round", geometry),
    )
