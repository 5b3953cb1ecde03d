"""Figures as a pattern prints them: lengths and masses in both systems, as ``21 cm (8¼ in)``, and counts."""

import re
from collections.abc import Mapping
from types import MappingProxyType

from service.domain.rounding import half_up, printed
from service.domain.units import G_PER_OUNCE, M_PER_YARD, MM_PER_INCH

__all__ = ["both_systems", "counted", "inches", "measured", "with_inches"]

_EIGHTHS = ("", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞")
#: Lengths under half an eighth of an inch are told in hundredths: no fraction that is used is as short.
_SHORTEST_FRACTION_MM = MM_PER_INCH / 16
#: Lengths from here on are told in centimetres. [mm]
_CENTIMETRES_FROM_MM = 10
#: Figures of yarn from here on are whole.
_WHOLE_FROM = 10

#: A length in a text, or two that share their unit, with nothing in brackets behind.
_LENGTH = re.compile(r"(?<![\d.])(?:(\d+(?:\.\d+)?)( to |–))?(\d+(?:\.\d+)?) (cm|mm)\b(?! \([^()]* in\))")
_MM_OF: Mapping[str, float] = MappingProxyType({"cm": 10.0, "mm": 1.0})


def inches(length_mm: float) -> str:
    """Return a length in inches to the nearest eighth, in hundredths where it is too short for that.

    Examples
    --------
    >>> inches(210), inches(2), inches(50.8), inches(0), inches(1.5)
    ('8¼', '⅛', '2', '0', '0.06')
    """
    if 0 < length_mm < _SHORTEST_FRACTION_MM:
        return f"{printed(length_mm / MM_PER_INCH, 2):g}"
    whole, eighths = divmod(half_up(8 * length_mm / MM_PER_INCH), 8)
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


def measured(value: float, unit: str) -> str:
    """Return a figure in its own unit and in that of the other system.

    Parameters
    ----------
    value
        The figure.
    unit
        ``mm`` for a length of fabric, told to the millimetre, from 10 mm on in cm;
        ``m`` for yarn, with yards; ``g``, with ounces.

    Examples
    --------
    >>> measured(149.2, "mm"), measured(7.0, "mm")
    ('14.9 cm (5⅞ in)', '7 mm (¼ in)')
    >>> measured(79.2, "m"), measured(3.4, "m"), measured(46, "g"), measured(2.2, "g")
    ('79 m (87 yd)', '3.4 m (3.7 yd)', '46 g (1.6 oz)', '2.2 g (0.078 oz)')
    """
    match unit:
        case "mm" if abs(value) >= _CENTIMETRES_FROM_MM:
            return f"{printed(value / 10, 1):g} cm ({inches(value)} in)"
        case "mm":
            return f"{printed(value, 1):g} mm ({inches(value)} in)"
        case "m":
            return f"{_figures(value)} m ({_figures(value / M_PER_YARD)} yd)"
        case "g":
            return f"{_figures(value)} g ({_figures(value / G_PER_OUNCE)} oz)"
    raise ValueError(f"nobody measures a hat in {unit}")


def _figures(value: float) -> str:
    """Return a figure whole, a small one with two digits."""
    return f"{printed(value, 0):g}" if value >= _WHOLE_FROM else f"{value:.2g}"


def counted(count: int, noun: str) -> str:
    """Return so many of something.

    Examples
    --------
    >>> counted(1, "round"), counted(3, "round"), counted(2, "stitch")
    ('1 round', '3 rounds', '2 stitches')
    """
    if count == 1:
        return f"{count} {noun}"
    return f"{count} {noun}{'es' if noun.endswith('ch') else 's'}"


def with_inches(text: str) -> str:
    """Return a text in which every length in cm or mm has its inches in brackets.

    Examples
    --------
    >>> with_inches("an ear of 62 mm, and 2.5 to 7.5 cm of ease")
    'an ear of 62 mm (2½ in), and 2.5 to 7.5 cm (1 to 3 in) of ease'
    >>> with_inches("21 cm (8¼ in)"), with_inches("36 mm (Lian et al. 2008)")
    ('21 cm (8¼ in)', '36 mm (1⅜ in) (Lian et al. 2008)')
    """
    return _LENGTH.sub(_beside, text)


def _beside(found: re.Match[str]) -> str:
    low, between, high, unit = found.groups()
    told = inches(float(high) * _MM_OF[unit])
    if low is not None:
        told = f"{inches(float(low) * _MM_OF[unit])}{between}{told}"
    return f"{found[0]} ({told} in)"
