"""The crown as a curve: how wide each round is and how wide it should be, and where it is too full."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from service.domain.crown_orders import CrownSchedule
from service.domain.crown_targets import stations_mm, target_circumference_mm
from service.domain.errors import NothingToDraw
from service.domain.hats import HatPlan
from service.domain.units import MM_PER_INCH
from service.drawings.crown_charts import WITHOUT_CROWN
from service.drawings.dimensions import arrow_head
from service.drawings.lettering import LABEL_MM, NOTE_MM, framed, spread, text_width_mm
from service.drawings.pictures import Circle, Group, Line, Mark, Picture, Point, Text, polygon, polyline

__all__ = ["CurvePoint", "curve_points", "draw_shaping_curve"]

_LEFT_MM, _RIGHT_MM = 18.0, 16.0
_PLOT_WIDTH_MM, _PLOT_HEIGHT_MM, _FULLNESS_HEIGHT_MM = 130.0, 72.0, 40.0
_PLOT_TOP_MM = 11.0
_FULLNESS_TOP_MM = _PLOT_TOP_MM + _PLOT_HEIGHT_MM + 26.0
_TARGET_STEPS = 64
_POINT_MM = 1.1
#: A label nearer to its round needs no line to it. [mm]
_NEAR_MM = 0.8
#: Fullness within these shares of 1 lies well, and blocks out.
_LIES_WELL, _BLOCKS_OUT = 0.03, 0.06


@dataclass(frozen=True, slots=True, kw_only=True)
class CurvePoint:
    """A crown round on the curve: its height above the edge of the crown, and both circumferences."""

    round_number: int
    height_mm: float
    worked_mm: float
    target_mm: float

    @property
    def fullness(self) -> float:
        """Return the worked circumference over the target's."""
        return self.worked_mm / self.target_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class _Axes:
    """From lengths of the crown to places on paper."""

    depth_mm: float
    widest_mm: float
    fullest: float

    def x(self, height_mm: float) -> float:
        """Return how far to the right a height above the crown's edge lies."""
        return _LEFT_MM + _PLOT_WIDTH_MM * height_mm / self.depth_mm

    def y(self, circumference_mm: float) -> float:
        """Return how far down a circumference lies."""
        return _PLOT_TOP_MM + _PLOT_HEIGHT_MM * (1 - circumference_mm / self.widest_mm)

    def fullness_y(self, fullness: float) -> float:
        """Return how far down a fullness lies; 1 is in the middle."""
        share = max(-1.0, min(1.0, (fullness - 1) / self.fullest))
        return _FULLNESS_TOP_MM + _FULLNESS_HEIGHT_MM / 2 * (1 - share)


def curve_points(plan: HatPlan) -> tuple[CurvePoint, ...]:
    """Return the crown's rounds in working order, with the numbers they have in the plan.

    Parameters
    ----------
    plan
        A hat with a crown.

    Raises
    ------
    NothingToDraw
        If the hat has no crown.
    """
    crown = _crown_of(plan)
    numbers = [worked.number for worked in plan.rounds if worked.section == "crown"]
    stations = stations_mm(
        round_count=len(crown.rounds),
        round_height_mm=crown.depth_mm / len(crown.rounds),
        worked=crown.worked,
    )
    return tuple(
        CurvePoint(
            round_number=number,
            height_mm=crown.depth_mm - station,
            worked_mm=row.fabric_circumference_mm,
            target_mm=row.target_circumference_mm,
        )
        for number, station, row in zip(numbers, stations, crown.rounds, strict=True)
    )


def _crown_of(plan: HatPlan) -> CrownSchedule:
    if plan.crown is None:
        raise NothingToDraw(what="crown", kinds=WITHOUT_CROWN)
    return plan.crown


def draw_shaping_curve(plan: HatPlan, *, title: str) -> Picture:
    """Return target and worked circumference against height, and the fullness of every round below.

    Parameters
    ----------
    plan
        The hat.
    title
        The heading.

    Raises
    ------
    NothingToDraw
        If the hat has no crown.
    """
    crown, points = _crown_of(plan), curve_points(plan)
    widest = max(crown.target.circumference_mm, *(max(point.worked_mm, point.target_mm) for point in points))
    fullest = max(0.1, *(abs(point.fullness - 1) for point in points if _is_telling(point, points)))
    axes = _Axes(depth_mm=crown.depth_mm, widest_mm=1.08 * widest, fullest=min(1.0, 1.1 * fullest))
    return framed(
        title=title,
        description=_description(crown, points),
        marks=(
            Group("Scales", tuple(_scales(axes))),
            Group("Circumference", tuple(_curves(axes, crown, points))),
            Group("Fullness", tuple(_fullness(axes, points))),
            Group("Legend", tuple(_legend())),
        ),
        width_mm=_LEFT_MM + _PLOT_WIDTH_MM + _RIGHT_MM,
        height_mm=_FULLNESS_TOP_MM + _FULLNESS_HEIGHT_MM + 13.0,
        notes=(
            "Above 1 a round has more cloth than the crown needs and gathers; below 1 it cups. "
            "Within 3 in 100 (dark band) it lies well, within 6 (light band) it blocks out; an arrow head "
            "leaves the scale.",
        ),
    )


def _is_telling(point: CurvePoint, points: Sequence[CurvePoint]) -> bool:
    """Whether a round is wide enough for its fullness to set the scale."""
    return point.target_mm > 0.2 * max(each.target_mm for each in points)


def _scales(axes: _Axes) -> Iterator[Mark]:
    right, bottom = _LEFT_MM + _PLOT_WIDTH_MM, _PLOT_TOP_MM + _PLOT_HEIGHT_MM
    yield Text((0.0, _PLOT_TOP_MM - 5.0), "Around, cm", NOTE_MM, role="note")
    yield Text((right + _RIGHT_MM, _PLOT_TOP_MM - 5.0), "inches", NOTE_MM, "end", "note")
    step_cm = _round_step(axes.widest_mm / 10, 6)
    for value in _steps(step_cm, axes.widest_mm / 10):
        y = axes.y(10 * value)
        yield Line((_LEFT_MM, y), (right, y), "grid")
        yield Text((_LEFT_MM - 1.5, y + 1.1), f"{value:g}", NOTE_MM, "end")
    for value in _steps(_round_step(axes.widest_mm / MM_PER_INCH, 6), axes.widest_mm / MM_PER_INCH):
        y = axes.y(MM_PER_INCH * value)
        yield Line((right, y), (right + 1.2, y), "dimension")
        yield Text((right + 2.0, y + 1.1), f"{value:g}", NOTE_MM)
    yield polygon(
        [(_LEFT_MM, _PLOT_TOP_MM), (right, _PLOT_TOP_MM), (right, bottom), (_LEFT_MM, bottom)], "dimension"
    )
    yield from _height_scale(axes, bottom)


def _height_scale(axes: _Axes, bottom: float) -> Iterator[Mark]:
    step_cm = _round_step(axes.depth_mm / 10, 8)
    for value in _steps(step_cm, axes.depth_mm / 10):
        x = axes.x(10 * value)
        yield Line((x, bottom), (x, bottom + 1.2), "dimension")
        yield Text((x, bottom + 4.6), f"{value:g}", NOTE_MM, "middle")
    depth_inches = axes.depth_mm / MM_PER_INCH
    for value in _steps(_round_step(depth_inches, 6), depth_inches):
        x = axes.x(MM_PER_INCH * value)
        yield Line((x, _PLOT_TOP_MM - 1.2), (x, _PLOT_TOP_MM), "dimension")
        yield Text((x, _PLOT_TOP_MM - 2.0), f"{value:g}", NOTE_MM, "middle")
    middle = _LEFT_MM + _PLOT_WIDTH_MM / 2
    yield Text(
        (middle, bottom + 9.0),
        "Height above the edge of the crown, along the fabric: cm below, inches above",
        NOTE_MM,
        "middle",
        "note",
    )


def _round_step(largest: float, count: int) -> float:
    """Return a step of 1, 2 or 5 times a power of ten that gives about so many."""
    wanted = largest / count
    power = 10.0 ** len(str(int(wanted))) / 10 if wanted >= 1 else 0.1
    return next((step * power for step in (1, 2, 5, 10) if step * power >= wanted), 10 * power)


def _steps(step: float, largest: float) -> list[float]:
    return [round(step * number, 6) for number in range(int(largest / step + 1e-9) + 1)]


def _curves(axes: _Axes, crown: CrownSchedule, points: Sequence[CurvePoint]) -> Iterator[Mark]:
    yield polyline(_target_line(axes, crown), "target")
    worked = sorted(points, key=lambda point: point.height_mm)
    yield polyline([(axes.x(point.height_mm), axes.y(point.worked_mm)) for point in worked], "worked")
    for point in points:
        x = axes.x(point.height_mm)
        yield _square((x, axes.y(point.target_mm)))
    for point in points:
        yield Circle((axes.x(point.height_mm), axes.y(point.worked_mm)), _POINT_MM, "worked_point")


def _target_line(axes: _Axes, crown: CrownSchedule) -> list[Point]:
    heights = [crown.depth_mm * step / _TARGET_STEPS for step in range(_TARGET_STEPS + 1)]
    return [
        (axes.x(height), axes.y(target_circumference_mm(crown.target, crown.depth_mm - height)))
        for height in heights
    ]


def _square(centre: Point) -> Mark:
    (x, y), half = centre, _POINT_MM
    return polygon(
        [(x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half)],
        "target_point",
    )


def _fullness(axes: _Axes, points: Sequence[CurvePoint]) -> Iterator[Mark]:
    """Yield a stem from 1 to the fullness of every round, with its figure where there is room."""
    right = _LEFT_MM + _PLOT_WIDTH_MM
    for band in (_BLOCKS_OUT, _LIES_WELL):
        low, high = axes.fullness_y(1 - band), axes.fullness_y(1 + band)
        yield polygon(
            [(_LEFT_MM, high), (right, high), (right, low), (_LEFT_MM, low)],
            "band" if band == _BLOCKS_OUT else "inner_band",
        )
    one = axes.fullness_y(1.0)
    yield Line((_LEFT_MM, one), (right, one), "dimension")
    yield Text((0.0, _FULLNESS_TOP_MM - 5.0), "Fullness, round by round", NOTE_MM, role="note")
    yield Text((_LEFT_MM - 1.5, one + 1.1), "1", NOTE_MM, "end")
    yield Text((right + 1.5, _FULLNESS_TOP_MM + 3.0), "gathers", NOTE_MM, role="note")
    yield Text((right + 1.5, _FULLNESS_TOP_MM + _FULLNESS_HEIGHT_MM - 1.0), "cups", NOTE_MM, role="note")
    yield from _stems(axes, points)


def _stems(axes: _Axes, points: Sequence[CurvePoint]) -> Iterator[Mark]:
    """Yield the stems; a round beyond the scale ends in an arrow head instead of a point."""
    for point in points:
        x, y = axes.x(point.height_mm), axes.fullness_y(point.fullness)
        yield Line((x, axes.fullness_y(1.0)), (x, y), "worked")
        if _leaves_scale(axes, point):
            yield arrow_head((x, y), toward=(0.0, -1.0 if point.fullness > 1 else 1.0))
        else:
            yield Circle((x, y), _POINT_MM, "worked_point")
    yield from _figures(axes, points)


def _figures(axes: _Axes, points: Sequence[CurvePoint]) -> Iterator[Mark]:
    """Yield the number and the fullness of rounds: those beyond the scale, and others where there is room."""
    foot = _FULLNESS_TOP_MM + _FULLNESS_HEIGHT_MM + 6.0
    for point, at in _labelled(axes, points):
        x = axes.x(point.height_mm)
        if abs(at - x) > _NEAR_MM:
            yield Line((x, foot - 5.0), (at, foot - 2.8), "leader")
        yield Text((at, foot), f"{point.round_number}", NOTE_MM, "middle")
        yield Text((at, foot + 5.0), f"{point.fullness:.2f}", NOTE_MM, "middle")
    yield Text((0.0, foot), "Round", NOTE_MM, role="note")
    yield Text((0.0, foot + 5.0), "Fullness", NOTE_MM, role="note")


def _labelled(axes: _Axes, points: Sequence[CurvePoint]) -> list[tuple[CurvePoint, float]]:
    """Return the rounds that have a label and where it stands, so that none touch.

    Labels of rounds beyond the scale move apart, and the others make room for them.
    """
    room = text_width_mm("0.00", NOTE_MM) + 1.5
    step = max(1, -int(-room // (_PLOT_WIDTH_MM / len(points))))
    beyond = sorted(
        (point for point in points if _leaves_scale(axes, point)), key=lambda point: point.height_mm
    )
    places = spread([axes.x(point.height_mm) for point in beyond], apart_mm=room)
    over = max(0.0, places[-1] + room / 2 - _LEFT_MM - _PLOT_WIDTH_MM - _RIGHT_MM) if places else 0.0
    forced = [(point, place - over) for point, place in zip(beyond, places, strict=True)]
    usual = [(point, axes.x(point.height_mm)) for point in points[::step] if not _leaves_scale(axes, point)]
    return [
        *(each for each in usual if all(abs(each[1] - place) >= room for _, place in forced)),
        *forced,
    ]


def _leaves_scale(axes: _Axes, point: CurvePoint) -> bool:
    return abs(point.fullness - 1) > axes.fullest


def _legend() -> Iterator[Mark]:
    y = 3.0
    yield Line((_LEFT_MM + 30.0, y), (_LEFT_MM + 42.0, y), "worked")
    yield Circle((_LEFT_MM + 36.0, y), _POINT_MM, "worked_point")
    yield Text((_LEFT_MM + 44.0, y + 1.2), "as worked", LABEL_MM)
    yield Line((_LEFT_MM + 72.0, y), (_LEFT_MM + 84.0, y), "target")
    yield _square((_LEFT_MM + 78.0, y))
    yield Text((_LEFT_MM + 86.0, y + 1.2), "as the shape asks", LABEL_MM)


def _description(crown: CrownSchedule, points: Sequence[CurvePoint]) -> str:
    rows = "; ".join(
        f"round {point.round_number}: {point.worked_mm / 10:.1f} cm worked, "
        f"{point.target_mm / 10:.1f} cm asked"
        for point in points
    )
    return (
        f"The circumference of a {crown.crown_shape} crown round by round beside that of its shape, "
        f"and fullness, the one over the other. {rows}."
    )
