"""The hat as a body: from the side and from above, its columns running up and narrowing into the crown."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from service.domain.fabrics import Face
from service.domain.hats import HatPlan
from service.drawings.hat_cameras import SPOT_COUNT, Camera, folded_spots, standing_spots
from service.drawings.hat_levels import hat_levels, hat_word
from service.drawings.hat_patches import Patch, Turns, hat_patches, run_count
from service.drawings.hat_profiles import HatProfile, hat_profile
from service.drawings.lettering import LABEL_MM, framed
from service.drawings.pictures import Group, Mark, Picture, Point, Role, Text, moved, polygon, polyline

__all__ = ["describe_hat_view", "draw_hat_view"]

_VIEW_MM = 78.0
_OUTLINE_STEPS = 120
_GAP_MM = 12.0
_CAPTION_MM = 8.0
_SIDE_TILT = math.radians(14)
_ABOVE_TILT = math.radians(90)
#: Widest piece of a patch that is drawn with one tone, in turns, and the most its slope may change.
_PIECE_TURNS = 1 / 36
_PIECE_BEND = 0.12
#: A hat of more patches is drawn with its cables as columns, or even without columns: what it leaves out is
#: about as fine as print (convention).
_MOST_PATCHES = 1_200
#: Runs that are read in the hope that most stand on one another as one column.
_MOST_RUNS = 4_000
#: Rounds nearer than this on paper are not ruled. [mm]
_NEAREST_ROUNDS_MM = 0.9
_FACE_LIGHT: dict[Face, float] = {"front": 0.14, "flat": 0.0, "back": -0.2}
_TONES: tuple[Role, ...] = (
    "tone_1",
    "tone_2",
    "tone_3",
    "tone_4",
    "tone_5",
    "tone_6",
    "tone_7",
    "tone_8",
    "tone_9",
    "tone_10",
    "tone_11",
    "tone_12",
)
_RIM: tuple[Role, ...] = ("tone_12", "outline")
#: Patches narrower than this on paper have no lines beside them. [mm]
_NARROW_MM = 0.7


def draw_hat_view(plan: HatPlan, *, title: str) -> Picture:
    """Return the worn hat from the side and from above.

    The outline is the profile that the plan's own rounds make; columns are drawn where the steps put them.
    A brim that is folded up shows its other side.

    Parameters
    ----------
    plan
        The hat.
    title
        The heading.
    """
    profile = hat_profile(plan)
    scale = _VIEW_MM / (2 * (profile.largest_radius_mm + plan.size.thickness_mm))
    camera = Camera(
        spots=standing_spots(profile, plan.size.cuff_mm),
        step_mm=plan.depth_mm / SPOT_COUNT,
        tilt=_SIDE_TILT,
        scale=scale,
        hand=-1 if plan.order.is_from_brim != plan.order.is_left_handed else 1,
    )
    patches = _seen_patches(plan)
    side = _side_view(plan, camera, patches)
    above = _view_from_above(plan, replace(camera, tilt=_ABOVE_TILT), patches)
    top_mm = scale * _stand_mm(plan, profile) * math.cos(_SIDE_TILT)
    ellipse_mm = _VIEW_MM / 2 * math.sin(_SIDE_TILT)
    tall = max(top_mm + 2 * ellipse_mm, _VIEW_MM)
    middle = _CAPTION_MM + tall / 2
    foot = middle + (top_mm - ellipse_mm) / 2 + ellipse_mm / 2
    return framed(
        title=title,
        description=describe_hat_view(plan),
        marks=(
            Text((0.0, LABEL_MM), "From the side", LABEL_MM, role="note"),
            Text((_VIEW_MM + _GAP_MM, LABEL_MM), "From above", LABEL_MM, role="note"),
            moved(Group(f"The {hat_word(plan)} from the side", side), right_mm=_VIEW_MM / 2, down_mm=foot),
            moved(
                Group(f"The {hat_word(plan)} from above", above),
                right_mm=1.5 * _VIEW_MM + _GAP_MM,
                down_mm=middle,
            ),
        ),
        width_mm=2 * _VIEW_MM + _GAP_MM,
        height_mm=_CAPTION_MM + tall,
        notes=(
            f"Drawn from the rounds of the plan; the {hat_word(plan)} as it stands, not as it stretches.",
        ),
    )


def _seen_patches(plan: HatPlan) -> tuple[Patch, ...]:
    """Return the patches of the hat, with less in them where there are more than can be seen."""
    if run_count(plan) <= _MOST_PATCHES:
        return hat_patches(plan)
    if run_count(plan, shows_crossings=False) <= _MOST_RUNS:
        columns = hat_patches(plan, shows_crossings=False)
        if len(columns) <= _MOST_PATCHES:
            return columns
    return hat_patches(plan, shows_stitches=False)


def _stand_mm(plan: HatPlan, profile: HatProfile) -> float:
    return profile.stand_mm - profile.at(plan.size.cuff_mm).stand_mm


def _side_view(plan: HatPlan, camera: Camera, patches: Sequence[Patch]) -> tuple[Mark, ...]:
    body = _all_above(patches, plan.size.cuff_mm)
    marks: list[Mark] = []
    if plan.crown is None:
        marks.append(polygon(_ring(camera, plan.depth_mm), "tone_12"))
    if plan.size.cuff_mm:
        # Behind the hat the rim of the brim goes on.
        marks += [polygon(_ring(_outside(plan, camera), 0.0), role) for role in _RIM]
    marks += _painted(camera, body)
    marks += _ruled(plan, camera)
    marks += _outline(
        camera, low_mm=plan.size.cuff_mm, high_mm=plan.depth_mm, is_closed=plan.crown is not None
    )
    if plan.size.cuff_mm:
        marks += _cuff(plan, camera, patches)
    return tuple(marks)


def _view_from_above(plan: HatPlan, camera: Camera, patches: Sequence[Patch]) -> tuple[Mark, ...]:
    if plan.crown is None:
        spots = folded_spots(camera.spots, thickness_mm=plan.size.thickness_mm / 2)
        outer, inner = _ring(replace(camera, spots=spots), plan.depth_mm), _ring(camera, plan.depth_mm)
        cloth, hole = polygon(outer, "tone_3"), polygon(inner, "part")
        return (cloth, polygon(outer, "outline"), hole, polygon(inner, "outline"))
    body = _all_above(patches, plan.size.cuff_mm)
    widest = max(range(SPOT_COUNT + 1), key=lambda number: camera.spots[number].radius_mm)
    ring = polygon(_ring(camera, widest * camera.step_mm), "outline")
    return (*_painted(camera, body), *_ruled(plan, camera), ring)


def _all_above(patches: Sequence[Patch], fold_mm: float) -> list[Patch]:
    """Return what of the patches lies above the fold."""
    return [
        patch if patch.low_mm >= fold_mm else _cut(patch, fold_mm, patch.high_mm)
        for patch in patches
        if patch.high_mm > fold_mm
    ]


def _all_below(patches: Sequence[Patch], fold_mm: float) -> list[Patch]:
    """Return what of the patches lies below the fold."""
    return [
        patch if patch.high_mm <= fold_mm else _cut(patch, patch.low_mm, fold_mm)
        for patch in patches
        if patch.low_mm < fold_mm
    ]


def _cut(patch: Patch, low_mm: float, high_mm: float) -> Patch:
    """Return the part of a patch between two heights."""
    rises = patch.top_mm >= patch.foot_mm
    foot_mm, top_mm = (low_mm, high_mm) if rises else (high_mm, low_mm)
    return _between(patch, foot_mm, top_mm, _turns_at(patch, foot_mm), _turns_at(patch, top_mm))


def _between(patch: Patch, foot_mm: float, top_mm: float, foot: Turns, top: Turns) -> Patch:
    # A view is cut into thousands of pieces, and dataclasses.replace takes several times as long.
    return Patch(
        face=patch.face,
        foot_mm=foot_mm,
        top_mm=top_mm,
        foot=foot,
        top=top,
        is_crossed=patch.is_crossed,
        is_over=patch.is_over,
    )


def _turns_at(patch: Patch, height_mm: float) -> Turns:
    rise = patch.top_mm - patch.foot_mm
    share = (height_mm - patch.foot_mm) / rise if rise else 0.0
    (foot0, foot1), (top0, top1) = patch.foot, patch.top
    return (foot0 + share * (top0 - foot0), foot1 + share * (top1 - foot1))


def _painted(camera: Camera, patches: Sequence[Patch]) -> Iterator[Mark]:
    """Yield the patches that face the eye, from the lowest up, what lies behind a crossing first."""
    order = sorted(patches, key=lambda each: (each.low_mm, each.is_crossed, each.is_over))
    for patch in order:
        if _is_hidden(camera, patch):
            continue
        for piece in _pieces(camera, patch):
            yield from _piece_marks(camera, piece)


def _is_hidden(camera: Camera, patch: Patch) -> bool:
    """Whether a narrow patch turns its back on the eye at both ends."""
    if max(patch.top[1] - patch.top[0], patch.foot[1] - patch.foot[0]) > _PIECE_TURNS:
        return False
    ends = ((patch.foot[0], patch.foot_mm), (patch.foot[1], patch.foot_mm), (patch.top[0], patch.top_mm))
    return all(camera.facing(turn, height_mm)[0] < 0 for turn, height_mm in ends)


def _pieces(camera: Camera, patch: Patch) -> Iterator[Patch]:
    """Yield a patch in pieces small enough for one tone each."""
    if patch.is_crossed:
        yield patch
        return
    width = max(patch.top[1] - patch.top[0], patch.foot[1] - patch.foot[0])
    count = max(1, math.ceil(width / _PIECE_TURNS - 1e-9))
    for low_mm, high_mm in _slices(camera, patch.low_mm, patch.high_mm):
        band = _cut(patch, low_mm, high_mm)
        if count == 1:
            yield band
            continue
        for number in range(count):
            foot, top = _share(band.foot, number, count), _share(band.top, number, count)
            yield _between(band, band.foot_mm, band.top_mm, foot, top)


def _share(turns: tuple[float, float], number: int, count: int) -> tuple[float, float]:
    width = (turns[1] - turns[0]) / count
    return (turns[0] + width * number, turns[0] + width * (number + 1))


def _slices(camera: Camera, low_mm: float, high_mm: float) -> Iterator[tuple[float, float]]:
    """Yield stretches of the fabric that are nearly straight."""
    begin, slope = low_mm, camera.slope(low_mm)
    steps = max(1, math.ceil((high_mm - low_mm) / 4.0))
    for step in range(1, steps + 1):
        here = low_mm + (high_mm - low_mm) * step / steps
        now = camera.slope(here)
        if step == steps or math.dist(slope, now) > _PIECE_BEND:
            yield begin, here
            begin, slope = here, now


def _piece_marks(camera: Camera, piece: Patch) -> Iterator[Mark]:
    middle_mm = (piece.foot_mm + piece.top_mm) / 2
    middle = sum((*piece.foot, *piece.top)) / 4
    toward, light = camera.facing(middle, middle_mm)
    if toward <= 0.01:
        return
    corners = [
        camera.place(piece.foot[0], piece.foot_mm),
        camera.place(piece.foot[1], piece.foot_mm),
        camera.place(piece.top[1], piece.top_mm),
        camera.place(piece.top[0], piece.top_mm),
    ]
    yield polygon(corners, _tone(light, piece.face))
    widths = math.dist(corners[0], corners[1]), math.dist(corners[2], corners[3])
    if piece.face != "flat" and max(widths) > _NARROW_MM and min(widths) > _NARROW_MM / 3:
        yield polyline((corners[0], corners[3]), "column_edge")
        yield polyline((corners[1], corners[2]), "column_edge")


def _tone(light: float, face: Face) -> Role:
    brightness = 0.25 + 0.75 * max(0.0, light) + _FACE_LIGHT[face]
    return _TONES[min(len(_TONES) - 1, max(0, round((1 - brightness) * len(_TONES))))]


def _ruled(plan: HatPlan, camera: Camera) -> Iterator[Mark]:
    """Yield a thin line along each round of a plain hat, where there is room for them."""
    height_mm = camera.scale * plan.gauges.body.round_height_mm
    if plan.order.fabric.is_textured or height_mm < _NEAREST_ROUNDS_MM:
        return
    for level in hat_levels(plan)[1:]:
        yield from _visible_ring(camera, level.height_mm)


def _visible_ring(camera: Camera, height_mm: float) -> Iterator[Mark]:
    run: list[Point] = []
    for step in range(73):
        if camera.facing(step / 72, height_mm)[0] > 0:
            run.append(camera.place(step / 72, height_mm))
        elif run:
            yield polyline(run, "guide")
            run = []
    if len(run) > 1:
        yield polyline(run, "guide")


def _ring(camera: Camera, height_mm: float) -> list[Point]:
    return [camera.place(step / 72, height_mm) for step in range(72)]


def _outline(camera: Camera, *, low_mm: float, high_mm: float, is_closed: bool) -> Iterator[Mark]:
    """Yield the line where the cloth turns away from the eye, and the front of the lower edge."""
    sides: dict[int, list[Point]] = {-1: [], 1: []}
    for step in range(_OUTLINE_STEPS + 1):
        height = low_mm + (high_mm - low_mm) * step / _OUTLINE_STEPS
        outward, up = camera.slope(height)
        cosine = outward * math.tan(camera.tilt) / max(up, 1e-6)
        turn = math.acos(min(1.0, max(-1.0, cosine))) / (2 * math.pi)
        for side, points in sides.items():
            points.append(camera.place(0.5 + side * turn, height))
        if cosine <= -1:
            # From here on the whole ring faces the eye: the outline closes at its back.
            break
    if is_closed:
        yield polyline([*sides[-1], *reversed(sides[1])], "outline")
    else:
        yield from (polyline(points, "outline") for points in sides.values())
        yield polygon(_ring(camera, high_mm), "outline")
    front = [camera.place(0.25 + step / 96, low_mm) for step in range(49)]
    yield polyline(front, "outline")


def _outside(plan: HatPlan, camera: Camera) -> Camera:
    """Return the camera on the brim that is folded up outside the hat."""
    return replace(camera, spots=folded_spots(camera.spots, thickness_mm=plan.size.thickness_mm))


def _cuff(plan: HatPlan, camera: Camera, patches: Sequence[Patch]) -> Iterator[Mark]:
    """Yield the folded brim: outside, upside down, its other side showing."""
    outer = _outside(plan, camera)
    turned: dict[Face, Face] = {"front": "back", "back": "front", "flat": "flat"}
    below = _all_below(patches, plan.size.cuff_mm)
    yield from _painted(outer, [replace(patch, face=turned[patch.face]) for patch in below])
    heights = (0.0, plan.size.cuff_mm)
    for height in heights:
        yield polyline([outer.place(0.25 + step / 96, height) for step in range(49)], "outline")
    for turn in (0.25, 0.75):
        yield polyline([outer.place(turn, height) for height in heights], "outline")


def describe_hat_view(plan: HatPlan) -> str:
    """Return what the view of a hat shows, in words; nothing is drawn for them."""
    fold = ", its brim folded up" if plan.size.cuff_mm else ""
    return f"The worn {hat_word(plan)}{fold}, from the side and from above, with {_surface(plan)}."


def _surface(plan: HatPlan) -> str:
    fabric, repeats = plan.order.fabric, plan.counts.chosen.count.repeat_count
    columns = sum(column.face != "flat" for column in fabric.columns) * repeats
    cables = sum(column.is_crossed for column in fabric.columns) * repeats
    if not fabric.is_textured:
        return "a plain surface"
    end = "narrowing into the crown" if plan.crown is not None else "running all the way up"
    return f"{cables} cables {end}" if cables else f"{columns} columns {end}"
