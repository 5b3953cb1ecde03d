"""The count that a line declares, read from its tree or, where it has none, from its end."""

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from service.notation.course import Course
from service.notation.kinds import ANY_STITCH, MadeOf, chains_in, has_legs, is_kind, tally_of_kinds
from service.notation.made_before import Realized
from service.notation.tree import Count, Piece, Tally
from service.notation.units import Change, length_of

__all__ = ["Compared", "compared_in", "declared_at_end", "declared_in"]

_LONGEST_COUNT = 200
_DECLARED_AT_END = re.compile(
    r"(?:[\[({]|[–—=]|\.\s|\s-\s)\s?(?P<numbers>\d[\d, (]{0,150}\)?)\s?(?:sts?|stitches)?[\])}]?[\s.]{0,8}$",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Compared:
    """One number of a declared count beside what the round makes of it; ``tally`` is ``None`` for the sum."""

    tally: Tally | None
    declared: int
    made: int
    column: int


def declared_in(pieces: Sequence[Piece], size: int, change: Change | None = None) -> int | None:
    """Return the stitches that a line declares for a size, or nothing.

    Chains are stitches only where nothing else is counted, as in a foundation.

    Raises
    ------
    NotUnderstood
        If the count is given for fewer sizes.
    """
    course = Course(None, None, size=size, change=change)
    for piece in pieces:
        if isinstance(piece, Count):
            parts = [course.number(tally.number) for tally in _stitch_tallies(piece)]
            if parts:
                return sum(parts)
    return None


def compared_in(
    pieces: Sequence[Piece], made: Realized, size: int, change: Change | None = None
) -> Iterator[Compared]:
    """Yield every number of the declared counts beside what the round makes.

    A number that names no stitch is the sum of all, or of those that no other number names.
    One that names a stitch is of that kind; a name with a post takes its own before a name without.
    A chain that counts as a stitch, and an increase of no named stitch, are of the kind that is short.

    Raises
    ------
    NotUnderstood
        If a count is given for fewer sizes.
    """
    course = Course(None, None, size=size, change=change)
    for piece in pieces:
        if isinstance(piece, Count):
            yield from _compared_stitches(piece, made, course)
            yield from _compared_others(piece, made, course)


def _stitch_tallies(count: Count) -> list[Tally]:
    tallies = [tally for tally in count.tallies if not tally.is_spaces]
    return [tally for tally in tallies if tally.stitch != "ch"] or tallies


def _compared_stitches(count: Count, made: Realized, course: Course) -> Iterator[Compared]:
    tallies = _stitch_tallies(count)
    if not tallies:
        return
    declared = [course.number(tally.number) for tally in tallies]
    if any(tally.stitch for tally in tallies) and made.made_of is not None:
        counts = _counts_of_kinds(tallies, declared, made.made_of)
    else:
        counts = [made.stitch_count - sum(declared[1:]), *declared[1:]]
    equal = counts == declared
    for tally, said, count_made in zip(tallies, declared, counts, strict=True):
        yield Compared(tally, said, count_made, _column_of(tally, count, course))
    if equal and sum(declared) != made.stitch_count:
        yield Compared(None, sum(declared), made.stitch_count, count.column)


def _counts_of_kinds(tallies: Sequence[Tally], declared: Sequence[int], made_of: MadeOf) -> list[int]:
    """Return what the round makes for each tally; stitches of any kind go where some are short."""
    left = tally_of_kinds(made_of, with_legs=any(has_legs(tally.stitch) for tally in tallies))
    any_left = left.pop(ANY_STITCH, 0)
    counts = [0] * len(tallies)
    for index in sorted(range(len(tallies)), key=lambda each: _breadth(tallies[each])):
        counts[index] = _taken(left, tallies[index].stitch)
    for index, said in enumerate(declared):
        given = min(any_left, max(0, said - counts[index]))
        counts[index] += given
        any_left -= given
    counts[0] += any_left
    return counts


def _breadth(tally: Tally) -> int:
    """Return how much a name takes in: stitches together, a post or loop stitch, a stitch, any stitch."""
    if not tally.stitch:
        return 2
    if has_legs(tally.stitch):
        return -1
    return 0 if tally.stitch.startswith(("fp", "bp", "fl", "bl")) else 1


def _taken(left: Counter[str], stitch: str) -> int:
    """Take the stitches of a kind out of those that are left, and return how many there were."""
    codes = [code for code in left if _is_taken(code, stitch)]
    return sum(left.pop(code) for code in codes)


def _is_taken(code: str, stitch: str) -> bool:
    if has_legs(stitch):
        return has_legs(code) and code[-4:] == stitch[-4:] and is_kind(code, stitch)
    return not stitch or is_kind(code, stitch)


def _compared_others(count: Count, made: Realized, course: Course) -> Iterator[Compared]:
    """Yield the chain spaces, and the chains beside stitches."""
    spaces = [tally for tally in count.tallies if tally.is_spaces]
    left = made.lengths
    equal = True
    for tally in sorted(spaces, key=lambda each: each.length is None):
        length = b"" if tally.length is None else length_of(course.number(tally.length))
        found = left.count(length) if length else len(left)
        left = left.replace(length, b"") if length else b""
        declared = course.number(tally.number)
        equal = equal and found == declared
        yield Compared(tally, declared, found, _column_of(tally, count, course))
    if spaces and equal and left:
        yield Compared(None, made.space_count - len(left), made.space_count, count.column)
    for tally in count.tallies:
        if tally.stitch == "ch" and tally not in _stitch_tallies(count):
            chains = chains_in(made.steps)
            yield Compared(tally, course.number(tally.number), chains, _column_of(tally, count, course))


def _column_of(tally: Tally, count: Count, course: Course) -> int:
    """Return where a number stands if it names something, else where the count begins."""
    if len(count.tallies) == 1 and not tally.stitch and tally.length is None:
        return count.column
    columns = tally.number.columns
    return columns[course.size] if course.size < len(columns) else columns[0]


def declared_at_end(text: str, size_count: int) -> list[int | None]:
    """Return the count at the end of a line that cannot be read, for each size.

    Examples
    --------
    >>> declared_at_end("Rnd 3: something odd. (80)", 2), declared_at_end("odd — 60 (66, 72) sts", 3)
    ([80, 80], [60, 66, 72])
    >>> declared_at_end("Rnd 3: something odd", 1)
    [None]
    """
    found = _DECLARED_AT_END.search(text[-_LONGEST_COUNT:])
    if found is None:
        return [None] * size_count
    numbers = [int(number) for number in re.findall(r"\d{1,5}", found["numbers"])]
    return [numbers[size] if size < len(numbers) else numbers[0] for size in range(size_count)]
