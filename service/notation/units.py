"""Some steps as one unit, with what they use up and make: the small change of counting."""

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from service.domain.steps import Chain, IntoOne, Step, Together, Work, repeated
from service.domain.stitches import PLAIN_CODES
from service.notation.faults import NotUnderstood
from service.notation.lexicon import SPECIAL_STITCHES
from service.notation.tree import Numeral

__all__ = [
    "FEWEST_LEGS",
    "LONGEST_LENGTH",
    "MOST_LEGS",
    "MOST_STITCHES",
    "MOST_TIMES",
    "UNNAMED_STITCH",
    "Change",
    "Unit",
    "ambiguous",
    "chains_apart",
    "codes_of",
    "count_of_stitches",
    "in_one_place",
    "is_special",
    "left_over",
    "length_of",
    "order_of",
    "ordinal",
    "refuse_zero",
    "worked_once",
]

FEWEST_LEGS, MOST_LEGS = 2, 8
MOST_STITCHES = 4000
MOST_TIMES = 2000
#: The length of a chain space as it stands in a row: longer ones are not told apart.
LONGEST_LENGTH = 255
#: Convention: in a round that names no stitch, increases and decreases are of the shortest one.
UNNAMED_STITCH = "sc"

_TOGETHER = re.compile(r"(?P<leg>\w+?)(?P<legs>[2-8])tog")
_MANNERS = ("fp", "bp", "fl", "bl")


@dataclass(frozen=True, slots=True)
class Change:
    """Another value for one written number: how a repair is tried."""

    column: int
    value: int


class Unit(NamedTuple):
    """Some steps with what they use up and make, in stitches and in chain spaces.

    ``asked`` and ``asked_spaces`` have a byte for each that is used up: which of the names that were asked
    for it answers to, 0 for none; they may end early. ``lengths`` has the length of each chain space made.
    ``order_used`` and ``order_made`` have an ``s`` for each stitch and a ``c`` for each chain space, in their
    order; they may end early where only stitches follow, and are empty where all spaces follow all stitches.
    """

    steps: tuple[Step, ...]
    used: int = 0
    made: int = 0
    used_spaces: int = 0
    made_spaces: int = 0
    asked: bytes = b""
    asked_spaces: bytes = b""
    lengths: bytes = b""
    order_used: bytes = b""
    order_made: bytes = b""

    def times(self, count: int) -> "Unit":
        """Return the unit done so many times.

        Examples
        --------
        >>> Unit((Work("sc", 2),), 2, 2).times(3)[:5]
        ((Work(stitch='sc', count=6),), 6, 6, 0, 0)
        """
        if count == 1:
            return self
        steps = repeated(count, self.steps) if self.steps and count else ()
        if not (self.asked or self.asked_spaces or self.lengths or self.order_used):
            return Unit(
                steps,
                count * self.used,
                count * self.made,
                count * self.used_spaces,
                count * self.made_spaces,
            )
        return Unit(
            steps,
            count * self.used,
            count * self.made,
            count * self.used_spaces,
            count * self.made_spaces,
            _row_repeated(self.asked, self.used, count),
            _row_repeated(self.asked_spaces, self.used_spaces, count),
            _row_repeated(self.lengths, self.made_spaces, count),
            _order_repeated(self.order_used, self.used, self.used_spaces, count),
            _order_repeated(self.order_made, self.made, self.made_spaces, count),
        )


def _row_repeated(row: bytes, length: int, count: int) -> bytes:
    """Return a row so many times; one that is longer than any round is not made, since it is refused."""
    if not row or length * count > MOST_STITCHES:
        return b""
    return row.ljust(length, b"\0") * count


def order_of(order: bytes, stitches: int, spaces: int) -> bytes:
    """Return stitches and chain spaces in their order, an ``s`` and a ``c`` for each.

    Examples
    --------
    >>> order_of(b"sc", 3, 1), order_of(b"", 2, 1)
    (b'scss', b'ssc')
    """
    if order:
        return order.ljust(stitches + spaces, b"s")
    if stitches + spaces > 2 * MOST_STITCHES:
        return b""
    return b"s" * stitches + b"c" * spaces


def _order_repeated(order: bytes, stitches: int, spaces: int, count: int) -> bytes:
    """Return an order so many times; one that is longer than any round is not made."""
    if not spaces or (not order and not stitches) or (stitches + spaces) * count > 2 * MOST_STITCHES:
        return b""
    return order_of(order, stitches, spaces) * count


def length_of(chains: int) -> bytes:
    """Return the length of a chain space as it stands in a row; 255 stands for all longer ones too."""
    return bytes([min(chains, LONGEST_LENGTH)])


def ordinal(number: int) -> str:
    """Return a number as a place in a row.

    Examples
    --------
    >>> ordinal(1), ordinal(11), ordinal(22), ordinal(103)
    ('1st', '11th', '22nd', '103rd')
    """
    if number % 100 in (11, 12, 13):
        return f"{number}th"
    return f"{number}{ {1: 'st', 2: 'nd', 3: 'rd'}.get(number % 10, 'th') }"


def count_of_stitches(count: int) -> str:
    """Return so many stitches in words."""
    return f"{count} stitch" if count == 1 else f"{count} stitches"


@lru_cache(maxsize=1024)
def worked_once(code: str, change: str, loop: str) -> tuple[str, Unit]:
    """Return the stitch of which a code is made, and the unit of working it once."""
    together = _TOGETHER.fullmatch(code)
    stitch = _in_loop(together["leg"] if together else code, loop)
    if change == "inc":
        return stitch, Unit((IntoOne((stitch, stitch)),), 1, 2)
    legs = int(together["legs"]) if together else 2 if change == "dec" else 1
    if legs > 1:
        return stitch, Unit((Together((stitch,) * legs),), legs, 1)
    return stitch, Unit((Work(stitch),), 1, 1)


def refuse_zero(count: int, numeral: Numeral | None, column: int) -> None:
    """Refuse none of a thing, unless other sizes have some of it."""
    if count == 0 and (numeral is None or len(numeral.values) == 1):
        raise NotUnderstood(column=column, code="unexpected", detail="Do this at least once.")


def _in_loop(code: str, loop: str) -> str:
    plain = not code.startswith(_MANNERS) and code not in PLAIN_CODES and len(code) > 1
    return loop + code if loop and plain else code


def codes_of(unit: Unit, column: int) -> list[str]:
    """Return the stitches of a unit that goes into one place."""
    match unit.steps:
        case [Work(stitch, count)]:
            return [stitch] * count
        case [IntoOne(stitches)]:
            return list(stitches)
    raise NotUnderstood(
        column=column, code="unexpected", detail="Only single stitches can share a place with others."
    )


def in_one_place(unit: Unit, amount: int | None, column: int) -> Unit:
    """Return a unit that goes into one place: so many of the stitch together."""
    if unit.used != 1:
        raise NotUnderstood(
            column=column, code="wrong_place", detail="Stitches worked together need more places than one."
        )
    if amount is None or amount == 1:
        return unit
    match unit.steps:
        case [Work(stitch, 1)] if amount <= MOST_STITCHES:
            return Unit((IntoOne((stitch,) * amount),), 1, amount)
    raise NotUnderstood(
        column=column, code="ambiguous", detail="It is not clear how many go into one stitch."
    )


def ambiguous(column: int) -> NotUnderstood:
    """Return the refusal of several stitches into several places, which makers read in two ways."""
    return NotUnderstood(
        column=column,
        code="ambiguous",
        detail="Say 'in each of next …' where several go into each, or give one stitch for each place.",
    )


def left_over(*, count: int, times: int, are_spaces: bool) -> str:
    """Return the sentence for stitches that a round does not use up.

    Examples
    --------
    >>> left_over(count=3, times=11, are_spaces=False)
    '3 stitches of the round before are left over after the 11th repeat.'
    >>> left_over(count=1, times=0, are_spaces=True)
    '1 chain space of the round before is left over at the end of the round.'
    """
    what = ("chain space" if count == 1 else "chain spaces") if are_spaces else ""
    told = f"{count} {what}" if what else count_of_stitches(count)
    where = f"after the {ordinal(times)} repeat" if times else "at the end of the round"
    return f"{told} of the round before {'is' if count == 1 else 'are'} left over {where}."


def is_special(unit: Unit) -> bool:
    """Return whether a unit is one cluster or its like, which may go over several stitches."""
    match unit.steps:
        case [Work(stitch, 1)]:
            return stitch in SPECIAL_STITCHES
    return False


def chains_apart(unit: Unit) -> tuple[Unit, tuple[Step, ...]]:
    """Return a unit without the chains between its stitches, and those; where they stand is not kept."""
    chains = tuple(step for step in unit.steps if isinstance(step, Chain))
    return unit._replace(steps=tuple(step for step in unit.steps if step not in chains)), chains
