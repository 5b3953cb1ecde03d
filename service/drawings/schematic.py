"""The hat with its measurements: laid flat, and half of it as it is worn."""

from collections.abc import Iterator
from dataclasses import dataclass

from service.domain.hats import HatPlan
from service.drawings.dimensions import (
    DimensionStop,
    diameter_dimension,
    level_dimension,
    stacked_dimensions,
    upright_dimension,
    upright_words_mm,
)
from service.drawings.hat_levels import HatLevel, hat_levels, hat_word, section_spans
from service.drawings.hat_profiles import HatProfile, hat_profile
from service.drawings.lettering import LABEL_MM, framed, text_width_mm
from service.drawings.pictures import Group, Line, Mark, Picture, Point, Text, moved, polygon, polyline
from service.patterns.lengths import both_systems

__all__ = ["draw_schematic", "flat_outline"]

_WIDEST_MM, _TALLEST_MM = 72.0, 88.0
_TOP_MM = 9.0
_DEPTH_AT_MM = 7.0
_GAP_MM = 9.0
#: Brim and body are told apart where they differ by this much laid flat. [mm]
_WORTH_A_WIDTH_MM = 1.0
_SECTION_NAMES = {"joining": "joining round"}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Views:
    """The plan with what both views need, and the scale they are drawn at."""

    plan: HatPlan
    levels: tuple[HatLevel, ...]
    profile: HatProfile
    scale: float

    @property
    def flat_width_mm(self) -> float:
        """Return the width of the flat hat on paper."""
        return self.scale * max(level.circumference_mm for level in self.levels) / 2

    @property
    def depth_mm(self) -> float:
        """Return the depth on paper."""
        return self.scale * self.plan.depth_mm

    def down_mm(self, height_mm: float) -> float:
        """Return how far down the paper a height of the fabric lies."""
        return _TOP_MM + self.scale * (self.plan.depth_mm - height_mm)

    def flat_point(self, height_mm: float, circumference_mm: float, side: int) -> Point:
        """Return a place at the left (-1) or right (1) side of the flat hat."""
        across = side * self.scale * circumference_mm / 4
        return (self.flat_width_mm / 2 + across, self.down_mm(height_mm))

    def width_at_mm(self, height_mm: float) -> float:
        """Return the circumference at a height: that of the level there or next below."""
        below = [level for level in self.levels if level.height_mm <= height_mm + 1e-6]
        return (below or [self.levels[0]])[-1].circumference_mm


def draw_schematic(plan: HatPlan, *, title: str) -> Picture:
    """Return the hat laid flat and half worn, in true proportion, with its measurements.

    Parameters
    ----------
    plan
        The hat.
    title
        The heading.
    """
    levels = hat_levels(plan)
    widest = max(level.circumference_mm for level in levels) / 2
    scale = min(_WIDEST_MM / widest, _TALLEST_MM / plan.depth_mm)
    views = _Views(plan=plan, levels=levels, profile=hat_profile(plan), scale=scale)
    depth_at = _depth_margin_mm(views)
    what = hat_word(plan)
    flat = moved(Group(f"The {what} laid flat", tuple(_flat_view(views))), right_mm=depth_at, down_mm=0)
    worn_at = depth_at + _flat_view_width_mm(views) + _GAP_MM
    worn = moved(
        Group(f"Half of the {what} as it is worn", tuple(_worn_view(views))), right_mm=worn_at, down_mm=0
    )
    return framed(
        title=title,
        description=_description(plan),
        marks=(flat, worn),
        width_mm=worn_at + _worn_width_mm(views),
        height_mm=views.down_mm(0) + 22.0,
        notes=_notes(plan),
    )


def flat_outline(levels: tuple[HatLevel, ...], *, depth_mm: float, is_closed: bool) -> tuple[Point, ...]:
    """Return half the outline of the flat hat: half its width by its height, from the edge up. [mm]

    Examples
    --------
    >>> edge = HatLevel(round_number=0, section="brim", height_mm=0, stitch_count=80, circumference_mm=480)
    >>> flat_outline((edge,), depth_mm=100, is_closed=True)
    ((120.0, 0), (0.0, 100))
    """
    sides = [(level.circumference_mm / 4, level.height_mm) for level in levels]
    end = (0.0 if is_closed else sides[-1][0], depth_mm)
    first = [] if sides[0][1] <= 0 else [(sides[0][0], 0.0)]
    return (*first, *sides) if sides[-1] == end else (*first, *sides, end)


def _flat_view(views: _Views) -> Iterator[Mark]:
    plan = views.plan
    half = flat_outline(views.levels, depth_mm=plan.depth_mm, is_closed=plan.crown is not None)
    right = [views.flat_point(height, 4 * across, 1) for across, height in half]
    left = [views.flat_point(height, 4 * across, -1) for across, height in reversed(half)]
    yield Text((0, LABEL_MM), "Laid flat", LABEL_MM, role="note")
    yield polygon([*right, *left], "outline")
    yield from _part_lines(views)
    yield from _fold(views)
    yield from _widths(views)
    yield from _depths(views)


def _part_lines(views: _Views) -> Iterator[Mark]:
    """Yield a line across the hat between two parts."""
    for span in section_spans(views.plan)[:-1]:
        around = views.width_at_mm(span.high_mm)
        ends = [views.flat_point(span.high_mm, around, side) for side in (-1, 1)]
        yield Line(ends[0], ends[1], "part")


def _fold(views: _Views) -> Iterator[Mark]:
    cuff_mm = views.plan.size.cuff_mm
    if cuff_mm:
        around = views.width_at_mm(cuff_mm)
        ends = [views.flat_point(cuff_mm, around, side) for side in (-1, 1)]
        yield Line(ends[0], ends[1], "fold")
        middle = (views.flat_width_mm / 2, ends[0][1] - 1.2)
        yield Text(middle, f"fold up {both_systems(cuff_mm)}", LABEL_MM * 0.9, "middle")


def _widths(views: _Views) -> Iterator[Mark]:
    """Yield the width and the circumference of the lower edge, and of the body where it differs."""
    edge = views.levels[0]
    left, right = (views.flat_point(0, edge.circumference_mm, side)[0] for side in (-1, 1))
    bottom = views.down_mm(0)
    yield from level_dimension(
        left_mm=left,
        right_mm=right,
        at_mm=bottom + 7.0,
        from_mm=bottom,
        words=f"width {both_systems(edge.circumference_mm / 2)}",
    )
    middle = views.flat_width_mm / 2
    around = f"around {both_systems(edge.circumference_mm)}"
    yield Text((middle, bottom + 7.0 + LABEL_MM * 2.5), around, LABEL_MM, "middle")
    body = [level for level in views.levels if level.section == "body"]
    if body and abs(body[0].circumference_mm - edge.circumference_mm) > 2 * _WORTH_A_WIDTH_MM:
        yield from _body_width(views, body)


def _body_width(views: _Views, body: list[HatLevel]) -> Iterator[Mark]:
    level = body[len(body) // 2]
    left, right = (views.flat_point(level.height_mm, level.circumference_mm, side)[0] for side in (-1, 1))
    at = views.down_mm(level.height_mm)
    words = f"width {both_systems(level.circumference_mm / 2)}"
    line, *rest = level_dimension(left_mm=left, right_mm=right, at_mm=at, from_mm=at - 1.0, words=words)[2:]
    middle = (left + right) / 2
    yield from (line, *rest[:-1])
    yield Text((middle, at - 1.2), words, LABEL_MM, "middle")
    around = f"around {both_systems(level.circumference_mm)}"
    yield Text((middle, at + LABEL_MM * 1.15), around, LABEL_MM, "middle")


def _depths(views: _Views) -> Iterator[Mark]:
    """Yield the height of every part, one above the other, and the whole depth beside them."""
    stops = _depth_stops(views)
    side = views.flat_width_mm
    yield from stacked_dimensions(stops, at_mm=side + 6.0, from_mm=side)
    top, bottom = views.down_mm(views.plan.depth_mm), views.down_mm(0)
    yield from upright_dimension(top_mm=top, bottom_mm=bottom, at_mm=-_DEPTH_AT_MM, words=_depth_words(views))
    closed = views.plan.crown is not None
    yield Line((side / 2 - 2.0 if closed else -1.0, top), (-_DEPTH_AT_MM - 1.2, top), "dimension")
    edge = views.flat_point(0, views.levels[0].circumference_mm, -1)[0]
    yield Line((edge - 1.0, bottom), (-_DEPTH_AT_MM - 1.2, bottom), "dimension")


def _depth_words(views: _Views) -> str:
    name = "height" if views.plan.crown is None else "depth"
    return f"{name} {both_systems(views.plan.depth_mm)}"


def _depth_margin_mm(views: _Views) -> float:
    """Return the room that the whole depth takes at the left of the hat."""
    return _DEPTH_AT_MM + upright_words_mm(views.depth_mm, _depth_words(views))


def _depth_stops(views: _Views) -> list[DimensionStop]:
    return [
        DimensionStop(
            views.down_mm(span.high_mm),
            views.down_mm(span.low_mm),
            f"{_SECTION_NAMES.get(span.name, span.name)} {both_systems(span.high_mm - span.low_mm)}",
        )
        for span in reversed(section_spans(views.plan))
    ]


def _depth_words_mm(views: _Views) -> float:
    return max(text_width_mm(stop.words, LABEL_MM) for stop in _depth_stops(views))


def _flat_view_width_mm(views: _Views) -> float:
    return views.flat_width_mm + 6.0 + _depth_words_mm(views) + 4.2


def _worn_width_mm(views: _Views) -> float:
    words = f"across {both_systems(2 * views.profile.largest_radius_mm)}"
    half = views.scale * views.profile.largest_radius_mm
    stand = both_systems(views.plan.depth_mm)
    beside = 13.0 + upright_words_mm(0.8 * views.depth_mm, f"stands {stand}")
    return max(half + beside, text_width_mm(words, LABEL_MM))


def _worn_view(views: _Views) -> Iterator[Mark]:
    """Yield the right half of the worn hat beside its axis, the brim folded where it is."""
    axis, bottom = 4.0, views.down_mm(0)
    curve = worn_curve(views.plan, views.profile)
    stand_mm = max(up for _, up in curve)

    def placed(points: tuple[Point, ...]) -> list[Point]:
        return [(axis + views.scale * out, bottom - views.scale * up) for out, up in points]

    top = bottom - views.scale * stand_mm
    yield Text((0, LABEL_MM), "Worn, half", LABEL_MM, role="note")
    yield Line((axis, top - 3.0), (axis, bottom + 3.0), "axis")
    yield polyline(placed(curve), "outline")
    yield from _worn_base(views, placed(curve), axis)
    right = max(x for x, _ in placed(curve))
    words = f"stands {both_systems(stand_mm)}"
    at = right + 5.0 + upright_words_mm(bottom - top, words)
    yield from upright_dimension(top_mm=top, bottom_mm=bottom, at_mm=at, words=words)
    for y in (top, bottom):
        yield Line((right + 1.5 if y == bottom else axis + 2.0, y), (at + 1.2, y), "dimension")
    widest = 2 * views.profile.largest_radius_mm
    yield from diameter_dimension(
        axis_mm=axis,
        right_mm=right,
        at_mm=bottom + 7.0,
        from_mm=bottom,
        words=f"across {both_systems(widest)}",
    )


def _worn_base(views: _Views, curve: list[Point], axis: float) -> Iterator[Mark]:
    bottom = views.down_mm(0)
    end = max((x for x, y in curve if y >= bottom - 1e-6), default=axis)
    yield Line((axis, bottom), (end, bottom), "hidden")


def worn_curve(plan: HatPlan, profile: HatProfile) -> tuple[Point, ...]:
    """Return half the worn hat as radius and height, from the edge over the fold up to the centre. [mm]

    A folded brim lies outside the hat, one thickness away.
    """
    cuff_mm = plan.size.cuff_mm
    up = [point for point in profile.points if point.height_mm > cuff_mm]
    fold = profile.at(cuff_mm)
    above = [(fold.radius_mm, 0.0), *((each.radius_mm, each.stand_mm - fold.stand_mm) for each in up)]
    if not cuff_mm:
        return tuple(above)
    turned = [
        (each.radius_mm + plan.size.thickness_mm, fold.stand_mm - each.stand_mm)
        for each in profile.points
        if each.height_mm <= cuff_mm
    ]
    return (*turned, (fold.radius_mm + plan.size.thickness_mm, 0.0), *above)


def _notes(plan: HatPlan) -> tuple[str, ...]:
    notes = ["Lengths are those of the relaxed fabric, to half a centimetre; depth runs along the fabric."]
    if plan.size.cuff_mm:
        notes.append("Laid flat the brim is shown unfolded.")
    return tuple(notes)


def _description(plan: HatPlan) -> str:
    parts = ", ".join(
        f"{_SECTION_NAMES.get(span.name, span.name)} {both_systems(span.high_mm - span.low_mm)}"
        for span in section_spans(plan)
    )
    edge = both_systems(hat_levels(plan)[0].circumference_mm)
    body = both_systems(plan.counts.chosen.count.circumference_mm)
    lower = "" if edge == body else f", lower edge {edge}"
    cuff = f" The brim folds up by {both_systems(plan.size.cuff_mm)}." if plan.size.cuff_mm else ""
    name = "height" if plan.crown is None else "depth"
    return (
        f"A {hat_word(plan)} laid flat and half of it worn. Body {body} around{lower}; "
        f"{name} {both_systems(plan.depth_mm)} along the fabric; from the lower edge up: {parts}.{cuff}"
    )
