"""Check the counts of a whole pattern: what each line uses up, makes and declares."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import TypeVar

from service.notation.checked_rounds import CheckedRound, CountCheck, SizeCount, Verdict, worst_of
from service.notation.count_faults import with_chains, wrong_counts
from service.notation.counts_of_runs import counts_rounds, refused_rounds
from service.notation.declared_counts import declared_at_end, declared_in
from service.notation.faults import Fault, NotUnderstood
from service.notation.made_before import (
    LookedAt,
    MadeBefore,
    Realized,
    RealizedKind,
    looked_at,
    made_after,
    rules_are_sized,
    taken_at_its_word,
)
from service.notation.numerals import size_counts_in
from service.notation.reader import read_label, read_line
from service.notation.realizing import realize
from service.notation.repairs import Repair, find_repair
from service.notation.repeated_rounds import MOST_ROUNDS, rounds_worked
from service.notation.round_numbers import RoundNumbers
from service.notation.size_marks import place_of_size
from service.notation.terms import Terms, TermsId
from service.notation.tree import Label, Line, RoundsAgain
from service.notation.work_budgets import MOST_REPAIR_WORK, MOST_WORK, WorkBudget, WorkSpent, reading_work
from service.notation.written_lines import WrittenLine, written_lines

__all__ = ["MOST_BYTES", "MOST_SIZES", "check_counts"]

MOST_BYTES = 64 * 1024
MOST_SIZES = 24
#: Lines of instructions, with those that only fasten off or turn (convention).
_MOST_LINES = 1500
_Placed = TypeVar("_Placed", Fault, Repair)


@dataclass(frozen=True, slots=True)
class _Counted:
    """A line counted for one size; a line that could not be counted has no ``kind``."""

    kind: RealizedKind | None
    consumed: int | None
    made: int | None
    declared: int | None
    faults: tuple[Fault, ...]
    after: MadeBefore
    is_for_size: bool = True


@dataclass(slots=True)
class _Text:
    """A text while it is checked: what each size finds, and the rounds that can be repeated."""

    terms_id: TermsId
    before: list[MadeBefore]
    counting: WorkBudget
    repairing: WorkBudget
    numbers: RoundNumbers = field(default_factory=RoundNumbers)
    round_count: int = 0
    known: dict[int, Line] = field(default_factory=dict)
    realized: dict[tuple[str, LookedAt, int], Realized | Fault] = field(default_factory=dict)


def check_counts(text: str, terms: Terms, start_stitch_count: int | None = None) -> CountCheck:
    """Return what each instruction line of a pattern uses up, makes and declares.

    Headings, blank lines and sentences without a count make no entry; ``headings`` tells what a heading is.
    After a round that is not understood, counting goes on from its declared count. Convention: so it does
    after a round that does not use up the round before, since its count says what was meant; after one that
    only declares another count than it makes, counting goes on from what it makes. Convention: a round whose
    number does not follow has a fault, but its verdict is that of its counts, since a text that is read for
    one of several sizes leaves out rounds.

    Parameters
    ----------
    text
        A pattern in standard written form, a line for each instruction. [at most 64 KB, 400 rounds]
    terms
        The terms it is written in.
    start_stitch_count
        Stitches that the first line finds, where the text does not begin with a foundation.

    Examples
    --------
    >>> from service.notation.terms import US
    >>> check = check_counts("Rnd 1: 6 sc in ring. (6)\\nRnd 2: 2 sc in each st around. (13)", US)
    >>> check.verdict, check.rounds[1].stitch_count, check.rounds[1].repair.right_count
    ('disagrees', 12, 12)
    """
    if len(text.encode(errors="replace")) > MOST_BYTES:
        return _refused(1, "too_long", f"A text has at most {MOST_BYTES} bytes.")
    work = reading_work(text)
    if work > MOST_WORK:
        detail = f"To read this text takes {work} work units; a text may take {MOST_WORK}. Send it in parts."
        return _refused(1, "too_long", detail)
    lines = written_lines(text, terms.terms_id)
    if len(lines) > _MOST_LINES:
        detail = f"A text has at most {_MOST_LINES} lines of instructions; this one has {len(lines)}."
        return _refused(lines[_MOST_LINES].number, "too_long", detail)
    read = [(line, _read(line, terms.terms_id)) for line in lines]
    size_count = _size_count([line for _, line in read])
    if size_count > 1 and _size_count([line for _, line in read if not counts_rounds(line)]) == 1:
        read = [(written, refused_rounds(line) if counts_rounds(line) else line) for written, line in read]
        size_count = 1
    begin = MadeBefore(start_stitch_count, space_count=None, is_foundation=None)
    counting, repairing = WorkBudget(MOST_WORK, spent=work), WorkBudget(MOST_REPAIR_WORK)
    state = _Text(terms.terms_id, [begin] * size_count, counting, repairing)
    entries = (_check_line(state, *each) for each in read)
    rounds = tuple(entry for entry in entries if entry is not None)
    compared = [entry.verdict for entry in rounds if not _is_bare_foundation(entry)]
    verdict = worst_of(compared) if rounds else "undeclared"
    return CountCheck(rounds, verdict, work_units=counting.spent + repairing.spent)


def _refused(line: int, code: str, detail: str) -> CountCheck:
    fault = Fault(line, 1, code, detail)
    entry = CheckedRound(line, None, None, None, None, None, "not_understood", (fault,))
    return CountCheck((entry,), "not_understood")


def _read(written: WrittenLine, terms_id: TermsId) -> Line | Fault:
    line = read_line(written.text, terms_id)
    return replace(line, sizes=written.sizes) if isinstance(line, Line) and written.sizes else line


def _is_bare_foundation(entry: CheckedRound) -> bool:
    return entry.verdict == "undeclared" and entry.round is None


def _size_count(lines: Sequence[Line | Fault]) -> int:
    """Return for how many sizes the text is written: the most that any number has, within bounds."""
    understood = [line for line in lines if isinstance(line, Line)]
    counts = [count for line in understood for count, _ in size_counts_in(line.pieces)]
    counts += [max(line.sizes) for line in understood if line.sizes]
    return min(max([1, *counts]), MOST_SIZES)


def _check_line(state: _Text, written: WrittenLine, line: Line | Fault) -> CheckedRound | None:
    """Return the entry of a line, or nothing if it has no count, and move the text on."""
    label = line.label if isinstance(line, Line) else read_label(written.text, state.terms_id)
    if written.is_first_of_section:
        state.numbers.begin_section()
    try:
        if isinstance(line, Fault):
            return _enter_not_understood(state, written, label, line)
        _refuse_unknown_sizes(line, len(state.before))
        _refuse_other_sizes(line, len(line.sizes or state.before))
        worked, again = rounds_worked(line, state.known, state.numbers.last)
        if state.round_count + len(worked) > MOST_ROUNDS:
            raise NotUnderstood(
                column=1, code="too_many_rounds", detail=f"A text has at most {MOST_ROUNDS} rounds."
            )
        counted = [_count(line, worked, again, state, size) for size in range(len(state.before))]
    except WorkSpent:
        fault = Fault(1, 1, "too_long", _spent(len(state.before)))
        return _enter_not_understood(state, written, label, fault)
    except NotUnderstood as refused:
        offset = line.offset if isinstance(line, Line) else 0
        fault = replace(refused.fault, column=refused.fault.column + offset)
        return _enter_not_understood(state, written, label, fault)
    return _enter(state, written, line, worked, counted, is_repeated=again is not None)


def _spent(size_count: int) -> str:
    sizes = f" for {size_count} sizes" if size_count > 1 else ""
    return (
        f"To count this text{sizes} takes more than {MOST_WORK} work units, which is what a text may take. "
        "Send fewer rounds or sizes at once."
    )


def _refuse_unknown_sizes(line: Line, size_count: int) -> None:
    for size in line.sizes:
        if not 1 <= size <= size_count:
            raise NotUnderstood(
                column=1 - line.offset,
                code="sizes_differ",
                detail=f"This line is for size {size}; there are sizes 1 to {size_count}.",
            )


def _refuse_other_sizes(line: Line, size_count: int) -> None:
    for count, column in size_counts_in(line.pieces):
        if count != size_count:
            raise NotUnderstood(
                column=column,
                code="sizes_differ",
                detail=f"This number is given for {count} sizes, others for {size_count}.",
            )


def _count(
    line: Line, worked: Sequence[Line], again: RoundsAgain | None, state: _Text, size: int
) -> _Counted:
    """Return the rounds of a line counted one after the other for a size."""
    state.counting.spend_on_size()
    before = state.before[size]
    place = place_of_size(line, size)
    if place is None:
        return _Counted(None, None, None, None, (), before, is_for_size=False)
    consumed: int | None = None
    faults: tuple[Fault, ...] = ()
    realized: Realized | Fault | None = None
    worked_place = place
    for index, each in enumerate(worked):
        worked_place = _place_in(each, again, size)
        realized = _realized_once(state, each, before, worked_place)
        if isinstance(realized, Fault):
            fault = _placed(realized, each, again, line)
            return _Counted(None, None, None, declared_in(line.pieces, place), (fault,), before)
        consumed = realized.consumed_stitch_count if index == 0 else consumed
        faults = faults or tuple(_placed(fault, each, again, line) for fault in realized.faults)
        after = made_after(realized, before)
        is_the_same = again is None and looked_at(after, each) == looked_at(before, each)
        before = after
        if is_the_same:
            break
    assert isinstance(realized, Realized)
    declared = declared_in(line.pieces, place)
    source = line
    if declared is None and again is not None:
        source, place = worked[-1], worked_place
        declared = declared_in(source.pieces, place)
    if all(fault.code == "kind_unknown" for fault in faults):
        wrong = with_chains(list(wrong_counts(source, realized, place)), declared, realized)
        faults += tuple(_placed(fault, source, again, line) for fault in wrong)
    return _Counted(realized.kind, consumed, realized.stitch_count, declared, faults, before)


def _place_in(worked: Line, again: RoundsAgain | None, size: int) -> int:
    """Return where the numbers of a size stand in a round that is worked."""
    place = place_of_size(worked, size)
    if place is None:
        raise NotUnderstood(
            column=again.column if again else 1,
            code="round_missing",
            detail=f"A round repeated here is not for size {size + 1}.",
        )
    return place


def _realized_once(state: _Text, line: Line, before: MadeBefore, size: int) -> Realized | Fault:
    """Return a line counted; a line that finds the same again counts the same again.

    So does one that finds the same for another size, unless numbers are given for each.
    """
    key = (line.text, looked_at(before, line), size if line.is_sized or rules_are_sized(before) else 0)
    realized = state.realized.get(key)
    if realized is None:
        state.counting.spend_on_counting(line)
        realized = state.realized[key] = realize(line, before, size=size)
    return realized


def _placed(fault: Fault, worked: Line, again: RoundsAgain | None, line: Line) -> Fault:
    """Return a fault at its place in the text: in the line itself, also where it repeats another."""
    if again is None or worked is line:
        return replace(fault, column=fault.column + worked.offset)
    return replace(fault, column=again.column + line.offset, detail=f"In a round repeated: {fault.detail}")


def _enter(
    state: _Text,
    written: WrittenLine,
    line: Line,
    worked: Sequence[Line],
    counted: Sequence[_Counted],
    *,
    is_repeated: bool,
) -> CheckedRound | None:
    """Return the entry of a counted line, and let every size go on from it."""
    before = [found for found, each in zip(state.before, counted, strict=True) if each.is_for_size]
    state.before = [_going_on(each) if each.is_for_size else each.after for each in counted]
    by_size = _by_size(counted)
    counted = [each for each in counted if each.is_for_size]
    kind = counted[0].kind
    misnumbered = state.numbers.fault_of(line.label, is_for_all_sizes=not line.sizes)
    first, last = _numbers(state, line.label, kind, worked)
    state.numbers.end_line(line, [each.kind for each in counted])
    if kind in ("remark", "definition"):
        return None
    verdict = worst_of([_verdict(each) for each in counted])
    repair = None
    is_clear = not any(fault.code == "ambiguous" for each in counted for fault in each.faults)
    if verdict == "disagrees" and not is_repeated and is_clear:
        repair = find_repair(line, before, round_count=len(worked), budget=state.repairing)
    faults = [*([misnumbered] if misnumbered else []), *_faults_of_sizes(counted)]
    return CheckedRound(
        line=written.number,
        round=first,
        last_round=last,
        consumed_stitch_count=counted[0].consumed,
        stitch_count=counted[0].made,
        declared_stitch_count=counted[0].declared,
        verdict=verdict,
        faults=tuple(_in_text(fault, written) for fault in faults),
        repair=None if repair is None else _in_text(repair, written),
        by_size=by_size,
    )


def _faults_of_sizes(counted: Sequence[_Counted]) -> Iterator[Fault]:
    """Yield the faults of all sizes; those that some sizes do not have say which have them."""
    sizes: dict[Fault, list[str]] = {}
    for size, each in enumerate(counted, start=1):
        for fault in each.faults:
            sizes.setdefault(fault, []).append(str(size))
    size_count = sum(each.is_for_size for each in counted)
    for fault, having in sizes.items():
        if len(having) == size_count:
            yield fault
        else:
            yield replace(fault, detail=f"Size {', '.join(having)}: {fault.detail}")


def _in_text(placed: _Placed, written: WrittenLine) -> _Placed:
    """Return a fault or a repair at its place in the text."""
    line, column = written.place_of(placed.column)
    return replace(placed, line=line, column=column)


def _by_size(counted: Sequence[_Counted]) -> tuple[SizeCount, ...]:
    if len(counted) == 1:
        return ()
    return tuple(SizeCount(each.consumed, each.made, each.declared) for each in counted)


def _verdict(counted: _Counted) -> Verdict:
    if counted.kind is None:
        return "not_understood"
    if any(fault.code != "kind_unknown" for fault in counted.faults):
        return "disagrees"
    if counted.faults:
        return "undeclared"
    return "agrees" if counted.declared is not None or counted.kind == "closing" else "undeclared"


def _going_on(counted: _Counted) -> MadeBefore:
    """Return what the next line finds."""
    uses_up = not any(fault.code in ("left_over", "run_out") for fault in counted.faults)
    if counted.kind is not None and (uses_up or counted.declared is None):
        return counted.after
    is_foundation = None if counted.kind is None else counted.after.is_foundation
    return taken_at_its_word(counted.after, counted.declared, is_foundation=is_foundation)


def _numbers(
    state: _Text, label: Label | None, kind: RealizedKind | None, worked: Sequence[Line]
) -> tuple[int | None, int | None]:
    """Return the first and last number of the rounds of a line, and remember them."""
    if kind != "round" and (label is None or label.kind != "round"):
        return None, None
    first, last = state.numbers.number(label, len(worked))
    state.known.update(enumerate(worked, start=first))
    state.round_count += len(worked)
    return first, last


def _enter_not_understood(
    state: _Text, written: WrittenLine, label: Label | None, fault: Fault
) -> CheckedRound:
    """Return the entry of a line that cannot be counted; counting goes on from its declared count."""
    declared = declared_at_end(written.text, len(state.before))
    state.before = [
        taken_at_its_word(before, count, is_foundation=None)
        for before, count in zip(state.before, declared, strict=True)
    ]
    first, last = state.numbers.number_unread(label, fault.code)
    return CheckedRound(
        line=written.number,
        round=first,
        last_round=last,
        consumed_stitch_count=None,
        stitch_count=None,
        declared_stitch_count=declared[0],
        verdict="not_understood",
        faults=(_in_text(fault, written),),
    )
