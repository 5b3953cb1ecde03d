"""A hat as levels: how far up the fabric each round lies, and how wide it is there.

Every drawing that shows the shape of the hat begins here, so that all of them agree with the plan.
"""

from dataclasses import dataclass
from itertools import accumulate

from service.domain.hats import HatPlan
from service.domain.rounds import Round, Section

__all__ = ["HatLevel", "SectionSpan", "hat_levels", "hat_word", "rounds_from_edge", "section_spans"]


@dataclass(frozen=True, slots=True, kw_only=True)
class HatLevel:
    """Where the tops of a round's stitches lie.

    ``height_mm`` is measured along the fabric from the lower edge up, ``circumference_mm`` is the
    round's stitches at their gauge. ``round_number`` is 0 for the foundation.
    """

    round_number: int
    section: Section
    height_mm: float
    stitch_count: int
    circumference_mm: float


@dataclass(frozen=True, slots=True)
class SectionSpan:
    """A part of the hat from its lower to its upper end, along the fabric. [mm]"""

    name: Section
    low_mm: float
    high_mm: float


def hat_word(plan: HatPlan) -> str:
    """Return what the piece is called in a sentence: a hat has a crown, a headband has none."""
    return "headband" if plan.crown is None else "hat"


def rounds_from_edge(plan: HatPlan) -> tuple[Round, ...]:
    """Return the worked rounds as they lie from the lower edge up; an edging is the lowest of all."""
    if not plan.order.is_from_brim:
        return plan.rounds[::-1]
    edging = [each for each in plan.rounds if each.section == "edging"]
    return (*edging, *(each for each in plan.rounds if each.section != "edging"))


def section_spans(plan: HatPlan) -> tuple[SectionSpan, ...]:
    """Return the parts of the hat from the lower edge up."""
    heights = {section.name: section.height_mm for section in plan.sections}
    names = list(dict.fromkeys(each.section for each in rounds_from_edge(plan)))
    tops = list(accumulate(heights[name] for name in names))
    return tuple(SectionSpan(name, top - heights[name], top) for name, top in zip(names, tops, strict=True))


def hat_levels(plan: HatPlan) -> tuple[HatLevel, ...]:
    """Return the levels of the hat from the lower edge to the last before the centre.

    From the brim a round's stitches end at its upper edge; in the crown half a round lower, since drawing
    the last ones shut takes that much. From the crown they end at its lower edge.
    """
    rounds = rounds_from_edge(plan)
    tops = list(accumulate(each.height_mm for each in rounds))
    if not plan.order.is_from_brim:
        return tuple(_level(plan, each, top - each.height_mm) for each, top in zip(rounds, tops, strict=True))
    first = rounds[0]
    edge = HatLevel(
        round_number=0,
        section=first.section,
        height_mm=0.0,
        stitch_count=first.stitch_count,
        circumference_mm=first.stitch_count * _stitch_width_mm(plan, first.section),
    )
    shifts = [each.height_mm / 2 if each.section == "crown" else 0.0 for each in rounds]
    return (
        edge,
        *(_level(plan, each, top - shift) for each, top, shift in zip(rounds, tops, shifts, strict=True)),
    )


def _level(plan: HatPlan, worked: Round, height_mm: float) -> HatLevel:
    return HatLevel(
        round_number=worked.number,
        section=worked.section,
        height_mm=height_mm,
        stitch_count=worked.stitch_count,
        circumference_mm=worked.stitch_count * _stitch_width_mm(plan, worked.section),
    )


def _stitch_width_mm(plan: HatPlan, section: Section) -> float:
    brim = plan.gauges.brim
    # Worked from the crown, the joining round makes the stitches that the brim stands on.
    of_brim = ("brim", "edging") if plan.order.is_from_brim else ("brim", "edging", "joining")
    if brim is not None and section in of_brim:
        return brim.stitch_width_mm
    return plan.gauges.body.stitch_width_mm
