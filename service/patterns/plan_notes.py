"""The notes above the rounds of a hat: how it is worked, in general, as one table."""

from collections.abc import Iterator, Mapping
from types import MappingProxyType

from service.domain.hats import HatPlan
from service.domain.steps import Cross, Repeat, Step, stitch_tallies
from service.notation.terms import is_post

__all__ = ["plan_notes"]

_NOTES: Mapping[str, str] = MappingProxyType(
    {
        "from_brim": "The hat is worked from the brim up.",
        "from_edge": "The hat is worked from its lower edge up.",
        "from_crown": "The hat is worked from the centre of the crown down.",
        "headband": "The band is worked from its lower edge up.",
        "foundation": "Take care not to twist the chain when you join it.",
        "joined": "Rounds are joined with a slip stitch and not turned: the right side always faces you.",
        "spiral": (
            "Rounds are worked in a spiral, neither joined nor turned. "
            "Mark the first stitch of each round and move the marker up."
        ),
        "start": (
            "A starting chain that does not count as a stitch stands beside the first stitch. "
            "Work that stitch at the foot of the chain, where the round before was joined."
        ),
        "start_counts": (
            "A starting chain that counts as a stitch is the first stitch of its round: "
            "go on in the next stitch. To the round after it, its top is a stitch like any other."
        ),
        "counts": (
            "The number in round brackets at the end of a round is how many stitches it has. "
            "Work what stands in square brackets as many times as it says behind them."
        ),
        "post": (
            "Work FP and BP stitches around the post of the stitch below instead of into its top: "
            "FP from front to back to front, BP from back to front to back."
        ),
        "cross": (
            "To cross a cable, pass over some stitches, work the next ones, then go back to those you passed "
            "over: behind the stitches just made or in front of them, as the round says."
        ),
        "raised": (
            "Where a back post and a front post stitch are worked together, "
            "let the leg of the front post stitch lie on top."
        ),
    }
)


def plan_notes(plan: HatPlan) -> tuple[str, ...]:
    """Return how the hat is worked: which way, how rounds begin and end, what its stitches need."""
    return tuple(_NOTES[code] for code in _codes(plan))


def _codes(plan: HatPlan) -> Iterator[str]:
    """Yield which notes hold."""
    yield _way(plan)
    if plan.foundation_stitch_count:
        yield "foundation"
    yield "joined" if plan.order.manner.is_joined else "spiral"
    starts = {worked.start.counts_as_stitch for worked in plan.rounds if worked.start is not None}
    if False in starts:
        yield "start"
    if True in starts:
        yield "start_counts"
    yield "counts"
    if any(_has_post(worked.steps) for worked in plan.rounds):
        yield "post"
    if any(_crosses(worked.steps) for worked in plan.rounds):
        yield "cross"
    if any(_joins_faces(worked.steps) for worked in plan.rounds):
        yield "raised"


def _way(plan: HatPlan) -> str:
    """Return where the work begins."""
    if plan.crown is None:
        return "headband"
    if plan.order.is_from_brim and plan.order.brim is None:
        return "from_edge"
    return plan.order.worked


def _has_post(steps: tuple[Step, ...]) -> bool:
    return any(
        is_post(stitch if isinstance(stitch, str) else stitch[0]) for stitch, _ in stitch_tallies(steps)
    )


def _crosses(steps: tuple[Step, ...]) -> bool:
    return any(
        isinstance(step, Cross) or (isinstance(step, Repeat) and _crosses(step.steps)) for step in steps
    )


def _joins_faces(steps: tuple[Step, ...]) -> bool:
    """Return whether stitches of different faces are worked together."""
    return any(len(set(stitch)) > 1 for stitch, _ in stitch_tallies(steps) if not isinstance(stitch, str))
