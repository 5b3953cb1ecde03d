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
        "from_crown": "The hat is worked from the centre of the crown down.",
        "headband": "The band is worked from its lower edge up.",
        "joined": "Rounds are joined with a slip stitch and not turned: the right side always faces you.",
        "spiral": (
            "Rounds are worked in a spiral, neither joined nor turned. "
            "Mark the first stitch of each round and move the marker up."
        ),
        "start": (
            "A starting chain that does not count stands beside the first stitch: "
            "work that stitch at the foot of the chain, where the round before was joined."
        ),
        "start_counts": (
            "A starting chain that counts is the first stitch: go on in the next stitch. "
            "The next round works its first stitch into the top of it."
        ),
        "raised": (
            "Where a back post and a front post stitch are worked together, "
            "let the front post leg lie on top."
        ),
        "foundation": "Take care not to twist the chain when you join it.",
        "counts": (
            "The number in round brackets at the end of a round is how many stitches it has; "
            "square brackets are worked as often as is said behind them."
        ),
        "post": (
            "FP and BP stitches go around the post of the stitch below: "
            "from front to back to front (FP), or from back to front to back (BP)."
        ),
        "cross": (
            "A cable crosses where stitches are passed over and worked afterwards, behind the stitches "
            "just made or in front of them. Do not lose the ones you passed over: they come next."
        ),
    }
)


def plan_notes(plan: HatPlan) -> tuple[str, ...]:
    """Return how the hat is worked: which way, how rounds begin and end, what its stitches need."""
    return tuple(_NOTES[code] for code in _codes(plan))


def _codes(plan: HatPlan) -> Iterator[str]:
    """Yield which notes hold."""
    if plan.crown is None:
        yield "headband"
    else:
        yield plan.order.worked
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
