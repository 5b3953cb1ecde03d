"""The circumference a crown should have at each distance from its centre, shape by shape.

The distance s is measured along the fabric, from the centre of the crown.
Beyond the arc S of the shape the circumference is that of the hat, H, whose radius is R = H / 2 pi.

============  ===================================  ============
shape         circumference for s <= S             arc S
============  ===================================  ============
flat          2 pi s, a disc                       R
tapered       2 pi s sin(a), a cone of half        R / sin(a)
              angle a
rounded       2 pi R sin(p) on an oblate dome      R E, the quarter
              of height 0.8 R                      of an ellipse
gathered      the rounded dome, begun late         the same
============  ===================================  ============
"""

import math
from dataclasses import dataclass
from functools import cache
from typing import Literal

from service.domain.errors import CrownCannotClose, HatOutOfBounds
from service.domain.rounding import ceil_exact, half_up

__all__ = [
    "DOME_HEIGHT_RATIO",
    "GATHERED_DEPTH_RATIO",
    "MOST_CROWN_ROUNDS",
    "TAPER_HALF_ANGLE_DEGREES",
    "CrownShape",
    "CrownTarget",
    "Worked",
    "bounded_round_count",
    "cone_target",
    "crown_target",
    "disc_target",
    "dome_target",
    "round_targets_mm",
    "shaped_round_count",
    "stations_mm",
    "target_circumference_mm",
]

CrownShape = Literal["rounded", "gathered", "flat", "tapered"]
Worked = Literal["from_brim", "from_crown"]

#: Height of the rounded dome over its radius, give or take 0.10 (several weak sources agree).
DOME_HEIGHT_RATIO = 0.80
#: Half angle of a tapered crown whose depth nobody gave (convention).
TAPER_HALF_ANGLE_DEGREES = 40.0
#: Depth of a gathered crown over the circumference of the hat (convention).
GATHERED_DEPTH_RATIO = 0.11

_SERIES_SAMPLES = 64
_SERIES_TERMS = 24
_NEGLIGIBLE = 1e-13

#: No hat has more rounds.
MOST_CROWN_ROUNDS = 400


@dataclass(frozen=True, slots=True)
class CrownTarget:
    """The ideal surface of a crown.

    ``arc_mm`` is the distance from the centre at which the full circumference is reached.
    ``dome_height_ratio`` is the height of a dome over its radius; ``None`` for a cone or a disc.
    """

    circumference_mm: float
    arc_mm: float
    dome_height_ratio: float | None = None


@dataclass(frozen=True, slots=True)
class _DomeSeries:
    """Fourier series of a quarter ellipse: its length over R, and polar angle as sines of the arc."""

    quarter_length: float
    sine_factors: tuple[float, ...]


def disc_target(circumference_mm: float) -> CrownTarget:
    """Return the flat disc of a hat: its circumference grows by ``2 pi`` times the distance.

    Examples
    --------
    >>> round(disc_target(528.0).arc_mm / 528.0, 4)
    0.1592
    """
    return CrownTarget(circumference_mm=circumference_mm, arc_mm=circumference_mm / (2 * math.pi))


def cone_target(circumference_mm: float, *, sine: float) -> CrownTarget:
    """Return the cone whose half angle has this sine. [0 < sine <= 1]

    Examples
    --------
    >>> round(cone_target(528.0, sine=0.5).arc_mm, 2)
    168.07
    """
    return CrownTarget(circumference_mm=circumference_mm, arc_mm=circumference_mm / (2 * math.pi * sine))


def dome_target(circumference_mm: float, *, height_ratio: float = DOME_HEIGHT_RATIO) -> CrownTarget:
    """Return the dome of this height over its radius; a ratio of 1 is the hemisphere.

    The arc is R times the quarter of an ellipse of half axes 1 and the ratio.

    Parameters
    ----------
    circumference_mm
        Circumference of the hat at the foot of the dome. [mm, > 0]
    height_ratio
        Height over radius. [0.6 to 1.6]

    Examples
    --------
    >>> round(dome_target(1.0).arc_mm, 4), round(dome_target(1.0, height_ratio=1.0).arc_mm, 4)
    (0.2257, 0.25)

    Notes
    -----
    Complete elliptic integral of the second kind; geometry.
    """
    radius = circumference_mm / (2 * math.pi)
    return CrownTarget(
        circumference_mm=circumference_mm,
        arc_mm=radius * _dome_series(height_ratio).quarter_length,
        dome_height_ratio=height_ratio,
    )


@cache
def _dome_series(height_ratio: float) -> _DomeSeries:
    """Return the series of a dome.

    The speed along the ellipse is a cosine series in twice the polar angle p, because
    ``cos^2 + q^2 sin^2 = ((1 + q) / 2)^2 |1 + l e^(2ip)|^2`` with ``l = (1 - q) / (1 + q)``.
    Its integral gives the phase x, the arc as an angle; the inverse is ``p = x + sum d_k sin 2kx`` with
    ``k d_k`` the mean of ``cos(2k x(p))``, as in Bessel's solution of Kepler's equation.
    The mean over equal steps of a periodic function converges faster than any power.
    """
    ratio = (1 - height_ratio) / (1 + height_ratio)
    mean, cosines = _speed_series(ratio)
    steps = [math.pi * (step + 0.5) / _SERIES_SAMPLES for step in range(_SERIES_SAMPLES)]
    phases = [
        angle + sum(cosine * math.sin(2 * k * angle) / (2 * k * mean) for k, cosine in enumerate(cosines, 1))
        for angle in steps
    ]
    sines = (
        sum(math.cos(2 * k * phase) for phase in phases) / (_SERIES_SAMPLES * k)
        for k in range(1, _SERIES_TERMS)
    )
    quarter = (1 + height_ratio) / 2 * mean * math.pi / 2
    return _DomeSeries(quarter, _without_negligible_tail(tuple(sines)))


def _speed_series(ratio: float) -> tuple[float, tuple[float, ...]]:
    """Return the mean and the cosine factors of ``|1 + ratio e^(2ip)|``, by the binomial series of 1/2."""
    binomials = [1.0]
    for j in range(2 * _SERIES_TERMS):
        binomials.append(binomials[-1] * (0.5 - j) / (j + 1))
    factors = [
        sum(binomials[j] * binomials[j + k] * ratio ** (2 * j + k) for j in range(_SERIES_TERMS))
        for k in range(_SERIES_TERMS)
    ]
    return factors[0], tuple(2 * factor for factor in factors[1:])


def _without_negligible_tail(factors: tuple[float, ...]) -> tuple[float, ...]:
    last = max((k for k, factor in enumerate(factors) if abs(factor) > _NEGLIGIBLE), default=-1)
    return factors[: last + 1]


def target_circumference_mm(target: CrownTarget, distance_mm: float) -> float:
    """Return the circumference of the ideal crown at a distance from its centre along the fabric.

    Parameters
    ----------
    target
        The surface.
    distance_mm
        Arc distance from the centre of the crown, s. [mm, >= 0]

    Examples
    --------
    >>> dome = dome_target(528.0)
    >>> round(target_circumference_mm(dome, 2.5), 3), target_circumference_mm(dome, 200.0)
    (15.706, 528.0)

    Notes
    -----
    Geometry. The dome keeps to 1e-9 of the elliptic integral.
    """
    if distance_mm >= target.arc_mm:
        return target.circumference_mm
    share = distance_mm / target.arc_mm
    if target.dome_height_ratio is None:
        return target.circumference_mm * share
    phase = share * math.pi / 2
    factors = _dome_series(target.dome_height_ratio).sine_factors
    polar = phase + sum(factor * math.sin(2 * k * phase) for k, factor in enumerate(factors, 1))
    return target.circumference_mm * math.sin(polar)


def stations_mm(*, round_count: int, round_height_mm: float, worked: Worked) -> tuple[float, ...]:
    """Return how far from the centre the stitch tops of each crown round lie, in working order.

    From the brim round k of K lies at ``(K - k + 1/2) h``, from the crown round j at ``j h``.

    Examples
    --------
    >>> stations_mm(round_count=3, round_height_mm=8.0, worked="from_brim")
    (20.0, 12.0, 4.0)
    >>> stations_mm(round_count=3, round_height_mm=8.0, worked="from_crown")
    (8.0, 16.0, 24.0)

    Notes
    -----
    Convention: drawing the last stitches shut takes about half a round of height.
    """
    if worked == "from_brim":
        return tuple((left - 0.5) * round_height_mm for left in range(round_count, 0, -1))
    return tuple(done * round_height_mm for done in range(1, round_count + 1))


def round_targets_mm(
    target: CrownTarget, *, round_count: int, round_height_mm: float, worked: Worked
) -> tuple[float, ...]:
    """Return the ideal circumference of each crown round, in working order.

    Examples
    --------
    >>> disc = disc_target(100.0)
    >>> [round(c, 1) for c in round_targets_mm(disc, round_count=3, round_height_mm=5.0, worked="from_crown")]
    [31.4, 62.8, 94.2]
    """
    stations = stations_mm(round_count=round_count, round_height_mm=round_height_mm, worked=worked)
    return tuple(target_circumference_mm(target, station) for station in stations)


def crown_target(
    shape: CrownShape, *, circumference_mm: float, round_height_mm: float, round_count: int | None
) -> CrownTarget:
    """Return the ideal surface of a crown shape.

    A tapered crown of a given number of rounds is the cone that just fits them, ``sin a = R / (K h)``.

    Parameters
    ----------
    shape
        The shape asked for.
    circumference_mm
        Circumference of the hat, H. [mm, > 0]
    round_height_mm
        Height of a round, h. [mm, > 0]
    round_count
        Crown rounds, K, where they were given or follow from a given depth; ``None`` otherwise. [>= 1]

    Raises
    ------
    CrownCannotClose
        If a tapered crown has fewer rounds than the flat disc.

    Examples
    --------
    >>> cone = crown_target("tapered", circumference_mm=528.0, round_height_mm=5.0, round_count=26)
    >>> cone.arc_mm
    130.0
    """
    if shape == "flat":
        return disc_target(circumference_mm)
    if shape != "tapered":
        return dome_target(circumference_mm)
    if round_count is None:
        return cone_target(circumference_mm, sine=math.sin(math.radians(TAPER_HALF_ANGLE_DEGREES)))
    return _fitted_cone(circumference_mm, round_height_mm=round_height_mm, round_count=round_count)


def _fitted_cone(circumference_mm: float, *, round_height_mm: float, round_count: int) -> CrownTarget:
    fewest = ceil_exact(circumference_mm / (2 * math.pi) / round_height_mm)
    if round_count < fewest:
        raise CrownCannotClose(
            round_count=round_count,
            closing_stitch_count_max=None,
            smallest_round_count=fewest,
        )
    return CrownTarget(circumference_mm=circumference_mm, arc_mm=round_count * round_height_mm)


def shaped_round_count(shape: CrownShape, target: CrownTarget, *, round_height_mm: float) -> int:
    """Return the number of crown rounds that the shape asks for, at least 2.

    ``round(S / h)``, and ``round(0.11 H / h)`` for a gathered crown.

    Raises
    ------
    HatOutOfBounds
        If that is more than any hat has, which points to a slip in the gauge.

    Examples
    --------
    >>> shaped_round_count("rounded", dome_target(528.0), round_height_mm=5.0)
    24
    >>> shaped_round_count("gathered", dome_target(528.0), round_height_mm=5.0)
    12

    Notes
    -----
    Convention for the gathered depth: fabrics with cables are drawn in over about a ninth of the hat.
    """
    gathered = shape == "gathered"
    depth_mm = GATHERED_DEPTH_RATIO * target.circumference_mm if gathered else target.arc_mm
    return bounded_round_count(max(2, half_up(depth_mm / round_height_mm)))


def bounded_round_count(round_count: int) -> int:
    """Return the rounds of a crown, refusing more than any hat has.

    Raises
    ------
    HatOutOfBounds
        If there are more than 400.

    Examples
    --------
    >>> bounded_round_count(24)
    24
    """
    if round_count > MOST_CROWN_ROUNDS:
        raise HatOutOfBounds(what="crown rounds", count=round_count, limit=MOST_CROWN_ROUNDS)
    return round_count
