"""Whether the yarn that is left lasts, asked in the middle of the work."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import erf, exp, hypot, log, sqrt

from service.domain.errors import ColourUnmatched, RoundBeyondEnd
from service.domain.report import Notice
from service.domain.rounding import TIE_TOLERANCE
from service.domain.yarn_buying import END_M, NORMAL_QUANTILES, Certainty, Extras, YarnNeed
from service.domain.yarn_orders import (
    ColourPart,
    ColourYarn,
    PartYarn,
    YarnEstimate,
    YarnOrder,
    YarnRange,
)

__all__ = ["Checkpoint", "YarnState", "check_states", "check_yarn"]

#: How far the rest of a hat may stray from what its beginning took (judgement, no source).
WITHIN_HAT_LOG_SD = 0.04
#: Error of a mass that is the difference of two readings of a kitchen scale (judgement, no source).
WEIGHING_SD_G = 0.7
#: From so many standard deviations on, a weighing is rather a slip than chance (convention).
DOUBTED_SDS = 3


@dataclass(frozen=True, slots=True)
class YarnState:
    """Where the work stands. ``round_number`` is the last finished round, 0 before the first stitch.

    ``mass_left_g`` is all yarn left, ``mass_used_g`` what went into the work so far, where it was weighed.
    Both are of one ``colour`` where one is named.
    """

    round_number: int
    mass_left_g: float
    mass_used_g: float | None = None
    colour: str | None = None


@dataclass(frozen=True, slots=True)
class Checkpoint:
    """What the rest of the work takes, and whether the yarn left lasts.

    ``remaining_g`` is of the stitches still to work; ``reserve_g`` is kept back for ends, joins and
    gathering. ``lasts_to_round`` is the last round that is reached with the certainty asked for,
    ``missing_g`` what would have to be bought to finish with it. A notice doubts what was weighed.
    """

    remaining_g: YarnRange
    remaining_log_sd: float
    reserve_g: float
    lasts_probability: float
    lasts_to_round: int
    missing_g: float
    notices: tuple[Notice, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Course:
    """The yarn that a state is held against: all of the work's, or one colour's.

    ``ends_left_m`` hangs from the work already.
    """

    parts: Sequence[PartYarn | ColourPart]
    last_round: int
    need: YarnNeed
    extras: Extras
    gram_per_m: float
    ends_left_m: float


@dataclass(frozen=True, slots=True)
class _Outlook:
    """By what the rest will differ from the estimate: the logarithm of the factor, and its deviation."""

    log_factor: float
    log_sd: float


def check_states(
    order: YarnOrder, estimate: YarnEstimate, states: Sequence[YarnState]
) -> tuple[Checkpoint, ...]:
    """Return for each state whether the yarn that is left lasts, as sure as the order asks.

    Work of several colours is weighed colour by colour; see :func:`check_yarn`.

    Parameters
    ----------
    order, estimate
        The work as a whole and its yarn.
    states
        Where the work stands, or stood.

    Raises
    ------
    RoundBeyondEnd
        If a state is of a round after the last.
    ColourUnmatched
        If a state names a colour that is not worked, or none where there are several.

    Examples
    --------
    >>> from service.domain.steps import Work
    >>> from service.domain.yarn_estimates import estimate_yarn
    >>> from service.domain.yarn_swatches import Swatch
    >>> from service.domain.yarn_work import work_from_steps
    >>> from service.domain.yarns import Yarn
    >>> rounds = tuple(work_from_steps([Work("sc", 100)], number=number) for number in range(1, 11))
    >>> order = YarnOrder(yarn=Yarn(tex=500), work=rounds, swatch=Swatch(10.0, {"sc": 400}))
    >>> states = [YarnState(round_number=number, mass_left_g=18.0) for number in (0, 4)]
    >>> [each.lasts_to_round for each in check_states(order, estimate_yarn(order), states)]
    [6, 10]
    """
    return tuple(
        _check(_course_of(order, estimate, state, position), state, order.certainty_percent)
        for position, state in enumerate(states)
    )


def _course_of(order: YarnOrder, estimate: YarnEstimate, state: YarnState, position: int) -> _Course:
    last_round = estimate.parts[-1].number
    if state.round_number > last_round:
        raise RoundBeyondEnd(round_number=state.round_number, largest_round=last_round)
    if not estimate.colours and state.colour is None:
        return _whole_course(order, estimate, state)
    found = [each for each in estimate.colours if state.colour in (each.colour, None)]
    if len(found) == 1:
        return _colour_course(estimate, found[0], state)
    raise ColourUnmatched(entry_kind="state", position=position, fault="unsaid" if found else "not_worked")


def _whole_course(order: YarnOrder, estimate: YarnEstimate, state: YarnState) -> _Course:
    one_end_m = END_M * order.yarn.strand_count if state.round_number > 0 else 0.0
    by_colour = [_ends_left_m(colour, state) for colour in estimate.colours]
    return _Course(
        parts=estimate.parts,
        last_round=estimate.parts[-1].number,
        need=estimate.need,
        extras=estimate.extras,
        gram_per_m=estimate.gram_per_m,
        ends_left_m=sum(by_colour) if by_colour else one_end_m,
    )


def _colour_course(estimate: YarnEstimate, colour: ColourYarn, state: YarnState) -> _Course:
    return _Course(
        parts=colour.parts,
        last_round=estimate.parts[-1].number,
        need=colour.need,
        extras=colour.extras,
        gram_per_m=colour.tex.strand_tex / 1000,
        ends_left_m=_ends_left_m(colour, state),
    )


def _ends_left_m(colour: ColourYarn, state: YarnState) -> float:
    """Return the ends that hang already: two of each strand, one of those that are still on the hook."""
    worked = [part for part in colour.parts if _is_worked(part, state)]
    if not worked:
        return 0.0
    on_the_hook = worked[-1].strand_count if worked[-1].number == state.round_number else 0
    return END_M * (2 * worked[-1].begun_count - on_the_hook)


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
    return _check(_whole_course(order, estimate, state), state, certainty)


def _check(course: _Course, state: YarnState, certainty: Certainty) -> Checkpoint:
    outlook = _outlook(course, state)
    reserve_g = course.gram_per_m * _reserve_m(course, state)
    ahead = [part for part in course.parts if not _is_worked(part, state)]
    expected_g = course.gram_per_m * exp(outlook.log_factor) * sum([part.length_m for part in ahead])
    usable_g = state.mass_left_g - reserve_g
    sure_factor = exp(NORMAL_QUANTILES[certainty] * outlook.log_sd)
    reach_m = usable_g / sure_factor / exp(outlook.log_factor) / course.gram_per_m
    return Checkpoint(
        remaining_g=YarnRange.around(expected_g, log_sd=outlook.log_sd),
        remaining_log_sd=outlook.log_sd,
        reserve_g=reserve_g,
        lasts_probability=_lasts_probability(usable_g, expected_g, outlook.log_sd),
        lasts_to_round=_last_round(
            ahead, after=state.round_number, last_round=course.last_round, reach_m=reach_m
        ),
        missing_g=max(expected_g * sure_factor - usable_g, 0.0),
        notices=_weighing_notices(course, state),
    )


def _weighing_notices(course: _Course, state: YarnState) -> tuple[Notice, ...]:
    """Return a doubt where the yarn used is further from the estimate than three deviations explain."""
    if state.mass_used_g is None:
        return ()
    worked_m = sum([part.length_m for part in course.parts if _is_worked(part, state)])
    expected_g = course.gram_per_m * (worked_m + course.ends_left_m)
    factor = exp(DOUBTED_SDS * hypot(course.need.mass_log_sd, WITHIN_HAT_LOG_SD))
    scale_g = DOUBTED_SDS * WEIGHING_SD_G
    low_g, high_g = max(expected_g / factor - scale_g, 0.0), expected_g * factor + scale_g
    if low_g <= state.mass_used_g <= high_g:
        return ()
    values: dict[str, int | float | str] = {
        "round": state.round_number,
        "mass_g": state.mass_used_g,
        "low_g": low_g,
        "high_g": high_g,
    }
    return (Notice("weighing_unlikely", values),)


def _is_worked(part: PartYarn | ColourPart, state: YarnState) -> bool:
    """Return whether a part is done; the foundation is once the first round is."""
    return state.round_number > 0 and part.number <= state.round_number


def _outlook(course: _Course, state: YarnState) -> _Outlook:
    """Return how the rest will differ: the tier's doubt, narrowed by what was weighed so far."""
    prior_sd = course.need.mass_log_sd
    worked_m = sum([part.length_m for part in course.parts if _is_worked(part, state)])
    if state.mass_used_g is None or worked_m == 0:
        return _Outlook(0.0, prior_sd)
    stitched_g = state.mass_used_g - course.gram_per_m * course.ends_left_m
    if stitched_g <= WEIGHING_SD_G:
        return _Outlook(0.0, prior_sd)
    seen = log(stitched_g / (course.gram_per_m * worked_m))
    seen_variance = WITHIN_HAT_LOG_SD**2 + (WEIGHING_SD_G / stitched_g) ** 2
    weight = prior_sd**2 / (prior_sd**2 + seen_variance)
    return _Outlook(weight * seen, (weight * seen_variance) ** 0.5)


def _reserve_m(course: _Course, state: YarnState) -> float:
    """Return the yarn to keep back: ends not yet left hanging, gathering, and joins still to come."""
    extras = course.extras
    if state.round_number == 0:
        return extras.ends_m + extras.joins_m + extras.gathering_m
    total_m = course.need.length_m
    ahead_m = sum([part.length_m for part in course.parts if not _is_worked(part, state)])
    joins_m = extras.joins_m * ahead_m / total_m if total_m > 0 else 0.0
    return extras.ends_m - course.ends_left_m + joins_m + extras.gathering_m


def _lasts_probability(usable_g: float, expected_g: float, log_sd: float) -> float:
    if usable_g + TIE_TOLERANCE < 0 or (usable_g <= 0 and expected_g > 0):
        return 0.0
    if expected_g <= 0:
        return 1.0
    return (1 + erf(log(usable_g / expected_g) / (log_sd * sqrt(2)))) / 2


def _last_round(
    ahead: Sequence[PartYarn | ColourPart], *, after: int, last_round: int, reach_m: float
) -> int:
    """Return the last round that so much yarn reaches; a colour rests in rounds of other colours."""
    for part in ahead:
        reach_m -= part.length_m
        if reach_m < -TIE_TOLERANCE:
            return max(after, part.number - 1)
    return max(after, last_round)
