"""Lengths as a pattern prints them: in both systems, as ``21 cm (8¼ in)``."""

from service.domain.rounding import half_up

__all__ = ["both_systems", "inches"]

_MM_PER_INCH = 25.4
_EIGHTHS = ("", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞")


def inches(length_mm: float) -> str:
    """Return a length in inches to the nearest eighth.

    Examples
    --------
    >>> inches(210), inches(2), inches(50.8), inches(0)
    ('8¼', '⅛', '2', '0')
    """
    whole, eighths = divmod(half_up(8 * length_mm / _MM_PER_INCH), 8)
    return f"{whole or ''}{_EIGHTHS[eighths]}" or "0"


def both_systems(length_mm: float) -> str:
    """Return a length in centimetres to the nearest half, and in inches.

    Examples
    --------
    >>> both_systems(210), both_systems(133)
    ('21 cm (8¼ in)', '13.5 cm (5¼ in)')

    Notes
    -----
    Convention: half a centimetre is as well as crochet can be measured.
    """
    return f"{half_up(length_mm / 5) / 2:g} cm ({inches(length_mm)} in)"
