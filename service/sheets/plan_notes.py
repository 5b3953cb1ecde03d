"""The notes above the rounds of a hat: how it is worked, in general."""

from collections.abc import Iterator

from service.domain.hats import HatPlan
from service.domain.steps import Cross, Repeat, Step, stitch_tallies
from service.notation.terms import is_post
from service.sheets.sheet_words import NOTES

__all__ = ["plan_notes"]


def plan_notes(plan: HatPlan) -> tuple[str, ...]:
    """Return how the hat is worked: which way, how rounds begin and end, what its stitches need."""
    return tuple(NOTES[code] for code in _codes(plan))


def _codes(plan: HatPlan) -> Iterator[str]:
    """Yield which notes hold."""
    if plan.crown is None:
        yield "headband"
    else:
        yield plan.order.worked
    if plan.foundation_stitch_count:
        yield "foundation"
    yield "joined" if plan.order.manner.is_joined else "spiral"
    yield "counts"
    if any(_has_post(worked.steps) for worked in plan.rounds):
        yield "post"
    if any(_crosses(worked.steps) for worked in plan.rounds):
        yield "cross"


def _has_post(steps: tuple[Step, ...]) -> bool:
    return any(
        is_post(stitch if isinstance(stitch, str) else stitch[0]) for stitch, _ in stitch_tallies(steps)
    )


def _crosses(steps: tuple[Step, ...]) -> bool:
    return any(
        isinstance(step, Cross) or (isinstance(step, Repeat) and _crosses(step.steps)) for step in steps
    )
