"""The finished size of a hat: from a head to a circumference and a depth along the fabric.

All lengths are of the relaxed fabric, measured flat; what is inside is smaller by the fabric's thickness.
"""

from dataclasses import dataclass, replace
from typing import Literal

from service.domain.depths import ChosenDepth, Cover, choose_depth
from service.domain.errors import ChooseOne, NoRoomForHead
from service.domain.fabrics import Fabric
from service.domain.fit import FitTarget, HeadRange, fitted_heads, head_target, thickness_allowance_mm
from service.domain.hat_sizes import HatSize, hat_size
from service.domain.heads import Head, child_cautions, head_assumptions, outgrown_at_age_months
from service.domain.report import Assumption, Notice, Working
from service.domain.tables import ReferenceTables
from service.domain.texture import fabric_thickness_mm, thickness_prior

__all__ = [
    "TIGHTEST_GRIP",
    "FinishedSize",
    "Fit",
    "SizeOrder",
    "Style",
    "finish_size",
    "gripping_circumference_mm",
]

#: The tightest grip that is planned: half the head (convention: no crochet stretches that far).
TIGHTEST_GRIP = -0.5

Fit = Literal["close", "standard", "relaxed"]
Style = Literal["beanie", "cuffed", "slouch", "headband"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeOrder:
    """What a hat is to be sized for. ``None`` is what nobody said.

    ``fabric`` and ``yarn_diameter_mm`` only serve to suppose a thickness where none is given.

    Raises
    ------
    ChooseOne
        If both a fit and an ease, or both a cover and a depth, are given.
    """

    head: Head
    fit: Fit | None = None
    ease_mm: float | None = None
    style: Style = "beanie"
    covers: Cover | None = None
    depth_mm: float | None = None
    cuff_mm: float | None = None
    thickness_mm: float | None = None
    fabric: Fabric | None = None
    yarn_diameter_mm: float | None = None

    def __post_init__(self) -> None:
        """Refuse two answers to one question."""
        if self.fit is not None and self.ease_mm is not None:
            raise ChooseOne(fields=("fit", "ease_cm"), given=("fit", "ease_cm"))
        if self.covers is not None and self.depth_mm is not None:
            raise ChooseOne(fields=("covers", "depth_cm"), given=("covers", "depth_cm"))

    @property
    def is_folded(self) -> bool:
        """Whether the brim is folded up, so that two layers lie on the head."""
        return self.style == "cuffed" or bool(self.cuff_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class FinishedSize:
    """The size of a hat.

    ``finished_circumference_mm`` is the band's, where the hat grips; a folded brim lies there twofold.
    ``body_circumference_mm`` is what the single fabric above it goes for: a slouch is wider there.
    ``depth_mm`` is the fabric from the centre of the crown to its edge, the fold laid out.
    ``target`` is the band's circumference with what the head accepts.
    """

    head: Head
    style: Style
    grip: float
    ease_mm: float
    finished_circumference_mm: float
    inner_circumference_mm: float
    body_circumference_mm: float
    thickness_mm: float
    layer_count: int
    cuff_mm: float
    depth_mm: float
    depth_low_mm: float
    depth_high_mm: float
    has_crown: bool
    fits_head: HeadRange
    hat_size: HatSize
    outgrown_at_age_months: int | None
    target: FitTarget
    notices: tuple[Notice, ...]
    assumptions: tuple[Assumption, ...]
    working: tuple[Working, ...]

    @property
    def ease(self) -> float:
        """Return the ease over the circumference of the head."""
        return self.ease_mm / self.head.circumference_mm

    @property
    def worn_depth_mm(self) -> float:
        """Return the depth with the brim folded up."""
        return self.depth_mm - self.cuff_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class _Band:
    """The band's circumference, how it grips, and the body's above it."""

    grip: float
    finished_mm: float
    allowance_mm: float
    thickness_mm: float
    layer_count: int
    body_mm: float

    @property
    def inner_mm(self) -> float:
        """Return the circumference inside."""
        return self.finished_mm - self.allowance_mm


def gripping_circumference_mm(*, head_mm: float, grip: float, allowance_mm: float) -> float:
    """Return the circumference, measured flat, of a fabric that is to grip a head so.

    ``C * (1 + grip) + allowance``, the allowance being pi times the thickness of every layer.

    Parameters
    ----------
    head_mm
        Circumference of the head, C. [mm]
    grip
        Inner circumference over head, minus 1. [-0.13 to -0.03]
    allowance_mm
        What the thickness takes. [mm]

    Examples
    --------
    >>> round(gripping_circumference_mm(head_mm=560, grip=-0.08, allowance_mm=22), 1)
    537.2

    Notes
    -----
    Geometry; the grip itself is trade practice.
    """
    return head_mm * (1 + grip) + allowance_mm


def finish_size(order: SizeOrder, tables: ReferenceTables) -> FinishedSize:
    """Return the finished size of a hat for a head.

    ``H = C * (1 + grip) + pi * thickness * layers``; an explicit ease gives ``H = C + ease`` and the grip
    follows from it.

    Parameters
    ----------
    order
        The head and how the hat is to sit on it.
    tables
        Priors.

    Raises
    ------
    NoRoomForHead
        If ease and thickness leave less room inside than half the head.

    Examples
    --------
    >>> from service.domain.heads import measured_head
    >>> from service.reference.load import load_reference_tables
    >>> tables = load_reference_tables()
    >>> size = finish_size(SizeOrder(head=measured_head(560, tables=tables), thickness_mm=7), tables)
    >>> round(size.finished_circumference_mm), round(100 * size.ease, 1)
    (537, -4.1)
    """
    band = _band(order, tables)
    _refuse_no_room(order.head, band)
    depth = choose_depth(
        head_mm=order.head.circumference_mm,
        body_mm=band.body_mm,
        thickness_mm=band.thickness_mm,
        style=order.style,
        covers=order.covers,
        depth_mm=order.depth_mm,
        cuff_mm=order.cuff_mm,
        tables=tables,
    )
    spread_mm = tables.prior("depth_spread_mm")
    return FinishedSize(
        head=order.head,
        style=order.style,
        grip=band.grip,
        ease_mm=band.finished_mm - order.head.circumference_mm,
        finished_circumference_mm=band.finished_mm,
        inner_circumference_mm=band.inner_mm,
        body_circumference_mm=band.body_mm,
        thickness_mm=band.thickness_mm,
        layer_count=band.layer_count,
        cuff_mm=depth.cuff_mm,
        depth_mm=depth.fabric_mm,
        depth_low_mm=max(0.0, depth.fabric_mm - spread_mm),
        depth_high_mm=depth.fabric_mm + spread_mm,
        has_crown=order.style != "headband",
        fits_head=fitted_heads(inner_mm=band.inner_mm, grip=band.grip, tables=tables),
        hat_size=hat_size(order.head.circumference_mm),
        outgrown_at_age_months=_outgrown(order.head, band.inner_mm, tables),
        target=_target(order.head, band, tables),
        notices=_notices(order, band, depth),
        assumptions=_assumptions(order, band, depth, tables),
        working=(*_band_working(order, band), *depth.working),
    )


def _band(order: SizeOrder, tables: ReferenceTables) -> _Band:
    head_mm, layers = order.head.circumference_mm, 2 if order.is_folded else 1
    thickness_mm = order.thickness_mm
    if thickness_mm is None:
        thickness_mm = fabric_thickness_mm(
            order.fabric, tables=tables, yarn_diameter_mm=order.yarn_diameter_mm
        )
    allowance_mm = thickness_allowance_mm(thickness_mm=thickness_mm, layer_count=layers)
    single_mm = thickness_allowance_mm(thickness_mm=thickness_mm, layer_count=1)
    if order.ease_mm is None:
        grip = tables.prior(f"grip_{order.fit or 'standard'}")
        finished_mm = gripping_circumference_mm(head_mm=head_mm, grip=grip, allowance_mm=allowance_mm)
        body_mm = gripping_circumference_mm(head_mm=head_mm, grip=grip, allowance_mm=single_mm)
    else:
        finished_mm = body_mm = head_mm + order.ease_mm
        grip = (finished_mm - allowance_mm) / head_mm - 1
    if order.style == "slouch":
        body_mm *= tables.prior("slouch_width_ratio")
    return _Band(
        grip=grip,
        finished_mm=finished_mm,
        allowance_mm=allowance_mm,
        thickness_mm=thickness_mm,
        layer_count=layers,
        body_mm=body_mm,
    )


def _refuse_no_room(head: Head, band: _Band) -> None:
    if band.grip < TIGHTEST_GRIP:
        raise NoRoomForHead(inner_cm=band.inner_mm / 10, head_cm=head.circumference_mm / 10)


def _target(head: Head, band: _Band, tables: ReferenceTables) -> FitTarget:
    return head_target(
        head_mm=head.circumference_mm,
        grip=band.grip,
        finished_mm=band.finished_mm,
        allowance_mm=band.allowance_mm,
        tables=tables,
    )


def _outgrown(head: Head, inner_mm: float, tables: ReferenceTables) -> int | None:
    if head.age_months is None:
        return None
    return outgrown_at_age_months(inner_mm=inner_mm, age_months=head.age_months, sex=head.sex, tables=tables)


def _notices(order: SizeOrder, band: _Band, depth: ChosenDepth) -> tuple[Notice, ...]:
    notices = [Notice(each.code, {"style": order.style}) for each in child_cautions(order.head)]
    if order.thickness_mm is None:
        notices.append(Notice("thickness_assumed", {"thickness_mm": band.thickness_mm}))
    if depth.follows_child_rule:
        notices.append(Notice("depth_child_rule", {"depth_mm": depth.fabric_mm}))
    return tuple(notices)


def _assumptions(
    order: SizeOrder, band: _Band, depth: ChosenDepth, tables: ReferenceTables
) -> tuple[Assumption, ...]:
    assumed = [*head_assumptions(order.head)]
    if order.ease_mm is None:
        grip = tables.prior_by_name[f"grip_{order.fit or 'standard'}"]
        assumed.append(Assumption("grip_percent", 100 * grip.value, "percent", grip.confidence, grip.source))
    if order.thickness_mm is None:
        prior = replace(thickness_prior(order.fabric, tables=tables), name="fabric_thickness_mm")
        assumed.append(replace(prior, value=band.thickness_mm).as_assumption())
    if order.style == "slouch":
        assumed.append(tables.prior_by_name["slouch_width_ratio"].as_assumption())
    return (*assumed, *depth.assumptions)


def _band_working(order: SizeOrder, band: _Band) -> tuple[Working, ...]:
    head_mm = order.head.circumference_mm
    if order.ease_mm is None:
        finished = "head * (1 + grip) + pi * thickness * layers"
        grip = "grip of the chosen fit"
    else:
        finished = "head + ease"
        grip = "(finished - pi * thickness * layers) / head - 1"
    practice, geometry = "trade practice", "geometry"
    return (
        Working("head_circumference_mm", "the head", head_mm, "mm", order.head.source),
        Working("grip_percent", grip, 100 * band.grip, "percent", practice),
        Working("layers", "2 under a folded brim, else 1", band.layer_count, "", geometry),
        Working("thickness_allowance_mm", "pi * thickness * layers", band.allowance_mm, "mm", geometry),
        Working("finished_circumference_mm", finished, band.finished_mm, "mm", geometry),
        Working("inner_circumference_mm", "finished - allowance", band.inner_mm, "mm", geometry),
    )
