"""Metric figures in the units that US shops and makers use, as plain numbers for lists and tables."""

from service.domain.rounding import half_up, printed
from service.domain.units import G_PER_OUNCE, M_PER_YARD, MM_PER_INCH

__all__ = ["eighth_inches", "ounces", "yards"]


def yards(length_m: float) -> float:
    """Return a length in yards, to one decimal.

    Examples
    --------
    >>> yards(91.44), yards(0)
    (100.0, 0.0)
    """
    return printed(length_m / M_PER_YARD, 1)


def ounces(mass_g: float) -> float:
    """Return a mass in ounces, to one decimal.

    Examples
    --------
    >>> ounces(100)
    3.5
    """
    return printed(mass_g / G_PER_OUNCE, 1)


def eighth_inches(length_mm: float) -> float:
    """Return a length in inches to the nearest eighth, as a number.

    Examples
    --------
    >>> eighth_inches(500)
    19.625
    """
    return half_up(8 * length_mm / MM_PER_INCH) / 8
