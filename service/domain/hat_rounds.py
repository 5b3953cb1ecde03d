"""The worked rounds of brim and body: what the hook does in each, and how a round begins and ends."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from service.domain.fabrics import BaseStitch, Column, Fabric, Face
from service.domain.rounds import Kind, Round, Section, Start
from service.domain.steps import (
    Cross,
    IntoOne,
    Repeat,
    Step,
    Together,
    Work,
    WorkedInto,
    canonical,
    consumed_by,
    made_by,
    repeated,
)
from service.domain.stitches import TURNING_CHAINS, read_stitch

__all__ = [
    "RoundManner",
    "begins_with_post",
    "fabric_round_kind",
    "fabric_round_steps",
    "face_in_round",
    "faced_code",
    "make_round",
    "plain_base",
]

#: Chains that begin a joined round without counting (common practice, no source).
_STARTING_CHAINS: Mapping[BaseStitch, int] = {"sc": 1, "hdc": 1, "dc": 2, "tr": 3, "dtr": 4}
_MANNER: Mapping[Face, str] = {"front": "fp", "back": "bp", "flat": ""}
_TURNED: Mapping[Face, Face] = {"front": "back", "back": "front", "flat": "flat"}


@dataclass(frozen=True, slots=True)
class RoundManner:
    """How rounds begin and end: joined with a slip stitch, or in a spiral without a join.

    ``start_chain_counts`` lets the starting chain stand for the first stitch where that is plain.
    """

    is_joined: bool = True
    start_chain_counts: bool = False


def faced_code(face: Face, base: BaseStitch) -> str:
    """Return the code of a stitch on one face of the fabric.

    Examples
    --------
    >>> faced_code("back", "dc"), faced_code("flat", "sc")
    ('bpdc', 'sc')
    """
    return _MANNER[face] + base


def plain_base(fabric: Fabric) -> BaseStitch:
    """Return the stitch of a plain round that carries this fabric.

    Post stitches need a post to go around, so the round below them is at least half double crochet.

    Examples
    --------
    >>> plain_base(Fabric("sc", (Column("front", 1), Column("back", 1))))
    'hdc'
    """
    return "hdc" if fabric.is_post and fabric.stitch == "sc" else fabric.stitch


def fabric_round_steps(
    fabric: Fabric,
    *,
    repeat_count: int,
    round_in_repeat: int,
    round_in_fabric: int,
    crossing_stitches: Mapping[int, BaseStitch],
) -> tuple[Step, ...]:
    """Return the steps of one round of a fabric.

    Parameters
    ----------
    repeat_count
        How often the columns stand in the round. [>= 1]
    round_in_repeat
        Which round of the vertical repeat this is, from 1; 0 for a lead-in round, where nothing crosses.
    round_in_fabric
        Which round of the fabric this is, from 1; it decides which face is turned.
    crossing_stitches
        The base stitch of a crossing by its number of stitches over as many.

    Examples
    --------
    >>> rib = Fabric("dc", (Column("front", 1), Column("back", 1)))
    >>> fabric_round_steps(
    ...     rib, repeat_count=3, round_in_repeat=1, round_in_fabric=1, crossing_stitches={}
    ... )
    (Repeat(times=3, steps=(Work(stitch='fpdc', count=1), Work(stitch='bpdc', count=1))),)
    """
    unit = [
        _column_step(
            column,
            face_in_round(fabric, column, round_in_fabric),
            fabric.stitch,
            round_in_repeat,
            crossing_stitches,
        )
        for column in fabric.columns
    ]
    return canonical(repeated(repeat_count, unit))


def face_in_round(fabric: Fabric, column: Column, round_in_fabric: int) -> Face:
    """Return the face of a column in one round of the fabric, counted from 1.

    Examples
    --------
    >>> basket = Fabric("dc", (Column("front", 4), Column("back", 4)), 8, flip_round_count=4)
    >>> [face_in_round(basket, basket.columns[0], number) for number in (4, 5, 9)]
    ['front', 'back', 'front']
    """
    if fabric.flip_round_count is None or (round_in_fabric - 1) // fabric.flip_round_count % 2 == 0:
        return column.face
    return _TURNED[column.face]


def _column_step(
    column: Column,
    face: Face,
    base: BaseStitch,
    round_in_repeat: int,
    crossing_stitches: Mapping[int, BaseStitch],
) -> Step:
    crossing = column.crossing
    if crossing is None or crossing.round_in_repeat != round_in_repeat:
        return Work(faced_code(face, base), column.width)
    base_of_crossing = crossing.stitch or crossing_stitches[crossing.over]
    return Cross(crossing.over, faced_code(face, base_of_crossing), crossing.lean)


def fabric_round_kind(fabric: Fabric, *, round_in_repeat: int) -> Kind:
    """Return what kind of round this is of a body fabric.

    Examples
    --------
    >>> fabric_round_kind(Fabric("sc", (Column("flat", 1),)), round_in_repeat=1)
    'plain'
    """
    if not fabric.is_textured:
        return "plain"
    crossings = (column.crossing for column in fabric.columns if column.crossing is not None)
    crosses = any(crossing.round_in_repeat == round_in_repeat for crossing in crossings)
    return "cross" if crosses else "pattern"


def make_round(
    *,
    number: int,
    section: Section,
    kind: Kind,
    worked_into: WorkedInto,
    steps: Sequence[Step],
    manner: RoundManner,
    height_mm: float,
) -> Round:
    """Return a round with its start, its join and its exact counts.

    A starting chain counts as a stitch only where it was asked for and the first stitch is plain:
    a chain cannot stand for a post stitch, an increase or a decrease.

    Examples
    --------
    >>> dc_round = make_round(
    ...     number=2, section="body", kind="plain", worked_into="previous_round",
    ...     steps=[Work("dc", 72)], manner=RoundManner(start_chain_counts=True), height_mm=12.6,
    ... )
    >>> dc_round.start, dc_round.steps, dc_round.stitch_count
    (Start(chain_count=3, counts_as_stitch=True), (Work(stitch='dc', count=71),), 72)
    """
    start, worked = _begin(steps, manner)
    counting = 1 if start is not None and start.counts_as_stitch else 0
    consumed = consumed_by(worked, worked_into=worked_into)
    return Round(
        number=number,
        section=section,
        kind=kind,
        worked_into=worked_into,
        consumed_stitch_count=consumed + (0 if worked_into == "ring" else counting),
        stitch_count=made_by(worked) + counting,
        start=start,
        steps=worked,
        join="sl_st" if manner.is_joined else None,
        height_mm=height_mm,
    )


def _begin(steps: Sequence[Step], manner: RoundManner) -> tuple[Start | None, tuple[Step, ...]]:
    if not manner.is_joined:
        return None, tuple(steps)
    code = _first_code(steps[0])
    base: BaseStitch = "sc" if code == "rev_sc" else read_stitch(code).base
    rest = _without_first_plain(steps) if manner.start_chain_counts else None
    # A chain that stood for the only stitch would leave nothing to work and nothing to say.
    if not rest:
        return Start(_STARTING_CHAINS[base], counts_as_stitch=False), tuple(steps)
    return Start(TURNING_CHAINS[base], counts_as_stitch=True), canonical(rest)


def begins_with_post(steps: Sequence[Step]) -> bool:
    """Return whether the first stitch of a round goes around a post.

    Examples
    --------
    >>> begins_with_post([Repeat(3, (Work("fpdc", 1), Work("bpdc", 1)))]), begins_with_post([Work("dc", 6)])
    (True, False)
    """
    return _first_code(steps[0]).startswith(("fp", "bp"))


def _first_code(step: Step) -> str:
    match step:
        case Work(stitch) | Cross(_, stitch):
            return stitch
        case IntoOne(stitches) | Together(stitches):
            return stitches[0]
        case Repeat(_, inner):
            return _first_code(inner[0])
    raise AssertionError("a round begins with a stitch")


def _without_first_plain(steps: Sequence[Step]) -> tuple[Step, ...] | None:
    """Return the steps after the first stitch, or nothing where that is not a plain stitch of its own."""
    first, *rest = steps
    match first:
        case Work(stitch, count) if stitch in TURNING_CHAINS:
            left: list[Step] = [Work(stitch, count - 1)] if count > 1 else []
            return (*left, *rest)
        case Repeat(times, inner):
            opened = _without_first_plain(inner)
            return None if opened is None else (*opened, *repeated(times - 1, inner), *rest)
    return None
