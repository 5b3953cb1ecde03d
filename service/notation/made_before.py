"""What a line finds and what it leaves: the counts handed on from round to round."""

from dataclasses import dataclass, field, replace
from typing import Literal, TypeAlias

from service.domain.rounds import Start
from service.domain.steps import Step, WorkedInto
from service.notation.faults import Fault
from service.notation.kinds import Demand, MadeOf
from service.notation.tree import Counts, Line, Numeral
from service.notation.units import Unit

__all__ = [
    "ChainRules",
    "LookedAt",
    "MadeBefore",
    "Realized",
    "RealizedKind",
    "looked_at",
    "made_after",
    "rules_are_sized",
    "taken_at_its_word",
    "turned_over",
]

RealizedKind = Literal["foundation", "round", "closing", "remark", "definition"]

#: What starting chains count as: of a length, or of any (``None``).
ChainRules: TypeAlias = tuple[tuple[int | None, Counts], ...]


@dataclass(frozen=True, slots=True)
class MadeBefore:
    """What a round finds: stitches and chain spaces of the round before, ``None`` where unknown.

    ``is_foundation`` is ``None`` where it is not known whether the round before is the foundation.
    ``chain_rules`` is what was said of every starting chain, ``shells`` what shells are, by name.
    ``made_of`` is which stitches there are, ``None`` where unknown; ``lengths`` has the length of each
    chain space; ``passed`` is how many stitches slip stitches pass before the round begins. Two that differ
    in ``made_of`` only are equal, since few lines look at it: see ``looked_at``. ``order`` is the order of
    stitches and spaces; ``turned`` whether the work was turned since, ``None`` where nobody says;
    ``is_row`` tells that the round before was a row.
    """

    stitch_count: int | None
    space_count: int | None = 0
    is_foundation: bool | None = False
    is_ring: bool = False
    foundation_stitch_count: int | None = None
    chain_rules: ChainRules = ()
    shells: tuple[tuple[str, Unit], ...] = ()
    made_of: MadeOf | None = field(default=None, compare=False)
    lengths: bytes = b""
    passed: tuple[Numeral, ...] = ()
    order: bytes = b""
    turned: bool | None = None
    is_row: bool = False


#: What a line looks at: counts, and which stitches there are where it names some.
LookedAt: TypeAlias = tuple[MadeBefore, MadeOf | None, bool]


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
    shells: tuple[tuple[str, Unit], ...] = ()
    foundation_stitch_count: int | None = None
    faults: tuple[Fault, ...] = ()
    made_of: MadeOf | None = None
    lengths: bytes = b""
    demands: tuple[Demand, ...] = ()
    asked: bytes = b""
    asked_spaces: bytes = b""
    order: bytes = b""
    turned: bool | None = None
    is_row: bool = False


def turned_over(before: MadeBefore) -> MadeBefore:
    """Return what a line finds when the work is turned: the last stitch first.

    Examples
    --------
    >>> turned_over(MadeBefore(3, 1, lengths=bytes([2]), order=b"scss")).order
    b'sscs'
    """
    made_of = before.made_of
    if made_of is not None:
        made_of = replace(made_of, is_turned=not made_of.is_turned)
    return replace(
        before,
        made_of=made_of,
        lengths=before.lengths[::-1],
        order=before.order[::-1],
        turned=not before.turned,
    )


def made_after(realized: Realized, before: MadeBefore) -> MadeBefore:
    """Return what the next line finds after this one.

    Examples
    --------
    >>> made_after(Realized("foundation", stitch_count=72), MadeBefore(None)).foundation_stitch_count
    72
    """
    told = before.chain_rules
    if realized.chain_rules:
        told += tuple(rule for rule in realized.chain_rules if rule not in told)
    if realized.kind == "definition":
        named = dict(realized.shells)
        return replace(
            before, shells=(*(each for each in before.shells if each[0] not in named), *named.items())
        )
    if realized.kind == "remark":
        after = replace(before, chain_rules=told) if told is not before.chain_rules else before
        return _faced(after, realized.turned)
    begins = realized.kind == "foundation"
    foundation = realized.foundation_stitch_count or before.foundation_stitch_count
    after = MadeBefore(
        stitch_count=realized.stitch_count,
        space_count=realized.space_count,
        is_foundation=begins and not realized.is_ring,
        is_ring=realized.is_ring,
        foundation_stitch_count=realized.stitch_count if begins else foundation,
        chain_rules=told,
        shells=before.shells,
        made_of=realized.made_of,
        lengths=realized.lengths,
        order=realized.order,
        is_row=realized.is_row,
    )
    return _faced(after, realized.turned)


def _faced(after: MadeBefore, turned: bool | None) -> MadeBefore:
    if turned is None:
        return after
    return turned_over(after) if turned else replace(after, turned=bool(after.turned))


def taken_at_its_word(before: MadeBefore, declared: int | None, *, is_foundation: bool | None) -> MadeBefore:
    """Return what a line finds behind one of which only the declared count is known.

    Examples
    --------
    >>> taken_at_its_word(MadeBefore(60), 72, is_foundation=False).stitch_count
    72
    """
    return MadeBefore(
        stitch_count=declared,
        space_count=None,
        is_foundation=is_foundation,
        foundation_stitch_count=before.foundation_stitch_count,
        chain_rules=before.chain_rules,
        shells=before.shells,
    )


def looked_at(before: MadeBefore, line: Line) -> LookedAt:
    """Return what a line finds as far as it matters to it: which stitches, only where it names some.

    A line that finds the same in this sense is counted alike.

    Examples
    --------
    >>> from service.notation.reader import read_line
    >>> before = MadeBefore(6, made_of=MadeOf(()))
    >>> [looked_at(before, read_line(text, "us"))[1] is None for text in ("sc around", "sc in each dc")]
    [True, False]
    """
    is_row = line.label is not None and line.label.is_row
    return before, before.made_of if line.names_kinds else None, is_row


def rules_are_sized(before: MadeBefore) -> bool:
    """Return whether what was said of starting chains gives a number for each size.

    Examples
    --------
    >>> from service.notation.tree import ONE
    >>> one_for_all, one_for_each = (((3, Counts(count)),) for count in (ONE, Numeral((1, 0), ())))
    >>> rules_are_sized(MadeBefore(60, chain_rules=one_for_all))
    False
    >>> rules_are_sized(MadeBefore(60, chain_rules=one_for_each))
    True
    """
    return any(
        len(numeral.values) > 1
        for _, counts in before.chain_rules
        for numeral in (counts.count, counts.space)
        if numeral is not None
    )
