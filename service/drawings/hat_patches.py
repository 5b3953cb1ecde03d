"""The cloth of a hat in patches: each a run of stitches of one face in a round.

A patch goes from the stitches it is worked into (its foot) to its own stitches (its top).
Around the hat it is measured in turns, from 0 at the start of the round to 1, the way the work goes.
A crossing is two patches that pass over one another.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import groupby
from typing import TypeAlias

from service.domain.crown_parts import top_face
from service.domain.fabrics import Face
from service.domain.hats import HatPlan
from service.domain.rounds import Round
from service.domain.steps import Chain, Cross, IntoOne, Repeat, Skip, Step, Together, Work, flat
from service.domain.stitches import read_stitch
from service.drawings.hat_levels import hat_levels, rounds_from_edge

__all__ = [
    "Patch",
    "Turns",
    "crossing_grounds",
    "hat_patches",
    "joined_patches",
    "round_patches",
    "run_count",
]

Turns: TypeAlias = tuple[float, float]
_SAME = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Patch:
    """A run of stitches of one face. Heights are along the fabric, from the lower edge up. [mm]

    ``is_crossed`` marks the bands of a crossing, ``is_over`` the one that lies in front.
    """

    face: Face
    foot_mm: float
    top_mm: float
    foot: Turns
    top: Turns
    is_crossed: bool = False
    is_over: bool = False

    @property
    def low_mm(self) -> float:
        """Return the height of its lower end."""
        return min(self.foot_mm, self.top_mm)

    @property
    def high_mm(self) -> float:
        """Return the height of its upper end."""
        return max(self.foot_mm, self.top_mm)

    @property
    def is_straight(self) -> bool:
        """Whether it is as wide at its top as at its foot and right above it."""
        return max(abs(self.foot[0] - self.top[0]), abs(self.foot[1] - self.top[1])) < _SAME


@dataclass(frozen=True, slots=True)
class _Run:
    """Stitches in a row: how many of the round below they use, how many they make, how they show."""

    face: Face
    used: tuple[float, float]
    made: tuple[float, float]
    is_crossed: bool = False
    is_over: bool = False


def hat_patches(
    plan: HatPlan, *, shows_stitches: bool = True, shows_crossings: bool = True
) -> tuple[Patch, ...]:
    """Return every patch of the hat, the lowest first.

    Parameters
    ----------
    plan
        The hat.
    shows_stitches
        Whether faces are told apart; without it every round is one patch all around.
    shows_crossings
        Whether cables are strands that cross; without it they are columns.
    """
    tops = {level.round_number: level.height_mm for level in hat_levels(plan)}
    patches: list[Patch] = []
    for _, alike in groupby(rounds_from_edge(plan), key=_manner):
        rounds = list(alike)
        worked, last = (rounds[0], rounds[-1]) if plan.order.is_from_brim else (rounds[-1], rounds[0])
        mine = round_patches(
            worked,
            foot_mm=_foot_mm(plan, worked, tops),
            top_mm=0.0 if last.worked_into == "foundation_edge" else tops[last.number],
            shows_stitches=shows_stitches,
            shows_crossings=shows_crossings,
        )
        has_cables = shows_crossings and plan.order.fabric.is_crossed and worked.section in ("body", "crown")
        patches += _halved(mine, worked) if has_cables else mine
    if plan.order.is_from_brim and plan.crown is not None:
        patches += _closing(plan, patches)
    return joined_patches(patches)


def _manner(worked: Round) -> tuple[object, ...]:
    """Return what rounds share that look like one taller round: the same stitches, each on the one below."""
    is_straight = worked.worked_into == "previous_round" and all(
        isinstance(step, Work) for step in flat(worked.steps)
    )
    return (worked.section, worked.steps, None if is_straight else worked.number)


def _foot_mm(plan: HatPlan, worked: Round, tops: dict[int, float]) -> float:
    """Return the height of what a round is worked into."""
    if worked.worked_into == "ring":
        return plan.depth_mm
    edging = sum(each.height_mm for each in plan.rounds if each.worked_into == "foundation_edge")
    if worked.worked_into in ("foundation", "foundation_edge"):
        return edging
    return tops[worked.number - 1]


def _closing(plan: HatPlan, patches: Iterable[Patch]) -> list[Patch]:
    """Return the last stitches drawn shut: from their tops to the centre."""
    last_mm = max(patch.top_mm for patch in patches)
    return [
        replace(patch, foot_mm=last_mm, top_mm=plan.depth_mm, foot=patch.top, is_crossed=False)
        for patch in patches
        if patch.top_mm == last_mm
    ]


def run_count(plan: HatPlan, *, shows_crossings: bool = True) -> int:
    """Return how many runs of stitches the patches are made of, reckoned from the steps before any is made.

    Parameters
    ----------
    plan
        The hat.
    shows_crossings
        Whether cables are strands that cross; without it they are columns.
    """
    firsts = [next(alike) for _, alike in groupby(rounds_from_edge(plan), key=_manner)]
    return sum(_runs_in(worked.steps, 2 if shows_crossings else 1) for worked in firsts)


def _runs_in(steps: Iterable[Step], of_crossing: int) -> int:
    count = 0
    for step in steps:
        match step:
            case Repeat(times, inner):
                count += times * _runs_in(inner, of_crossing)
            case IntoOne(stitches):
                count += len(stitches)
            case Cross():
                count += of_crossing
            case _:
                count += 1
    return count


def round_patches(
    worked: Round,
    *,
    foot_mm: float,
    top_mm: float,
    shows_stitches: bool = True,
    shows_crossings: bool = True,
) -> tuple[Patch, ...]:
    """Return the patches of one round.

    Examples
    --------
    >>> rib = Round(2, "brim", "rib", "previous_round", 4, 4, None,
    ...             (Work("fpdc", 2), Work("bpdc", 2)), None, 9.0)
    >>> [(patch.face, patch.top) for patch in round_patches(rib, foot_mm=0, top_mm=9)]
    [('front', (0.0, 0.5)), ('back', (0.5, 1.0))]
    """
    if not shows_stitches:
        return (Patch(face="flat", foot_mm=foot_mm, top_mm=top_mm, foot=(0.0, 1.0), top=(0.0, 1.0)),)
    below = worked.consumed_stitch_count
    patches = []
    for run in _merged(_runs(worked, shows_crossings=shows_crossings)):
        top = (run.made[0] / worked.stitch_count, run.made[1] / worked.stitch_count)
        patches.append(
            Patch(
                face=run.face,
                foot_mm=foot_mm,
                top_mm=top_mm,
                foot=(run.used[0] / below, run.used[1] / below) if below else top,
                top=top,
                is_crossed=run.is_crossed,
                is_over=run.is_over,
            )
        )
    return tuple(patches)


def _halved(patches: Iterable[Patch], worked: Round) -> Iterator[Patch]:
    """Yield the patches, raised columns of an even width as the two strands that cross."""
    for patch in patches:
        width = round((patch.top[1] - patch.top[0]) * worked.stitch_count)
        if patch.face != "front" or patch.is_crossed or width % 2:
            yield patch
            continue
        for first, last in ((0.0, 0.5), (0.5, 1.0)):
            yield replace(patch, foot=_part(patch.foot, first, last), top=_part(patch.top, first, last))


def _part(turns: Turns, first: float, last: float) -> Turns:
    width = turns[1] - turns[0]
    return (turns[0] + first * width, turns[0] + last * width)


def _runs(worked: Round, *, shows_crossings: bool) -> Iterator[_Run]:
    counting = worked.start is not None and worked.start.counts_as_stitch
    used = made = 0.0
    if counting:
        used, made = (0.0 if worked.worked_into == "ring" else 1.0), 1.0
        yield _Run("flat", (0.0, used), (0.0, 1.0))
    for step in flat(worked.steps):
        if isinstance(step, Cross) and not shows_crossings:
            step = Work(step.stitch, 2 * step.over)
        for run in _runs_of(step, used, made):
            yield run
            used, made = max(used, run.used[1]), max(made, run.made[1])


def _runs_of(step: Step, used: float, made: float) -> Iterator[_Run]:
    match step:
        case Work(stitch, count):
            yield _Run(_face(stitch), (used, used + count), (made, made + count))
        case IntoOne(stitches):
            share = 1 / len(stitches)
            for number, stitch in enumerate(stitches):
                below = (used + share * number, used + share * (number + 1))
                yield _Run(_face(stitch), below, (made + number, made + number + 1))
        case Together(stitches):
            face = top_face([_face(stitch) for stitch in stitches])
            yield _Run(face, (used, used + len(stitches)), (made, made + 1))
        case Cross():
            yield from _bands(step, used, made)
        case Skip(count):
            yield _Run("flat", (used, used + count), (made, made))
        case Chain(_, counting):
            yield _Run("flat", (used, used), (made, made + counting))


def _bands(step: Cross, used: float, made: float) -> Iterator[_Run]:
    """Yield the two halves of a crossing, the one that lies behind first."""
    over, face, half = step.over, _face(step.stitch), used + step.over
    first_is_over = step.lean == "right"
    first = _Run(face, (half, half + over), (made, made + over), is_crossed=True, is_over=first_is_over)
    second = _Run(
        face, (used, half), (made + over, made + 2 * over), is_crossed=True, is_over=not first_is_over
    )
    yield from (second, first) if first_is_over else (first, second)


def _face(stitch: str) -> Face:
    if stitch == "rev_sc":
        return "flat"
    faces: dict[str, Face] = {"fp": "front", "bp": "back"}
    return faces.get(read_stitch(stitch).manner, "flat")


def _merged(runs: Iterable[_Run]) -> Iterator[_Run]:
    """Yield the runs, neighbours of one face as one; crossings stay by themselves."""
    held: _Run | None = None
    for run in runs:
        if held is not None and run.face == held.face and not (run.is_crossed or held.is_crossed):
            held = _Run(held.face, (held.used[0], run.used[1]), (held.made[0], run.made[1]))
            continue
        if held is not None:
            yield held
        held = run
    if held is not None:
        yield held


def joined_patches(patches: Iterable[Patch]) -> tuple[Patch, ...]:
    """Return the patches with straight ones that stand on one another as one.

    Examples
    --------
    >>> low = Patch(face="front", foot_mm=0, top_mm=5, foot=(0, 0.5), top=(0, 0.5))
    >>> high = replace(low, foot_mm=5, top_mm=9)
    >>> [(patch.foot_mm, patch.top_mm) for patch in joined_patches([low, high])]
    [(0, 9)]
    """
    done: list[Patch] = []
    standing: dict[tuple[Face, int, int], int] = {}
    for patch in patches:
        if not patch.is_straight or patch.is_crossed:
            done.append(patch)
            continue
        key = (patch.face, round(patch.top[0] * 1e6), round(patch.top[1] * 1e6))
        below = standing.get(key)
        joined = None if below is None else _stacked(done[below], patch)
        if below is not None and joined is not None:
            done[below] = joined
        else:
            standing[key] = len(done)
            done.append(patch)
    return tuple(done)


def _stacked(one: Patch, other: Patch) -> Patch | None:
    """Return two straight patches of one face as one, ``None`` where they do not touch."""
    low, high = (one, other) if abs(one.top_mm - other.foot_mm) < _SAME else (other, one)
    if abs(low.top_mm - high.foot_mm) >= _SAME:
        return None
    return Patch(face=low.face, foot_mm=low.foot_mm, top_mm=high.top_mm, foot=low.foot, top=high.top)


def crossing_grounds(patches: Iterable[Patch]) -> Iterator[Patch]:
    """Yield what lies behind each crossing: ground as wide as both of its bands.

    Where two bands change places, they leave gaps beside them, in which the back of the cloth shows.

    Examples
    --------
    >>> band = Patch(face="front", foot_mm=0, top_mm=5, foot=(0, 0.1), top=(0.1, 0.2), is_crossed=True)
    >>> [ground.foot for ground in crossing_grounds([band, replace(band, foot=(0.1, 0.2), is_over=True)])]
    [(0, 0.2)]
    """
    bands = [patch for patch in patches if patch.is_crossed]
    for behind, over in zip(bands[::2], bands[1::2], strict=True):
        yield Patch(
            face="back",
            foot_mm=over.foot_mm,
            top_mm=over.top_mm,
            foot=_both(behind.foot, over.foot),
            top=_both(behind.top, over.top),
        )


def _both(one: Turns, other: Turns) -> Turns:
    return (min(one[0], other[0]), max(one[1], other[1]))
