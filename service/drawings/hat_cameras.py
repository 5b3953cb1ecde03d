"""An eye that looks at the worn hat: where each spot of the cloth lies on paper, and what light it has."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from service.drawings.hat_profiles import HatProfile
from service.drawings.pictures import Point

__all__ = ["SPOT_COUNT", "Camera", "Spot", "folded_spots", "standing_spots"]

#: Steps along the fabric in which a hat is looked at.
SPOT_COUNT = 400
#: Where the light comes from: left, above and before the hat.
_LIGHT = (-0.45, 0.55, 0.70)


@dataclass(frozen=True, slots=True)
class Spot:
    """A height of the cloth as it stands: how far out, how high, and how it runs there, outward and up."""

    radius_mm: float
    stand_mm: float
    outward: float
    upward: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Camera:
    """Looks at the worn hat from a height; 0 is level with it and a quarter turn is straight above.

    ``spots`` lie in equal steps along the fabric.
    ``hand`` is 1 where the work runs to the right as seen from the front, -1 to the left.
    """

    spots: tuple[Spot, ...]
    step_mm: float
    tilt: float
    scale: float
    hand: int

    def spot(self, height_mm: float) -> Spot:
        """Return the nearest spot that was reckoned."""
        number = round(height_mm / self.step_mm)
        return self.spots[0 if number < 0 else SPOT_COUNT if number > SPOT_COUNT else number]

    def place(self, turn: float, height_mm: float) -> Point:
        """Return where a spot of the cloth lies on paper, the middle of the lower edge being the origin."""
        spot = self.spot(height_mm)
        angle = 2 * math.pi * (turn - 0.5)
        ahead = spot.radius_mm * math.cos(angle)
        return (
            self.scale * self.hand * spot.radius_mm * math.sin(angle),
            self.scale * (ahead * math.sin(self.tilt) - spot.stand_mm * math.cos(self.tilt)),
        )

    def slope(self, height_mm: float) -> Point:
        """Return how the cloth runs there: outward and up, of length 1."""
        spot = self.spot(height_mm)
        return (spot.outward, spot.upward)

    def facing(self, turn: float, height_mm: float) -> tuple[float, float]:
        """Return how far the cloth faces the eye, and how much light falls on it, -1 to 1."""
        spot = self.spot(height_mm)
        angle = 2 * math.pi * (turn - 0.5)
        aside, ahead = spot.upward * math.sin(angle) * self.hand, spot.upward * math.cos(angle)
        sine, cosine = math.sin(self.tilt), math.cos(self.tilt)
        toward = ahead * cosine - spot.outward * sine
        above = -spot.outward * cosine - ahead * sine
        return toward, aside * _LIGHT[0] + above * _LIGHT[1] + toward * _LIGHT[2]


def standing_spots(profile: HatProfile, fold_mm: float) -> tuple[Spot, ...]:
    """Return the hat as it stands on its lower edge, or on the fold of its brim.

    Parameters
    ----------
    profile
        The worn curve.
    fold_mm
        Height of the fold along the fabric; 0 without one. [mm]
    """
    low_mm = profile.at(fold_mm).stand_mm
    last = profile.points[-1].height_mm
    spots = []
    for number in range(SPOT_COUNT + 1):
        here = profile.at(last * number / SPOT_COUNT)
        before, after = (profile.at(last * (number + shift) / SPOT_COUNT) for shift in (-1, 1))
        across, rise = after.radius_mm - before.radius_mm, after.stand_mm - before.stand_mm
        length = math.hypot(across, rise) or 1.0
        spots.append(Spot(here.radius_mm, here.stand_mm - low_mm, across / length, rise / length))
    return tuple(spots)


def folded_spots(spots: Sequence[Spot], *, thickness_mm: float) -> tuple[Spot, ...]:
    """Return the cloth folded up outside the hat: it runs down, its other side out.

    Examples
    --------
    >>> folded_spots([Spot(80.0, -20.0, 0.0, 1.0)], thickness_mm=5.0)[0].stand_mm
    20.0
    """
    return tuple(
        replace(spot, radius_mm=spot.radius_mm + thickness_mm, stand_mm=-spot.stand_mm) for spot in spots
    )
