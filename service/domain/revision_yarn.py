"""Whether the yarn that is left finishes a hat, and what to shorten if it does not."""

from dataclasses import dataclass
from math import exp

from service.domain.hats import HatPlan
from service.domain.report import Notice
from service.domain.rounding import ceil_exact
from service.domain.yarn_buying import NORMAL_QUANTILES
from service.domain.yarn_checkpoints import Checkpoint, YarnState, check_yarn

__all__ = ["Shortening", "YarnOutlook", "weighing_notices", "yarn_outlook"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Shortening:
    """Rounds of the body to leave out, so that the yarn lasts, and by how much the hat is then shallower."""

    round_count: int
    height_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class YarnOutlook:
    """What the rest takes; ``shortening`` is ``None`` where the yarn lasts or no shorter body would do."""

    checkpoint: Checkpoint
    shortening: Shortening | None


def yarn_outlook(plan: HatPlan, *, after_round: int, mass_left_g: float) -> YarnOutlook:
    """Return whether the yarn lasts from a round on.

    Parameters
    ----------
    plan
        The hat, in a yarn that is known.
    after_round
        The last round that is worked, 0 before the first.
    mass_left_g
        All yarn that is left. [g, >= 0]
    """
    assert plan.yarn.order is not None, "yarn is weighed that something is known of"
    assert plan.yarn.estimate is not None, "what is known of a yarn makes an estimate"
    checkpoint = check_yarn(
        plan.yarn.order,
        plan.yarn.estimate,
        YarnState(round_number=after_round, mass_left_g=mass_left_g),
        certainty=plan.order.certainty_percent,
    )
    return YarnOutlook(checkpoint=checkpoint, shortening=_shortening(plan, checkpoint, after_round))


def weighing_notices(plan: HatPlan, *, mass_left_g: float | None) -> tuple[Notice, ...]:
    """Return a caution where yarn of several colours was weighed as one: one of them can run out sooner.

    Parameters
    ----------
    plan
        The hat.
    mass_left_g
        All yarn that is left, ``None`` where it was not weighed. [g, >= 0]

    Examples
    --------
    >>> from service.domain.hats import plan_hat
    >>> from service.reference.examples import plain_hat_order
    >>> from service.reference.load import load_reference_tables
    >>> weighing_notices(plan_hat(plain_hat_order(), load_reference_tables()), mass_left_g=40.0)
    ()
    """
    estimate = plan.yarn.estimate
    if mass_left_g is None or estimate is None or len(estimate.colours) < 2:
        return ()
    return (Notice("colours_reckoned_together", {"colour_count": len(estimate.colours)}),)


def _shortening(plan: HatPlan, checkpoint: Checkpoint, after_round: int) -> Shortening | None:
    """Return the fewest body rounds whose yarn is what is missing; a cable gives up whole repeats.

    The last round of the body stays: the crown grows out of it.
    """
    if checkpoint.missing_g <= 0:
        return None
    ahead = [worked for worked in plan.rounds[after_round:] if worked.section == "body"]
    if not ahead:
        return None
    step = plan.order.fabric.round_repeat_count if plan.order.fabric.is_crossed else 1
    round_count = step * ceil_exact(checkpoint.missing_g / _sure_mass_g(plan, checkpoint) / step)
    if round_count >= len(ahead):
        return None
    return Shortening(round_count=round_count, height_mm=round_count * ahead[0].height_mm)


def _sure_mass_g(plan: HatPlan, checkpoint: Checkpoint) -> float:
    """Return the yarn of a body round, at the certainty that is asked for."""
    assert plan.yarn.estimate is not None
    body = [part.length_m for part in plan.yarn.estimate.parts if part.section == "body"]
    sure = exp(NORMAL_QUANTILES[plan.order.certainty_percent] * checkpoint.remaining_log_sd)
    return sure * sum(body) / len(body) * plan.yarn.estimate.gram_per_m
