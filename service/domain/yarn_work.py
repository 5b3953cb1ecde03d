"""The work that yarn goes into, as stretches: the foundation, each round, or a bag of counted stitches.

Every figure about yarn is a fold over these, so that the yarn of the rounds is the yarn of the hat.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import fsum, sqrt

from service.domain.fabrics import BaseStitch
from service.domain.rounds import Round, Section, Start
from service.domain.steps import Cross, Repeat, Step, made_by, stitch_tallies
from service.domain.stitches import HEIGHT_RATIOS, PLAIN_CODES, read_stitch
from service.domain.yarn_weights import Tally, crossing_extra_mm, tally_code, tally_units

__all__ = [
    "CHAIN_TEXTURE",
    "POST_AREA",
    "POST_TEXTURE",
    "UNIT_LENGTH_FACTOR",
    "Crossed",
    "StitchSize",
    "WorkPart",
    "flattened_crossing",
    "has_post_stitches",
    "part_units",
    "summed_tallies",
    "units_absent_from",
    "work_from_counts",
    "work_from_foundation",
    "work_from_round",
    "work_from_steps",
]

#: Yarn of one single crochet over the geometric mean of its width and height.
UNIT_LENGTH_FACTOR = 7.5

#: Yarn on an area over that of plain fabric on the same relaxed area (judgement, no source).
POST_TEXTURE = 1.5
#: A chain in place of a stitch; a mesh of one stitch and one chain has then the factor 0.7 as a whole.
CHAIN_TEXTURE = 0.4
#: Area of a post stitch over that of the same stitch plain: 0.85 as wide, 0.75 as high (judgement).
POST_AREA = 0.85 * 0.75


@dataclass(frozen=True, slots=True)
class StitchSize:
    """How large the stitches of a stretch of work are, and which stitch makes its height. [mm, > 0]"""

    stitch_width_mm: float
    round_height_mm: float
    stitch: BaseStitch

    @property
    def single_crochet_height_mm(self) -> float:
        """Return the height of a single crochet in the same hands."""
        return self.round_height_mm / HEIGHT_RATIOS[self.stitch]

    @property
    def unit_length_mm(self) -> float:
        """Return the yarn of one sc unit: ``7.5 * sqrt(w * h_sc)``.

        Examples
        --------
        >>> round(StitchSize(7.0, 6.3, "sc").unit_length_mm, 1)
        49.8
        """
        return UNIT_LENGTH_FACTOR * sqrt(self.stitch_width_mm * self.single_crochet_height_mm)

    @property
    def area_mm2(self) -> float:
        """Return the area of one stitch."""
        return self.stitch_width_mm * self.round_height_mm


@dataclass(frozen=True, slots=True)
class Crossed:
    """Stitches that cross over others: how many over as many, which stitch, how many in all."""

    over: int
    stitch: str
    stitch_count: int


@dataclass(frozen=True, slots=True)
class WorkPart:
    """A stretch of work. ``number`` is its round, 0 for the foundation.

    ``cell_count`` is its area times its texture, in stitches of its size;
    where no size is known, in plain single crochet.
    """

    number: int
    section: Section | None
    tallies: tuple[tuple[Tally, int], ...]
    crossings: tuple[Crossed, ...]
    cell_count: float
    size: StitchSize | None


def work_from_foundation(chain_count: int, size: StitchSize | None) -> WorkPart:
    """Return the foundation: a chain, and the slip stitch that joins it into a ring.

    Examples
    --------
    >>> part_units(work_from_foundation(80, None), {})
    40.6
    """
    tallies: tuple[tuple[Tally, int], ...] = (("ch", chain_count), ("sl_st", 1))
    return WorkPart(0, None, tallies, (), 0.0, size)


def work_from_round(worked: Round, *, stitch_width_mm: float, stitch: BaseStitch) -> WorkPart:
    """Return a round of a hat, in the size of its own fabric.

    Parameters
    ----------
    worked
        The round; its own height counts.
    stitch_width_mm
        Width of a stitch in the round's fabric. [mm, > 0]
    stitch
        The stitch that makes the round's height.
    """
    return work_from_steps(
        worked.steps,
        number=worked.number,
        section=worked.section,
        start=worked.start,
        is_joined=worked.join is not None,
        size=StitchSize(stitch_width_mm, worked.height_mm, stitch),
    )


def work_from_steps(
    steps: Sequence[Step],
    *,
    number: int,
    section: Section | None = None,
    start: Start | None = None,
    is_joined: bool = False,
    size: StitchSize | None = None,
) -> WorkPart:
    """Return a round from what the hook does: its steps, its starting chain and its joining slip stitch.

    Parameters
    ----------
    steps
        The round without its starting chain.
    number
        The round. [>= 1]
    section
        The part of the hat, where it is known.
    start
        The chain the round begins with, if any.
    is_joined
        Whether a slip stitch joins the round.
    size
        Size of the round's stitches, where it is known.

    Examples
    --------
    >>> from service.domain.steps import Work
    >>> part_units(work_from_steps([Work("sc", 88)], number=1, start=Start(1, False), is_joined=True), {})
    89.1
    """
    worked = _added_up(stitch_tallies(steps))
    beginning = start or Start(0, False)
    return WorkPart(
        number=number,
        section=section,
        tallies=(*worked, ("ch", beginning.chain_count), ("sl_st", int(is_joined))),
        crossings=tuple(_crossings(steps)),
        cell_count=_round_cells(worked, steps, size) + beginning.counts_as_stitch,
        size=size,
    )


def _added_up(tallies: Iterable[tuple[Tally, int]]) -> tuple[tuple[Tally, int], ...]:
    """Return each stitch once with its count; all that is known of a round is summed over these."""
    counts: dict[Tally, int] = {}
    for tally, count in tallies:
        counts[tally] = counts.get(tally, 0) + count
    return tuple(counts.items())


def _crossings(steps: Iterable[Step], times: int = 1) -> Iterator[Crossed]:
    for step in steps:
        if isinstance(step, Cross):
            yield Crossed(step.over, step.stitch, times * 2 * step.over)
        elif isinstance(step, Repeat):
            yield from _crossings(step.steps, times * step.times)


def _round_cells(
    worked: Sequence[tuple[Tally, int]], steps: Sequence[Step], size: StitchSize | None
) -> float:
    """Return the area of a round: all its stitches are as high as the round."""
    stitches = [(tally, count) for tally, count in worked if tally != "ch"]
    cell = _texture if size else _plain_cell
    cells = sum([count * cell(_sample(tally)) for tally, count in stitches])
    if len(stitches) == len(worked):
        return cells
    return cells + CHAIN_TEXTURE * (made_by(steps) - sum([count for _, count in stitches]))


def _sample(tally: Tally) -> str:
    """Return the code that shows a tally's texture and height; of several legs the last."""
    return tally if isinstance(tally, str) else tally[-1]


def _texture(code: str) -> float:
    if code in PLAIN_CODES:
        return 1.0
    return POST_TEXTURE if read_stitch(code).manner in ("fp", "bp") else 1.0


def _height_ratio(code: str) -> float:
    return 1.0 if code in PLAIN_CODES else HEIGHT_RATIOS[read_stitch(code).base]


def _plain_cell(code: str) -> float:
    """Return area times texture of a stitch, in plain single crochet."""
    texture = _texture(code)
    area = POST_AREA if texture == POST_TEXTURE else 1.0
    return texture * area * _height_ratio(code)


def has_post_stitches(part: WorkPart) -> bool:
    """Return whether any stitch of a stretch of work goes around a post."""
    return any(count and _texture(_sample(tally)) == POST_TEXTURE for tally, count in part.tallies)


def work_from_counts(stitch_counts: Mapping[str, int], size: StitchSize | None = None) -> WorkPart:
    """Return counted stitches as one stretch of work.

    Chains and slip stitches take yarn and cover no area. Each stitch is as high as its kind is.

    Parameters
    ----------
    stitch_counts
        How many of each stitch code. [>= 0]
    size
        Size of the stitches, where a gauge is known.

    Raises
    ------
    ValueError
        If a code is no stitch.

    Examples
    --------
    >>> part_units(work_from_counts({"sc": 360, "ch": 39}), {})
    379.5
    """
    covering = [(code, count) for code, count in stitch_counts.items() if code not in ("ch", "sl_st")]
    return WorkPart(
        number=0,
        section=None,
        tallies=tuple(stitch_counts.items()),
        crossings=(),
        cell_count=fsum(count * _counted_cell(code, size) for code, count in covering),
        size=size,
    )


def _counted_cell(code: str, size: StitchSize | None) -> float:
    if size is None:
        return _plain_cell(code)
    return _texture(code) * _height_ratio(code) / HEIGHT_RATIOS[size.stitch]


def part_units(part: WorkPart, measured: Mapping[str, float]) -> float:
    """Return the yarn of a stretch of work: the sum over every stitch, chain and join.

    Stitches that cross at the height of their fabric take more, see
    :func:`~service.domain.yarn_weights.crossing_factor`; without a size nothing is known of their reach.

    Parameters
    ----------
    part
        The stretch of work.
    measured
        Weights that the maker measured, by stitch code. [sc units, > 0]
    """
    plain = sum([count * tally_units(tally, measured) for tally, count in part.tallies])
    if not part.crossings or part.size is None:
        return plain
    return plain + _crossing_extra_units(part.crossings, part.size)


def _crossing_extra_units(crossings: Iterable[Crossed], size: StitchSize) -> float:
    extra_mm = sum(
        crossed.stitch_count
        * crossing_extra_mm(
            over=crossed.over,
            stitch_width_mm=size.stitch_width_mm,
            round_height_mm=size.round_height_mm,
        )
        for crossed in crossings
        if _crosses_at_base_height(crossed, size)
    )
    return extra_mm / size.unit_length_mm


def _crosses_at_base_height(crossed: Crossed, size: StitchSize) -> bool:
    return _height_ratio(crossed.stitch) <= HEIGHT_RATIOS[size.stitch]


def flattened_crossing(parts: Iterable[WorkPart]) -> Crossed | None:
    """Return the widest crossing over two stitches or more that is worked no taller than its fabric.

    Such a crossing pulls in and takes more yarn; the next taller stitch would lie flat.
    """
    flattened = [
        crossed
        for part in parts
        if part.size is not None
        for crossed in part.crossings
        if crossed.over > 1 and _crosses_at_base_height(crossed, part.size)
    ]
    return max(flattened, key=lambda crossed: crossed.over, default=None)


def units_absent_from(
    codes: Iterable[str], parts: Sequence[WorkPart], measured: Mapping[str, float]
) -> float:
    """Return the yarn of stitches that are not among the codes; legs that differ never are. [sc units]

    Examples
    --------
    >>> units_absent_from(["sc"], [work_from_counts({"sc": 100, "sc2tog": 4})], {})
    6.0
    """
    known = frozenset(codes)
    stitches = fsum(
        count * tally_units(tally, measured)
        for tally, count in summed_tallies(parts).items()
        if tally_code(tally) not in known
    )
    return stitches + fsum(_absent_crossing_units(part, known) for part in parts if part.crossings)


def _absent_crossing_units(part: WorkPart, known: frozenset[str]) -> float:
    crossings = [crossed for crossed in part.crossings if crossed.stitch not in known]
    return _crossing_extra_units(crossings, part.size) if crossings and part.size else 0.0


def summed_tallies(parts: Iterable[WorkPart]) -> dict[Tally, int]:
    """Return how often each stitch is worked in all.

    Examples
    --------
    >>> summed_tallies([work_from_counts({"sc": 3}), work_from_counts({"sc": 4, "ch": 1})])
    {'sc': 7, 'ch': 1}
    """
    sums: dict[Tally, int] = {}
    for part in parts:
        for tally, count in part.tallies:
            sums[tally] = sums.get(tally, 0) + count
    return sums
