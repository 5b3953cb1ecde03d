"""What a line finds and what it leaves: the counts handed on from round to round."""

from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

from service.domain.rounds import Start
from service.domain.steps import Step, WorkedInto
from service.notation.faults import Fault
from service.notation.kinds import Demand, MadeOf
from service.notation.tree import Counts, Line
from service.notation.units import Unit

__all__ = ["ChainRules", "MadeBefore", "Realized", "RealizedKind", "looked_at", "made_after"]

RealizedKind = Literal["foundation", "round", "closing", "remark", "definition"]

#: What starting chains count as: of a length, or of any (``None``).
ChainRules: TypeAlias = tuple[tuple[int | None, Counts], ...]


@dataclass(frozen=True, slots=True)
class MadeBefore:
    """What a round finds: stitches and chain spaces of the round before, ``None`` where unknown.

    ``is_foundation`` is ``None`` where it is not known whether the round before is the foundation.
    ``chain_rules`` is what was said of every starting chain, ``shell`` what a shell is.
    ``made_of`` is which stitches there are, ``None`` where unknown; ``lengths`` has the length of each
    chain space.
    """

    stitch_count: int | None
    space_count: int | None = 0
    is_foundation: bool | None = False
    is_ring: bool = False
    foundation_stitch_count: int | None = None
    chain_rules: ChainRules = ()
    shell: Unit | None = None
    made_of: MadeOf | None = None
    lengths: bytes = b""


@dataclass(frozen=True, slots=True)
class Realized:
    """A line counted. ``faults`` are wrong counts; a line that cannot be counted has no value.

    Counts are stitches; chain spaces stand apart. A closing makes 0: its stitches are drawn shut.
    A stitch worked in a chain space stands among the steps as any other. ``asked`` and ``asked_spaces``
    say of each stitch and space used up which of the ``demands`` it is to meet.
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
    made_of: MadeOf | None = None
    lengths: bytes = b""
    demands: tuple[Demand, ...] = ()
    asked: bytes = b""
    asked_spaces: bytes = b""


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
                made_of=realized.made_of,
                lengths=b"",
            )
    return replace(
        before,
        stitch_count=realized.stitch_count,
        space_count=realized.space_count,
        is_foundation=False,
        is_ring=False,
        foundation_stitch_count=realized.foundation_stitch_count or before.foundation_stitch_count,
        chain_rules=told,
        made_of=realized.made_of,
        lengths=realized.lengths,
    )


def looked_at(before: MadeBefore, line: Line) -> MadeBefore:
    """Return what a line finds as far as it matters to it: which stitches, only where it names some.

    Two rounds that find the same in this sense are counted alike.

    Examples
    --------
    >>> from service.notation.reader import read_line
    >>> before = MadeBefore(6, made_of=MadeOf(()))
    >>> [looked_at(before, read_line(text, "us")).made_of is None for text in ("sc around", "sc in each dc")]
    [True, False]
    """
    if before.made_of is None or line.names_kinds:
        return before
    return replace(before, made_of=None)
