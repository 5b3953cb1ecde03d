"""The hat as a body: from the side and from above, its columns running up and narrowing into the crown."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from service.domain.fabrics import Face
from service.domain.hats import HatPlan
from service.drawings.hat_cameras import SPOT_COUNT, Camera, folded_spots, standing_spots
from service.drawings.hat_levels import hat_levels, hat_word
from service.drawings.hat_painting import painted, patches_above, patches_below
from service.drawings.hat_patches import Patch, hat_patches, run_count
from service.drawings.hat_profiles import HatProfile, hat_profile
from service.drawings.hat_silhouettes import silhouette
from service.drawings.lettering import LABEL_MM, framed
from service.drawings.pictures import Group, Mark, Picture, Point, Role, Text, moved, polygon, polyline

__all__ = ["describe_hat_view", "draw_hat_view"]

_VIEW_MM = 78.0
_GAP_MM = 12.0
_CAPTION_MM = 8.0
_SIDE_TILT = math.radians(14)
_ABOVE_TILT = math.radians(90)
#: A hat of more patches is drawn with its cables as columns, or even without columns: what it leaves out is
#: finer than print (convention).
_MOST_PATCHES = 2_400
#: Runs that are read in the hope that most stand on one another as one column.
_MOST_RUNS = 4_000
_WITHOUT_CROSSINGS = "Its crossings are too fine to show here: each cable is drawn as a plain column."
_WITHOUT_COLOURS = "Its colours are not shown."
_WITHOUT_COLUMNS = "Its columns are too fine to show here and are left out."
#: Rounds nearer than this on paper are not ruled. [mm]
_NEAREST_ROUNDS_MM = 0.9
_RIM: tuple[Role, ...] = ("tone_12", "outline")
#: What shows between patches that do not quite meet.
_UNDER: Role = "tone_8"


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
    cloth = _seen_cloth(plan)
    side = _side_view(plan, camera, cloth.patches)
    above = _view_from_above(plan, replace(camera, tilt=_ABOVE_TILT), cloth.patches)
    top_mm = scale * _stand_mm(plan, profile) * math.cos(_SIDE_TILT)
    ellipse_mm = _VIEW_MM / 2 * math.sin(_SIDE_TILT)
    tall = max(top_mm + 2 * ellipse_mm, _VIEW_MM)
    middle = _CAPTION_MM + tall / 2
    foot = middle + (top_mm - ellipse_mm) / 2 + ellipse_mm / 2
    return framed(
        title=title,
        description=_described(plan, cloth),
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
            *_left_out(plan, cloth),
        ),
    )


@dataclass(frozen=True, slots=True)
class _Cloth:
    """The patches that are drawn, and in words what is left out of them."""

    patches: tuple[Patch, ...]
    left_out: str = ""


def _seen_cloth(plan: HatPlan) -> _Cloth:
    """Return the cloth of the hat, with less in it where there is more than can be seen."""
    if run_count(plan) <= _MOST_PATCHES:
        return _Cloth(hat_patches(plan))
    if run_count(plan, shows_crossings=False) <= _MOST_RUNS:
        columns = hat_patches(plan, shows_crossings=False)
        if len(columns) <= _MOST_PATCHES:
            return _Cloth(columns, _WITHOUT_CROSSINGS if plan.order.fabric.is_crossed else "")
    is_plain = not plan.order.fabric.is_textured
    return _Cloth(hat_patches(plan, shows_stitches=False), "" if is_plain else _WITHOUT_COLUMNS)


def _stand_mm(plan: HatPlan, profile: HatProfile) -> float:
    return profile.stand_mm - profile.at(plan.size.cuff_mm).stand_mm


def _side_view(plan: HatPlan, camera: Camera, patches: Sequence[Patch]) -> tuple[Mark, ...]:
    body = patches_above(patches, plan.size.cuff_mm)
    marks: list[Mark] = []
    if plan.crown is None:
        marks.append(polygon(_ring(camera, plan.depth_mm), "tone_12"))
    if plan.size.cuff_mm:
        # Behind the hat the rim of the brim goes on.
        marks += [polygon(_ring(_outside(plan, camera), 0.0), role) for role in _RIM]
    line = silhouette(camera, low_mm=plan.size.cuff_mm)
    if plan.crown is not None:
        marks.append(polygon(line, _UNDER))
    marks += painted(camera, body)
    marks += _ruled(plan, camera)
    marks.append(polygon(line, "outline"))
    marks.append(polyline(_front(camera, plan.size.cuff_mm), "outline"))
    if plan.crown is None:
        marks.append(polygon(_ring(camera, plan.depth_mm), "outline"))
    if plan.size.cuff_mm:
        marks += _cuff(plan, camera, patches)
    return tuple(marks)


def _view_from_above(plan: HatPlan, camera: Camera, patches: Sequence[Patch]) -> tuple[Mark, ...]:
    if plan.crown is None:
        spots = folded_spots(camera.spots, thickness_mm=plan.size.thickness_mm / 2)
        outer, inner = _ring(replace(camera, spots=spots), plan.depth_mm), _ring(camera, plan.depth_mm)
        band, hole = polygon(outer, "tone_3"), polygon(inner, "part")
        return (band, polygon(outer, "outline"), hole, polygon(inner, "outline"))
    body = patches_above(patches, plan.size.cuff_mm)
    widest = max(range(SPOT_COUNT + 1), key=lambda number: camera.spots[number].radius_mm)
    ring = _ring(camera, widest * camera.step_mm)
    cloth = (*painted(camera, body), *_ruled(plan, camera))
    return (polygon(ring, _UNDER), *cloth, polygon(ring, "outline"))


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


def _front(camera: Camera, height_mm: float) -> list[Point]:
    """Return the half of a ring that lies before the hat."""
    return [camera.place(0.25 + step / 96, height_mm) for step in range(49)]


def _outside(plan: HatPlan, camera: Camera) -> Camera:
    """Return the camera on the brim that is folded up outside the hat."""
    return replace(camera, spots=folded_spots(camera.spots, thickness_mm=plan.size.thickness_mm))


def _cuff(plan: HatPlan, camera: Camera, patches: Sequence[Patch]) -> Iterator[Mark]:
    """Yield the folded brim: outside, upside down, its other side showing."""
    outer = _outside(plan, camera)
    turned: dict[Face, Face] = {"front": "back", "back": "front", "flat": "flat"}
    below = patches_below(patches, plan.size.cuff_mm)
    yield from painted(outer, [replace(patch, face=turned[patch.face]) for patch in below])
    heights = (0.0, plan.size.cuff_mm)
    for height in heights:
        yield polyline(_front(outer, height), "outline")
    for turn in (0.25, 0.75):
        yield polyline([outer.place(turn, height) for height in heights], "outline")


def describe_hat_view(plan: HatPlan) -> str:
    """Return what the view of a hat shows, in words; nothing is drawn for them."""
    # Only where there is much to see does it take the patches themselves to know what is left out.
    return _described(plan, _Cloth(()) if run_count(plan) <= _MOST_PATCHES else _seen_cloth(plan))


def _described(plan: HatPlan, cloth: _Cloth) -> str:
    fold = ", its brim folded up" if plan.size.cuff_mm else ""
    seen = f"The worn {hat_word(plan)}{fold}, from the side and from above, with {_surface(plan)}."
    return " ".join([seen, *_left_out(plan, cloth)])


def _left_out(plan: HatPlan, cloth: _Cloth) -> list[str]:
    """Return a sentence for each thing that the hat has and the view does not show."""
    colours = "" if plan.order.colouring is None else _WITHOUT_COLOURS
    return [words for words in (cloth.left_out, colours) if words]


def _surface(plan: HatPlan) -> str:
    fabric, repeats = plan.order.fabric, plan.counts.chosen.count.repeat_count
    columns = sum(column.face != "flat" for column in fabric.columns) * repeats
    cables = sum(column.is_crossed for column in fabric.columns) * repeats
    if not fabric.is_textured:
        return "a plain surface"
    end = "narrowing into the crown" if plan.crown is not None else "running all the way up"
    return f"{cables} cables {end}" if cables else f"{columns} columns {end}"
