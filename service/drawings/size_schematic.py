"""All sizes of a design laid flat inside each other, in one proportion, with what each measures."""

from collections.abc import Iterator, Sequence

from service.domain.hats import HatPlan
from service.drawings.hat_levels import hat_levels
from service.drawings.lettering import LABEL_MM, framed, text_width_mm
from service.drawings.pictures import Mark, Picture, Point, Text, polygon
from service.drawings.schematic import flat_outline
from service.patterns.lengths import both_systems

__all__ = ["draw_size_schematic"]

_WIDEST_MM, _TALLEST_MM = 78.0, 96.0
_GAP_MM = 8.0
_LINE_MM = 1.7 * LABEL_MM


def draw_size_schematic(plans: Sequence[HatPlan], *, title: str) -> Picture:
    """Return the sizes nested, edge on edge, with the width and the depth of each beside them.

    Parameters
    ----------
    plans
        The same design in several sizes, smallest first.
    title
        The heading.
    """
    halves = [
        flat_outline(hat_levels(plan), depth_mm=plan.depth_mm, is_closed=plan.crown is not None)
        for plan in plans
    ]
    widest_mm = 2 * max(across for half in halves for across, _ in half)
    deepest_mm = max(plan.depth_mm for plan in plans)
    scale = min(_WIDEST_MM / widest_mm, _TALLEST_MM / deepest_mm)
    middle_mm, edge_mm = scale * widest_mm / 2, scale * deepest_mm
    outlines = [_outline(half, scale, middle_mm, edge_mm) for half in halves]
    words = [_measures(number, plan) for number, plan in enumerate(plans, 1)]
    at_mm = scale * widest_mm + _GAP_MM
    return framed(
        title=title,
        description=f"{len(plans)} sizes laid flat, one inside the other. {' '.join(words)}",
        marks=(*outlines, *_column(words, at_mm)),
        width_mm=at_mm + max(text_width_mm(line, LABEL_MM) for line in words),
        height_mm=max(edge_mm, _LINE_MM * len(words)),
        notes=("All sizes stand on one edge: the innermost outline is size 1.",),
    )


def _outline(half: Sequence[Point], scale: float, middle_mm: float, edge_mm: float) -> Mark:
    right = [(middle_mm + scale * across, edge_mm - scale * up) for across, up in half]
    left = [(middle_mm - scale * across, edge_mm - scale * up) for across, up in reversed(half)]
    return polygon([*right, *left], "outline")


def _measures(number: int, plan: HatPlan) -> str:
    width = both_systems(plan.counts.chosen.count.circumference_mm / 2)
    return f"Size {number}: {width} wide, {both_systems(plan.depth_mm)} deep."


def _column(words: Sequence[str], at_mm: float) -> Iterator[Mark]:
    for line, text in enumerate(words):
        yield Text((at_mm, LABEL_MM + _LINE_MM * line), text, LABEL_MM)
