"""What the hook does in every round of a plain crown, from its counts."""

from collections.abc import Sequence
from itertools import pairwise

from service.domain.crown_steps import WorkedRound, standard_repeat
from service.domain.crown_targets import Worked
from service.domain.fabrics import BaseStitch
from service.domain.rounds import Kind
from service.domain.shaping_rounds import even_positions, refuse_out_of_reach, shaping_steps
from service.domain.steps import IntoOne, Step, Together, Work

__all__ = ["plain_rounds", "section_steps"]


def section_steps(
    *, from_stitch_count: int, to_stitch_count: int, section_count: int, stitch: str, is_half_way: bool
) -> tuple[Step, ...]:
    """Return the steps of a round in which every section changes alike.

    The changes of a section are evenly spaced and the last stands at its end, ``[k, 2tog] x m``;
    half-way they stand half a gap earlier.

    Parameters
    ----------
    from_stitch_count, to_stitch_count
        Whole sections both. [stitches]
    section_count
        Sections, m. [>= 1]
    is_half_way
        Whether the changes stand half a gap from the end of the section.

    Raises
    ------
    ShapingOutOfReach
        If a section would more than double or less than halve.

    Examples
    --------
    >>> section_steps(
    ...     from_stitch_count=40, to_stitch_count=32, section_count=8, stitch="sc", is_half_way=False
    ... )
    (Repeat(times=8, steps=(Work(stitch='sc', count=3), Together(stitches=('sc', 'sc')))),)
    """
    before, after = from_stitch_count // section_count, to_stitch_count // section_count
    refuse_out_of_reach(from_stitch_count=before, to_stitch_count=after)
    change: Step = IntoOne((stitch, stitch)) if after > before else Together((stitch, stitch))
    taken = 1 if after > before else 2
    begins = even_positions(change_count=abs(after - before), stitch_count=before, staggered=is_half_way)
    unit: list[Step] = []
    done = 0
    for begin in reversed(begins):
        mirrored = before - begin - taken
        unit += [Work(stitch, mirrored - done), change]
        done = mirrored + taken
    return standard_repeat(section_count, [*unit, Work(stitch, before - done)])


def plain_rounds(
    counts: Sequence[int],
    *,
    start_stitch_count: int,
    section_count: int | None,
    stitch: BaseStitch,
    worked: Worked,
    is_staggered: bool,
) -> tuple[WorkedRound, ...]:
    """Return every round of a plain crown in working order.

    Scattered changes are spread evenly over the round, half a gap along in every other round that changes,
    so that they do not stack. In sections they stack, unless staggered. A round that is not whole sections
    on both sides is spread evenly. From the crown the first round is worked into a ring.

    Parameters
    ----------
    counts
        Stitches of each round, in working order.
    section_count
        Sections; ``None`` where the changes are scattered.
    is_staggered
        Whether sections change half-way along in every other round that changes.

    Examples
    --------
    >>> rounds = plain_rounds(
    ...     (6, 12, 18), start_stitch_count=18, section_count=6, stitch="sc", worked="from_crown",
    ...     is_staggered=False,
    ... )
    >>> rounds[2].steps
    (Repeat(times=6, steps=(Work(stitch='sc', count=1), IntoOne(stitches=('sc', 'sc')))),)
    """
    if worked == "from_brim":
        line, rounds = (start_stitch_count, *counts), []
    else:
        line, rounds = tuple(counts), [WorkedRound("plain", counts[0], (Work(stitch, counts[0]),), ())]
    shapings = 0
    for before, after in pairwise(line):
        is_half_way = shapings % 2 == 1 and (is_staggered or section_count is None)
        rounds.append(_shaped(before, after, section_count, stitch, is_half_way))
        shapings += before != after
    return tuple(rounds)


def _shaped(
    before: int, after: int, section_count: int | None, stitch: BaseStitch, is_half_way: bool
) -> WorkedRound:
    if before == after:
        return WorkedRound("plain", after, (Work(stitch, after),), ())
    kind: Kind = "increase" if after > before else "decrease"
    if section_count is not None and before % section_count == 0 and after % section_count == 0:
        steps = section_steps(
            from_stitch_count=before,
            to_stitch_count=after,
            section_count=section_count,
            stitch=stitch,
            is_half_way=is_half_way,
        )
    else:
        steps = shaping_steps(
            from_stitch_count=before, to_stitch_count=after, stitch=stitch, staggered=is_half_way
        )
    return WorkedRound(kind, after, steps, ())
