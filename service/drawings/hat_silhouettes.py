"""The line about a worn hat on paper: how far up and how far down it reaches at each place aside."""

import math
from collections.abc import Sequence

from service.drawings.hat_cameras import Camera, Spot
from service.drawings.pictures import Point

__all__ = ["silhouette"]

_STEPS = 48
#: Of the spots along the fabric, each so many are looked at.
_EACH_SPOT = 4


def silhouette(camera: Camera, *, low_mm: float) -> list[Point]:
    """Return the closed line about the hat above a height of the fabric.

    A ring about the axis is an ellipse on paper, and the hat is all its rings. At a distance x from the axis
    a ring of radius r at the height h reaches from ``h cos t - sqrt(r² - x²) sin t`` to
    ``h cos t + sqrt(r² - x²) sin t``, seen from a tilt t; the line runs along the highest and the lowest.

    Parameters
    ----------
    camera
        The eye.
    low_mm
        Where the hat begins, along the fabric. [mm]

    Notes
    -----
    Orthographic projection of a surface of revolution. So the line never enters the hat, as that where the
    cloth turns away from the eye does beneath a pointed tip.
    """
    first = round(low_mm / camera.step_mm)
    spots = [camera.spot(low_mm), *camera.spots[first + 1 : -1 : _EACH_SPOT], camera.spots[-1]]
    widest_mm = max(spot.radius_mm for spot in spots)
    asides = [widest_mm * math.sin(math.pi / 2 * step / _STEPS) for step in range(_STEPS + 1)]
    reaches = [_reach(camera, spots, aside_mm) for aside_mm in asides]
    right = [(camera.scale * x, -camera.scale * high) for x, (_, high) in zip(asides, reaches, strict=True)]
    below = [(camera.scale * x, -camera.scale * low) for x, (low, _) in zip(asides, reaches, strict=True)]
    half = [*right, *reversed(below)]
    return [*half, *((-x, y) for x, y in reversed(half[1:-1]))]


def _reach(camera: Camera, spots: Sequence[Spot], aside_mm: float) -> tuple[float, float]:
    """Return the lowest and the highest place on paper at a distance from the axis. [mm]"""
    sine, cosine = math.sin(camera.tilt), math.cos(camera.tilt)
    lows, highs = [], []
    for spot in spots:
        ahead = spot.radius_mm * spot.radius_mm - aside_mm * aside_mm
        if ahead >= -1e-9:
            shift = math.sqrt(max(0.0, ahead)) * sine
            lows.append(spot.stand_mm * cosine - shift)
            highs.append(spot.stand_mm * cosine + shift)
    return min(lows), max(highs)
