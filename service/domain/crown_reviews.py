"""How well a crown follows its target: fullness round by round, and one verdict for the whole.

Fullness is the fabric's circumference over the target's at the same distance from the centre.
Above 1 there is more cloth than the surface needs and it ruffles or gathers; below 1 it cups.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Literal

from service.domain.crown_targets import GATHERED_DEPTH_RATIO, CrownShape, CrownTarget, Worked
from service.domain.report import Notice
from service.domain.rounding import TIE_TOLERANCE, ceil_half, floor_exact

__all__ = [
    "GATHERS_MAX",
    "SUPPOSED_YARN_DIAMETER_MM",
    "CrownJudgement",
    "CrownQuestion",
    "Diagnosis",
    "RoundFigures",
    "Verdict",
    "closing_notices",
    "cone_half_angle_degrees",
    "count_curvature_per_mm2",
    "judge_crown",
    "plug_diameter_mm",
    "round_figures",
    "shape_error",
]

Verdict = Literal[
    "does_not_close", "closes_too_early", "pouches", "ruffles", "cups", "gathers", "soft", "smooth"
]

#: Largest shape error of a crown that gathers and does not pouch (judgement, like the bands below).
GATHERS_MAX = 0.20
_SILENT = 0.03
_BLOCKS_OUT = 0.06
_SMOOTH_MAX = 0.06
_SOFT_MAX = 0.12
_FEWEST_TELLING_STITCHES = 18
_ROUNDING_STITCHES = 1.5

#: Area of one stitch drawn shut, in squares of the yarn's diameter (judgement).
_PLUG_AREA_FACTOR = 3.9
_NEAT_PLUG_MM = 15.0
#: Diameter of worsted yarn in the fabric, for a crown of nobody knows what yarn (judgement).
SUPPOSED_YARN_DIAMETER_MM = 1.5


@dataclass(frozen=True, slots=True)
class RoundFigures:
    """A crown round against its target. ``curvature_per_mm2`` is ``None`` where a neighbour is missing."""

    number: int
    stitch_count: int
    target_circumference_mm: float
    fabric_circumference_mm: float
    curvature_per_mm2: float | None

    @property
    def fullness(self) -> float:
        """Return the fabric's circumference over the target's."""
        return self.fabric_circumference_mm / self.target_circumference_mm

    @property
    def excess_stitch_count(self) -> float:
        """Return how many stitches the round has more than its target; fewer are negative."""
        return self.stitch_count * (1 - 1 / self.fullness)

    @property
    def tells(self) -> bool:
        """Whether the round has stitches enough to judge it by."""
        return self.stitch_count >= _FEWEST_TELLING_STITCHES


@dataclass(frozen=True, slots=True)
class Diagnosis:
    """One thing to know about a crown, by code, with its figures; ``round`` is ``None`` for the whole."""

    code: str
    round: int | None = None
    values: Mapping[str, int | float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class CrownQuestion:
    """What a crown is judged by: counts in working order against the surface they should follow."""

    start_stitch_count: int
    stitch_counts: tuple[int, ...]
    target: CrownTarget
    shape: CrownShape
    round_targets_mm: tuple[float, ...]
    stitch_width_mm: float
    round_height_mm: float
    worked: Worked
    is_textured: bool
    closing_stitch_count_max: int

    @property
    def depth_mm(self) -> float:
        """Return the depth of the crown along the fabric."""
        return len(self.stitch_counts) * self.round_height_mm

    @property
    def closing_stitch_count(self) -> int:
        """Return the stitches of the round at the centre."""
        return self.stitch_counts[-1 if self.worked == "from_brim" else 0]


@dataclass(frozen=True, slots=True)
class CrownJudgement:
    """The verdict on a crown, and what led to it."""

    figures: tuple[RoundFigures, ...]
    shape_error: float
    verdict: Verdict
    accepted: bool
    diagnosis: tuple[Diagnosis, ...]


def count_curvature_per_mm2(before: int, stitch_count: int, after: int, *, round_height_mm: float) -> float:
    """Return the curvature of a surface whose rounds have these counts.

    ``-(after - 2 n + before) / (n h^2)``, since a circumference on a surface of revolution of Gaussian
    curvature k satisfies ``c'' = -k c``. Positive on a dome, zero on a disc or cone.

    Examples
    --------
    >>> from math import pi, sin
    >>> counts = [2 * pi * 82.76 * sin(k * 5.0 / 82.76) / 6.0 for k in (11, 12, 13)]
    >>> round(count_curvature_per_mm2(*counts, round_height_mm=5.0) * 100, 6)
    0.014596

    Notes
    -----
    Geodesic polar coordinates; geometry. The example is a sphere, whose curvature is 1 / 8.276^2 per cm^2.
    """
    return -(after - 2 * stitch_count + before) / (stitch_count * round_height_mm**2)


def cone_half_angle_degrees(fullness: float) -> float:
    """Return the half angle of the cone that a disc becomes when every round is too small by one factor.

    Parameters
    ----------
    fullness
        Fabric over target of the flat disc. [0 < fullness <= 1]

    Examples
    --------
    >>> round(cone_half_angle_degrees(0.5), 9)
    30.0
    """
    return math.degrees(math.asin(fullness))


def plug_diameter_mm(stitch_count: int, *, yarn_diameter_mm: float) -> float:
    """Return how wide the plug is that stitches leave when they are drawn shut.

    ``2 sqrt(n 3.9 d^2 / pi)``.

    Parameters
    ----------
    stitch_count
        Stitches drawn shut. [>= 1]
    yarn_diameter_mm
        Diameter of the yarn in the fabric, d. [mm, > 0]

    Examples
    --------
    >>> round(plug_diameter_mm(20, yarn_diameter_mm=1.5), 1)
    14.9

    Notes
    -----
    A judgement: each stitch keeps the area of 3.9 squares of its yarn. Up to 15 mm is neat.
    """
    return 2 * math.sqrt(stitch_count * _PLUG_AREA_FACTOR * yarn_diameter_mm**2 / math.pi)


def closing_notices(stitch_count: int, *, yarn_diameter_mm: float | None) -> tuple[Notice, ...]:
    """Return the notice that a crown leaves too wide a plug, if it does.

    Parameters
    ----------
    yarn_diameter_mm
        Diameter of the yarn in the fabric; ``None`` supposes worsted, 1.5 mm. [mm, > 0]

    Examples
    --------
    >>> [notice.code for notice in closing_notices(21, yarn_diameter_mm=1.5)]
    ['too_many_to_close']
    >>> closing_notices(12, yarn_diameter_mm=None)
    ()
    """
    diameter_mm = SUPPOSED_YARN_DIAMETER_MM if yarn_diameter_mm is None else yarn_diameter_mm
    plug_mm = plug_diameter_mm(stitch_count, yarn_diameter_mm=diameter_mm)
    if plug_mm <= _NEAT_PLUG_MM + TIE_TOLERANCE:
        return ()
    neat = math.pi * (_NEAT_PLUG_MM / (2 * diameter_mm)) ** 2 / _PLUG_AREA_FACTOR
    values = {"stitch_count": stitch_count, "plug_mm": plug_mm, "neat_stitch_count": floor_exact(neat)}
    return (Notice("too_many_to_close", values),)


def round_figures(question: CrownQuestion) -> tuple[RoundFigures, ...]:
    """Return each round against its target, in working order.

    The round before the first is the wide edge, or nothing at the centre of a ring.
    """
    begin = question.start_stitch_count if question.worked == "from_brim" else 0
    counts = question.stitch_counts
    befores, afters = (begin, *counts), (*counts[1:], None)
    figures = zip(befores, counts, afters, question.round_targets_mm, strict=False)
    return tuple(
        RoundFigures(
            number=number,
            stitch_count=count,
            target_circumference_mm=target_mm,
            fabric_circumference_mm=count * question.stitch_width_mm,
            curvature_per_mm2=None
            if after is None
            else count_curvature_per_mm2(before, count, after, round_height_mm=question.round_height_mm),
        )
        for number, (before, count, after, target_mm) in enumerate(figures, 1)
    )


def shape_error(
    stitch_counts: Sequence[int], round_targets_mm: Sequence[float], *, stitch_width_mm: float
) -> float:
    """Return how far a whole crown is from its target.

    ``sqrt(sum c ln^2(n w / c) / sum c)``: the rounds count by their target circumference c.

    Examples
    --------
    >>> round(shape_error([20, 11], [100.0, 50.0], stitch_width_mm=5.0), 4)
    0.055
    """
    misses = (
        target_mm * math.log(count * stitch_width_mm / target_mm) ** 2
        for count, target_mm in zip(stitch_counts, round_targets_mm, strict=True)
    )
    return math.sqrt(sum(misses) / sum(round_targets_mm))


def judge_crown(question: CrownQuestion) -> CrownJudgement:
    """Return the verdict on a crown.

    The worst that holds, in this order: it does not close; it closes too early; it pouches; it ruffles;
    it cups; it gathers; it is soft and blocks out; it is smooth. Smooth and soft crowns are accepted, and
    gathered ones where that is the shape asked for.

    Notes
    -----
    The bands of the shape error, 0.06, 0.12 and 0.20, and those of fullness, 0.03 and 0.06, are a
    judgement: practitioners say that about 3 in 100 is not seen and 6 in 100 still blocks out.
    """
    figures = round_figures(question)
    error = shape_error(
        question.stitch_counts, question.round_targets_mm, stitch_width_mm=question.stitch_width_mm
    )
    verdict = _verdict(question, figures, error)
    accepted = verdict in ("smooth", "soft") or (verdict == "gathers" and question.shape == "gathered")
    return CrownJudgement(
        figures=figures,
        shape_error=error,
        verdict=verdict,
        accepted=accepted,
        diagnosis=(*_whole_crown(question, figures), *_by_round(question, figures)),
    )


def _verdict(question: CrownQuestion, figures: Sequence[RoundFigures], error: float) -> Verdict:
    if question.closing_stitch_count > question.closing_stitch_count_max:
        return "does_not_close"
    if question.depth_mm < _least_depth_mm(question) - TIE_TOLERANCE:
        return "closes_too_early"
    if error > GATHERS_MAX + TIE_TOLERANCE:
        return "pouches"
    bulge = None if question.is_textured or question.shape == "gathered" else _bulge(figures)
    if bulge is not None:
        return bulge
    if error > _SOFT_MAX + TIE_TOLERANCE:
        return "gathers"
    return "soft" if error > _SMOOTH_MAX + TIE_TOLERANCE else "smooth"


def _least_depth_mm(question: CrownQuestion) -> float:
    """Return half the depth of the shape: a crown shorter than that closes too early."""
    if question.shape == "gathered":
        return GATHERED_DEPTH_RATIO * question.target.circumference_mm / 2
    return question.target.arc_mm / 2


def _bulge(figures: Sequence[RoundFigures]) -> Literal["ruffles", "cups"] | None:
    """Return what a quarter of the crown, at least 3 rounds, does if it is off by one band together."""
    means = [mean for _, mean in _neighbour_means(figures)]
    if means and max(means) > _BLOCKS_OUT + TIE_TOLERANCE:
        return "ruffles"
    return "cups" if means and min(means) < -_BLOCKS_OUT - TIE_TOLERANCE else None


def _neighbour_means(figures: Sequence[RoundFigures]) -> Iterator[tuple[int, float]]:
    """Yield the number of the first of some neighbouring rounds, and their mean logarithm of fullness."""
    size = max(3, -(-len(figures) // 4))
    for begin in range(len(figures) - size + 1):
        rows = figures[begin : begin + size]
        if all(row.tells for row in rows):
            yield rows[0].number, sum(math.log(row.fullness) for row in rows) / size


def _whole_crown(question: CrownQuestion, figures: Sequence[RoundFigures]) -> Iterator[Diagnosis]:
    closing, most = question.closing_stitch_count, question.closing_stitch_count_max
    if closing > most:
        yield Diagnosis("does_not_close", None, {"stitch_count": closing, "stitch_count_max": most})
    least_mm = _least_depth_mm(question)
    if question.depth_mm < least_mm - TIE_TOLERANCE:
        yield Diagnosis("closes_too_early", None, {"depth_mm": question.depth_mm, "least_depth_mm": least_mm})
    if question.worked == "from_crown" and question.stitch_counts[-1] != question.start_stitch_count:
        values = {"stitch_count": question.stitch_counts[-1], "wanted": question.start_stitch_count}
        yield Diagnosis("does_not_meet_body", len(question.stitch_counts), values)
    cone = _cone_fullness(figures) if question.shape == "flat" and not question.is_textured else None
    if cone is not None:
        values_of_cone = {"fullness": cone, "half_angle_degrees": cone_half_angle_degrees(cone)}
        yield Diagnosis("is_cone", None, values_of_cone)


def _cone_fullness(figures: Sequence[RoundFigures]) -> float | None:
    """Return the one fullness below 1 that a whole disc has, if it has one."""
    full = [row.fullness for row in figures if row.tells]
    if len(full) < 3 or max(full) - min(full) > 2 * _SILENT:
        return None
    mean = sum(full) / len(full)
    return mean if mean < 1 - _SILENT else None


def _by_round(question: CrownQuestion, figures: Sequence[RoundFigures]) -> Iterator[Diagnosis]:
    yield from _impossible_rounds(question)
    if question.is_textured:
        return
    for row in figures:
        code = _round_code(row, question.shape)
        if code is not None:
            values = {
                "stitch_count": row.stitch_count,
                "ideal_stitch_count": row.stitch_count / row.fullness,
                "fullness": row.fullness,
            }
            yield Diagnosis(code, row.number, values)


def _round_code(row: RoundFigures, shape: CrownShape) -> str | None:
    """Return what one round of a plain crown does; nothing where it is only rounding."""
    miss = row.fullness - 1
    is_rounding = not row.tells or abs(row.excess_stitch_count) < _ROUNDING_STITCHES
    if is_rounding or abs(miss) <= _SILENT + TIE_TOLERANCE:
        return None
    if abs(miss) <= _BLOCKS_OUT + TIE_TOLERANCE:
        return "needs_blocking"
    if miss < 0:
        return "cups"
    return "gathers" if shape == "gathered" else "ruffles"


def _impossible_rounds(question: CrownQuestion) -> Iterator[Diagnosis]:
    """Yield the rounds that no hook can work: that turn the wrong way, or change more than one round can."""
    outward = question.worked == "from_crown"
    line = question.stitch_counts if outward else (question.start_stitch_count, *question.stitch_counts)
    for number, (before, after) in enumerate(pairwise(line), 2 if outward else 1):
        wide, narrow = (after, before) if outward else (before, after)
        least = -(-wide // 3) if question.is_textured else ceil_half(wide)
        values = {"from_stitch_count": before, "to_stitch_count": after}
        if narrow > wide:
            yield Diagnosis("falls" if outward else "rises", number, values)
        elif narrow < least:
            yield Diagnosis("changes_too_fast", number, values)
