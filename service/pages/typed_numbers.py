"""Numbers as people type them, in the units they chose, and their way into the interface's units."""

import re
from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Literal

from service.domain.rounding import ceil_exact, floor_exact
from service.domain.units import M_PER_YARD, MM_PER_INCH

__all__ = [
    "MEASURES",
    "Measure",
    "Units",
    "bounds_words",
    "inches_beside",
    "interface_number",
    "typed_value",
    "unit_of",
    "units_of",
]

Units = Literal["cm", "in"]
#: What a field measures: a length, stitches or rounds over the usual width of a swatch, or yarn on a ball.
Measure = Literal["length", "gauge", "yarn_length", "hook", "mass", "age", "count", "tex"]

#: Exact, as people type decimals.
_CM_PER_INCH = Fraction(str(MM_PER_INCH)) / 10
_M_PER_YARD = Fraction(str(M_PER_YARD))
_SWATCH_INCHES = 4

#: How each measure is called and what one of its units is in the interface's.
MEASURES: Mapping[tuple[Measure, Units], tuple[str, Fraction]] = MappingProxyType(
    {
        ("length", "cm"): ("cm", Fraction(1)),
        ("length", "in"): ("in", _CM_PER_INCH),
        ("gauge", "cm"): ("over 10 cm", Fraction(1)),
        ("gauge", "in"): ("over 4 in", 10 / (_SWATCH_INCHES * _CM_PER_INCH)),
        ("yarn_length", "cm"): ("m", Fraction(1)),
        ("yarn_length", "in"): ("yd", _M_PER_YARD),
        **{("hook", units): ("mm", Fraction(1)) for units in ("cm", "in")},
        **{("mass", units): ("g", Fraction(1)) for units in ("cm", "in")},
        **{("age", units): ("months", Fraction(1)) for units in ("cm", "in")},
        **{("count", units): ("", Fraction(1)) for units in ("cm", "in")},
        **{("tex", units): ("tex", Fraction(1)) for units in ("cm", "in")},
    }
)

_FRACTIONS = {
    "⅛": "1/8",
    "¼": "1/4",
    "⅓": "1/3",
    "⅜": "3/8",
    "½": "1/2",
    "⅝": "5/8",
    "⅔": "2/3",
    "¾": "3/4",
    "⅞": "7/8",
}
_NUMBER = re.compile(
    r"([+-]?)(?:(\d{1,9}(?:[.,]\d{1,9})?|[.,]\d{1,9})|(?:(\d{1,9})(?:\s+|\s*-\s*))?(\d{1,3})/(\d{1,3}))"
)
#: Other ways to write a unit behind a number.
_UNIT_SIGNS: Mapping[str, tuple[str, ...]] = MappingProxyType({"in": ("inches", "inch", '"', "″", "”", "''")})
_LENGTH = re.compile(r"(-?\d+(?:\.\d+)?) cm\b")


def units_of(text: str) -> Units:
    """Return the units that somebody chose; anything unknown means centimetres.

    Examples
    --------
    >>> units_of("in"), units_of("furlongs")
    ('in', 'cm')
    """
    return "in" if text == "in" else "cm"


def unit_of(measure: Measure, units: Units) -> str:
    """Return the name of a measure's unit.

    Examples
    --------
    >>> unit_of("gauge", "in"), unit_of("yarn_length", "cm")
    ('over 4 in', 'm')
    """
    return MEASURES[measure, units][0]


def typed_value(text: str) -> Fraction | None:
    """Return the number that was typed, ``None`` if it is none.

    A decimal comma and fractions are numbers too, as ``22,5``, ``22 1/2``, ``22-1/2`` and ``22½``.

    Examples
    --------
    >>> typed_value("22½"), typed_value("22 1/2"), typed_value("-2,5"), typed_value("wide")
    (Fraction(45, 2), Fraction(45, 2), Fraction(-5, 2), None)
    """
    plain = text.strip().replace("−", "-")
    for mark, ratio in _FRACTIONS.items():
        plain = plain.replace(mark, f" {ratio}")
    found = _NUMBER.fullmatch(re.sub(r"^([+-]?)\s+", r"\1", plain))
    if found is None or (found[5] is not None and not int(found[5])):
        return None
    sign, decimal, whole, numerator, denominator = found.groups()
    size = (
        Fraction(decimal.replace(",", "."))
        if decimal is not None
        else int(whole or 0) + Fraction(int(numerator), int(denominator))
    )
    return -size if sign == "-" else size


def interface_number(text: str, *, measure: Measure, units: Units) -> float | str:
    """Return what was typed as a number in the interface's units, or the text itself if it is none.

    The unit may stand behind the number if it is the one that is asked for.
    Text that is no number is refused later, like everything else that does not keep to the document.

    Examples
    --------
    >>> interface_number("22 1/2", measure="length", units="in")
    57.15
    >>> interface_number('22 1/2"', measure="length", units="in")
    57.15
    >>> interface_number("seventeen", measure="gauge", units="cm")
    'seventeen'
    """
    value = typed_value(_without_unit(text, unit_of(measure, units)))
    return text if value is None else float(value * MEASURES[measure, units][1])


def _without_unit(text: str, unit: str) -> str:
    """Return the text without the unit behind it; another unit stays, and makes it no number."""
    trimmed = text.strip()
    for sign in (unit, *_UNIT_SIGNS.get(unit, ())):
        if sign and trimmed.lower().endswith(sign):
            return trimmed[: -len(sign)]
    return trimmed


def bounds_words(*, low: float, high: float, measure: Measure, units: Units) -> str:
    """Return what can be given, in the units that were chosen; the bounds are rounded inward.

    Examples
    --------
    >>> bounds_words(low=20, high=75, measure="length", units="in")
    'Give a number from 7.88 to 29.52 in.'
    >>> bounds_words(low=0, high=216, measure="age", units="cm")
    'Give a number from 0 to 216 months.'
    """
    unit, size = MEASURES[measure, units]
    inner = (
        ceil_exact(float(100 * Fraction(low) / size)) / 100,
        floor_exact(float(100 * Fraction(high) / size)) / 100,
    )
    return f"Give a number from {inner[0]:g} to {inner[1]:g} {unit}".rstrip() + "."


def inches_beside(sentence: str) -> str:
    """Return a sentence whose centimetres have inches beside them, rounded up to hundredths.

    Examples
    --------
    >>> inches_beside("Make the hat at least 20.50 cm deep.")
    'Make the hat at least 20.50 cm (8.08 in) deep.'
    """
    return _LENGTH.sub(lambda found: f"{found[0]} ({_inches(found[1]):g} in)", sentence)


def _inches(centimetres: str) -> float:
    return ceil_exact(float(100 * Fraction(centimetres) / _CM_PER_INCH)) / 100
