"""Count a line: turn its tree into the hook's steps, given what the round before made."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from service.domain.rounds import Start
from service.domain.steps import IntoOne, Step, Work, WorkedInto
from service.notation.counting import PieceCourse
from service.notation.declared_counts import compared_in
from service.notation.definitions import defined
from service.notation.faults import Fault, NotUnderstood
from service.notation.kinds import MadeOf
from service.notation.lone_pieces import refuse_lone_count, refuse_lone_join
from service.notation.made_before import MadeBefore, Realized, made_after, turned_over
from service.notation.named_places import unlike_called
from service.notation.space_orders import misplaced_in_row, misplaced_spaces
from service.notation.starting_chains import (
    COUNTED,
    begin_with_chain,
    readings_of,
    said_of_every_chain,
    start_chain_of,
    told_of,
    without_turning_chain,
)
from service.notation.travelling import without_travel
from service.notation.tree import (
    ONE,
    Closing,
    Count,
    Counts,
    Fill,
    Into,
    Join,
    Line,
    MagicRing,
    MakeChain,
    Piece,
    Place,
    SetFoundation,
    Stitches,
    Times,
)
from service.notation.turning import ends_in_chain, is_turning_chain, turns_of
from service.notation.unclear_repeats import read_as_group
from service.notation.units import Change, count_of_stitches, left_over, order_of

__all__ = ["realize"]


def realize(
    line: Line, made_before: MadeBefore, *, size: int = 0, change: Change | None = None
) -> Realized | Fault:
    """Return a line as steps with their counts, or the fault that keeps it from being counted.

    Parameters
    ----------
    line
        The tree of an instruction line that does not repeat other rounds.
    made_before
        What the round before made.
    size
        Which of the sizes is counted, from 0, where numbers are given for several.
    change
        Another value for one number, to try a repair.

    Examples
    --------
    >>> from service.notation.reader import read_line
    >>> line = read_line("Rnd 3: *sc in next st, 2 sc in next st; rep from * around. (18)", "us")
    >>> realize(line, MadeBefore(12)).steps
    (Repeat(times=6, steps=(Work(stitch='sc', count=1), IntoOne(stitches=('sc', 'sc')))),)
    >>> realize(line, MadeBefore(13)).faults[0].detail
    '1 stitch of the round before is left over after the 6th repeat.'
    """
    try:
        return _realized(line, made_before, size, change)
    except NotUnderstood as refused:
        return refused.fault


def _realized(line: Line, before: MadeBefore, size: int, change: Change | None) -> Realized:
    if line.defines:
        return defined(line, size)
    turned_first, turned_last = turns_of(line.pieces)
    if turned_first:
        before = turned_over(before)
    realized = _realized_as_it_lies(line, before, size, change)
    is_row = line.label is not None and line.label.is_row
    if turned_last is None and not is_row:
        return realized
    return replace(realized, turned=turned_last, is_row=is_row)


def _realized_as_it_lies(line: Line, before: MadeBefore, size: int, change: Change | None) -> Realized:
    counted = [piece for piece in line.pieces if isinstance(piece, COUNTED)]
    closing = next((piece for piece in line.pieces if isinstance(piece, Closing)), None)
    if closing is not None and not counted:
        return _closed(closing, before, size, change)
    if is_turning_chain(line, counted, before):
        return Realized("remark", turned=True)
    is_round = line.label is not None and line.label.kind == "round" and before.stitch_count is not None
    begun, rest = _after_foundation(line.pieces, before, size, change, is_round=is_round)
    if begun is not None:
        counted = [piece for piece in rest if isinstance(piece, COUNTED)]
        if not counted:
            return begun
        before = made_after(begun, before)
    if not counted and line.label is None:
        refuse_lone_count(line)
        return Realized("remark", chain_rules=said_of_every_chain(line.pieces))
    refuse_lone_join(line, counted)
    if not counted or (is_round and counted == [start_chain_of(rest)]):
        raise NotUnderstood(
            column=_column_in_line(line), code="unexpected", detail="No stitch is worked in this round."
        )
    rest, passed = without_travel(rest)
    if passed is not None:
        known = before.made_of if not passed else None
        before = replace(before, made_of=known, order=b"" if passed else before.order, passed=passed)
    worked = _worked(rest, before, size, change)
    _refuse_unclear_repeat(worked, rest, before, size, change)
    if not worked.demands or worked.faults:
        return worked
    return replace(worked, faults=unlike_called(worked, before, line.terms_id))


def _refuse_unclear_repeat(
    worked: Realized, pieces: Sequence[Piece], before: MadeBefore, size: int, change: Change | None
) -> None:
    """Refuse a round without brackets that is right, or as right, if more of it is repeated."""
    group = read_as_group(pieces)
    if group is None:
        return
    is_declared = any(isinstance(piece, Count) for piece in pieces)
    if is_declared and _fits(worked, pieces, size, change):
        return
    other = _worked(group, before, size, change)
    if _fits(other, pieces, size, change) and _counts_of(other) != _counts_of(worked):
        raise NotUnderstood(
            column=next(piece.column for piece in group if isinstance(piece, Times | Fill)),
            code="ambiguous",
            detail="Put what is repeated in brackets: '[8 sc, inc] around'.",
        )


def _column_in_line(line: Line) -> int:
    """Return where the label begins, told as the columns of the pieces are."""
    return line.label.column - line.offset if line.label else 1


def _closed(closing: Closing, before: MadeBefore, size: int, change: Change | None) -> Realized:
    course = PieceCourse(before.stitch_count, 0, size=size, change=change)
    drawn = course.number(closing.count, otherwise=before.stitch_count or 0)
    if closing.count is None:
        return Realized("remark")
    faults: tuple[Fault, ...] = ()
    if before.stitch_count is not None and drawn != before.stitch_count:
        code = "run_out" if drawn > before.stitch_count else "left_over"
        detail = f"The round before has {count_of_stitches(before.stitch_count)}, not {drawn}."
        faults = (Fault(1, closing.count.columns[0], code, detail),)
    return Realized("closing", consumed_stitch_count=drawn, faults=faults)


def _after_foundation(
    pieces: Sequence[Piece], before: MadeBefore, size: int, change: Change | None, *, is_round: bool
) -> tuple[Realized | None, Sequence[Piece]]:
    """Return the foundation a line begins with, if it does, and what follows it.

    A round that others stand before begins with no foundation, unless its chain is formed to a ring.
    """
    telling = [index for index, piece in enumerate(pieces) if isinstance(piece, (*COUNTED, Join, MagicRing))]
    if not telling:
        return None, pieces
    head = pieces[telling[0]]
    following = pieces[telling[1]] if len(telling) > 1 else None
    if isinstance(head, MagicRing):
        return Realized("foundation", is_ring=True), pieces[telling[0] + 1 :]
    if not isinstance(head, MakeChain):
        return None, pieces
    is_alone = following is None and (before.stitch_count is None or before.is_foundation is None)
    if isinstance(following, Join):
        if is_round and not following.forms_ring:
            return None, pieces
        end = telling[1] + 1
    elif is_alone or _begins_from_hook(following):
        end = telling[0] + 1
    else:
        return None, pieces
    course = PieceCourse(None, None, size=size, change=change)
    course.work([head])
    count = course.number(head.count)
    made_of = MadeOf((Work("ch", count),))
    begun = Realized("foundation", course.unit().steps, stitch_count=count, made_of=made_of)
    return begun, pieces[end:]


def _begins_from_hook(piece: Piece | None) -> bool:
    match piece:
        case Stitches(_, _, Place("from_hook")) | Into(_, Place("from_hook")):
            return True
    return False


def _worked(pieces: Sequence[Piece], before: MadeBefore, size: int, change: Change | None) -> Realized:
    """Return a round, its starting chain read as the line, the text or the trade says."""
    start = start_chain_of(pieces)
    if start is None:
        return _counted(pieces, before, None, Counts(None), size, change)
    told = told_of(start, pieces, before)
    first = _counted(pieces, before, start, told or Counts(ONE), size, change)
    others = readings_of(start, told, first)[1:]
    if not others:
        return first
    readings = [first, *(_counted(pieces, before, start, each, size, change) for each in others)]
    if all(_counts_of(each) == _counts_of(first) for each in readings):
        return readings[-1]
    fitting = [each for each in readings if _fits(each, pieces, size, change)]
    if len(fitting) == 1:
        return fitting[0]
    raise _unsaid(start, told, readings)


def _counts_of(reading: Realized) -> tuple[object, ...]:
    return reading.stitch_count, reading.lengths, reading.faults


def _unsaid(start: MakeChain, told: Counts | None, readings: Sequence[Realized]) -> NotUnderstood:
    """Return the question what a starting chain counts as."""
    if len(readings) == 2 and told is None:
        detail = (
            f"Say whether the starting ch counts as a st: the round has {readings[0].stitch_count} stitches "
            f"if it does and {readings[1].stitch_count} if it does not."
        )
    else:
        detail = (
            "Say what the starting ch counts as: a st, a st and a chain space ('counts as dc and ch 2'), "
            "or nothing."
        )
    return NotUnderstood(column=start.column, code="start_chain_unsaid", detail=detail)


def _fits(reading: Realized, pieces: Sequence[Piece], size: int, change: Change | None) -> bool:
    """Return whether a reading of the starting chain agrees with all that the line declares."""
    compared = compared_in(pieces, reading, size, change)
    return not reading.faults and all(each.declared == each.made for each in compared)


def _counted(
    pieces: Sequence[Piece],
    before: MadeBefore,
    start: MakeChain | None,
    told: Counts,
    size: int,
    change: Change | None,
) -> Realized:
    worked_into = _worked_into(pieces, before)
    course = _course(pieces, before, worked_into, size, change)
    chain_count = 0
    if start is not None:
        pieces = [piece for piece in pieces if piece is not start]
        chain_count = begin_with_chain(course, start, told)
    pieces = without_turning_chain(pieces, course)
    course.work(pieces)
    consumed = _end_round(course, pieces, worked_into)
    _note_misplaced_spaces(course, before)
    merged = bool(course.steps) and _stands_in_first_stitch(course.steps[0])
    begun = Start(chain_count, told.is_counting and not merged) if start is not None else None
    steps = tuple(course.steps)
    return Realized(
        kind="round",
        steps=steps,
        start=begun,
        join="sl_st" if any(isinstance(piece, Join) for piece in pieces) else None,
        worked_into=worked_into,
        consumed_stitch_count=consumed,
        stitch_count=course.made,
        space_count=course.made_spaces,
        chain_rules=said_of_every_chain([*([start] if start else []), *pieces]),
        foundation_stitch_count=before.foundation_stitch_count,
        faults=tuple(course.faults),
        made_of=MadeOf(steps, told.stitch if begun and begun.counts_as_stitch else None, course.has_unnamed),
        lengths=course.lengths.ljust(course.made_spaces, b"\0"),
        demands=tuple(course.demands),
        asked=course.asked,
        asked_spaces=course.asked_spaces,
        order=order_of(course.order_made, course.made, course.made_spaces) if course.made_spaces else b"",
    )


def _note_misplaced_spaces(course: PieceCourse, before: MadeBefore) -> None:
    """Note a chain space that is worked among other stitches than it stands, where both are worked."""
    if course.used and course.order_used and before.order and not (course.faults or course.is_swept):
        compare = misplaced_in_row if before.is_row and before.turned is None else misplaced_spaces
        course.faults += compare(course.order_used, course.order_columns, before.order)


def _worked_into(pieces: Sequence[Piece], before: MadeBefore) -> WorkedInto:
    places = set(_places(pieces))
    if before.is_ring or "ring" in places:
        return "ring"
    if "foundation_ch" in places and before.is_foundation is not True:
        return "foundation_edge"
    return "foundation" if before.is_foundation else "previous_round"


def _places(pieces: Sequence[Piece]) -> Iterator[str]:
    """Yield the kinds and units of all places that a round is worked into."""
    for piece in pieces:
        match piece:
            case SetFoundation():
                yield "foundation_ch"
            case Stitches(_, _, Place(kind, _, unit)) | Into(_, Place(kind, _, unit)):
                yield kind
                yield unit
            case Times(inner) | Fill(inner):
                yield from _places(inner)


def _course(
    pieces: Sequence[Piece], before: MadeBefore, worked_into: WorkedInto, size: int, change: Change | None
) -> PieceCourse:
    available = before.foundation_stitch_count if worked_into == "foundation_edge" else before.stitch_count
    if worked_into == "ring":
        if not (before.is_ring or before.is_foundation is not False or not before.stitch_count):
            column = next(piece.column for piece in pieces if isinstance(piece, COUNTED))
            raise NotUnderstood(column=column, code="wrong_place", detail="There is no ring to work in here.")
        available = None
    return PieceCourse(
        available,
        0 if worked_into == "foundation_edge" else before.space_count,
        size=size,
        change=change,
        in_ring=worked_into == "ring",
        has_chains=before.is_foundation is not False or worked_into == "foundation_edge",
        passed=before.passed,
        shells=dict(before.shells),
        ends_in_chain=ends_in_chain(before),
        space_lengths=b"" if worked_into == "foundation_edge" else before.lengths,
    )


def _end_round(course: PieceCourse, pieces: Sequence[Piece], worked_into: WorkedInto) -> int:
    """Return what the round uses up; note what it leaves of the round before."""
    if course.in_ring:
        return 0
    if course.used == 0 and course.used_spaces and course.available is not None:
        consumed = course.available
    else:
        consumed = course.used
    if not course.faults:
        _note_false_ends(course)
    if not course.faults:
        column, times = _last_counted(pieces, course)
        if course.passed and consumed + course.passed_count == course.available:
            return course.available
        if course.available is not None and consumed < course.available:
            over = course.available - consumed
            course.fault(column, "left_over", left_over(count=over, times=times, are_spaces=False))
        elif course.used_spaces and course.spaces is not None and course.used_spaces < course.spaces:
            over = course.spaces - course.used_spaces
            course.fault(column, "left_over", left_over(count=over, times=times, are_spaces=True))
    return consumed


def _note_false_ends(course: PieceCourse) -> None:
    """Note a place that is called the last though others are worked after it."""
    for column, is_space, used in course.claims:
        after = course.used_spaces - used if is_space else course.used - course.chain_count - used
        if after > 0:
            detail = f"This is called the last, but the round works {after} more after it."
            course.fault(column, "wrong_place", detail)


def _last_counted(pieces: Sequence[Piece], course: PieceCourse) -> tuple[int, int]:
    """Return where the last counted piece stands, and how often it is done if it is a repeat."""
    counted = [piece for piece in pieces if isinstance(piece, COUNTED)]
    if not counted:
        # A round of nothing but its start and its join leaves everything over.
        return (pieces[0].column if pieces else 1), 0
    last = counted[-1]
    if isinstance(last, Times):
        return last.column, course.number(last.times) + last.extra
    return last.column, 0


def _stands_in_first_stitch(step: Step) -> bool:
    """Return whether a counting chain shares the first stitch with others, and is one of them."""
    return isinstance(step, IntoOne) and step.stitches[0] == "ch"
