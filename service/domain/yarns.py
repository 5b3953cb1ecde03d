"""A yarn as numbers: how heavy it is to the metre, how thick, and what its label leaves open."""

from dataclasses import dataclass
from math import pi, sqrt
from typing import Literal, get_args

from service.domain.errors import YarnUnderdetermined
from service.domain.report import Assumption, Notice

__all__ = [
    "CATEGORY_YARNS",
    "CLOTH_FACTOR",
    "COARSE_FIBRE_UM",
    "FIBRES",
    "TEX_DISAGREEMENT",
    "CategoryYarn",
    "Fibre",
    "FibreKind",
    "Yarn",
    "YarnTex",
    "cloth_mass_g_per_m2",
    "diameter_mm",
    "fibre_notices",
    "yarn_diameter_mm",
    "yarn_tex",
]

FibreKind = Literal[
    "acrylic",
    "alpaca",
    "bamboo",
    "cashmere",
    "cotton",
    "linen",
    "merino",
    "mohair",
    "nylon",
    "polyester",
    "silk",
    "wool",
]
TexBasis = Literal["tex", "ball", "category"]

#: Two statements about one yarn that differ by more than this factor cannot both be right.
TEX_DISAGREEMENT = 1.15

#: Fibres from this diameter upward can itch (Zallmann et al. 2017 find it from about 30 micrometres).
COARSE_FIBRE_UM = 28.0


#: Yarn on an area of plain cloth is this over the root of its tex, in mm on 1 mm2.
CLOTH_FACTOR = 28.0


@dataclass(frozen=True, slots=True)
class Fibre:
    """A fibre's own density, and the part of a yarn's volume that is fibre. [g/cm3, 0 to 1]"""

    density_g_per_cm3: float
    packing: float

    @property
    def bulk_density_g_per_cm3(self) -> float:
        """Return the density of a yarn of this fibre, air included."""
        return self.density_g_per_cm3 * self.packing


_LOFTY = 0.25
#: Peirce's cotton yarn, 1.1 cm3/g, is 0.598 fibre of 1.52 g/cm3.
_SMOOTH = 0.598

#: Densities from memory of textile physics handbooks; packing 0.25 of lofty yarns is a judgement.
FIBRES: dict[FibreKind, Fibre] = {
    "acrylic": Fibre(1.17, _LOFTY),
    "alpaca": Fibre(1.31, _LOFTY),
    "bamboo": Fibre(1.52, _SMOOTH),
    "cashmere": Fibre(1.31, _LOFTY),
    "cotton": Fibre(1.52, _SMOOTH),
    "linen": Fibre(1.50, _SMOOTH),
    "merino": Fibre(1.31, _LOFTY),
    "mohair": Fibre(1.31, _LOFTY),
    "nylon": Fibre(1.14, _LOFTY),
    "polyester": Fibre(1.38, _LOFTY),
    "silk": Fibre(1.34, _SMOOTH),
    "wool": Fibre(1.31, _LOFTY),
}


@dataclass(frozen=True, slots=True)
class CategoryYarn:
    """What a yarn weight category stands for where nothing was measured.

    ``sc_per_10cm`` is the middle of the category's published gauge range.
    """

    tex: float
    sc_per_10cm: float
    tex_source: str


_BANDS = "middle of ball bands; common practice, no source"
_OUTER = "from memory"

#: Gauge: Craft Yarn Council, Standard Yarn Weight System (category 0 in double crochet).
CATEGORY_YARNS: dict[int, CategoryYarn] = {
    0: CategoryYarn(125.0, 37.0, _OUTER),
    1: CategoryYarn(230.0, 26.5, _BANDS),
    2: CategoryYarn(330.0, 18.0, _BANDS),
    3: CategoryYarn(435.0, 14.5, _BANDS),
    4: CategoryYarn(590.0, 12.5, _BANDS),
    5: CategoryYarn(950.0, 9.5, _BANDS),
    6: CategoryYarn(1700.0, 7.5, _BANDS),
    7: CategoryYarn(4000.0, 5.0, _OUTER),
}


@dataclass(frozen=True, slots=True)
class Yarn:
    """A yarn as its label and the maker describe it.

    ``tex`` and the ball are of a single strand; ``strand_count`` strands are held together.
    """

    weight_category: int | None = None
    tex: float | None = None
    ball_mass_g: float | None = None
    ball_length_m: float | None = None
    strand_count: int = 1
    fibre: FibreKind | None = None
    fibre_diameter_um: float | None = None

    @property
    def ball_tex(self) -> float | None:
        """Return the tex that the ball's mass and length make, where both are known."""
        if self.ball_mass_g is None or self.ball_length_m is None:
            return None
        return 1000 * self.ball_mass_g / self.ball_length_m

    @property
    def category_tex(self) -> float | None:
        """Return the middle tex of the yarn's category, where one is given."""
        return None if self.weight_category is None else CATEGORY_YARNS[self.weight_category].tex


@dataclass(frozen=True, slots=True)
class YarnTex:
    """How heavy a yarn is to the metre, and from which statement that is known.

    ``strand_tex`` is of one strand, ``held_tex`` of all strands held together.
    """

    strand_tex: float
    held_tex: float
    basis: TexBasis
    notices: tuple[Notice, ...]
    assumptions: tuple[Assumption, ...]


def yarn_tex(yarn: Yarn) -> YarnTex:
    """Return how heavy a yarn is to the metre: tex is grams per 1000 m.

    A stated tex beats the ball, ``1000 * g / m``, and the ball beats the middle of the category.
    Strands held together add up. Statements that differ by more than 15 % are a notice.

    Parameters
    ----------
    yarn
        The yarn, with at least a tex, a ball of known mass and length, or a category.

    Raises
    ------
    YarnUnderdetermined
        If it has none of these.

    Examples
    --------
    >>> yarn_tex(Yarn(ball_mass_g=50, ball_length_m=125, strand_count=2)).held_tex
    800.0

    Notes
    -----
    ISO 1144 defines tex. Convention: what was measured on the yarn itself beats its class.
    """
    known = _statements(yarn)
    if not known:
        raise YarnUnderdetermined(missing=("yarn.tex", "yarn.ball", "yarn.weight_category"))
    basis, tex = known[0]
    return YarnTex(
        strand_tex=tex,
        held_tex=tex * yarn.strand_count,
        basis=basis,
        notices=tuple(
            _disagreement(basis=basis, tex=tex, other=other, other_tex=other_tex)
            for other, other_tex in known[1:]
            if max(tex, other_tex) > TEX_DISAGREEMENT * min(tex, other_tex)
        ),
        assumptions=(_category_assumption(yarn),) if basis == "category" else (),
    )


def _statements(yarn: Yarn) -> list[tuple[TexBasis, float]]:
    """Return what is said of the yarn's tex, the best first."""
    values = (yarn.tex, yarn.ball_tex, yarn.category_tex)
    bases: tuple[TexBasis, ...] = get_args(TexBasis)
    return [(basis, tex) for basis, tex in zip(bases, values, strict=True) if tex is not None]


def _disagreement(*, basis: TexBasis, tex: float, other: TexBasis, other_tex: float) -> Notice:
    return Notice(
        "yarn_figures_disagree",
        {"basis": basis, "tex": tex, "other_basis": other, "other_tex": other_tex},
    )


def _category_assumption(yarn: Yarn) -> Assumption:
    assert yarn.weight_category is not None
    category = CATEGORY_YARNS[yarn.weight_category]
    return Assumption("tex", category.tex, "tex", "L", category.tex_source)


def diameter_mm(*, tex: float, bulk_density_g_per_cm3: float) -> float:
    """Return how thick a yarn is.

    ``d = 0.03568 * sqrt(tex / rho)``, the circle whose area times density is the yarn's mass to the metre.

    Parameters
    ----------
    tex
        Mass of the yarn; of all strands where they are held together. [g per 1000 m, > 0]
    bulk_density_g_per_cm3
        Density of the yarn, air included. [g/cm3, > 0]

    Examples
    --------
    >>> round(diameter_mm(tex=560, bulk_density_g_per_cm3=0.3275), 2)
    1.48

    Notes
    -----
    Geometry; Peirce (1937), "The geometry of cloth structure", has the same for cotton: 1/(28 sqrt(Ne)) in.
    """
    return sqrt(0.004 / pi * tex / bulk_density_g_per_cm3)


def yarn_diameter_mm(yarn: Yarn) -> float:
    """Return how thick a yarn is, all strands together, from its tex and its fibre.

    Examples
    --------
    >>> round(yarn_diameter_mm(Yarn(tex=560)), 2)
    1.48

    Notes
    -----
    Convention: where no fibre is named, wool, since it is the commonest hat yarn.
    """
    fibre = FIBRES[yarn.fibre or "wool"]
    return diameter_mm(tex=yarn_tex(yarn).held_tex, bulk_density_g_per_cm3=fibre.bulk_density_g_per_cm3)


def cloth_mass_g_per_m2(held_tex: float) -> float:
    """Return the mass of plain crocheted cloth in the gauge that suits its yarn: ``28 * sqrt(tex)``.

    The same as ``28 / sqrt(tex)`` millimetres of yarn on a square millimetre. [tex > 0]

    Examples
    --------
    >>> [round(cloth_mass_g_per_m2(tex)) for tex in (230, 330, 435, 590, 950)]
    [425, 509, 584, 680, 863]

    Notes
    -----
    Convention: thread covers cloth in proportion to its diameter; the factor is fitted to worsted swatches.
    """
    return CLOTH_FACTOR * sqrt(held_tex)


def fibre_notices(yarn: Yarn) -> tuple[Notice, ...]:
    """Return a caution where the fibre is coarse, or is wool of unknown fineness.

    Examples
    --------
    >>> fibre_notices(Yarn(fibre="wool"))[0].code, fibre_notices(Yarn(fibre="wool", fibre_diameter_um=22))
    ('fibre', ())

    Notes
    -----
    Zallmann et al. (2017), doi 10.2340/00015555-2655: itch comes from fibre of about 30 micrometres and up.
    """
    diameter_um = yarn.fibre_diameter_um
    if diameter_um is None:
        return (Notice("fibre"),) if yarn.fibre == "wool" else ()
    return (Notice("fibre", {"fibre_diameter_um": diameter_um}),) if diameter_um >= COARSE_FIBRE_UM else ()
