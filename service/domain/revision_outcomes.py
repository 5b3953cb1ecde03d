"""How a hat comes out at the gauge as worked: how likely it fits, its depth, the shape of its crown."""

from dataclasses import dataclass
from math import erf, sqrt

from service.domain.crown_orders import CrownSchedule
from service.domain.crown_reviews import shape_error
from service.domain.crown_targets import CrownShape, crown_target, round_targets_mm
from service.domain.errors import CrownCannotClose
from service.domain.hat_counts import HatCounts
from service.domain.hat_gauges import HatGauges
from service.domain.hat_layouts import HatLayout
from service.domain.hat_orders import HatOrder
from service.domain.rounding import TIE_TOLERANCE
from service.domain.sizing import FinishedSize

__all__ = ["FELT_MM", "LIKELIER", "HatOutcome", "foresee_hat", "gains", "lies_better"]

#: A way that is likelier by no more than this gains nothing (convention: the priors are known no better).
LIKELIER = 0.01
#: A depth that differs less is not felt (convention: about half a round). [mm]
FELT_MM = 5.0
#: Crowns whose shape errors differ less look the same (convention: a third of what a smooth one may have).
_SEEN_SHAPE_ERROR = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class HatOutcome:
    """A hat as it comes out.

    ``depth_probability`` is how likely the depth lies in the range that does, ``depth_miss_mm`` how far it is
    from the one wanted. ``crown_shape_error`` is ``None`` for a hat without a crown, and for a cone of fewer
    rounds than a disc has.
    """

    fit_probability: float
    depth_probability: float
    depth_miss_mm: float
    crown_shape: CrownShape | None
    crown_shape_error: float | None

    @property
    def likelihood(self) -> float:
        """Return how likely circumference and depth both come out."""
        return self.fit_probability * self.depth_probability


def foresee_hat(
    order: HatOrder, size: FinishedSize, gauges: HatGauges, counts: HatCounts, layout: HatLayout
) -> HatOutcome:
    """Return how a hat comes out.

    Parameters
    ----------
    order, size
        The hat, and what it should measure.
    gauges
        The gauges as worked.
    counts, layout
        Its stitches and its rounds, whatever gauge they were planned at.
    """
    depth_mm = _depth_mm(gauges, layout)
    return HatOutcome(
        fit_probability=counts.fit_probability,
        depth_probability=_depth_probability(depth_mm, size, gauges),
        depth_miss_mm=abs(depth_mm - size.depth_mm),
        crown_shape=None if layout.crown is None else layout.crown.crown_shape,
        crown_shape_error=None if layout.crown is None else _shape_error(order, gauges, counts, layout.crown),
    )


def gains(outcome: HatOutcome, before: HatOutcome) -> bool:
    """Whether a hat gains anything beside another.

    It is likelier by a point; or no less likely, with a depth nearer by 5 mm or a crown seen to lie better.
    """
    if outcome.likelihood > before.likelihood + LIKELIER:
        return True
    if outcome.likelihood < before.likelihood - TIE_TOLERANCE:
        return False
    nearer_mm = before.depth_miss_mm - outcome.depth_miss_mm
    return nearer_mm >= FELT_MM or (nearer_mm > -FELT_MM and lies_better(outcome, before))


def lies_better(outcome: HatOutcome, before: HatOutcome) -> bool:
    """Whether a crown is seen to lie better than another of the same shape; headbands have none."""
    error, error_before = outcome.crown_shape_error, before.crown_shape_error
    if error is None or error_before is None or outcome.crown_shape != before.crown_shape:
        return False
    return error_before - error >= _SEEN_SHAPE_ERROR


def _depth_mm(gauges: HatGauges, layout: HatLayout) -> float:
    """Return the height of all rounds along the fabric."""
    crown_round_count = 0 if layout.crown is None else len(layout.crown.rounds)
    brim_mm = 0.0 if gauges.brim is None else layout.brim_round_count * gauges.brim.round_height_mm
    return (
        layout.has_first_round * gauges.first_round_mm
        + brim_mm
        + layout.has_joining_round * gauges.joining_mm
        + (layout.body_round_count + crown_round_count) * gauges.body.round_height_mm
        + layout.edging_mm
    )


def _depth_probability(depth_mm: float, size: FinishedSize, gauges: HatGauges) -> float:
    """Return how likely the depth lies in the range that does: normal about what the rounds make."""
    sd_mm = depth_mm * gauges.body.height_error * sqrt(2)
    low, high = (erf((limit_mm - depth_mm) / sd_mm) for limit_mm in (size.depth_low_mm, size.depth_high_mm))
    return (high - low) / 2


def _shape_error(order: HatOrder, gauges: HatGauges, counts: HatCounts, crown: CrownSchedule) -> float | None:
    """Return how far a crown is from its shape, whatever gauge it was planned at."""
    wishes, round_count, gauge = order.crown, len(crown.rounds), gauges.body
    is_given = wishes.round_count is not None or wishes.depth_mm is not None
    try:
        target = crown_target(
            crown.crown_shape,
            circumference_mm=counts.body * gauge.stitch_width_mm,
            round_height_mm=gauge.round_height_mm,
            round_count=round_count if is_given else None,
        )
    except CrownCannotClose:
        return None
    targets_mm = round_targets_mm(
        target, round_count=round_count, round_height_mm=gauge.round_height_mm, worked=crown.worked
    )
    return shape_error(crown.stitch_counts, targets_mm, stitch_width_mm=gauge.stitch_width_mm)
