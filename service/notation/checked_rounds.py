"""What a count check finds: the counts of each instruction line, its verdict, its faults and its repair."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from service.notation.faults import Fault
from service.notation.repairs import Repair

__all__ = ["CheckedRound", "CountCheck", "SizeCount", "Verdict", "worst_of"]

Verdict = Literal["agrees", "undeclared", "disagrees", "not_understood"]

_WORST_LAST: tuple[Verdict, ...] = ("agrees", "undeclared", "disagrees", "not_understood")


@dataclass(frozen=True, slots=True)
class SizeCount:
    """What a line counts for one size of several."""

    consumed_stitch_count: int | None
    stitch_count: int | None
    declared_stitch_count: int | None


@dataclass(frozen=True, slots=True)
class CheckedRound:
    """An instruction line counted: for the first size, and for each where there are several.

    ``round`` is ``None`` for a foundation and a closing; ``last_round`` is the last of a run.
    A run is counted from what its first round uses up to what its last round makes.
    """

    line: int
    round: int | None
    last_round: int | None
    consumed_stitch_count: int | None
    stitch_count: int | None
    declared_stitch_count: int | None
    verdict: Verdict
    faults: tuple[Fault, ...] = ()
    repair: Repair | None = None
    by_size: tuple[SizeCount, ...] = ()


@dataclass(frozen=True, slots=True)
class CountCheck:
    """All instruction lines of a text, the worst of their verdicts, and what it cost to find them."""

    rounds: tuple[CheckedRound, ...]
    verdict: Verdict
    work_units: int = 0


def worst_of(verdicts: Sequence[Verdict]) -> Verdict:
    """Return the worst of some verdicts; none at all agree.

    Examples
    --------
    >>> worst_of(["agrees", "disagrees", "undeclared"])
    'disagrees'
    """
    return max(verdicts, key=_WORST_LAST.index, default="agrees")
