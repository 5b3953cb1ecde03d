"""How evenly fabrics grade over the heads of a size run: by the poorest fit that each of them makes."""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean

from service.domain.errors import NoRoomForHead, PatternMathError, RepeatWiderThanHat, ShapingOutOfReach
from service.domain.fabrics import Fabric
from service.domain.hat_counts import fit_hat
from service.domain.hat_gauges import HatGauges, reckon_gauges
from service.domain.hat_orders import HatOrder
from service.domain.heads import Head
from service.domain.rounding import TIE_TOLERANCE
from service.domain.sizing import finish_size
from service.domain.tables import ReferenceTables

__all__ = ["FabricGrade", "RefusedFabric", "rank_fabrics"]


@dataclass(frozen=True, slots=True)
class RefusedFabric:
    """A fabric that the design cannot be made in, whatever the head, and why."""

    fabric: Fabric
    refusal: PatternMathError


@dataclass(frozen=True, slots=True, kw_only=True)
class FabricGrade:
    """How a fabric grades over the heads: the poorest of its fits, and which size that is.

    ``position`` is the fabric's place among those to compare, from 0. ``refusal`` says why the fabric makes
    no hat for the size that fits worst, where it makes none; the fit of that is 0.
    """

    position: int
    fabric: Fabric
    lowest_fit_probability: float
    mean_fit_probability: float
    size_number: int
    refusal: PatternMathError | None = None


def rank_fabrics(
    designs: Sequence[HatOrder | RefusedFabric], heads: Sequence[Head], tables: ReferenceTables
) -> tuple[FabricGrade, ...]:
    """Return the fabrics, the largest lowest fit first; ties: the larger mean, then as they were sent.

    A fabric that a hat cannot be made of ranks last, with the reason. Only the counts are looked at:
    a crown that asks for too much is told where it is planned.

    Parameters
    ----------
    designs
        The design in each of the fabrics.
    heads
        The heads, smallest first.
    tables
        Published tables and priors.
    """
    grades = [_grade(position, design, heads, tables) for position, design in enumerate(designs)]
    return tuple(sorted(grades, key=_best_first))


def _best_first(grade: FabricGrade) -> tuple[float, float]:
    return -grade.lowest_fit_probability, -grade.mean_fit_probability


def _grade(
    position: int, design: HatOrder | RefusedFabric, heads: Sequence[Head], tables: ReferenceTables
) -> FabricGrade:
    if isinstance(design, RefusedFabric):
        return FabricGrade(
            position=position,
            fabric=design.fabric,
            lowest_fit_probability=0.0,
            mean_fit_probability=0.0,
            size_number=1,
            refusal=design.refusal,
        )
    gauges = reckon_gauges(design, tables)
    found = [_fit(design.for_head(head), gauges, tables) for head in heads]
    fits = [0.0 if isinstance(fit, PatternMathError) else fit for fit in found]
    lowest = min(fits)
    worst = next(place for place, fit in enumerate(fits) if fit <= lowest + TIE_TOLERANCE)
    refusal = found[worst]
    return FabricGrade(
        position=position,
        fabric=design.fabric,
        lowest_fit_probability=lowest,
        mean_fit_probability=fmean(fits),
        size_number=1 + worst,
        refusal=refusal if isinstance(refusal, PatternMathError) else None,
    )


def _fit(order: HatOrder, gauges: HatGauges, tables: ReferenceTables) -> float | PatternMathError:
    """Return how likely a hat fits, or why the fabric makes none for this head."""
    try:
        return fit_hat(order, finish_size(order.size, tables), gauges, tables).fit_probability
    except (NoRoomForHead, RepeatWiderThanHat, ShapingOutOfReach) as refusal:
        return refusal
