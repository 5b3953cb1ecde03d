"""What a line finds and what it leaves: the counts handed on from round to round."""

from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

from service.domain.rounds import Start
from service.domain.steps import Step, WorkedInto
from service.notation.faults import Fault
from service.notation.tree import (
    Counts,
)
from service.notation.units import Unit

__all__ = ["ChainRules", "MadeBefore", "Realized", "RealizedKind", "made_after"]

RealizedKind = Literal["foundation", "round", "closing", "remark", "definition"]

#: What starting chains count as: of a length, or of any (``None``).
ChainRules: TypeAlias = tuple[tuple[int | None, Counts], ...]


@dataclass(frozen=True, slots=True)
class MadeBefore:
    """What a round finds: stitches and chain spaces of the round before, ``None`` where unknown.

    ``is_foundation`` is ``None`` where it is not known whether the round before is the foundation.
    ``chain_rules`` is what was said of every starting chain, ``shell`` what a shell is.
    """

    stitch_count: int | None
    space_count: int | None = 0
    is_foundation: bool | None = False
    is_ring: bool = False
    foundation_stitch_count: int | None = None
    chain_rules: ChainRules = ()
    shell: Unit | None = None


@dataclass(frozen=True, slots=True)
class Realized:
    """A line counted. ``faults`` are wrong counts; a line that cannot be counted has no value.

    Counts are stitches; chain spaces stand apart. A closing makes 0: its stitches are drawn shut.
    A stitch worked in a chain space stands among the steps as any other.
    """

    kind: RealizedKind
    steps: tuple[Step, ...] = ()
    start: Start | None = None
    join: str | None = None
    worked_into: WorkedInto = "previous_round"
    consumed_stitch_count: int = 0
    stitch_count: int = 0
    space_count: int = 0
    is_ring: bool = False
    chain_rules: ChainRules = ()
    shell: Unit | None = None
    foundation_stitch_count: int | None = None
    faults: tuple[Fault, ...] = ()


def made_after(realized: Realized, before: MadeBefore) -> MadeBefore:
    """Return what the next line finds after this one.

    Examples
    --------
    >>> made_after(Realized("foundation", stitch_count=72), MadeBefore(None)).foundation_stitch_count
    72
    """
    told = before.chain_rules + tuple(rule for rule in realized.chain_rules if rule not in before.chain_rules)
    match realized.kind:
        case "definition":
            return replace(before, shell=realized.shell)
        case "remark":
            return replace(before, chain_rules=told)
        case "foundation":
            return replace(
                before,
                stitch_count=realized.stitch_count,
                space_count=0,
                is_foundation=not realized.is_ring,
                is_ring=realized.is_ring,
                foundation_stitch_count=realized.stitch_count,
            )
    return replace(
        before,
        stitch_count=realized.stitch_count,
        space_count=realized.space_count,
        is_foundation=False,
        is_ring=False,
        foundation_stitch_count=realized.foundation_stitch_count or before.foundation_stitch_count,
        chain_rules=told,
    )
