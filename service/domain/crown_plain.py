"""Stitch counts of plain crowns: changes scattered over the round, or stacked in sections.

Both follow the ideal counts of the crown as nearly in ratio as one round can follow the last:
from the brim no round rises and none falls below half of the one before;
from the crown no round falls and none is more than twice the one before.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from service.domain.crown_closing import ClosingLimits
from service.domain.crown_targets import Worked
from service.domain.errors import CrownCannotClose, ShapingOutOfReach
from service.domain.rounding import TIE_TOLERANCE, ceil_half, half_up, nearest_in_ratio

__all__ = [
    "default_section_count",
    "scattered_counts",
    "section_counts",
    "smallest_scattered_round_count",
    "smallest_section_round_count",
]

_SECTIONS_WANTED = range(5, 13)


def smallest_scattered_round_count(start_stitch_count: int, limits: ClosingLimits, worked: Worked) -> int:
    """Return the fewest scattered rounds between the start count and the centre.

    From the brim ``ceil(log2(n / max))``, at least 1;
    from the crown one more, since its first round is the ring and the last has all n.

    Examples
    --------
    >>> smallest_scattered_round_count(88, ClosingLimits(5, 8), "from_brim")
    4
    >>> smallest_scattered_round_count(88, ClosingLimits(5, 8), "from_crown")
    5
    """
    halvings = _halvings(start_stitch_count, limits.stitch_count_max)
    return max(1, halvings) if worked == "from_brim" else halvings + 1


def _halvings(stitch_count: int, most: int) -> int:
    """Return how often a count must be halved, rounding up, to come down to the most allowed."""
    halvings = 0
    while stitch_count > most << halvings:
        halvings += 1
    return halvings


def scattered_counts(
    *, start_stitch_count: int, ideal_counts: Sequence[float], limits: ClosingLimits, worked: Worked
) -> tuple[int, ...]:
    """Return the counts of a crown whose changes are spread evenly over every round, in working order.

    From the brim
    ``n_k = min(max(nearest, min, ceil(n_(k-1) / 2)), n_(k-1), max * 2^(K-k))``,
    nearest being the integer nearest in ratio to the ideal count. From the crown the same, mirrored:
    the first round is at least 6, or what was asked for, none falls,
    none more than doubles, and the last has all the stitches.

    Parameters
    ----------
    start_stitch_count
        Stitches at the wide edge. [stitches, >= 1]
    ideal_counts
        Target circumference over stitch width of each round, in working order. [stitches, > 0]

    Raises
    ------
    CrownCannotClose
        If halving every round would still leave too many.

    Examples
    --------
    >>> scattered_counts(
    ...     start_stitch_count=72, ideal_counts=[69.0, 52.4, 38.7, 23.7, 8.0],
    ...     limits=ClosingLimits(5, 12), worked="from_brim",
    ... )
    (69, 52, 39, 24, 12)
    """
    fewest_rounds = smallest_scattered_round_count(start_stitch_count, limits, worked)
    _refuse_too_few(len(ideal_counts), fewest_rounds, limits)
    if worked == "from_brim":
        return _scattered_inward(start_stitch_count, ideal_counts, limits)
    return _scattered_outward(start_stitch_count, ideal_counts, limits)


def _refuse_too_few(round_count: int, smallest_round_count: int, limits: ClosingLimits) -> None:
    if round_count < smallest_round_count:
        raise CrownCannotClose(
            round_count=round_count,
            closing_stitch_count_max=limits.stitch_count_max,
            smallest_round_count=smallest_round_count,
        )


def _scattered_inward(start: int, ideal_counts: Sequence[float], limits: ClosingLimits) -> tuple[int, ...]:
    counts: list[int] = []
    before = start
    for left, ideal in zip(range(len(ideal_counts))[::-1], ideal_counts, strict=True):
        wanted = max(nearest_in_ratio(ideal), limits.stitch_count_min, ceil_half(before))
        before = min(wanted, before, limits.stitch_count_max << left)
        counts.append(before)
    return tuple(counts)


def _scattered_outward(start: int, ideal_counts: Sequence[float], limits: ClosingLimits) -> tuple[int, ...]:
    fewest, most = limits.first_ring_min, limits.stitch_count_max
    counts: list[int] = []
    for left, ideal in zip(range(len(ideal_counts))[::-1], ideal_counts, strict=True):
        must_reach = -(-start >> left)
        count = min(max(nearest_in_ratio(ideal), fewest, must_reach), most, start)
        counts.append(count)
        fewest, most = count, 2 * count
    return tuple(counts)


def default_section_count(
    *,
    start_stitch_count: int,
    stitch_width_mm: float,
    round_height_mm: float,
    limits: ClosingLimits | None = None,
) -> int:
    """Return how many sections a plain crown has when nobody says.

    The divisor of the start count from 5 to 12 nearest to ``2 pi h / w``, a tie taking the larger;
    where there is none, ``round(2 pi h / w)``, at most the stitches there are.
    Divisors that can close between the limits asked for go before others.

    Examples
    --------
    >>> default_section_count(start_stitch_count=88, stitch_width_mm=6.0, round_height_mm=5.0)
    8
    >>> default_section_count(start_stitch_count=58, stitch_width_mm=5.6, round_height_mm=7.2)
    8

    Notes
    -----
    A flat disc grows by ``2 pi h / w`` stitches a round; geometry. The choice of a divisor is a convention:
    sections of equal size need no uneven round.
    """
    a_round = 2 * math.pi * round_height_mm / stitch_width_mm
    divisors = [count for count in _SECTIONS_WANTED if start_stitch_count % count == 0]
    if limits is not None:
        divisors = [count for count in divisors if _sections_can_close(count, limits)] or divisors
    if not divisors:
        return min(max(1, half_up(a_round)), start_stitch_count)
    nearest = min(abs(count - a_round) for count in divisors)
    return max(count for count in divisors if abs(count - a_round) <= nearest + TIE_TOLERANCE)


@dataclass(frozen=True, slots=True)
class _Sections:
    """What bounds the sections of a crown.

    ``size`` is the most stitches a section of the first or last whole round can have,
    ``half`` the fewest that one round can leave of the start count, ``is_whole`` whether the start count
    is in sections already. At the centre a section has from ``core_fewest`` to ``core_most`` stitches;
    after that single stitches are halved ``halvings`` times.
    """

    count: int
    size: int
    half: int
    is_whole: bool
    core_fewest: int
    core_most: int
    halvings: int


def _sections(start_stitch_count: int, section_count: int, limits: ClosingLimits) -> _Sections:
    if section_count > start_stitch_count:
        raise ShapingOutOfReach(
            from_stitch_count=start_stitch_count,
            to_stitch_count=section_count,
            low=1,
            high=start_stitch_count,
            reason=f"{start_stitch_count} stitches do not make {section_count} sections.",
            remedy=f"Choose from 1 to {start_stitch_count} sections.",
        )
    if limits.stitch_count_min <= start_stitch_count and not _sections_can_close(section_count, limits):
        raise ShapingOutOfReach(
            from_stitch_count=start_stitch_count,
            to_stitch_count=limits.stitch_count_max,
            low=section_count * (limits.stitch_count_max // section_count),
            high=section_count * -(-limits.stitch_count_min // section_count),
            reason=f"{section_count} equal sections cannot close on {limits.words}.",
        )
    size, rest = divmod(start_stitch_count, section_count)
    core_most = max(1, limits.stitch_count_max // section_count)
    return _Sections(
        count=section_count,
        size=size,
        half=-(-ceil_half(start_stitch_count) // section_count) if rest else ceil_half(size),
        is_whole=rest == 0,
        core_fewest=min(-(-limits.stitch_count_min // section_count), core_most),
        core_most=core_most,
        halvings=_halvings(section_count, limits.stitch_count_max),
    )


def _sections_can_close(section_count: int, limits: ClosingLimits) -> bool:
    """Whether equal sections, or single stitches of them, end between limits that somebody asked for."""
    smallest = section_count * -(-limits.stitch_count_min // section_count)
    is_single = section_count > limits.stitch_count_max
    return is_single or not limits.is_min_asked or smallest <= limits.stitch_count_max


def smallest_section_round_count(
    start_stitch_count: int, *, section_count: int, limits: ClosingLimits, worked: Worked
) -> int:
    """Return the fewest rounds of a crown in sections.

    Examples
    --------
    >>> smallest_section_round_count(
    ...     88, section_count=8, limits=ClosingLimits(5, 8), worked="from_brim"
    ... )
    4
    """
    sections = _sections(start_stitch_count, section_count, limits)
    return _fewest_rounds(sections, worked)


def _fewest_rounds(sections: _Sections, worked: Worked) -> int:
    if sections.is_whole:
        rounds = _halvings(sections.size, _core_size(sections, worked)) + sections.halvings
    else:
        rounds = 1 + _halvings(sections.half, _core_size(sections, worked)) + sections.halvings
    return max(1, rounds) if worked == "from_brim" else rounds + 1


def _core_size(sections: _Sections, worked: Worked) -> int:
    return sections.core_most if worked == "from_brim" else sections.core_fewest


def section_counts(
    *,
    start_stitch_count: int,
    section_count: int,
    ideal_counts: Sequence[float],
    limits: ClosingLimits,
    worked: Worked,
) -> tuple[int, ...]:
    """Return the counts of a crown in equal sections, in working order.

    A section has the number of stitches nearest in ratio to its share of the ideal count, as far as one
    round can change it. Single stitches are halved where that is nearer and where the centre needs it.
    Where the sections do not divide the start count, the round next to the wide edge is uneven.
    From the crown the first round has one stitch in each section. No round has fewer than the least.

    Parameters
    ----------
    start_stitch_count
        Stitches at the wide edge. [stitches, >= 1]
    section_count
        Sections, m. [1 <= m <= start count]
    ideal_counts
        Target circumference over stitch width of each round, in working order. [stitches, > 0]

    Raises
    ------
    CrownCannotClose
        If halving every section in every round would still leave too many.
    ShapingOutOfReach
        If there are more sections than stitches, or they cannot close between the limits asked for.

    Examples
    --------
    >>> section_counts(
    ...     start_stitch_count=20, section_count=5, ideal_counts=[18.8, 11.0, 4.0],
    ...     limits=ClosingLimits(5, 8), worked="from_brim",
    ... )
    (20, 10, 5)
    """
    sections = _sections(start_stitch_count, section_count, limits)
    _refuse_too_few(len(ideal_counts), _fewest_rounds(sections, worked), limits)
    if worked == "from_brim":
        return _sections_inward(sections, ideal_counts, limits)
    return _sections_outward(sections, start_stitch_count, ideal_counts, limits)


def _sections_inward(
    sections: _Sections, ideal_counts: Sequence[float], limits: ClosingLimits
) -> tuple[int, ...]:
    counts: list[int] = []
    fewest, most = sections.half, sections.size
    single = sections.count if sections.is_whole and sections.size == 1 else None
    for left, ideal in zip(range(len(ideal_counts))[::-1], ideal_counts, strict=True):
        if single is not None:
            single = _halved_or_kept(single, left=left, ideal=ideal, limits=limits)
            counts.append(single)
            continue
        spare = left - sections.halvings
        cap = sections.core_most << spare if spare >= 0 else 1
        wanted = max(nearest_in_ratio(ideal / sections.count), fewest, sections.core_fewest)
        size = min(wanted, most, cap)
        counts.append(sections.count * size)
        fewest, most = ceil_half(size), size
        single = sections.count if size == 1 else None
    return tuple(counts)


def _halved_or_kept(single: int, *, left: int, ideal: float, limits: ClosingLimits) -> int:
    """Return what is left of single stitches: half where the centre needs it, or where that is nearer."""
    half = ceil_half(single)
    if single > limits.stitch_count_max << left:
        return max(half, limits.stitch_count_min)
    is_nearer = ideal < math.sqrt(single * half) - TIE_TOLERANCE
    return half if is_nearer and half >= limits.stitch_count_min else single


def _sections_outward(
    sections: _Sections, start: int, ideal_counts: Sequence[float], limits: ClosingLimits
) -> tuple[int, ...]:
    rounds = len(ideal_counts)
    whole_rounds = rounds if sections.is_whole else rounds - 1
    goal = sections.size if sections.is_whole else sections.half
    spare_rounds = rounds - _fewest_rounds(sections, "from_crown")
    counts = _ring_of_singles(sections, spare_rounds, ideal_counts, limits.first_ring_min)
    fewest = most = sections.core_fewest
    for done in range(len(counts), whole_rounds):
        must_reach = -(-goal >> (whole_rounds - 1 - done))
        wanted = max(nearest_in_ratio(ideal_counts[done] / sections.count), fewest, must_reach)
        size = min(wanted, most, sections.size)
        counts.append(sections.count * size)
        fewest, most = size, 2 * size
    return (*counts, *([] if sections.is_whole else [start]))


def _ring_of_singles(
    sections: _Sections, spare_rounds: int, ideal_counts: Sequence[float], first_ring_min: int
) -> list[int]:
    """Return the rounds before each section has a whole stitch, where the ring cannot hold that many.

    The ring has half, or a quarter, and so on, of the single stitches, but no fewer than its least.
    A round with spare rounds left waits while the fewer stitches are nearer in ratio to the ideal.
    """
    stages = [sections.count]
    for _ in range(sections.halvings):
        stages.append(max(ceil_half(stages[-1]), first_ring_min))
    counts: list[int] = []
    for few, more in pairwise(reversed(stages)):
        counts.append(few)
        while spare_rounds and ideal_counts[len(counts)] < math.sqrt(few * more) - TIE_TOLERANCE:
            counts.append(few)
            spare_rounds -= 1
    return counts
