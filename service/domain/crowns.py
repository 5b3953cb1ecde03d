"""Crowns: from the stitches at the wide edge to the centre, or from the centre outward."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from service.domain.crown_closing import ClosingLimits
from service.domain.crown_drafts import (
    CrownDraft,
    crown_limits,
    draft_crown,
    draft_target,
    draft_targets_mm,
    smallest_crown_round_count,
)
from service.domain.crown_orders import CrownOrder, CrownReview, CrownRound, CrownSchedule
from service.domain.crown_reviews import (
    GATHERS_MAX,
    SUPPOSED_YARN_DIAMETER_MM,
    CrownJudgement,
    CrownQuestion,
    closing_notices,
    judge_crown,
)
from service.domain.crown_targets import (
    DOME_HEIGHT_RATIO,
    GATHERED_DEPTH_RATIO,
    TAPER_HALF_ANGLE_DEGREES,
    CrownShape,
    CrownTarget,
    Worked,
)
from service.domain.crown_work import CrownWork
from service.domain.errors import CrownCannotClose, PatternMathError
from service.domain.fabrics import Fabric
from service.domain.report import Assumption, Notice
from service.domain.rounding import TIE_TOLERANCE
from service.domain.steps import WorkedInto

__all__ = ["default_crown_shape", "plan_crown", "review_crown", "smallest_crown_round_count"]


#: A rounded crown shorter than this share of its arc is gathered in rather than squeezed (convention).
_ARC_SHARE_THAT_GATHERS = 0.9


def default_crown_shape(fabric: Fabric | None, worked: Worked, *, is_slouch: bool = False) -> CrownShape:
    """Return the shape of a crown when nobody says.

    Cables worked from the brim gather; plain crowns worked from the crown, and slouches, are flat discs;
    any other is rounded.

    Examples
    --------
    >>> default_crown_shape(None, "from_brim"), default_crown_shape(None, "from_crown")
    ('rounded', 'flat')

    Notes
    -----
    Common practice, no source: published hats from the crown down are nearly all discs.
    """
    if fabric is not None and fabric.is_crossed and worked == "from_brim":
        return "gathered"
    is_plain = fabric is None or not fabric.is_textured
    return "flat" if is_slouch or (is_plain and worked == "from_crown") else "rounded"


def plan_crown(order: CrownOrder, *, work: CrownWork | None = None) -> CrownSchedule:
    """Return the schedule of a crown.

    Parameters
    ----------
    work
        What finding it may weigh, shared by all crowns of one request; ``None`` for a crown by itself.

    Raises
    ------
    CrownCannotClose
        If the rounds asked for are too few to close, or to taper.
    FabricTooComplex
        If the exact crown would weigh more than is left.
    HatOutOfBounds
        If the crown would have more than 400 rounds.
    RepeatWiderThanHat
        If the stitches hold no whole repeat of the fabric.
    ShapingOutOfReach
        If repeats, groups or sections do not divide the stitches, or nothing closes between the limits.

    Examples
    --------
    >>> order = CrownOrder(
    ...     start_stitch_count=72, stitch_width_mm=7.2, round_height_mm=13.0, stitch="dc", section_count=9
    ... )
    >>> schedule = plan_crown(order)
    >>> schedule.stitch_counts, schedule.verdict
    ((72, 72, 63, 54, 45, 36, 27, 18, 9), 'soft')
    """
    limits = crown_limits(order)
    draft = draft_crown(order, limits, CrownWork() if work is None else work)
    return _schedule(order, limits, draft)


def _schedule(order: CrownOrder, limits: ClosingLimits, draft: CrownDraft) -> CrownSchedule:
    counts = tuple(row.stitch_count for row in draft.rounds)
    question = _question(order, limits, draft.target, draft.targets_mm, counts)
    judgement = judge_crown(question)
    notices = _notices(order, question, judgement)
    return CrownSchedule(
        crown_shape=order.crown_shape,
        worked=order.worked,
        target=draft.target,
        rounds=_crown_rounds(order, draft),
        closing_stitch_count=question.closing_stitch_count,
        depth_mm=question.depth_mm,
        cost=draft.cost,
        judgement=judgement,
        section_count=draft.section_count,
        crown_group_count=draft.group_count,
        work_units=draft.work_units,
        notices=notices,
        assumptions=tuple(_assumptions(order, limits, notices)),
    )


def _question(
    order: CrownOrder,
    limits: ClosingLimits,
    target: CrownTarget,
    targets_mm: tuple[float, ...],
    counts: tuple[int, ...],
) -> CrownQuestion:
    return CrownQuestion(
        start_stitch_count=order.start_stitch_count,
        stitch_counts=counts,
        target=target,
        shape=order.crown_shape,
        round_targets_mm=targets_mm,
        stitch_width_mm=order.stitch_width_mm,
        round_height_mm=order.round_height_mm,
        worked=order.worked,
        is_textured=order.textured_fabric is not None,
        closing_stitch_count_max=limits.stitch_count_max,
    )


def _crown_rounds(order: CrownOrder, draft: CrownDraft) -> tuple[CrownRound, ...]:
    before = order.start_stitch_count if order.worked == "from_brim" else 0
    rounds = []
    for number, (row, target_mm) in enumerate(zip(draft.rounds, draft.targets_mm, strict=True), 1):
        worked_into: WorkedInto = "ring" if number == 1 and order.worked == "from_crown" else "previous_round"
        rounds.append(
            CrownRound(
                number=number,
                kind=row.kind,
                worked_into=worked_into,
                consumed_stitch_count=before,
                stitch_count=row.stitch_count,
                steps=row.steps,
                columns=row.columns,
                target_circumference_mm=target_mm,
                fabric_circumference_mm=row.stitch_count * order.stitch_width_mm,
            )
        )
        before = row.stitch_count
    return tuple(rounds)


def _notices(order: CrownOrder, question: CrownQuestion, judgement: CrownJudgement) -> tuple[Notice, ...]:
    notices: list[Notice] = []
    arc_mm, error = question.target.arc_mm, judgement.shape_error
    is_short = question.depth_mm < _ARC_SHARE_THAT_GATHERS * arc_mm - TIE_TOLERANCE
    if error > GATHERS_MAX + TIE_TOLERANCE:
        notices.append(Notice("crown_pouches", {"shape_error": error}))
    elif (order.crown_shape != "gathered" and judgement.verdict == "gathers") or (
        order.crown_shape == "rounded" and is_short
    ):
        notices.append(Notice("crown_gathers", {"depth_mm": question.depth_mm, "arc_mm": arc_mm}))
    to_block = [row.round for row in judgement.diagnosis if row.code == "needs_blocking"]
    if judgement.verdict == "soft" or to_block:
        notices.append(Notice("needs_blocking", {"shape_error": error, "round_count": len(to_block)}))
    if order.worked == "from_brim":
        closing = question.closing_stitch_count
        notices += closing_notices(closing, yarn_diameter_mm=order.yarn_diameter_mm)
    return tuple(notices)


def _assumptions(order: CrownOrder, limits: ClosingLimits, notices: Iterable[Notice]) -> Iterable[Assumption]:
    """Yield the priors that the crown rests on, where nothing was given instead."""
    practice = "common practice, no source"
    if order.crown_shape in ("rounded", "gathered"):
        yield Assumption("dome_height_ratio", DOME_HEIGHT_RATIO, "", "M", "several weak sources agree")
    if order.asked_round_count is None and order.crown_shape == "gathered":
        yield Assumption("gathered_depth_ratio", GATHERED_DEPTH_RATIO, "", "L", practice)
    if order.asked_round_count is None and order.crown_shape == "tapered":
        angle = TAPER_HALF_ANGLE_DEGREES
        yield Assumption("taper_half_angle_degrees", angle, "", "L", "our own judgement")
    if order.closing_stitch_count_max is None:
        yield Assumption("closing_stitch_count_max", limits.stitch_count_max, "stitch", "L", practice)
    if order.yarn_diameter_mm is None and any(notice.code == "too_many_to_close" for notice in notices):
        yield Assumption("yarn_diameter_mm", SUPPOSED_YARN_DIAMETER_MM, "mm", "L", "worsted; our judgement")


def review_crown(order: CrownOrder, stitch_counts: Sequence[int]) -> CrownReview:
    """Return a judgement on given counts, and the crown that would be planned in as many rounds.

    A tapered crown shorter than the radius of the hat is judged by the usual cone.

    Parameters
    ----------
    order
        What the counts should follow; its rounds and depth are those of the counts.
    stitch_counts
        Stitches of each round, in working order. [stitches, >= 1]

    Examples
    --------
    >>> order = CrownOrder(
    ...     start_stitch_count=100, stitch_width_mm=5.0, round_height_mm=6.875, stitch="dc",
    ...     crown_shape="gathered",
    ... )
    >>> review = review_crown(order, [60, 60, 60, 40, 40, 30, 10, 5])
    >>> review.judgement.verdict, round(review.judgement.shape_error, 3)
    ('gathers', 0.189)
    """
    own = replace(order, round_count=len(stitch_counts), depth_mm=None)
    limits = crown_limits(own)
    target = _reviewed_target(own)
    targets_mm = draft_targets_mm(own, target, len(stitch_counts))
    question = _question(own, limits, target, targets_mm, tuple(stitch_counts))
    judgement = judge_crown(question)
    return CrownReview(
        target=target,
        judgement=judgement,
        depth_mm=question.depth_mm,
        proposal=_proposal(own),
        notices=_notices(own, question, judgement),
    )


def _reviewed_target(order: CrownOrder) -> CrownTarget:
    try:
        return draft_target(order, CrownWork())
    except CrownCannotClose:
        return draft_target(replace(order, round_count=None), CrownWork())


def _proposal(order: CrownOrder) -> CrownSchedule | None:
    try:
        return plan_crown(order)
    except PatternMathError:
        return None
