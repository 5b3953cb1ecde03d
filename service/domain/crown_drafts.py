"""Rounds of a crown before they are judged: how many, against which targets, with which steps."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from service.domain.crown_closing import ClosingLimits, closing_limits
from service.domain.crown_orders import CrownOrder
from service.domain.crown_plain import (
    default_section_count,
    scattered_counts,
    section_counts,
    smallest_scattered_round_count,
    smallest_section_round_count,
)
from service.domain.crown_plain_steps import plain_rounds
from service.domain.crown_reviews import (
    GATHERS_MAX,
    shape_error,
)
from service.domain.crown_steps import CrownManner, WorkedRound, textured_rounds
from service.domain.crown_targets import (
    MOST_CROWN_ROUNDS,
    CrownTarget,
    crown_target,
    round_targets_mm,
    shaped_round_count,
)
from service.domain.crown_textured import (
    DEFAULT_SETTLE_ROUND_COUNT,
    CrownFabric,
    TexturedCrown,
    crown_fabric,
    plan_textured_crown,
    smallest_textured_round_count,
)
from service.domain.crown_work import CrownWork
from service.domain.errors import CrownCannotClose, FabricTooComplex
from service.domain.fabrics import Fabric
from service.domain.rounding import TIE_TOLERANCE, half_up

# What putting a round into steps and columns weighs (measured).
_ROUND_WEIGHT = 250
_COLUMN_WEIGHT = 25

__all__ = [
    "CrownDraft",
    "crown_limits",
    "draft_crown",
    "draft_target",
    "draft_targets_mm",
    "smallest_crown_round_count",
]


@dataclass(frozen=True, slots=True)
class CrownDraft:
    """Rounds against their targets, before they are judged."""

    target: CrownTarget
    targets_mm: tuple[float, ...]
    rounds: tuple[WorkedRound, ...]
    cost: float
    section_count: int | None = None
    group_count: int | None = None
    work_units: int = 0


def draft_crown(order: CrownOrder, limits: ClosingLimits, work: CrownWork) -> CrownDraft:
    """Return the rounds of a crown, plain or keeping its texture."""
    fabric = order.textured_fabric
    if fabric is None:
        return _plain_draft(order, limits, work)
    begun = work.spent
    draft = _textured_draft(order, fabric, limits, work)
    return replace(draft, work_units=work.spent - begun)


def smallest_crown_round_count(order: CrownOrder, work: CrownWork | None = None) -> int:
    """Return the fewest rounds in which the crown can close, whatever its shape error.

    Parameters
    ----------
    work
        What finding it may weigh; ``None`` for all that a request may.

    Examples
    --------
    >>> smallest_crown_round_count(
    ...     CrownOrder(start_stitch_count=88, stitch_width_mm=6.0, round_height_mm=5.0)
    ... )
    4
    """
    limits = crown_limits(order)
    fabric = order.textured_fabric
    if fabric is not None:
        return smallest_textured_round_count(_crown_fabric(order, fabric), limits, order.worked, work=work)
    sections = _section_count(order, limits)
    if sections is None:
        return smallest_scattered_round_count(order.start_stitch_count, limits, order.worked)
    return smallest_section_round_count(
        order.start_stitch_count, section_count=sections, limits=limits, worked=order.worked
    )


def crown_limits(order: CrownOrder) -> ClosingLimits:
    """Return the limits of the round at the centre, those asked for before the usual ones."""
    return closing_limits(
        order.base_stitch,
        order.worked,
        stitch_count_min=order.closing_stitch_count_min,
        stitch_count_max=order.closing_stitch_count_max,
    )


def _section_count(order: CrownOrder, limits: ClosingLimits) -> int | None:
    if order.decrease_placement == "scattered" or order.section_count is not None:
        return order.section_count
    return default_section_count(
        start_stitch_count=order.start_stitch_count,
        stitch_width_mm=order.stitch_width_mm,
        round_height_mm=order.round_height_mm,
        limits=limits,
    )


def draft_target(order: CrownOrder, work: CrownWork) -> CrownTarget:
    """Return the surface that the crown is to follow.

    Raises
    ------
    CrownCannotClose
        If a tapered crown has fewer rounds than a flat disc.
    """
    asked = order.asked_round_count
    try:
        return crown_target(
            order.crown_shape,
            circumference_mm=order.hat_circumference_mm,
            round_height_mm=order.round_height_mm,
            round_count=asked,
        )
    except CrownCannotClose as refused:
        fewest = max(refused.smallest_round_count, smallest_crown_round_count(order, work))
        raise CrownCannotClose(
            round_count=refused.round_count,
            closing_stitch_count_max=None,
            smallest_round_count=fewest,
        ) from refused


def draft_targets_mm(order: CrownOrder, target: CrownTarget, round_count: int) -> tuple[float, ...]:
    """Return the ideal circumference of each round, in working order."""
    return round_targets_mm(
        target, round_count=round_count, round_height_mm=order.round_height_mm, worked=order.worked
    )


def _ideal_counts(order: CrownOrder, targets_mm: Sequence[float]) -> tuple[float, ...]:
    return tuple(target_mm / order.stitch_width_mm for target_mm in targets_mm)


def _plain_draft(order: CrownOrder, limits: ClosingLimits, work: CrownWork) -> CrownDraft:
    """Return a plain crown; where nobody gives the rounds there are never too few to close."""
    target, sections = draft_target(order, work), _section_count(order, limits)
    round_count = order.asked_round_count
    if round_count is None:
        shaped = shaped_round_count(order.crown_shape, target, round_height_mm=order.round_height_mm)
        round_count = max(shaped, smallest_crown_round_count(order, work))
    targets_mm = draft_targets_mm(order, target, round_count)
    ideals = _ideal_counts(order, targets_mm)
    counts = _plain_counts(order, sections, ideals, limits)
    rounds = plain_rounds(
        counts,
        start_stitch_count=order.start_stitch_count,
        section_count=sections,
        stitch=order.base_stitch,
        worked=order.worked,
        is_staggered=order.is_staggered,
    )
    cost = sum(math.log(count / ideal) ** 2 for count, ideal in zip(counts, ideals, strict=True))
    return CrownDraft(target, targets_mm, rounds, cost, section_count=sections)


def _plain_counts(
    order: CrownOrder, sections: int | None, ideals: Sequence[float], limits: ClosingLimits
) -> tuple[int, ...]:
    if sections is None:
        return scattered_counts(
            start_stitch_count=order.start_stitch_count,
            ideal_counts=ideals,
            limits=limits,
            worked=order.worked,
        )
    return section_counts(
        start_stitch_count=order.start_stitch_count,
        section_count=sections,
        ideal_counts=ideals,
        limits=limits,
        worked=order.worked,
    )


def _crown_fabric(order: CrownOrder, fabric: Fabric) -> CrownFabric:
    settle = order.settle_round_count
    return crown_fabric(
        fabric.columns,
        start_stitch_count=order.start_stitch_count,
        settle_round_count=DEFAULT_SETTLE_ROUND_COUNT if settle is None else settle,
        group_size=order.crown_group_count,
    )


@dataclass(frozen=True, slots=True)
class _Attempt:
    """An exact crown with its targets, and how far it is from them."""

    crown: TexturedCrown
    targets_mm: tuple[float, ...]
    shape_error: float


def _textured_draft(order: CrownOrder, fabric: Fabric, limits: ClosingLimits, work: CrownWork) -> CrownDraft:
    target = draft_target(order, work)
    texture = _crown_fabric(order, fabric)
    if order.asked_round_count is not None:
        attempt = _attempt(order, texture, limits, target, order.asked_round_count, work)
    else:
        attempt = _usual_attempt(order, texture, limits, target, work)
    work.spend(_steps_work(order, attempt.crown.fabric, len(attempt.targets_mm)))
    manner = CrownManner(fabric, order.crossing_stitches, order.round_in_repeat)
    return CrownDraft(
        target=target,
        targets_mm=attempt.targets_mm,
        rounds=textured_rounds(attempt.crown, manner),
        cost=attempt.crown.cost,
        group_count=attempt.crown.fabric.group_size,
    )


def _steps_work(order: CrownOrder, texture: CrownFabric, round_count: int) -> int:
    """Return what it weighs to work out what the hook does in so many rounds."""
    assert order.fabric is not None, "a textured crown has a fabric"
    return round_count * (_ROUND_WEIGHT + _COLUMN_WEIGHT * texture.group_size * len(order.fabric.columns))


def _attempt(
    order: CrownOrder,
    texture: CrownFabric,
    limits: ClosingLimits,
    target: CrownTarget,
    round_count: int,
    work: CrownWork,
) -> _Attempt:
    """Return the exact crown; a usual group that is too complex gives way to single repeats.

    A group that nobody asked for may weigh two thirds of the work left; single repeats have the rest.
    """
    if order.crown_group_count is not None or texture.group_size == 1:
        return _exact_attempt(order, texture, limits, target, round_count, work)
    tried = work.for_an_attempt()
    try:
        return _exact_attempt(order, texture, limits, target, round_count, tried)
    except FabricTooComplex:
        alone = replace(texture, group_size=1)
    finally:
        work.spend(tried.spent)
    return _exact_attempt(order, alone, limits, target, round_count, work)


def _exact_attempt(
    order: CrownOrder,
    texture: CrownFabric,
    limits: ClosingLimits,
    target: CrownTarget,
    round_count: int,
    work: CrownWork,
) -> _Attempt:
    targets_mm = draft_targets_mm(order, target, round_count)
    crown = plan_textured_crown(
        texture,
        ideal_counts=_ideal_counts(order, targets_mm),
        limits=limits,
        worked=order.worked,
        work=work,
    )
    error = shape_error(crown.stitch_counts, targets_mm, stitch_width_mm=order.stitch_width_mm)
    return _Attempt(crown, targets_mm, error)


def _usual_attempt(
    order: CrownOrder, texture: CrownFabric, limits: ClosingLimits, target: CrownTarget, work: CrownWork
) -> _Attempt:
    """Return the crown of the fewest rounds, from those of its shape upward, that closes."""
    round_count = shaped_round_count(order.crown_shape, target, round_height_mm=order.round_height_mm)
    try:
        shortest = _attempt(order, texture, limits, target, round_count, work)
    except CrownCannotClose as refused:
        shortest = _attempt(order, texture, limits, target, refused.smallest_round_count, work)
    if order.crown_shape != "gathered" or shortest.shape_error <= GATHERS_MAX + TIE_TOLERANCE:
        return shortest
    return _longer_attempt(order, limits, target, shortest, work)


def _longer_attempt(
    order: CrownOrder, limits: ClosingLimits, target: CrownTarget, shortest: _Attempt, work: CrownWork
) -> _Attempt:
    """Return the gathered crown of the fewest rounds that does not pouch.

    Where none does, up to the rounds of a dome and within the work limit, it is the one with the least
    shape error, the shorter of two. What is left to work out its steps is not spent on longer ones.
    """
    best, texture = shortest, shortest.crown.fabric
    most = min(MOST_CROWN_ROUNDS, half_up(target.arc_mm / order.round_height_mm))
    for round_count in range(len(shortest.targets_mm) + 1, most + 1):
        tried = work.leaving(_steps_work(order, texture, round_count))
        try:
            longer = _attempt(order, texture, limits, target, round_count, tried)
        except FabricTooComplex:
            break
        finally:
            work.spend(tried.spent)
        if longer.shape_error < best.shape_error:
            best = longer
        if best.shape_error <= GATHERS_MAX + TIE_TOLERANCE:
            break
    return best
