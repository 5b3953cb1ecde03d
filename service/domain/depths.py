"""How deep a hat is: from the centre of the crown along the fabric to its edge at the side of the head."""

from dataclasses import dataclass
from math import pi
from typing import Literal

from service.domain.report import Assumption, Working
from service.domain.tables import ReferenceTables

__all__ = [
    "ChosenDepth",
    "Cover",
    "choose_depth",
    "crown_to_ear_mm",
    "ear_offset_mm",
    "fabric_depth_mm",
]

Cover = Literal["top_of_ear", "mid_ear", "bottom_of_ear"]

_OFFSETS = {
    "top_of_ear": "ear_top_offset_mm",
    "mid_ear": "ear_middle_offset_mm",
    "bottom_of_ear": "ear_bottom_offset_mm",
}
_SURVEY = "NIOSH head-and-face survey 2003, 3,996 adults (Zhuang & Bradtmiller 2005): half the coronal arc"


@dataclass(frozen=True, slots=True, kw_only=True)
class ChosenDepth:
    """The depth of the fabric with the fold laid out, and how it was reached."""

    fabric_mm: float
    cuff_mm: float
    follows_child_rule: bool
    assumptions: tuple[Assumption, ...]
    working: tuple[Working, ...]


def crown_to_ear_mm(head_mm: float, *, tables: ReferenceTables) -> float:
    """Return the arc over the head from the centre of the crown to the front of the ear (the tragion).

    Adults, heads from 520 mm: ``59.6 + 0.2002 * C``. Children, heads to 480 mm: ``0.305 * C``.
    Between them the one passes into the other in a straight blend, so that the depth never jumps.

    Parameters
    ----------
    head_mm
        Circumference of the head, C. [mm]

    Examples
    --------
    >>> from service.reference.load import load_reference_tables
    >>> tables = load_reference_tables()
    >>> round(crown_to_ear_mm(570, tables=tables), 1), round(crown_to_ear_mm(342, tables=tables), 1)
    (173.7, 104.3)

    Notes
    -----
    Adults: half the bitragion coronal arc, NIOSH head-and-face survey 2003 (Zhuang & Bradtmiller 2005),
    residual standard deviation 6.5 mm. Children: Convention, our judgement.
    """
    adult_mm = tables.prior("crown_to_ear_fixed_mm") + tables.prior("crown_to_ear_slope") * head_mm
    child_mm = tables.prior("child_depth_ratio") * head_mm
    share = _adult_share(head_mm, tables)
    return share * adult_mm + (1 - share) * child_mm


def _adult_share(head_mm: float, tables: ReferenceTables) -> float:
    """Return how far a head has come from the child's rule to the adults'."""
    child_mm, adult_mm = tables.prior("child_depth_until_mm"), tables.prior("adult_depth_from_mm")
    return min(1.0, max(0.0, (head_mm - child_mm) / (adult_mm - child_mm)))


def ear_offset_mm(head_mm: float, *, covers: Cover, tables: ReferenceTables) -> float:
    """Return how far below the tragion a hat ends: above it is negative.

    Top of the ear -30, middle 0, bottom +32 mm, each times ``min(1, C / 520)``: ears grow with the head.

    Examples
    --------
    >>> from service.reference.load import load_reference_tables
    >>> tables = load_reference_tables()
    >>> round(ear_offset_mm(342, covers="bottom_of_ear", tables=tables), 1)
    21.0

    Notes
    -----
    Adult ear 62 mm; a term newborn's 36 +- 3 mm (Lian et al. 2008).
    """
    return tables.prior(_OFFSETS[covers]) * min(1.0, head_mm / tables.prior("ear_full_size_mm"))


def fabric_depth_mm(
    head_depth_mm: float, *, head_mm: float, body_mm: float, thickness_mm: float, tables: ReferenceTables
) -> float:
    """Return the depth of relaxed fabric that reaches so deep on a head.

    The fabric's middle lies half a thickness off the head, over a quarter circle: ``+ pi / 4 * thickness``.
    Below the dome the fabric is stretched in width and shortens:
    ``x (1 + 0.4 * e)`` with ``e = (C + pi * thickness) / H - 1`` if positive.
    The dome is the head's own: 0.2257 of its circumference, or all of a shallower depth.

    Parameters
    ----------
    head_depth_mm
        Depth on the head. [mm, >= 0]
    head_mm
        Circumference of the head, C. [mm]
    body_mm
        Relaxed circumference of the fabric, H. [mm]
    thickness_mm
        Thickness of the fabric. [mm]

    Examples
    --------
    >>> from service.reference.load import load_reference_tables
    >>> tables = load_reference_tables()
    >>> round(fabric_depth_mm(200, head_mm=500, body_mm=500, thickness_mm=0, tables=tables), 6)
    200.0
    >>> round(fabric_depth_mm(200, head_mm=500, body_mm=400, thickness_mm=0, tables=tables), 3)
    208.715

    Notes
    -----
    Geometry for the dome. Convention: crochet shortens by 0.4 of what it stretches, our judgement.
    """
    dome_mm = min(head_depth_mm, tables.prior("dome_arc_ratio") * head_mm)
    stretch = max(0.0, (head_mm + pi * thickness_mm) / body_mm - 1)
    below_mm = (head_depth_mm - dome_mm) * (1 + tables.prior("stretch_shortening") * stretch)
    return dome_mm + pi / 4 * thickness_mm + below_mm


def choose_depth(
    *,
    head_mm: float,
    body_mm: float,
    thickness_mm: float,
    style: str,
    covers: Cover | None,
    depth_mm: float | None,
    cuff_mm: float | None,
    tables: ReferenceTables,
) -> ChosenDepth:
    """Return the depth of a hat: what was asked for, a headband's height, or what covers the ear.

    A slouch is 5 cm deeper. One fold of brim adds the cuff, whichever way the depth was chosen.

    Parameters
    ----------
    head_mm, body_mm, thickness_mm
        Circumference of the head, relaxed circumference of the fabric, its thickness. [mm]
    style
        ``beanie``, ``cuffed``, ``slouch`` or ``headband``.
    covers
        How much of the ear; ``None`` is its bottom.
    depth_mm
        Depth of the hat as worn, instead of ``covers``. [mm]
    cuff_mm
        Height of the fold; ``None`` for a cuffed hat is 0.08 of the head. [mm]

    Examples
    --------
    >>> from service.reference.load import load_reference_tables
    >>> tables = load_reference_tables()
    >>> chosen = choose_depth(
    ...     head_mm=570, body_mm=524.4, thickness_mm=0, style="beanie", covers="mid_ear",
    ...     depth_mm=None, cuff_mm=None, tables=tables,
    ... )
    >>> round(chosen.fabric_mm, 1)
    175.3
    """
    fold_mm = _cuff_mm(cuff_mm, style=style, head_mm=head_mm, tables=tables)
    working: tuple[Working, ...]
    if depth_mm is not None:
        worn_mm, working = depth_mm, (_line("depth_mm", "as asked", depth_mm, "the order"),)
    elif style == "headband":
        worn_mm = tables.prior("headband_height_ratio") * head_mm
        working = (_line("depth_mm", "0.16 * head", worn_mm, "common practice, no source"),)
    else:
        worn_mm, working = _covering_depth(
            head_mm=head_mm,
            body_mm=body_mm,
            thickness_mm=thickness_mm,
            extra_mm=tables.prior("slouch_extra_depth_mm") if style == "slouch" else 0.0,
            covers=covers or "bottom_of_ear",
            tables=tables,
        )
    follows_ear = depth_mm is None and style != "headband"
    return ChosenDepth(
        fabric_mm=worn_mm + fold_mm,
        cuff_mm=fold_mm,
        follows_child_rule=follows_ear and _adult_share(head_mm, tables) < 1,
        assumptions=_depth_assumptions(
            head_mm=head_mm,
            style=style,
            covers=(covers or "bottom_of_ear") if follows_ear else None,
            is_asked=depth_mm is not None,
            is_cuff_supposed=cuff_mm is None and fold_mm > 0,
            tables=tables,
        ),
        working=(*working, _line("fabric_depth_mm", "depth + cuff", worn_mm + fold_mm, "geometry")),
    )


def _cuff_mm(cuff_mm: float | None, *, style: str, head_mm: float, tables: ReferenceTables) -> float:
    if cuff_mm is not None:
        return cuff_mm
    return tables.prior("brim_height_ratio") * head_mm if style == "cuffed" else 0.0


def _covering_depth(
    *,
    head_mm: float,
    body_mm: float,
    thickness_mm: float,
    extra_mm: float,
    covers: Cover,
    tables: ReferenceTables,
) -> tuple[float, tuple[Working, ...]]:
    """Return the depth of fabric that covers so much of the ear, with how it was reached."""
    arc_mm = crown_to_ear_mm(head_mm, tables=tables)
    offset_mm = ear_offset_mm(head_mm, covers=covers, tables=tables)
    on_head_mm = arc_mm + offset_mm
    fabric_mm = fabric_depth_mm(
        on_head_mm, head_mm=head_mm, body_mm=body_mm, thickness_mm=thickness_mm, tables=tables
    )
    arc_formula = "59.6 + 0.2002 * head from 520 mm, 0.305 * head to 480 mm, blended between"
    fabric_formula = "dome + pi / 4 * thickness + (depth - dome) * (1 + 0.4 * stretch)"
    working = (
        _line("crown_to_ear_mm", arc_formula, arc_mm, _SURVEY),
        _line("ear_offset_mm", f"{covers} * min(1, head / 520)", offset_mm, "adult ear 62 mm long"),
        _line("depth_on_head_mm", "crown to ear + offset", on_head_mm, "geometry"),
        _line("depth_mm", f"{fabric_formula} + {extra_mm:.0f}", fabric_mm + extra_mm, "geometry"),
    )
    return fabric_mm + extra_mm, working


def _line(name: str, formula: str, value_mm: float, source: str) -> Working:
    return Working(name, formula, value_mm, "mm", source)


def _depth_assumptions(
    *,
    head_mm: float,
    style: str,
    covers: Cover | None,
    is_asked: bool,
    is_cuff_supposed: bool,
    tables: ReferenceTables,
) -> tuple[Assumption, ...]:
    """Return the priors that the depth rests on."""
    names = []
    if covers is not None:
        adult_share = _adult_share(head_mm, tables)
        if adult_share > 0:
            names += ["crown_to_ear_fixed_mm", "crown_to_ear_slope"]
        if adult_share < 1:
            names += ["child_depth_ratio", "child_depth_until_mm", "adult_depth_from_mm"]
        if head_mm < tables.prior("ear_full_size_mm"):
            names.append("ear_full_size_mm")
        names += [_OFFSETS[covers], "dome_arc_ratio", "stretch_shortening"]
    if style == "headband" and not is_asked:
        names.append("headband_height_ratio")
    if style == "slouch" and not is_asked:
        names.append("slouch_extra_depth_mm")
    if is_cuff_supposed:
        names.append("brim_height_ratio")
    return tuple(tables.prior_by_name[name].as_assumption() for name in names)
