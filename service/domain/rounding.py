"""Return counts and printed figures from real numbers, each by one named rule.

Every rounding in the service is one of these, so that a tie is always broken the same way.
Two values closer than :data:`TIE_TOLERANCE` count as equal.
"""

import math

__all__ = [
    "TIE_TOLERANCE",
    "ceil_exact",
    "ceil_half",
    "floor_exact",
    "half_up",
    "nearest_in_ratio",
    "printed",
]

TIE_TOLERANCE = 1e-9


def half_up(value: float) -> int:
    """Return the nearest integer; a half goes up.

    Examples
    --------
    >>> half_up(2.5), half_up(2.4999999999), half_up(2.49)
    (3, 3, 2)

    Notes
    -----
    Convention: makers round a half up, and a difference of 1e-9 is a half written in binary.
    """
    return math.floor(value + 0.5 + TIE_TOLERANCE)


def floor_exact(value: float) -> int:
    """Return the largest integer not above the value; 1e-9 short of an integer is that integer.

    Examples
    --------
    >>> floor_exact(2.9999999999), floor_exact(2.99)
    (3, 2)
    """
    return math.floor(value + TIE_TOLERANCE)


def ceil_exact(value: float) -> int:
    """Return the smallest integer not below the value; 1e-9 beyond an integer is that integer.

    Examples
    --------
    >>> ceil_exact(3.0000000001), ceil_exact(3.01)
    (3, 4)
    """
    return math.ceil(value - TIE_TOLERANCE)


def ceil_half(count: int) -> int:
    """Return half a count, rounded up: the fewest stitches that pairs worked together can leave.

    Examples
    --------
    >>> ceil_half(9), ceil_half(8), ceil_half(1)
    (5, 4, 1)
    """
    return (count + 1) // 2


def nearest_in_ratio(value: float) -> int:
    """Return the positive integer nearest to a value in ratio; a tie takes the smaller.

    Between f and f + 1 the border is ``sqrt(f * (f + 1))``, where both are off by the same factor.
    A value below 1 gives 1.

    Examples
    --------
    >>> nearest_in_ratio(1.4), nearest_in_ratio(1.42), nearest_in_ratio(0.2)
    (1, 2, 1)

    Notes
    -----
    Convention: the eye judges cloth by its relative fullness, so counts are compared by their ratio.
    """
    below = floor_exact(value)
    if below < 1:
        return 1
    border = math.sqrt(below * (below + 1))
    return below + 1 if value > border + TIE_TOLERANCE else below


def printed(value: float, digits: int) -> float:
    """Return a figure as the service prints it: so many decimals, half to even.

    Examples
    --------
    >>> printed(2.675, 2), printed(0.125, 2), printed(-0.0001, 1)
    (2.67, 0.12, 0.0)

    Notes
    -----
    Convention: half to even keeps long lists of figures from drifting upward. Minus zero becomes zero.
    """
    return round(value, digits) + 0.0
