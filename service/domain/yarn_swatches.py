"""What a weighed swatch says about its maker's yarn."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import sqrt

from service.domain.errors import YarnUnderdetermined
from service.domain.report import Notice
from service.domain.yarn_work import UNIT_LENGTH_FACTOR, StitchSize, part_units, work_from_counts
from service.domain.yarns import CLOTH_FACTOR, cloth_mass_g_per_m2

__all__ = ["SWATCH_TOLERANCE", "Swatch", "expected_swatch_mass_g", "swatch_notices", "swatch_units"]

#: A swatch further from the mass its yarn and size suggest has probably been mistyped (convention).
SWATCH_TOLERANCE = 0.35


@dataclass(frozen=True, slots=True)
class Swatch:
    """A swatch that was weighed, with all its stitches, chains and joins.

    ``mass_g`` is of all strands held together. ``size`` is that of its stitches, where it was measured.
    """

    mass_g: float
    stitch_counts: Mapping[str, int]
    size: StitchSize | None = None
    is_unravelled: bool = False


def swatch_units(swatch: Swatch, measured: Mapping[str, float]) -> float:
    """Return the yarn of a swatch. [sc units]

    Raises
    ------
    YarnUnderdetermined
        If the swatch has no stitches.

    Examples
    --------
    >>> swatch_units(Swatch(mass_g=9.6, stitch_counts={"sc": 360, "ch": 39}), {})
    379.5
    """
    units = part_units(work_from_counts(swatch.stitch_counts), measured)
    if units <= 0:
        raise YarnUnderdetermined(missing=("swatch.stitch_counts",))
    return units


def expected_swatch_mass_g(swatch: Swatch, *, held_tex: float, measured: Mapping[str, float]) -> float:
    """Return what a swatch should weigh.

    With a size: plain cloth of its yarn, ``28 * sqrt(tex)`` g/m2, times area and texture.
    Without: ``7.5**2 / 28 * sqrt(tex)`` mm of yarn a unit, which is the same cloth in single crochet.

    Parameters
    ----------
    swatch
        The swatch.
    held_tex
        Mass of all strands together. [g per 1000 m, > 0]
    measured
        Weights that the maker measured, by stitch code. [sc units, > 0]

    Examples
    --------
    >>> swatch = Swatch(mass_g=9.6, stitch_counts={"sc": 360, "ch": 39})
    >>> round(expected_swatch_mass_g(swatch, held_tex=560, measured={}), 1)
    10.1
    >>> sized = Swatch(mass_g=9.6, stitch_counts={"sc": 360, "ch": 39}, size=StitchSize(7.0, 6.3, "sc"))
    >>> round(expected_swatch_mass_g(sized, held_tex=560, measured={}), 1)
    10.5
    """
    if swatch.size is not None:
        cells = work_from_counts(swatch.stitch_counts, swatch.size).cell_count
        return cells * swatch.size.area_mm2 * cloth_mass_g_per_m2(held_tex) / 1e6
    unit_length_mm = UNIT_LENGTH_FACTOR**2 / CLOTH_FACTOR * sqrt(held_tex)
    return swatch_units(swatch, measured) * unit_length_mm * held_tex / 1e6


def swatch_notices(swatch: Swatch, *, held_tex: float, measured: Mapping[str, float]) -> tuple[Notice, ...]:
    """Return a warning where a swatch's mass is more than 35 % from what it should be.

    Examples
    --------
    >>> swatch = Swatch(mass_g=96, stitch_counts={"sc": 360, "ch": 39})
    >>> swatch_notices(swatch, held_tex=560, measured={})[0].code
    'swatch_mass_unlikely'

    Notes
    -----
    Convention: tension and gauge explain 35 %; more is a slip of the keys or of the scale.
    """
    expected_g = expected_swatch_mass_g(swatch, held_tex=held_tex, measured=measured)
    low_g, high_g = expected_g * (1 - SWATCH_TOLERANCE), expected_g * (1 + SWATCH_TOLERANCE)
    if expected_g == 0 or low_g <= swatch.mass_g <= high_g:
        return ()
    return (Notice("swatch_mass_unlikely", {"mass_g": swatch.mass_g, "low_g": low_g, "high_g": high_g}),)
