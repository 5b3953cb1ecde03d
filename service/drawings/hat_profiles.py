"""The shape of a worn hat: a curve that turns about the middle, from the lower edge up to the centre.

At each level the hat is as wide as its cloth or its ideal crown, whichever is less: cloth cannot be wider
than it is worked, and what is fuller than the crown gathers over it.
Along the curve the fabric keeps its length, so the width changes by no more than the fabric between.
"""

import math
from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from service.domain.crown_targets import target_circumference_mm
from service.domain.hats import HatPlan
from service.drawings.hat_levels import HatLevel, hat_levels

__all__ = ["HatProfile", "ProfilePoint", "hat_profile"]

_SAMPLES = 160
#: Cloth bends over this part of the hat's circumference to either side (convention).
_BEND_SHARE = 0.045
#: Rounds of fewer stitches say nothing about the shape: one more or less is a large part of them.
_TELLING_STITCHES = 18


@dataclass(frozen=True, slots=True)
class ProfilePoint:
    """A place on the fabric: how far up it, how far from the axis and how high it stands. [mm]"""

    height_mm: float
    radius_mm: float
    stand_mm: float


@dataclass(frozen=True, slots=True)
class HatProfile:
    """The worn curve, from the lower edge of the fabric to its upper end, in equal steps along the fabric."""

    points: tuple[ProfilePoint, ...]

    @property
    def stand_mm(self) -> float:
        """Return how high the hat stands."""
        return self.points[-1].stand_mm

    @property
    def largest_radius_mm(self) -> float:
        """Return half the width of the hat."""
        return max(point.radius_mm for point in self.points)

    def at(self, height_mm: float) -> ProfilePoint:
        """Return the point so far up the fabric.

        Examples
        --------
        >>> tube = HatProfile((ProfilePoint(0, 80, 0), ProfilePoint(100, 80, 100)))
        >>> tube.at(25.0)
        ProfilePoint(height_mm=25.0, radius_mm=80.0, stand_mm=25.0)
        """
        pieces = len(self.points) - 1
        step_mm = self.points[-1].height_mm / pieces
        before = min(max(int(height_mm / step_mm), 0), pieces - 1)
        low, high = self.points[before], self.points[before + 1]
        share = min(1.0, max(0.0, (height_mm - low.height_mm) / (high.height_mm - low.height_mm)))
        return ProfilePoint(
            height_mm=low.height_mm + share * (high.height_mm - low.height_mm),
            radius_mm=low.radius_mm + share * (high.radius_mm - low.radius_mm),
            stand_mm=low.stand_mm + share * (high.stand_mm - low.stand_mm),
        )


def hat_profile(plan: HatPlan) -> HatProfile:
    """Return the worn curve of a hat, its brim laid out.

    Parameters
    ----------
    plan
        The hat.

    Notes
    -----
    Geometry of surfaces of revolution. Convention: cloth bends in a curve, not at a corner.
    """
    step_mm = plan.depth_mm / _SAMPLES
    heights = [step_mm * number for number in range(_SAMPLES + 1)]
    cloth = _cloth_radius(plan, hat_levels(plan))
    radii = [min(cloth(height), _crown_radius_mm(plan, plan.depth_mm - height)) for height in heights]
    bend = round(_BEND_SHARE * max(radii) * 2 * math.pi / step_mm)
    smooth = _softened(_kept_in_reach(radii, step_mm), bend, is_closed=plan.crown is not None)
    return _standing(heights, _kept_in_reach(smooth, step_mm))


def _cloth_radius(plan: HatPlan, levels: Sequence[HatLevel]) -> Callable[[float], float]:
    """Return the radius that the worked stitches make, straight between levels.

    Rounds of few stitches near the centre are as wide as they are drawn, whatever their count.
    """
    kept = [level for level in levels if level.section != "crown" or level.stitch_count >= _TELLING_STITCHES]
    heights = [level.height_mm for level in kept]
    radii = [level.circumference_mm / (2 * math.pi) for level in kept]
    ends_mm = math.inf if plan.crown is None else heights[-1]

    def radius_mm(height_mm: float) -> float:
        if height_mm > ends_mm:
            return math.inf
        after = min(max(bisect_left(heights, height_mm), 1), len(heights) - 1)
        low, high = heights[after - 1], heights[after]
        share = min(1.0, max(0.0, (height_mm - low) / (high - low)))
        return radii[after - 1] + share * (radii[after] - radii[after - 1])

    return radius_mm


def _crown_radius_mm(plan: HatPlan, distance_mm: float) -> float:
    if plan.crown is None:
        return math.inf
    return target_circumference_mm(plan.crown.target, max(0.0, distance_mm)) / (2 * math.pi)


def _kept_in_reach(radii: Sequence[float], step_mm: float) -> list[float]:
    """Return radii whose neighbours differ by no more than the fabric between them."""
    kept = list(radii)
    for order in (range(1, len(kept)), range(len(kept) - 2, -1, -1)):
        for place in order:
            neighbour = place - 1 if order.step > 0 else place + 1
            kept[place] = min(kept[place], kept[neighbour] + step_mm)
    return kept


def _softened(radii: Sequence[float], reach: int, *, is_closed: bool) -> list[float]:
    """Return the mean over a stretch of the curve; beyond the centre the curve comes down again."""
    last = len(radii) - 1

    def radius(place: int) -> float:
        if place > last:
            beyond = radii[max(0, 2 * last - place)]
            return -beyond if is_closed else radii[last]
        return radii[max(0, place)]

    count = 2 * reach + 1
    soft = [
        sum(radius(place + shift) for shift in range(-reach, reach + 1)) / count for place in range(last + 1)
    ]
    return [*soft[:-1], 0.0 if is_closed else soft[-1]]


def _standing(heights: Sequence[float], radii: Sequence[float]) -> HatProfile:
    stands = [0.0]
    for (low, high), (inner, outer) in zip(pairwise(heights), pairwise(radii), strict=True):
        stands.append(stands[-1] + math.sqrt(max(0.0, (high - low) ** 2 - (outer - inner) ** 2)))
    return HatProfile(
        tuple(
            ProfilePoint(height, radius, stand)
            for height, radius, stand in zip(heights, radii, stands, strict=True)
        )
    )
