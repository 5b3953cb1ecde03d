"""What a texture does to a gauge: priors that stand in until somebody swatches the texture itself.

Post stitches draw the fabric together and sink into it; crossings draw it together further.
"""

from dataclasses import dataclass, replace
from itertools import pairwise
from math import hypot, sqrt

from service.domain.fabrics import BaseStitch, Fabric, Face
from service.domain.gauge import Gauge
from service.domain.hat_rounds import faced_code
from service.domain.report import Assumption, Notice
from service.domain.stitches import HEIGHT_RATIOS, read_stitch, taller_stitches
from service.domain.tables import Prior, ReferenceTables

__all__ = [
    "ConvertedGauge",
    "CrossingStitch",
    "Texture",
    "choose_crossing_stitch",
    "convert_gauge",
    "crossing_rhythm",
    "fabric_texture",
    "fabric_thickness_mm",
    "gauge_for_fabric",
    "is_same_texture",
    "plain_round_height_mm",
    "thickness_prior",
]

#: How much a crossing draws in by the rounds from one to the next (convention, our judgement).
_RHYTHM = ((4, 1.0), (6, 0.6), (8, 0.4))

#: The stitches tried for a crossing: the base, the next taller and the next but one.
_CROSSING_CHOICES = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Texture:
    """A fabric against the same stitch plain.

    ``post_share`` is the share of stitches worked around a post, ``crossing_load`` the share that is
    crossed, weakened where crossings are far apart.
    """

    width_ratio: float
    height_ratio: float
    post_share: float
    crossing_load: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ConvertedGauge:
    """A gauge brought to another fabric, with what had to be supposed for that."""

    gauge: Gauge
    notices: tuple[Notice, ...]
    assumptions: tuple[Assumption, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CrossingStitch:
    """The stitch that crosses, and whether its legs are too short for the way they go.

    ``leg_ratio`` is the leg needed over the height of the round.
    """

    stitch: str
    leg_ratio: float
    pulls_in: bool


def crossing_rhythm(round_count: int) -> float:
    """Return how much a crossing draws in when the next one comes so many rounds later.

    1 every 4 rounds or fewer, 0.6 every 6, 0.4 every 8 and beyond, straight between.

    Examples
    --------
    >>> [round(crossing_rhythm(n), 2) for n in (1, 4, 5, 6, 7, 8, 20)]
    [1.0, 1.0, 0.8, 0.6, 0.5, 0.4, 0.4]

    Notes
    -----
    Convention: our judgement.
    """
    for (near, pull), (far, less) in pairwise(_RHYTHM):
        if round_count <= near:
            return pull
        if round_count < far:
            return pull + (less - pull) * (round_count - near) / (far - near)
    return _RHYTHM[-1][1]


def fabric_texture(fabric: Fabric, *, tables: ReferenceTables) -> Texture:
    """Return the width and height of a fabric's stitches relative to the same stitch plain.

    Width: ``(1 - 0.15 * post share) * (1 - 0.25 * crossed share * rhythm)``;
    height: ``1 - 0.25 * post share``.

    Parameters
    ----------
    fabric
        The stitch pattern; each crossed column crosses once in a vertical repeat.
    tables
        Priors: post fabric is 0.85 as wide and 0.75 as tall as plain.

    Examples
    --------
    >>> from service.reference.load import load_reference_tables
    >>> tables = load_reference_tables()
    >>> rib = fabric_texture(tables.fabric_by_id["post-rib-1x1"], tables=tables)
    >>> rib.width_ratio, rib.height_ratio
    (0.85, 0.75)
    >>> round(fabric_texture(tables.fabric_by_id["cable-4x4"], tables=tables).width_ratio, 4)
    0.68

    Notes
    -----
    Convention: our judgement, in step with the trade rule that cables take a quarter more stitches.
    A fabric with flat stitches between its posts lies between, by the share of its post stitches.
    """
    post_share = _share(fabric, [column.width for column in fabric.columns if column.face != "flat"])
    crossed_share = _share(fabric, [column.width for column in fabric.columns if column.is_crossed])
    load = crossed_share * crossing_rhythm(fabric.round_repeat_count)
    narrowing = 1 - tables.prior("crossing_narrowing") * load
    return Texture(
        width_ratio=_shared(tables.prior("post_width_ratio"), post_share) * narrowing,
        height_ratio=_shared(tables.prior("post_height_ratio"), post_share),
        post_share=post_share,
        crossing_load=load,
    )


def _share(fabric: Fabric, widths: list[int]) -> float:
    return sum(widths) / fabric.stitch_multiple


def _shared(ratio: float, share: float) -> float:
    """Return a ratio that holds for a share of the stitches, 1 for the others."""
    return ratio if share == 1 else 1 - (1 - ratio) * share


def is_same_texture(first: Fabric, second: Fabric, *, tables: ReferenceTables) -> bool:
    """Return whether one gauge holds for both fabrics: the same base stitch, drawn in alike.

    Examples
    --------
    >>> from service.reference.load import load_reference_tables
    >>> tables = load_reference_tables()
    >>> rib, other = tables.fabric_by_id["post-rib-1x1"], tables.fabric_by_id["post-rib-2x2"]
    >>> is_same_texture(rib, other, tables=tables)
    True
    """
    same = fabric_texture(first, tables=tables) == fabric_texture(second, tables=tables)
    return same and first.stitch == second.stitch


def convert_gauge(gauge: Gauge, *, measured: Fabric, wanted: Fabric, tables: ReferenceTables) -> Gauge:
    """Return a gauge brought from the fabric it was measured in to another.

    Widths and heights go by the ratio of the two textures; heights also by the ratio of the base stitches.
    The errors of the priors add in quadrature; what both fabrics share cancels.

    Parameters
    ----------
    gauge
        The gauge as measured.
    measured, wanted
        The fabric it was measured in, and the one it is wanted for.
    tables
        Priors.

    Examples
    --------
    >>> from service.reference.load import load_reference_tables
    >>> tables = load_reference_tables()
    >>> plain, cable = tables.fabric_by_id["plain-dc"], tables.fabric_by_id["cable-4x4"]
    >>> swatch = Gauge(
    ...     stitch_width_mm=100 / 13.6, round_height_mm=12.0, width_error=0.032, height_error=0.032
    ... )
    >>> hat = convert_gauge(swatch, measured=plain, wanted=cable, tables=tables)
    >>> round(hat.stitches_per_10cm, 1), hat.round_height_mm, round(hat.width_error, 3)
    (20.0, 9.0, 0.104)

    Notes
    -----
    Convention: basic stitches of different height count as equally wide, as on ball bands.
    """
    if is_same_texture(measured, wanted, tables=tables):
        return replace(gauge, fabric_id=wanted.fabric_id)
    first, second = fabric_texture(measured, tables=tables), fabric_texture(wanted, tables=tables)
    taller = HEIGHT_RATIOS[wanted.stitch] / HEIGHT_RATIOS[measured.stitch]
    width_prior, height_prior = _conversion_errors(first, second, tables)
    if measured.stitch != wanted.stitch:
        width_prior = hypot(width_prior, tables.prior("base_stitch_width_error"))
        height_prior = hypot(height_prior, tables.prior("base_stitch_height_error"))
    return replace(
        gauge,
        stitch_width_mm=gauge.stitch_width_mm * second.width_ratio / first.width_ratio,
        round_height_mm=gauge.round_height_mm * taller * second.height_ratio / first.height_ratio,
        width_error=hypot(gauge.width_error, width_prior),
        height_error=hypot(gauge.height_error, height_prior),
        fabric_id=wanted.fabric_id,
    )


def _conversion_errors(first: Texture, second: Texture, tables: ReferenceTables) -> tuple[float, float]:
    """Return how unsure the ratio of two textures is, across and up, to first order."""
    priors = tables.prior_by_name
    width = _prior_error(priors["post_width_ratio"], first.post_share, second.post_share)
    height = _prior_error(priors["post_height_ratio"], first.post_share, second.post_share)
    narrowing = priors["crossing_narrowing"]
    remaining = replace(narrowing, value=1 - narrowing.value)
    crossing = _prior_error(remaining, first.crossing_load, second.crossing_load)
    return hypot(width, crossing), height


def _prior_error(prior: Prior, first_share: float, second_share: float) -> float:
    """Return the relative error a prior leaves in the ratio of two fabrics that hold it by these shares."""
    sd = prior.sd or 0.0
    first, second = (share / _shared(prior.value, share) for share in (first_share, second_share))
    return sd * abs(second - first)


def gauge_for_fabric(
    gauge: Gauge, *, measured: Fabric, wanted: Fabric, tables: ReferenceTables
) -> ConvertedGauge:
    """Return the gauge of a fabric from one measured perhaps in another, and say so if it was.

    Examples
    --------
    >>> from service.reference.load import load_reference_tables
    >>> tables = load_reference_tables()
    >>> plain, cable = tables.fabric_by_id["plain-dc"], tables.fabric_by_id["cable-4x4"]
    >>> swatch = Gauge(stitch_width_mm=7.0, round_height_mm=12.0, width_error=0.03, height_error=0.03)
    >>> hat = gauge_for_fabric(swatch, measured=plain, wanted=cable, tables=tables)
    >>> hat.notices[0].code, [assumption.name for assumption in hat.assumptions]
    ('swatch_fabric', ['stitch_width_ratio', 'round_height_ratio'])
    """
    converted = convert_gauge(gauge, measured=measured, wanted=wanted, tables=tables)
    if is_same_texture(measured, wanted, tables=tables):
        return ConvertedGauge(gauge=converted, notices=(), assumptions=())
    figures = {
        "stitches_per_10cm": converted.stitches_per_10cm,
        "width_error_percent": 100 * converted.width_error,
    }
    ratios = (
        ("stitch_width_ratio", converted.stitch_width_mm / gauge.stitch_width_mm, "post_width_ratio"),
        ("round_height_ratio", converted.round_height_mm / gauge.round_height_mm, "post_height_ratio"),
    )
    priors = tables.prior_by_name
    return ConvertedGauge(
        gauge=converted,
        notices=(Notice("swatch_fabric", figures),),
        assumptions=tuple(
            Assumption(name, ratio, "", "L", priors[prior].source) for name, ratio, prior in ratios
        ),
    )


def plain_round_height_mm(round_height_mm: float, *, fabric: Fabric, tables: ReferenceTables) -> float:
    """Return the height of a plain round between rounds of a fabric of this round height.

    Examples
    --------
    >>> from service.reference.load import load_reference_tables
    >>> tables = load_reference_tables()
    >>> plain_round_height_mm(9.0, fabric=tables.fabric_by_id["cable-4x4"], tables=tables)
    12.0
    """
    return round_height_mm / fabric_texture(fabric, tables=tables).height_ratio


def thickness_prior(fabric: Fabric | None, *, tables: ReferenceTables) -> Prior:
    """Return the thickness supposed for a fabric in worsted yarn: plain, post or crossed.

    Examples
    --------
    >>> from service.reference.load import load_reference_tables
    >>> tables = load_reference_tables()
    >>> thickness_prior(None, tables=tables).value
    3.0
    """
    if fabric is not None and fabric.is_crossed:
        return tables.prior_by_name["thickness_crossed_mm"]
    if fabric is not None and fabric.is_post:
        return tables.prior_by_name["thickness_post_mm"]
    return tables.prior_by_name["thickness_plain_mm"]


def fabric_thickness_mm(
    fabric: Fabric | None, *, tables: ReferenceTables, yarn_diameter_mm: float | None = None
) -> float:
    """Return the thickness supposed for a fabric, in proportion to its yarn where that is known.

    Parameters
    ----------
    fabric
        The stitch pattern; ``None`` counts as plain.
    yarn_diameter_mm
        Diameter of the yarn in the fabric. [mm; worsted 1.5]

    Examples
    --------
    >>> from service.reference.load import load_reference_tables
    >>> tables = load_reference_tables()
    >>> cable = tables.fabric_by_id["cable-4x4"]
    >>> fabric_thickness_mm(cable, tables=tables), fabric_thickness_mm(None, tables=tables)
    (7.0, 3.0)
    >>> fabric_thickness_mm(None, tables=tables, yarn_diameter_mm=2.5)
    5.0

    Notes
    -----
    Convention: our judgement for worsted yarn; a thickness is so many yarns one upon another.
    """
    thickness_mm = thickness_prior(fabric, tables=tables).value
    if yarn_diameter_mm is None:
        return thickness_mm
    return thickness_mm * yarn_diameter_mm / tables.prior("thickness_yarn_diameter_mm")


def choose_crossing_stitch(
    *,
    over: int,
    base: BaseStitch,
    face: Face,
    stitch_width_mm: float,
    round_height_mm: float,
    override: str | None,
    tables: ReferenceTables,
) -> CrossingStitch:
    """Return the stitch for crossing m over m: the shortest whose legs reach.

    A leg that goes m stitches aside and one round up is ``sqrt(h ** 2 + (m * w) ** 2)`` long.
    A stitch reaches it when its height over the base stitch's, stretched by a fifth, does.
    The base, the next taller and the next but one are tried; if all are short, the tallest pulls in.

    Parameters
    ----------
    over
        Stitches that cross over as many, m. [>= 1]
    base
        Base stitch of the fabric.
    face
        Face of the column, which says how the stitch is worked.
    stitch_width_mm, round_height_mm
        The fabric's gauge. [mm]
    override
        A stitch that is wanted instead; without ``fp`` or ``bp`` it takes the face of the column.

    Examples
    --------
    >>> from service.reference.load import load_reference_tables
    >>> tables = load_reference_tables()
    >>> for over in (1, 2, 3, 4):
    ...     chosen = choose_crossing_stitch(
    ...         over=over, base="dc", face="front", stitch_width_mm=6.5, round_height_mm=11,
    ...         override=None, tables=tables,
    ...     )
    ...     print(chosen.stitch, round(chosen.leg_ratio, 2), chosen.pulls_in)
    fpdc 1.16 False
    fptr 1.55 False
    fpdtr 2.04 False
    fpdtr 2.57 True

    Notes
    -----
    Geometry for the leg. Convention: post stitches stretch by a fifth without harm.
    """
    leg_ratio = sqrt(round_height_mm**2 + (over * stitch_width_mm) ** 2) / round_height_mm
    if override is not None:
        stitch = read_stitch(override)
        code = override if stitch.manner else faced_code(face, stitch.base)
        return CrossingStitch(
            stitch=code, leg_ratio=leg_ratio, pulls_in=not _reaches(stitch.base, base, leg_ratio, tables)
        )
    choices = taller_stitches(base)[:_CROSSING_CHOICES]
    reaching = [choice for choice in choices if _reaches(choice, base, leg_ratio, tables)]
    chosen = reaching[0] if reaching else choices[-1]
    return CrossingStitch(stitch=faced_code(face, chosen), leg_ratio=leg_ratio, pulls_in=not reaching)


def _reaches(stitch: BaseStitch, base: BaseStitch, leg_ratio: float, tables: ReferenceTables) -> bool:
    stretched = HEIGHT_RATIOS[stitch] / HEIGHT_RATIOS[base] * tables.prior("crossing_leg_stretch")
    return stretched >= leg_ratio - 1e-9
