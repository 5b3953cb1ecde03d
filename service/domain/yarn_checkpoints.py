"""Whether the yarn that is left lasts, asked in the middle of the work."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import erf, exp, log, sqrt

from service.domain.rounding import TIE_TOLERANCE
from service.domain.yarn_buying import END_M, INTERVAL_Z, NORMAL_QUANTILES, Certainty
from service.domain.yarn_orders import PartYarn, YarnEstimate, YarnOrder, YarnRange

__all__ = ["Checkpoint", "YarnState", "check_yarn"]

#: How far the rest of a hat may stray from what its beginning took (judgement, no source).
WITHIN_HAT_LOG_SD = 0.04
#: Error of a mass that is the difference of two readings of a kitchen scale (judgement, no source).
WEIGHING_SD_G = 0.7


@dataclass(frozen=True, slots=True)
class YarnState:
    """Where the work stands. ``round_number`` is the last finished round, 0 before the first stitch.

    ``mass_left_g`` is all yarn left, ``mass_used_g`` what went into the work so far, where it was weighed.
    """

    round_number: int
    mass_left_g: float
    mass_used_g: float | None = None


@dataclass(frozen=True, slots=True)
class Checkpoint:
    """What the rest of the work takes, and whether the yarn left lasts.

    ``remaining_g`` is of the stitches still to work; ``reserve_g`` is kept back for ends, joins and
    gathering. ``lasts_to_round`` is the last round that is reached with the certainty asked for,
    ``missing_g`` what would have to be bought to finish with it.
    """

    remaining_g: YarnRange
    remaining_log_sd: float
    reserve_g: float
    lasts_probability: float
    lasts_to_round: int
    missing_g: float


@dataclass(frozen=True, slots=True)
class _Outlook:
    """By what the rest will differ from the estimate: the logarithm of the factor, and its deviation."""

    log_factor: float
    log_sd: float


def check_yarn(
    order: YarnOrder, estimate: YarnEstimate, state: YarnState, *, certainty: Certainty = 95
) -> Checkpoint:
    """Return whether the yarn that is left lasts to the end, and if not how far.

    The rest R is log-normal about the estimate of the rounds not yet worked; the yarn lasts with
    probability ``Phi(ln((left - reserve) / R) / sd)``. Where the yarn used so far was weighed, its ratio to
    the estimate corrects the rest: the two logarithms are combined by inverse variance.

    Parameters
    ----------
    order, estimate
        The work as a whole and its yarn.
    state
        Where the work stands.
    certainty
        How sure ``lasts_to_round`` and ``missing_g`` are. [percent]

    Examples
    --------
    >>> from service.domain.steps import Work
    >>> from service.domain.yarn_estimates import estimate_yarn
    >>> from service.domain.yarn_swatches import Swatch
    >>> from service.domain.yarn_work import work_from_steps
    >>> from service.domain.yarns import Yarn
    >>> rounds = tuple(work_from_steps([Work("sc", 100)], number=number) for number in range(1, 11))
    >>> order = YarnOrder(yarn=Yarn(tex=500), work=rounds, swatch=Swatch(10.0, {"sc": 400}))
    >>> check = check_yarn(order, estimate_yarn(order), YarnState(round_number=6, mass_left_g=8.0))
    >>> round(check.remaining_g.median, 1), round(check.lasts_probability, 3), check.lasts_to_round
    (10.0, 0.0, 8)

    Notes
    -----
    Convention: one hand works the whole hat, so its deviation is common to all rounds.
    """
    gram_per_m = estimate.tex.strand_tex / 1000
    outlook = _outlook(order, estimate, state)
    reserve_g = gram_per_m * _reserve_m(order, estimate, state)
    ahead = [part for part in estimate.parts if not _is_worked(part, state)]
    expected_g = gram_per_m * exp(outlook.log_factor) * sum([part.length_m for part in ahead])
    usable_g = state.mass_left_g - reserve_g
    sure_factor = exp(NORMAL_QUANTILES[certainty] * outlook.log_sd)
    spread = exp(INTERVAL_Z * outlook.log_sd)
    return Checkpoint(
        remaining_g=YarnRange(low=expected_g / spread, median=expected_g, high=expected_g * spread),
        remaining_log_sd=outlook.log_sd,
        reserve_g=reserve_g,
        lasts_probability=_lasts_probability(usable_g, expected_g, outlook.log_sd),
        lasts_to_round=_last_round(
            ahead,
            after=state.round_number,
            reach_m=usable_g / sure_factor / exp(outlook.log_factor) / gram_per_m,
        ),
        missing_g=max(expected_g * sure_factor - usable_g, 0.0),
    )


def _is_worked(part: PartYarn, state: YarnState) -> bool:
    """Return whether a part is done; the foundation is once the first round is."""
    return state.round_number > 0 and part.number <= state.round_number


def _outlook(order: YarnOrder, estimate: YarnEstimate, state: YarnState) -> _Outlook:
    """Return how the rest will differ: the tier's doubt, narrowed by what was weighed so far."""
    prior_sd = estimate.need.mass_log_sd
    worked_m = sum([part.length_m for part in estimate.parts if _is_worked(part, state)])
    if state.mass_used_g is None or worked_m == 0:
        return _Outlook(0.0, prior_sd)
    gram_per_m = estimate.tex.strand_tex / 1000
    stitched_g = state.mass_used_g - gram_per_m * END_M * order.yarn.strand_count
    if stitched_g <= WEIGHING_SD_G:
        return _Outlook(0.0, prior_sd)
    seen = log(stitched_g / (gram_per_m * worked_m))
    seen_variance = WITHIN_HAT_LOG_SD**2 + (WEIGHING_SD_G / stitched_g) ** 2
    weight = prior_sd**2 / (prior_sd**2 + seen_variance)
    return _Outlook(weight * seen, (weight * seen_variance) ** 0.5)


def _reserve_m(order: YarnOrder, estimate: YarnEstimate, state: YarnState) -> float:
    """Return the yarn to keep back: ends not yet left hanging, gathering, and joins still to come."""
    extras = estimate.extras
    if state.round_number == 0:
        return extras.ends_m + extras.joins_m + extras.gathering_m
    total_m = estimate.need.length_m
    ahead_m = sum([part.length_m for part in estimate.parts if not _is_worked(part, state)])
    joins_m = extras.joins_m * ahead_m / total_m if total_m > 0 else 0.0
    return extras.ends_m - END_M * order.yarn.strand_count + joins_m + extras.gathering_m


def _lasts_probability(usable_g: float, expected_g: float, log_sd: float) -> float:
    if usable_g + TIE_TOLERANCE < 0 or (usable_g <= 0 and expected_g > 0):
        return 0.0
    if expected_g <= 0:
        return 1.0
    return (1 + erf(log(usable_g / expected_g) / (log_sd * sqrt(2)))) / 2


def _last_round(ahead: Sequence[PartYarn], *, after: int, reach_m: float) -> int:
    """Return the last round that so much yarn reaches."""
    reached = after
    for part in ahead:
        reach_m -= part.length_m
        if reach_m < -TIE_TOLERANCE:
            return reached
        reached = max(reached, part.number)
    return reached
