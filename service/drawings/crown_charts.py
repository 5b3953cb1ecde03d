"""The crown as a stitch chart in rings: one repeat as a wedge, or all of it."""

import math
from collections.abc import Iterator, Sequence
from typing import Literal

from service.domain.errors import NothingToDraw
from service.domain.hats import HatPlan
from service.domain.rounds import Round
from service.drawings.chart_keys import key_entries
from service.drawings.chart_layouts import RingLayout, ring_layout
from service.drawings.chart_pages import chart_page, round_groups
from service.drawings.chart_repeats import MOST_SYMBOLS, ChartRepeat, common_repeat, whole_rounds
from service.drawings.dimensions import arrow_head
from service.drawings.lettering import LABEL_MM
from service.drawings.pictures import Group, Line, Mark, Picture, Point, Text, polygon, polyline
from service.notation.terms import Terms
from service.notation.writer import write_round

__all__ = ["WITHOUT_CROWN", "Extent", "draw_crown_chart"]

Extent = Literal["one_repeat", "whole"]

#: What can be drawn of a hat without a crown.
WITHOUT_CROWN = ("schematic", "body_chart", "hat_view")
_ARC_STEPS = 24
#: How far beside a wedge its arrow stands. [mm]
_BESIDE_MM = 14.0
_NUMBER_BESIDE_MM = 8.0


def draw_crown_chart(
    plan: HatPlan, *, extent: Extent, title: str, terms: Terms, most_symbols: int = MOST_SYMBOLS
) -> Picture:
    """Return the crown as a chart of symbols, built from the steps of its rounds.

    A crown from the centre runs outward and anticlockwise for a right-hander. One from the brim runs inward
    and so clockwise: with the tops of the stitches up a right-hander always works towards the left.

    Parameters
    ----------
    plan
        The hat.
    extent
        One repeat as a wedge, where rounds have one, or all stitches.
    title
        The heading.
    terms
        The words of the key.
    most_symbols
        The most that the chart may hold.

    Raises
    ------
    NothingToDraw
        If the hat has no crown.
    DrawingTooLarge
        If there are more symbols.
    """
    crown = [worked for worked in plan.rounds if worked.section == "crown"]
    if not crown:
        raise NothingToDraw(what="crown", kinds=WITHOUT_CROWN)
    shown = common_repeat(crown, _crown_repeat_count(plan, crown), most_symbols=most_symbols)
    shaded = shown.times
    if extent == "whole" and shown.times > 1:
        shown = ChartRepeat(whole_rounds(crown, most_symbols=most_symbols), 1)
    layout = ring_layout(shown.rounds, is_inward=plan.order.is_from_brim)
    if layout.is_whole and _last_shaded(layout, shaded) < 1:
        shaded = 1
    return chart_page(
        title=title,
        description=_description(plan, shown),
        frame=tuple(_frame(layout, shown, shaded)),
        rounds=round_groups(layout, shown.rounds, is_left_handed=plan.order.is_left_handed),
        key=key_entries(shown.rounds, terms, is_left_handed=plan.order.is_left_handed),
        notes=tuple(_notes(plan, shown, crown, terms, shaded=shaded)),
        is_left_handed=plan.order.is_left_handed,
    )


def _crown_repeat_count(plan: HatPlan, crown: Sequence[Round]) -> int:
    """Return how many equal parts the crown is worked in: its sections, or its repeats with their columns."""
    schedule = plan.crown
    assert schedule is not None, "a crown has a schedule"
    if schedule.section_count is not None:
        return schedule.section_count
    widest = max(schedule.rounds, key=lambda row: row.stitch_count)
    width = sum(column.width for column in widest.columns)
    return widest.stitch_count // width if width else 1


def _frame(layout: RingLayout, shown: ChartRepeat, shaded: int) -> Iterator[Mark]:
    """Yield what lies about the stitches: the repeat, the outermost ring, numbers and arrows."""
    yield from _repeat_marks(layout, shown, shaded)
    outer = 0 if layout.is_inward else len(layout.radii_mm) - 1
    yield polyline(_arc(layout, outer, -0.5, layout.counts[outer] - 0.5), "guide")
    yield Group("Round numbers", tuple(_numbers(layout, shown)))
    yield Group("Direction of work", tuple(_way(layout)))


def _repeat_marks(layout: RingLayout, shown: ChartRepeat, shaded: int) -> Iterator[Mark]:
    """Yield the repeat: the wedge outlined, or its part of whole rings shaded where every ring has it."""
    last = len(layout.radii_mm) - 1
    parts = [1.0] * (last + 1)
    if layout.is_whole:
        last = _last_shaded(layout, shaded)
        parts = [1.0 / shaded] * (last + 1)
    if shaded == 1 or last < 1:
        return
    ends = [layout.counts[level] * part - 0.5 for level, part in enumerate(parts[: last + 1])]
    first_side = [layout.point(level, -0.5) for level in range(last + 1)]
    far_side = [layout.point(level, ends[level]) for level in range(last, -1, -1)]
    border = [
        *first_side,
        *_arc(layout, last, -0.5, ends[last]),
        *far_side,
        *reversed(_arc(layout, 0, -0.5, ends[0])),
    ]
    yield polygon(border, "repeat_area")
    yield polygon(border, "repeat")


def _last_shaded(layout: RingLayout, shaded: int) -> int:
    """Return the last level of those that all hold whole repeats; -1 where the first does not."""
    levels = range(len(layout.counts))
    return next((level for level in levels if layout.counts[level] % shaded), len(levels)) - 1


def _arc(layout: RingLayout, level: int, begin: float, end: float) -> list[tuple[float, float]]:
    steps = max(2, min(_ARC_STEPS * 4, int(end - begin) + 2))
    return [layout.point(level, begin + (end - begin) * step / steps) for step in range(steps + 1)]


def _numbers(layout: RingLayout, shown: ChartRepeat) -> Iterator[Mark]:
    """Yield the number of each round before its first stitch."""
    for level, chart in enumerate(shown.rounds, start=1):
        (x1, y1), (x2, y2) = (
            layout.point(each, -0.5, aside_mm=-(layout.gap_mm(each) / 2 or _NUMBER_BESIDE_MM))
            for each in (level - 1, level)
        )
        at = ((x1 + x2) / 2, (y1 + y2) / 2 + 0.36 * LABEL_MM)
        yield Text(at, f"{chart.worked.number}", LABEL_MM, "middle")


def _way(layout: RingLayout) -> Iterator[Mark]:
    """Yield an arrow along the outermost round and one across the rounds, inward or outward."""
    outer = 0 if layout.is_inward else len(layout.radii_mm) - 1
    radius = layout.radii_mm[outer] + 5.0
    first = layout.angle(outer, 0.0)
    turn = -1.0 if layout.is_inward else 1.0
    sweep = min(max(14.0 / radius, 0.15), 0.8 * layout.span)
    around = [_polar(radius, first + turn * sweep * step / 8) for step in range(9)]
    yield polyline(around, "dimension")
    yield arrow_head(around[-1], toward=_unit(around[-2], around[-1]))
    tail, tip = _across(layout, outer)
    yield Line(tail, tip, "dimension")
    yield arrow_head(tip, toward=_unit(tail, tip))


def _across(layout: RingLayout, outer: int) -> tuple[Point, Point]:
    """Return where the arrow across the rounds begins and ends: beside a wedge, outside whole rings."""
    if layout.is_whole:
        angle = layout.angle(outer, -0.5, aside_mm=-8.0)
        far, near = (_polar(layout.radii_mm[outer] + each, angle) for each in (11.0, 2.5))
        return (far, near) if layout.is_inward else (near, far)
    last = len(layout.radii_mm) - 1
    begin, end = layout.point(0, -0.5), layout.point(last, -0.5)
    x, y = _unit(begin, end)
    # Away from the stitches: the work runs to the left of its own up.
    shift = (-y * _BESIDE_MM, x * _BESIDE_MM)
    return (begin[0] + shift[0], begin[1] + shift[1]), (end[0] + shift[0], end[1] + shift[1])


def _polar(radius: float, angle: float) -> Point:
    return (radius * math.cos(angle), -radius * math.sin(angle))


def _unit(start: Point, end: Point) -> Point:
    length = math.dist(start, end)
    return ((end[0] - start[0]) / length, (end[1] - start[1]) / length)


def _reading(plan: HatPlan) -> str:
    turns_left = plan.order.is_from_brim == plan.order.is_left_handed
    way = "anticlockwise" if turns_left else "clockwise"
    course = "from the outside in" if plan.order.is_from_brim else "from the centre outward"
    return f"{way} and {course}"


def _description(plan: HatPlan, shown: ChartRepeat) -> str:
    first, last = shown.rounds[0].worked, shown.rounds[-1].worked
    what = "All stitches" if shown.times == 1 else f"One of {shown.times} repeats"
    counts = ", ".join(str(chart.worked.stitch_count) for chart in shown.rounds)
    return (
        f"{what} of crown rounds {first.number} to {last.number} as symbols, read {_reading(plan)}. "
        f"Stitches of the whole rounds: {counts}."
    )


def _notes(
    plan: HatPlan, shown: ChartRepeat, crown: Sequence[Round], terms: Terms, *, shaded: int
) -> Iterator[str]:
    hand = "left" if plan.order.is_left_handed else "right"
    yield f"Right side of the work, for a {hand}-handed maker: read {_reading(plan)}."
    if shown.times > 1:
        yield f"Work the outlined repeat {shown.times} times in each round."
        numbers = {chart.worked.number for chart in shown.rounds}
        for worked in crown:
            if worked.number not in numbers:
                yield f"Not a part of the repeat: {write_round(worked, terms=terms)}"
    elif shaded > 1:
        yield f"Where a part is shaded, it is one of {shaded} repeats."
    if plan.order.is_from_brim:
        yield "Draw the last round shut."
