"""Four ways to reckon yarn, the best information first: which one applies, and what each says.

::

    1  same_stitches   a weighed swatch in the same stitches    g_u * units
    2  other_texture   a weighed swatch in another texture      g_u * units
    3  gauge           gauge and tex                            7.5 * sqrt(w * h_sc) * units
    4  category        the yarn's weight category only          28 / sqrt(tex) * texture * area
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Literal

from service.domain.errors import YarnUnderdetermined
from service.domain.report import Confidence
from service.domain.rounding import TIE_TOLERANCE
from service.domain.yarn_swatches import Swatch, swatch_units
from service.domain.yarn_work import StitchSize, WorkPart, units_absent_from
from service.domain.yarns import CATEGORY_YARNS, CLOTH_FACTOR, Yarn, YarnTex

__all__ = [
    "ABSENT_SHARE_MAX",
    "SINGLE_CROCHET_ASPECT",
    "TIERS",
    "Tier",
    "TierNumber",
    "category_size",
    "choose_tier",
    "part_lengths_m",
    "strand_length_mm_per_unit",
]

TierNumber = Literal[1, 2, 3, 4]

#: Yarn in stitches that the swatch lacks, over all yarn, up to which the stitches are the same (convention).
ABSENT_SHARE_MAX = 0.10

#: Height of a single crochet over its width, where no gauge is known: a flat disc then grows
#: by 2 pi * 0.9 = 5.7 stitches a round, the trade's 6.
SINGLE_CROCHET_ASPECT = 0.90


@dataclass(frozen=True, slots=True)
class Tier:
    """A way to reckon yarn, with the standard deviation of the logarithm of its answer."""

    number: TierNumber
    basis: str
    log_sd: float
    confidence: Confidence


#: Standard deviations: judgement from weighed hats and swatches; no source.
TIERS: dict[TierNumber, Tier] = {
    1: Tier(1, "same_stitches", 0.06, "L"),
    2: Tier(2, "other_texture", 0.10, "L"),
    3: Tier(3, "gauge", 0.15, "L"),
    4: Tier(4, "category", 0.25, "L"),
}


def choose_tier(
    *,
    yarn: Yarn,
    tex: YarnTex,
    swatch: Swatch | None,
    parts: Sequence[WorkPart],
    units: float,
    measured: Mapping[str, float],
) -> Tier:
    """Return the best way to reckon the yarn from what is known.

    A swatch has the same stitches if at most 10 % of the work's yarn is in codes that it lacks.
    Gauge and tex need the size of every part, and a tex of the yarn itself rather than of its category.

    Parameters
    ----------
    yarn, tex
        The yarn, and what is known of its tex.
    swatch
        A weighed swatch, if there is one.
    parts
        The work.
    units
        Yarn of the work. [sc units, >= 0]
    measured
        Weights that the maker measured, by stitch code. [sc units, > 0]

    Raises
    ------
    YarnUnderdetermined
        If there is no swatch, the work has no size and the yarn no category.
    """
    if swatch is not None:
        present = [code for code, count in swatch.stitch_counts.items() if count > 0]
        absent = units_absent_from(present, parts, measured)
        return TIERS[1] if absent <= ABSENT_SHARE_MAX * units + TIE_TOLERANCE else TIERS[2]
    is_sized = all(part.size is not None for part in parts)
    if is_sized and tex.basis != "category":
        return TIERS[3]
    if is_sized or yarn.weight_category is not None:
        return TIERS[4]
    raise YarnUnderdetermined(missing=("swatch", "gauge", "yarn.weight_category"))


def part_lengths_m(
    *,
    tier: Tier,
    yarn: Yarn,
    tex: YarnTex,
    swatch: Swatch | None,
    parts: Sequence[WorkPart],
    units: Sequence[float],
    measured: Mapping[str, float],
) -> tuple[float, ...]:
    """Return the yarn of each stretch of work by a tier's formula, all strands added up. [m]

    Parameters
    ----------
    tier
        The way to reckon.
    yarn, tex
        The yarn, and what is known of its tex.
    swatch
        The weighed swatch of tiers 1 and 2.
    parts, units
        The work, and the yarn of each of its parts in sc units.
    measured
        Weights that the maker measured, by stitch code. [sc units, > 0]
    """
    if tier.number <= 2:
        assert swatch is not None
        unit_m = strand_length_mm_per_unit(swatch, tex=tex, measured=measured) / 1000
        return tuple(unit_m * part_units for part_units in units)
    if tier.number == 3:
        return tuple(
            yarn.strand_count * _unit_length_mm(part) * part_units / 1000
            for part, part_units in zip(parts, units, strict=True)
        )
    on_area = yarn.strand_count * CLOTH_FACTOR / sqrt(tex.held_tex) / 1000
    return tuple(on_area * part.cell_count * _size(part, yarn).area_mm2 for part in parts)


def strand_length_mm_per_unit(swatch: Swatch, *, tex: YarnTex, measured: Mapping[str, float]) -> float:
    """Return the yarn of one sc unit in a swatch, all strands added up: its mass over its units and the tex.

    Examples
    --------
    >>> swatch = Swatch(mass_g=9.6, stitch_counts={"sc": 360, "ch": 39})
    >>> tex = YarnTex(strand_tex=560, held_tex=560, basis="tex", notices=(), assumptions=())
    >>> round(strand_length_mm_per_unit(swatch, tex=tex, measured={}), 2)
    45.17
    """
    return swatch.mass_g / swatch_units(swatch, measured) * 1e6 / tex.strand_tex


def category_size(yarn: Yarn) -> StitchSize:
    """Return the size of a single crochet in the middle gauge of the yarn's category.

    Examples
    --------
    >>> category_size(Yarn(weight_category=4))
    StitchSize(stitch_width_mm=8.0, round_height_mm=7.2, stitch='sc')
    """
    assert yarn.weight_category is not None
    width_mm = 100 / CATEGORY_YARNS[yarn.weight_category].sc_per_10cm
    return StitchSize(width_mm, SINGLE_CROCHET_ASPECT * width_mm, "sc")


def _unit_length_mm(part: WorkPart) -> float:
    assert part.size is not None
    return part.size.unit_length_mm


def _size(part: WorkPart, yarn: Yarn) -> StitchSize:
    return part.size if part.size is not None else category_size(yarn)
