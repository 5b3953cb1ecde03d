"""What the hook does in every round of a textured crown, and how its columns stand after each."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain, cycle, groupby, islice, pairwise
from math import lcm

from service.domain.crown_crossings import CrossingCalendar
from service.domain.crown_parts import ColumnChange, CopyChange, copy_change, top_face
from service.domain.crown_places import CopyRound, TexturedRound
from service.domain.crown_textured import TexturedCrown
from service.domain.fabrics import BaseStitch, Column, Fabric, Face
from service.domain.hat_rounds import faced_code, plain_base
from service.domain.rounds import ColumnAction, ColumnState, Kind
from service.domain.shaping_rounds import shaping_steps
from service.domain.steps import Cross, IntoOne, Repeat, Step, Together, Work, canonical, flat, repeated

__all__ = ["CrownManner", "WorkedRound", "standard_repeat", "textured_rounds"]

_SINGLE = CopyRound(stitch_count=1, widths=())


@dataclass(frozen=True, slots=True)
class CrownManner:
    """How the columns of a fabric are worked in the crown.

    ``crossing_stitches`` has the stitch to cross by its number over as many; the fabric's own otherwise.
    ``round_in_repeat`` is the round of the vertical repeat that the first crown round is, from 1.
    """

    fabric: Fabric
    crossing_stitches: Mapping[int, BaseStitch]
    round_in_repeat: int = 1


@dataclass(frozen=True, slots=True)
class WorkedRound:
    """A worked crown round: what kind, its count, its steps, and its columns across one crown repeat."""

    kind: Kind
    stitch_count: int
    steps: tuple[Step, ...]
    columns: tuple[ColumnState, ...]


def standard_repeat(times: int, steps: Sequence[Step]) -> tuple[Step, ...]:
    """Return steps done so many times, in standard form.

    Steps that all differ are short already. Done twice, others show their smallest period.

    Examples
    --------
    >>> standard_repeat(10, [Work("sc", 1), Work("sc", 1)])
    (Work(stitch='sc', count=20),)
    >>> standard_repeat(3, [Work("sc", 1), Work("dc", 1), Work("sc", 1), Work("dc", 1)])
    (Repeat(times=6, steps=(Work(stitch='sc', count=1), Work(stitch='dc', count=1))),)
    >>> standard_repeat(1, [Work("sc", 1), Work("dc", 1), Work("sc", 1)])
    (Work(stitch='sc', count=1), Work(stitch='dc', count=1), Work(stitch='sc', count=1))
    """
    joined = flat(steps)
    kinds = {step.stitch if isinstance(step, Work) else step for step in joined}
    if len(kinds) == len(joined):
        return repeated(times, joined)
    if times == 1:
        return canonical(joined)
    [twice] = canonical(repeated(2, joined))
    assert isinstance(twice, Repeat), "different steps done twice are a repeat"
    return (Repeat(twice.times // 2 * times, twice.steps),)


def textured_rounds(crown: TexturedCrown, manner: CrownManner) -> tuple[WorkedRound, ...]:
    """Return every round of the crown in working order.

    Inward, a column that narrows by d has d pairs worked together, the larger half at its right edge.
    Outward, the same places are worked into one. A cable crosses at its new width in the round after it
    changed, else one vertical repeat after its last crossing, unless it changes then.
    From the crown the first round is plain, worked into a ring.

    Notes
    -----
    Convention: the right edge is the one a right-hander works first, with the right side in front.
    """
    return tuple(_inward(crown, manner) if crown.worked == "from_brim" else _outward(crown, manner))


@dataclass(frozen=True, slots=True)
class _Worker:
    """Puts rounds into steps. ``copies`` are the columns of neighbouring copies that differ in nothing else.

    A copy is one period of the fabric; copies may differ in leans and in when they cross.
    """

    manner: CrownManner
    copies: tuple[tuple[Column, ...], ...]
    times: int
    group_count: int
    is_inward: bool

    @property
    def column_faces(self) -> tuple[Face, ...]:
        """Return the face of each column of a copy."""
        return tuple(column.face for column in self.copies[0])

    def code(self, face: Face) -> str:
        """Return the code of the fabric's stitch on a face."""
        return faced_code(face, self.manner.fabric.stitch)

    def worked(
        self,
        before: TexturedRound,
        after: TexturedRound,
        changes: Sequence[CopyChange],
        crossing: frozenset[tuple[int, int]],
    ) -> WorkedRound:
        """Return a round in which the copies of a group change as they do."""
        steps: list[Step] = []
        columns: list[ColumnState] = []
        for place, own in enumerate(self.copies):
            change = changes[place % len(changes)]
            crossed = frozenset(number for copy, number in crossing if copy == place)
            steps += self._copy_steps(change, own, crossed)
            columns += self._copy_columns(change, _copy_of(after, place), crossed)
        return WorkedRound(
            kind=self._kind(before, after, bool(crossing)),
            stitch_count=after.stitch_count,
            steps=standard_repeat(self.times, steps),
            columns=tuple(columns),
        )

    def _kind(self, before: TexturedRound, after: TexturedRound, crosses: bool) -> Kind:
        if after.stitch_count < before.stitch_count:
            return "decrease"
        if after.stitch_count > before.stitch_count:
            return "increase"
        return "cross" if crosses else "pattern"

    def _copy_steps(
        self, change: CopyChange, columns: Sequence[Column], crossed: frozenset[int]
    ) -> Iterator[Step]:
        for column_change in change.columns:
            number = column_change.column
            if number is None:
                yield from map(self._part_step, column_change.parts)
            elif number in crossed:
                yield self._cross(columns[number], len(column_change.outer_faces))
            else:
                code = self.code(columns[number].face)
                for size, run in groupby(column_change.sizes):
                    yield from self._run(code, size, sum(1 for _ in run))

    def _run(self, code: str, size: int, count: int) -> tuple[Step, ...]:
        """Return the steps of neighbouring parts of one size."""
        if size == 1:
            return (Work(code, count),)
        together = (code,) * size
        return (Together(together) if self.is_inward else IntoOne(together),) * count

    def _cross(self, column: Column, width: int) -> Step:
        crossing, fabric = column.crossing, self.manner.fabric
        assert crossing is not None, "only cables are due to cross"
        over = width // 2
        given = crossing.stitch if over == crossing.over else None
        base = given or self.manner.crossing_stitches.get(over, fabric.stitch)
        return Cross(over, faced_code(column.face, base), crossing.lean)

    def _part_step(self, part: tuple[Face, ...]) -> Step:
        codes = tuple(map(self.code, part))
        if len(codes) == 1:
            return Work(codes[0])
        return Together(codes) if self.is_inward else IntoOne(codes)

    def _copy_columns(
        self, change: CopyChange, after: CopyRound, crossed: frozenset[int]
    ) -> Iterator[ColumnState]:
        if not after.widths:
            yield from self._single_columns(change)
            return
        is_born = change.columns[0].column is None
        for number, (face, width) in enumerate(zip(self.column_faces, after.widths, strict=True)):
            if number in crossed:
                yield ColumnState(face, width, width // 2, "cross")
            elif is_born:
                yield ColumnState(face, width, None, "born")
            else:
                yield ColumnState(face, width, None, self._action(change.columns[number]))

    def _action(self, change: ColumnChange) -> ColumnAction:
        if change.is_straight:
            return "straight"
        return "narrow" if self.is_inward else "widen"

    def _single_columns(self, change: CopyChange) -> Iterator[ColumnState]:
        """Yield the columns of a copy whose columns have gone together, or have not come apart yet."""
        for part in chain.from_iterable(column.parts for column in change.columns):
            if self.is_inward:
                yield ColumnState(top_face(part), 1, None, "merge" if len(part) > 1 else "straight")
            else:
                yield from (
                    ColumnState(face, 1, None, "born" if len(part) > 1 else "straight") for face in part
                )

    def singles(self, before: TexturedRound, after: TexturedRound) -> WorkedRound:
        """Return a round of single stitches on a round of single stitches, all of the raised face."""
        face = top_face(self.column_faces)
        steps = shaping_steps(
            from_stitch_count=before.stitch_count,
            to_stitch_count=after.stitch_count,
            stitch=self.code(face),
            staggered=False,
        )
        changed: ColumnAction = "merge" if self.is_inward else "born"
        action = "straight" if before.stitch_count == after.stitch_count else changed
        column = ColumnState(face, 1, None, action)
        return WorkedRound(
            kind=self._kind(before, after, crosses=False),
            stitch_count=after.stitch_count,
            steps=steps,
            columns=(column,) * max(1, after.stitch_count // self.group_count),
        )

    def ring(self, after: TexturedRound) -> WorkedRound:
        """Return the first round from the crown, plain stitches into a ring."""
        width = max(1, after.stitch_count // self.group_count)
        return WorkedRound(
            kind="plain",
            stitch_count=after.stitch_count,
            steps=(Work(plain_base(self.manner.fabric), after.stitch_count),),
            columns=(ColumnState("flat", width, None, "straight"),),
        )


def _copy_of(state: TexturedRound, place: int) -> CopyRound:
    return state.copies[place % len(state.copies)] if state.copies else _SINGLE


def _worker(crown: TexturedCrown, manner: CrownManner) -> _Worker:
    length = len(crown.fabric.period.class_of_column)
    columns = manner.fabric.columns
    own = [columns[begin : begin + length] for begin in range(0, len(columns), length)]
    size = lcm(len(own), crown.fabric.group_size)
    return _Worker(
        manner=manner,
        copies=tuple(islice(cycle(own), size)),
        times=crown.fabric.repeat_count // size,
        group_count=crown.fabric.group_count,
        is_inward=crown.worked == "from_brim",
    )


def _changes_inward(crown: TexturedCrown, worker: _Worker) -> Iterator[tuple[CopyChange, ...]]:
    """Yield what happens to each copy of a group between each round and the one farther in.

    Nothing between two rounds of single stitches.
    """
    start = tuple(column.face for column in worker.copies[0] for _ in range(column.width))
    faces = [start] * crown.fabric.group_size
    for outer, inner in pairwise(crown.inward):
        changes = tuple(
            copy_change(
                copy, _copy_of(inner, place), column_faces=worker.column_faces, outer_faces=faces[place]
            )
            for place, copy in enumerate(outer.copies)
        )
        faces = [change.inner_faces for change in changes]
        yield changes


def _inward(crown: TexturedCrown, manner: CrownManner) -> Iterator[WorkedRound]:
    worker = _worker(crown, manner)
    calendar = CrossingCalendar(
        worker.copies,
        round_repeat_count=manner.fabric.round_repeat_count,
        round_in_repeat=manner.round_in_repeat,
    )
    rounds = zip(pairwise(crown.inward), _changes_inward(crown, worker), strict=True)
    known: _Known = {}
    for number, ((outer, inner), changes) in enumerate(rounds, 1):
        crossing = calendar.crossing(number, outer.copies, inner.copies)
        yield _round(worker, outer, inner, changes, crossing, known)


def _outward(crown: TexturedCrown, manner: CrownManner) -> Iterator[WorkedRound]:
    worker = _worker(crown, manner)
    calendar = CrossingCalendar(
        worker.copies, round_repeat_count=manner.fabric.round_repeat_count, round_in_repeat=None
    )
    yield worker.ring(crown.inward[-1])
    rounds = list(zip(pairwise(crown.inward), _changes_inward(crown, worker), strict=True))
    known: _Known = {}
    for number, ((outer, inner), changes) in enumerate(reversed(rounds), 2):
        crossing = calendar.crossing(number, inner.copies, outer.copies)
        yield _round(worker, inner, outer, changes, crossing, known)


_Known = dict[tuple[TexturedRound, TexturedRound, frozenset[tuple[int, int]]], WorkedRound]


def _round(
    worker: _Worker,
    before: TexturedRound,
    after: TexturedRound,
    changes: tuple[CopyChange, ...],
    crossing: frozenset[tuple[int, int]],
    known: _Known,
) -> WorkedRound:
    """Return a round, worked out once where a straight round comes again over the same columns."""
    is_straight = before == after and all(copy.widths for copy in after.copies)
    key = (before, after, crossing)
    if is_straight and key in known:
        return known[key]
    worked = worker.worked(before, after, changes, crossing) if changes else worker.singles(before, after)
    if is_straight:
        known[key] = worked
    return worked
