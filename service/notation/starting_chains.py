"""What the chain at the beginning of a round counts as, and who says so."""

from collections.abc import Sequence
from dataclasses import replace
from typing import cast

from service.domain.fabrics import BaseStitch
from service.domain.stitches import TURNING_CHAINS
from service.notation.counting import PieceCourse
from service.notation.faults import NotUnderstood
from service.notation.kinds import base_of, stitches_in
from service.notation.made_before import ChainRules, MadeBefore, Realized
from service.notation.tree import (
    ONE,
    BackWork,
    ChainNote,
    Counts,
    Fill,
    Into,
    Join,
    MakeChain,
    Merged,
    NoStartChain,
    Numeral,
    Piece,
    Remark,
    SkipStitches,
    Stitches,
    Times,
    Uncountable,
)
from service.notation.units import Unit, length_of

__all__ = [
    "COUNTED",
    "LONGEST_START",
    "begin_with_chain",
    "readings_of",
    "said_of_every_chain",
    "start_chain_of",
    "told_of",
    "without_turning_chain",
]

#: The longest starting chain: a tall stitch and a wide mesh beside it (convention).
LONGEST_START = 20

#: Pieces that are counted; the others tell how, or nothing.
COUNTED = (Stitches, Merged, Times, Fill, Into, SkipStitches, MakeChain, BackWork, Uncountable)


def start_chain_of(pieces: Sequence[Piece]) -> MakeChain | None:
    """Return the chain a round begins with, also where it is made by the sentence that says what it is."""
    told = None
    for piece in pieces:
        match piece:
            case MakeChain():
                return piece
            case ChainNote(counts, _, column, length) if length is not None:
                told = told or MakeChain(length, counts, column)
            case NoStartChain():
                return None
        if isinstance(piece, COUNTED):
            break
    return told


def told_of(start: MakeChain, pieces: Sequence[Piece], before: MadeBefore) -> Counts | None:
    """Return what the starting chain counts as, from the nearest place that says so.

    The round itself; what was said of every chain; the join, which goes into the chain
    only if that is a stitch. Convention: one chain never counts, it is too short for a stitch.
    Where nothing says it, only a reading that agrees with all the line's numbers is taken.
    """
    noted = next((piece.counts for piece in pieces if isinstance(piece, ChainNote)), None)
    told = start.counts or noted or _rule_for(start.count.values[0], before.chain_rules)
    joined = next((piece for piece in pieces if isinstance(piece, Join) and piece.into == "start"), None)
    if joined is not None and (told is None or (told.is_counting and told.space is None)):
        return replace(told or Counts(ONE), space=_beyond(joined.chain, start))
    if told is not None:
        return told
    return Counts(None) if start.count.values == (1,) else None


def _beyond(joined_chain: Numeral | None, start: MakeChain) -> Numeral | None:
    """Return the chains of a starting chain beyond the one that is joined to: they are a chain space."""
    if joined_chain is None:
        return None
    beyond = tuple(length - joined_chain.values[0] for length in start.count.values)
    return Numeral(beyond, ()) if min(beyond) > 0 else None


def readings_of(start: MakeChain, told: Counts | None, made: Realized) -> tuple[Counts, ...]:
    """Return all that a starting chain may count as, of which only one may agree with its line.

    A chain that is longer than its stitch is tall may be a chain space besides, in a round of chain spaces.

    Parameters
    ----------
    start
        The chain.
    told
        What is said of it.
    made
        The round, if the chain counts as one stitch.
    """
    said = (Counts(ONE), Counts(None)) if told is None else (told,)
    counting = said[0]
    if not (made.space_count and counting.is_counting and counting.space is None):
        return said
    stitch = counting.stitch or next((code for code, _ in stitches_in(made.steps)), "")
    height = TURNING_CHAINS.get(cast(BaseStitch, base_of(stitch))) if stitch else None
    if height is None or min(start.count.values) <= height or (told and not told.stitch):
        return said
    space = Numeral(tuple(length - height for length in start.count.values), ())
    return (*said, replace(counting, space=space))


def said_of_every_chain(pieces: Sequence[Piece]) -> ChainRules:
    """Return what the line says of starting chains from here on."""
    for piece in pieces:
        match piece:
            case ChainNote(counts, is_general, _, length) if is_general or len(pieces) == 1:
                return ((length.values[0] if length else None, counts),)
            case MakeChain(count, Counts(is_throughout=True) as counts):
                return ((count.values[0], counts),)
    return ()


def _rule_for(length: int, rules: ChainRules) -> Counts | None:
    """Return what was said of chains of a length, else of all chains; the latest word holds."""
    for wanted in (length, None):
        for ruled, counts in reversed(rules):
            if ruled == wanted:
                return counts
    return None


def begin_with_chain(course: PieceCourse, start: MakeChain, told: Counts) -> int:
    """Count the starting chain: one that counts stands in the first stitch."""
    chain_count = course.number(start.count)
    if not 1 <= chain_count <= LONGEST_START:
        raise NotUnderstood(
            column=start.column, code="unexpected", detail=f"A starting chain has 1 to {LONGEST_START} ch."
        )
    if told.is_counting:
        if course.number(told.count) != 1:
            raise NotUnderstood(
                column=start.column,
                code="ambiguous",
                detail="A starting chain counts as one stitch or as none.",
            )
        used = 0 if course.in_ring else 1
        space = b"" if told.space is None else length_of(course.number(told.space))
        unit = Unit((), used, 1, made_spaces=len(space), lengths=space)
        if start.place is not None and start.place.unit == "space":
            unit = unit._replace(used=0, used_spaces=used)
        course.add(unit, start.column)
        course.start_counts = True
    return chain_count


def without_turning_chain(pieces: Sequence[Piece], course: PieceCourse) -> Sequence[Piece]:
    """Return the pieces without a chain made only to turn, which must not count for the next row."""
    for index in range(1, len(pieces)):
        match pieces[index - 1], pieces[index]:
            case MakeChain(count, counts) as chain, Remark("TURN"):
                if (counts is None and course.number(count) > 1) or (counts and counts.is_counting):
                    raise NotUnderstood(
                        column=chain.column,
                        code="start_chain_unsaid",
                        detail="Write a chain that counts at the beginning of the row it counts in.",
                    )
                return [*pieces[: index - 1], *pieces[index:]]
    return pieces
