"""The cloth of a worn hat as the eye sees it: areas of one tone each, and the lines beside the columns.

Marks are painted layer by layer, from the lowest cloth up; within a layer nothing lies over anything else.
All areas of one tone in a layer are one mark, and so are all its lines, so that a view stays small.
"""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby
from types import MappingProxyType
from typing import get_args

from service.domain.fabrics import Face
from service.drawings.hat_cameras import Camera
from service.drawings.hat_patches import Patch, Turns, crossing_grounds
from service.drawings.pictures import Command, Mark, Path, Point, Role

__all__ = ["painted", "patches_above", "patches_below", "tone"]

#: Widest piece of a patch that is drawn with one tone, in turns, and the most its slope may change.
_PIECE_TURNS = 1 / 36
_PIECE_BEND = 0.12
_FACE_LIGHT: Mapping[Face, float] = MappingProxyType({"front": 0.14, "flat": 0.0, "back": -0.2})
_TONES: tuple[Role, ...] = tuple(role for role in get_args(Role) if role.startswith("tone_"))
#: Patches narrower than this on paper have no lines beside them. [mm]
_NARROW_MM = 0.7
#: Steps in which a wide crossing follows the curve of the hat, and how far aside a wide one goes, in turns.
_CROSSING_STEPS = 3
_WIDE_CROSSING = 1 / 72

_CLOSE: Command = ("Z", ())
_Edge = tuple[Point, ...]


def painted(camera: Camera, patches: Sequence[Patch]) -> Iterator[Mark]:
    """Yield the cloth that faces the eye, from the lowest up, what lies behind a crossing first.

    Parameters
    ----------
    camera
        The eye.
    patches
        The cloth; crossings are painted upon shaded ground.
    """
    order = sorted([*patches, *crossing_grounds(patches)], key=_layer)
    for _, layer in groupby(order, key=_layer):
        yield from _layer_marks(camera, layer)


def _layer(patch: Patch) -> tuple[float, bool, bool]:
    return (round(patch.low_mm, 6), patch.is_crossed, patch.is_over)


def _layer_marks(camera: Camera, patches: Iterable[Patch]) -> Iterator[Mark]:
    areas: dict[Role, list[Command]] = {}
    # Neighbours share an edge, which is drawn once.
    edges: dict[_Edge, Command] = {}
    for patch in patches:
        if _is_hidden(camera, patch):
            continue
        for piece in _pieces(camera, patch):
            light = _light(camera, piece)
            if light is None:
                continue
            left, right = _sides(camera, piece)
            areas.setdefault(tone(light, piece.face), []).extend([("M", (*left, *right[::-1])), _CLOSE])
            if _has_edges(piece.face, left, right):
                edges |= {_rounded(side): ("M", side) for side in (left, right)}
    for role in sorted(areas):
        yield Path(tuple(areas[role]), role)
    if edges:
        yield Path(tuple(edges.values()), "column_edge")


def _rounded(side: _Edge) -> _Edge:
    return tuple([(round(x, 2), round(y, 2)) for x, y in side])


def _is_hidden(camera: Camera, patch: Patch) -> bool:
    """Whether a narrow patch turns its back on the eye at both ends."""
    if max(patch.top[1] - patch.top[0], patch.foot[1] - patch.foot[0]) > _PIECE_TURNS:
        return False
    ends = ((patch.foot[0], patch.foot_mm), (patch.foot[1], patch.foot_mm), (patch.top[0], patch.top_mm))
    return all(camera.facing(turn, height_mm)[0] < 0 for turn, height_mm in ends)


def _light(camera: Camera, piece: Patch) -> float | None:
    """Return how much light falls on a piece, ``None`` where it turns away from the eye."""
    toward, light = camera.facing(sum((*piece.foot, *piece.top)) / 4, (piece.foot_mm + piece.top_mm) / 2)
    return light if toward > 0.01 else None


def _sides(camera: Camera, piece: Patch) -> tuple[_Edge, _Edge]:
    """Return a piece's two edges on paper, from its foot to its top."""
    is_wide = piece.is_crossed and abs(piece.top[0] - piece.foot[0]) > _WIDE_CROSSING
    steps = _CROSSING_STEPS if is_wide else 1
    shares = [step / steps for step in range(steps + 1)]
    left, right = (
        tuple(
            [
                camera.place(
                    foot + share * (top - foot), piece.foot_mm + share * (piece.top_mm - piece.foot_mm)
                )
                for share in shares
            ]
        )
        for foot, top in zip(piece.foot, piece.top, strict=True)
    )
    return left, right


def _has_edges(face: Face, left: _Edge, right: _Edge) -> bool:
    widths = math.dist(left[0], right[0]), math.dist(left[-1], right[-1])
    return face != "flat" and max(widths) > _NARROW_MM and min(widths) > _NARROW_MM / 3


def tone(light: float, face: Face) -> Role:
    """Return the shade of a face in a light of -1 to 1.

    Examples
    --------
    >>> tone(1.0, "front"), tone(0.0, "back")
    ('tone_1', 'tone_12')
    """
    brightness = 0.25 + 0.75 * max(0.0, light) + _FACE_LIGHT[face]
    return _TONES[min(len(_TONES) - 1, max(0, round((1 - brightness) * len(_TONES))))]


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


def _share(turns: Turns, number: int, count: int) -> Turns:
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


def patches_above(patches: Sequence[Patch], fold_mm: float) -> list[Patch]:
    """Return what of the patches lies above the fold of a brim."""
    return [
        patch if patch.low_mm >= fold_mm else _cut(patch, fold_mm, patch.high_mm)
        for patch in patches
        if patch.high_mm > fold_mm
    ]


def patches_below(patches: Sequence[Patch], fold_mm: float) -> list[Patch]:
    """Return what of the patches lies below the fold of a brim."""
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
