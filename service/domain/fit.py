"""The probability that a hat fits, and the heads it fits.

A head accepts a hat whose inner circumference lies in a band; the made circumference scatters around
its mean by the error of the gauge and of the head.
"""

from dataclasses import dataclass
from math import erf, hypot, log, pi, sqrt

from service.domain.errors import FitBandEmpty
from service.domain.tables import ReferenceTables

__all__ = [
    "FitTarget",
    "HeadRange",
    "banded_target",
    "bare_target",
    "fit_error",
    "fit_probability",
    "fitted_heads",
    "head_target",
    "likeliest_inner_mm",
    "thickness_allowance_mm",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class FitTarget:
    """A circumference to make, and the band of inner circumferences that is accepted.

    ``allowance_mm`` is what the thickness of the fabric takes from the circumference inside.
    """

    target_mm: float
    low_mm: float
    high_mm: float
    allowance_mm: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadRange:
    """The heads a hat sits well on."""

    low_mm: float
    high_mm: float


def thickness_allowance_mm(*, thickness_mm: float, layer_count: int) -> float:
    """Return what layers of fabric take from a circumference measured flat.

    ``pi * thickness`` a layer: a tube measured flat is measured along its middle, and the inside lies half
    a thickness further in; a folded brim squeezes its inner layer by as much again.

    Parameters
    ----------
    thickness_mm
        Thickness of one layer. [mm, >= 0]
    layer_count
        1, or 2 under a folded brim.

    Examples
    --------
    >>> round(thickness_allowance_mm(thickness_mm=7, layer_count=1), 1)
    22.0

    Notes
    -----
    Geometry.
    """
    return pi * thickness_mm * layer_count


def head_target(
    *, head_mm: float, grip: float, finished_mm: float, allowance_mm: float, tables: ReferenceTables
) -> FitTarget:
    """Return what a head accepts: a grip within 5 points of the one aimed at.

    Parameters
    ----------
    head_mm
        Circumference of the head. [mm]
    grip
        Inner circumference over head, minus 1. [-0.13 close, -0.08 standard, -0.03 relaxed]
    finished_mm
        Circumference to make, measured flat. [mm]
    allowance_mm
        What the thickness takes from it. [mm]
    tables
        Priors.

    Examples
    --------
    >>> from service.reference.load import load_reference_tables
    >>> target = head_target(
    ...     head_mm=560, grip=-0.08, finished_mm=537.2, allowance_mm=22, tables=load_reference_tables()
    ... )
    >>> round(target.low_mm, 1), round(target.high_mm, 1)
    (487.2, 543.2)

    Notes
    -----
    Convention: for the standard grip the band is -13 to -3 %, the range of trade practice; other grips take
    a band as wide.
    """
    spread = tables.prior("grip_accepted_spread")
    return FitTarget(
        target_mm=finished_mm,
        low_mm=head_mm * (1 + grip - spread),
        high_mm=head_mm * (1 + grip + spread),
        allowance_mm=allowance_mm,
    )


def bare_target(*, target_mm: float, tables: ReferenceTables) -> FitTarget:
    """Return the band of a circumference that comes without a head: 5.4 % either way.

    Examples
    --------
    >>> from service.reference.load import load_reference_tables
    >>> round(bare_target(target_mm=500, tables=load_reference_tables()).low_mm, 6)
    473.0

    Notes
    -----
    Convention: 5 points of grip, seen from a hat that is 8 % smaller than its head.
    """
    band = tables.prior("bare_target_band")
    return FitTarget(target_mm=target_mm, low_mm=target_mm * (1 - band), high_mm=target_mm * (1 + band))


def banded_target(*, target_mm: float, low_mm: float, high_mm: float) -> FitTarget:
    """Return a circumference with the band that somebody states.

    Raises
    ------
    FitBandEmpty
        If the low end lies above the high end.

    Examples
    --------
    >>> banded_target(target_mm=500, low_mm=490, high_mm=520).high_mm
    520
    """
    if low_mm > high_mm:
        raise FitBandEmpty(low_cm=low_mm / 10, high_cm=high_mm / 10)
    return FitTarget(target_mm=target_mm, low_mm=low_mm, high_mm=high_mm)


def fit_error(*, width_error: float, head_error: float) -> float:
    """Return the relative error of gauge and head together, in quadrature.

    Examples
    --------
    >>> round(fit_error(width_error=0.024, head_error=0.007), 4)
    0.025
    """
    return hypot(width_error, head_error)


def fit_probability(*, circumference_mm: float, target: FitTarget, error: float) -> float:
    """Return the probability that a hat made to this circumference is accepted.

    ``P = Phi((high - mu) / (s mu)) - Phi((low - mu) / (s mu))``, mu the circumference inside.

    Parameters
    ----------
    circumference_mm
        Stitch count times stitch width. [mm]
    target
        The accepted band and what the thickness takes.
    error
        Relative standard deviation of the circumference against the head, s. [>= 0]

    Examples
    --------
    >>> band = FitTarget(target_mm=460, low_mm=435, high_mm=485)
    >>> [round(fit_probability(circumference_mm=460, target=band, error=s), 3) for s in (0.03, 0.05, 0.1)]
    [0.93, 0.723, 0.413]

    Notes
    -----
    Normal errors. A circumference that leaves nothing inside has probability 0.
    """
    inner_mm = circumference_mm - target.allowance_mm
    if inner_mm <= 0:
        return 0.0
    if error <= 0:
        return float(target.low_mm <= inner_mm <= target.high_mm)
    scale = error * inner_mm * sqrt(2)
    return (erf((target.high_mm - inner_mm) / scale) - erf((target.low_mm - inner_mm) / scale)) / 2


def likeliest_inner_mm(*, target: FitTarget, error: float) -> float:
    """Return the inner circumference of the largest fit probability.

    The probability rises up to it and falls beyond it. With a, b the ends of the band and
    ``v = 1 / mu``, the slope is 0 where ``(b - a) * ((a + b) * v ** 2 - 2 * v) = 2 * s ** 2 * ln(b / a)``.

    Examples
    --------
    >>> band = FitTarget(target_mm=460, low_mm=435, high_mm=485)
    >>> round(likeliest_inner_mm(target=band, error=0.03), 2)
    459.59
    """
    low, high = target.low_mm, target.high_mm
    width, middle = high - low, (low + high) / 2
    if width <= 0 or low <= 0:
        return middle
    return 2 * middle / (1 + sqrt(1 + 4 * error**2 * log(high / low) * middle / width))


def fitted_heads(*, inner_mm: float, grip: float, tables: ReferenceTables) -> HeadRange:
    """Return the heads on which a hat has a grip within 2.5 points of the one aimed at.

    Parameters
    ----------
    inner_mm
        Circumference inside the hat. [mm, > 0]
    grip
        Grip aimed at. [> -0.97]

    Raises
    ------
    ValueError
        If the grip leaves no room for a head.

    Examples
    --------
    >>> from service.reference.load import load_reference_tables
    >>> heads = fitted_heads(inner_mm=515.2, grip=-0.08, tables=load_reference_tables())
    >>> round(heads.low_mm, 1), round(heads.high_mm, 1)
    (545.2, 575.6)

    Notes
    -----
    Convention: half of the accepted band is comfortable.
    """
    spread = tables.prior("grip_comfort_spread")
    if inner_mm <= 0 or grip <= spread - 1:
        raise ValueError(f"a hat with {inner_mm:.0f} mm inside and a grip of {grip:.0%} fits no head")
    return HeadRange(low_mm=inner_mm / (1 + grip + spread), high_mm=inner_mm / (1 + grip - spread))
