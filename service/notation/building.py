"""Turn what the grammar recognises into the tree of a line: one small method for each of its rules."""

from dataclasses import replace
from typing import Any, Literal, TypeVar, cast

from lark import Token as Word
from lark import Transformer

from service.domain.stitches import PLAIN_CODES
from service.notation.faults import NotUnderstood
from service.notation.tree import (
    ONE,
    Again,
    BackWork,
    ChainNote,
    Closing,
    Count,
    Counts,
    Fill,
    Group,
    Into,
    Join,
    Label,
    Line,
    MagicRing,
    MakeChain,
    Merged,
    NoStartChain,
    Numeral,
    Piece,
    Place,
    PlaceKind,
    Remark,
    RoundsAgain,
    SetFoundation,
    SetLoop,
    SkipStitches,
    Stitches,
    StitchWord,
    Tally,
    Times,
    Uncountable,
    Unit,
)

__all__ = ["Builder"]

Parts = list[Any]
T = TypeVar("T")
Span = tuple[int, int]

_NOTHING = Counts(None)


def _numeral(word: Word) -> Numeral:
    if "@" not in word:
        return Numeral((int(word),), (_column(word),))
    pairs = [part.split("@") for part in word.split()]
    return Numeral(tuple(int(value) for value, _ in pairs), tuple(int(column) for _, column in pairs))


def _column(word: Word) -> int:
    return cast(int, word.column)


def _number_in(parts: Parts) -> Numeral | None:
    return next((_numeral(part) for part in parts if isinstance(part, Word) and part.type == "NUMBER"), None)


def _number(parts: Parts) -> Numeral:
    number = _number_in(parts)
    assert number is not None
    return number


def _has(parts: Parts, kind: str) -> bool:
    return any(isinstance(part, Word) and part.type == kind for part in parts)


def _first(parts: Parts, kind: type[T]) -> T | None:
    return next((part for part in parts if isinstance(part, kind)), None)


def _where(parts: Parts) -> int:
    """Return the column in which a rule's words begin."""
    for part in parts:
        if isinstance(part, Word):
            return _column(part)
        if isinstance(part, list):
            return _where(part)
        if hasattr(part, "column"):
            return cast(int, part.column)
    return 1


def _sizes(numbers: list[Numeral]) -> Numeral:
    return Numeral(
        tuple(value for number in numbers for value in number.values),
        tuple(column for number in numbers for column in number.columns),
    )


def _lone(stitch: StitchWord) -> Stitches:
    return Stitches(stitch, None, None, stitch.column)


def _at(several: Stitches, place: Place) -> Stitches:
    return replace(several, place=place)


def _worded(word: Word) -> Numeral:
    """Return the number that once or twice stands for; it has no digits to change."""
    return Numeral((int(word),), ())


def _with_manner(code: Word, manner: Word) -> str:
    if code.startswith(("fp", "bp", "fl", "bl")) or code in PLAIN_CODES:
        raise NotUnderstood(
            column=_column(code), code="unexpected", detail="This stitch cannot be worked in that manner."
        )
    return f"{manner}{code}"


def _one_round(numeral: Numeral) -> int:
    if len(numeral.values) > 1:
        raise NotUnderstood(
            column=numeral.columns[0],
            code="unexpected",
            detail="A round has one number, the same for all sizes.",
        )
    return numeral.values[0]


def _placed(target: PlaceKind) -> Any:
    """Return a rule method for a place that is known by its kind, its number and its unit."""

    def build(self: "Builder", parts: Parts) -> Place:
        return Place(
            kind=target,
            column=_where(parts),
            unit=_unit_in(parts),
            count=_number_in(parts) or ONE,
            leave=_first(parts, Numeral),
        )

    return build


def _unit_in(parts: Parts) -> Unit:
    return cast(Unit, next((part for part in parts if type(part) is str), "st"))


class Builder(Transformer[Word, Line]):
    """The tree of a line, rule by rule; methods are named as the rules of ``pattern_line.lark``."""

    # lines and labels

    def labelled_line(self, parts: Parts) -> Line:
        return Line(parts[0], tuple(parts[1]) if len(parts) > 1 else ())

    def loose_line(self, parts: Parts) -> Line:
        return Line(None, tuple(parts[0]))

    def definition_line(self, parts: Parts) -> Line:
        return Line(None, tuple(parts[-1]), is_definition=True)

    def round_label(self, parts: Parts) -> Label:
        spans = tuple(parts[1])
        return Label("round", spans, sum(last - first + 1 for first, last in spans), _where(parts))

    def next_label(self, parts: Parts) -> Label:
        return Label("next", (), 1, _where(parts))

    def next_rounds_label(self, parts: Parts) -> Label:
        return Label("next", (), _one_round(_number(parts)), _where(parts))

    def foundation_label(self, parts: Parts) -> Label:
        return Label("foundation", (), 0, _where(parts))

    def one_round(self, parts: Parts) -> list[Span]:
        number = _one_round(_number(parts))
        return [(number, number)]

    def round_range(self, parts: Parts) -> list[Span]:
        first, last = (_one_round(_numeral(part)) for part in (parts[0], parts[-1]))
        if last < first:
            raise NotUnderstood(
                column=_column(parts[-1]),
                code="unexpected",
                detail="The rounds run from a smaller number to a larger.",
            )
        return [(first, last)]

    def more_rounds(self, parts: Parts) -> list[Span]:
        number = _one_round(_numeral(parts[-1]))
        return [*parts[0], (number, number)]

    def first_of(self, parts: Parts) -> list[Piece]:
        return [parts[0]]

    def added_to(self, parts: Parts) -> list[Piece]:
        return [*parts[0], parts[-1]]

    def just_done(self, parts: Parts) -> Piece:
        return cast(Piece, parts[-1])

    def count(self, parts: Parts) -> Count:
        tallies = [part for part in parts if isinstance(part, tuple)]
        units = [unit for _, unit in tallies]
        numbers = [number for number, _ in tallies]
        if len(tallies) > 1 and not any(units[:-1]):
            numbers = [_sizes(numbers)]
            units = units[-1:]
        elif len(tallies) > 1 and not all(units):
            raise NotUnderstood(
                column=_where(parts), code="unexpected", detail="Each part of a count needs its unit."
            )
        return Count(
            tuple(Tally(number, unit == "space") for number, unit in zip(numbers, units, strict=True)),
            _where(parts),
        )

    def tally(self, parts: Parts) -> tuple[Numeral, str]:
        return _number(parts), parts[1] if len(parts) > 1 else ""

    def tally_stitches(self, parts: Parts) -> str:
        return "st"

    def tally_spaces(self, parts: Parts) -> str:
        return "space"

    # stitches

    def stitches_plain(self, parts: Parts) -> Stitches:
        return cast(Stitches, parts[0])

    def stitches_placed(self, parts: Parts) -> Stitches:
        several, place = parts
        return _at(several, place)

    def stitches_around(self, parts: Parts) -> Stitches:
        return _at(parts[0], Place("around", _column(parts[1])))

    def stitches_times(self, parts: Parts) -> Times:
        return Times((parts[0],), parts[1], 0, _where(parts))

    def stitches_placed_times(self, parts: Parts) -> Times:
        several, place, times = parts
        return Times((_at(several, place),), times, 0, _where(parts))

    def stitch_times(self, parts: Parts) -> Times:
        return Times((_lone(parts[0]),), _number(parts), 0, _where(parts))

    stitch_x_times = stitch_times

    def stitch_word_times(self, parts: Parts) -> Times:
        return Times((_lone(parts[0]),), _worded(parts[1]), 0, _where(parts))

    def stitches_counted(self, parts: Parts) -> Stitches:
        return replace(_lone(parts[0]), amount=_number(parts))

    def stitches_together(self, parts: Parts) -> Merged:
        return Merged((_lone(parts[0]),), _number(parts), None, _where(parts))

    def stitch_to_join(self, parts: Parts) -> Join:
        return self._join(parts)

    def placed_to_join(self, parts: Parts) -> Join:
        place: Place = parts[1]
        return Join(False, "start" if place.kind == "top" else "", _where(parts))

    def same_again(self, parts: Parts) -> Stitches:
        return Stitches(None, None, parts[0], _where(parts))

    def one_kind(self, parts: Parts) -> Stitches:
        return _lone(parts[0])

    def many_kind(self, parts: Parts) -> Stitches:
        return Stitches(parts[1], _number(parts), None, _where(parts))

    def stitch_plain(self, parts: Parts) -> StitchWord:
        return StitchWord(str(parts[0]), "", _where(parts))

    def stitch_then_loop(self, parts: Parts) -> StitchWord:
        code, manner = parts
        return StitchWord(_with_manner(code, manner), "", _where(parts))

    def stitch_in_loop(self, parts: Parts) -> StitchWord:
        manner, code = parts
        return StitchWord(_with_manner(code, manner), "", _where(parts))

    stitch_on_post = stitch_in_loop

    def increase_bare(self, parts: Parts) -> StitchWord:
        return StitchWord("", "inc", _where(parts))

    def increase(self, parts: Parts) -> StitchWord:
        return StitchWord(str(parts[0]), "inc", _where(parts))

    def decrease_bare(self, parts: Parts) -> StitchWord:
        return StitchWord("", "dec", _where(parts))

    def decrease(self, parts: Parts) -> StitchWord:
        return StitchWord(str(parts[0]), "dec", _where(parts))

    def shell(self, parts: Parts) -> StitchWord:
        return StitchWord("", "shell", _where(parts))

    # places

    def place(self, parts: Parts) -> Place:
        manner: str = parts[0]
        target: Place = parts[1]
        if manner == "between":
            return replace(target, is_between=True)
        return replace(target, loop=manner)

    def into(self, parts: Parts) -> str:
        return ""

    around_post = over = into

    def into_loop(self, parts: Parts) -> str:
        return str(parts[1])

    def between(self, parts: Parts) -> str:
        return "between"

    next_one = _placed("next")
    next_many = _placed("next")
    bare_many = _placed("next")
    bare_one = _placed("next")
    each_of_next = _placed("each_of_next")
    each_of_next_bare = _placed("each_of_next")
    each = _placed("each")
    each_remaining = _placed("each")
    each_alternate = _placed("alternate")
    remaining = _placed("next")
    remaining_bare = _placed("next")
    last_one = _placed("next")
    last_many = _placed("next")
    first = _placed("first")
    first_many = _placed("next")
    same = _placed("same")
    ring = _placed("ring")
    skipped_many = _placed("skipped")
    skipped_each = _placed("skipped")

    def top(self, parts: Parts) -> Place:
        return Place("top", _where(parts))

    def skipped_one(self, parts: Parts) -> Place:
        return self.skipped_all(parts)

    def skipped_all(self, parts: Parts) -> Place:
        return Place("skipped", _where(parts), _unit_in(parts))

    def from_hook(self, parts: Parts) -> Place:
        ordinal = parts[0]
        return Place("from_hook", _column(ordinal), "ch", _numeral(ordinal), counts=_first(parts, Counts))

    def from_hook_note(self, parts: Parts) -> Counts:
        return cast(Counts, _first(parts, Counts))

    def unit(self, parts: Parts) -> str:
        return {"CH": "ch", "SPACE": "space"}.get(parts[0].type, "st")

    def unit_space(self, parts: Parts) -> str:
        return "space"

    def unit_foundation(self, parts: Parts) -> str:
        return "foundation_ch"

    def to_end(self, parts: Parts) -> None:
        return None

    def to_last_one(self, parts: Parts) -> Numeral:
        return ONE

    def to_last(self, parts: Parts) -> Numeral:
        return _number(parts)

    to_last_bare = to_last

    def start_chain(self, parts: Parts) -> None:
        return None

    def start_loop(self, parts: Parts) -> Numeral:
        return _number(parts)

    # groups

    def bracketed(self, parts: Parts) -> Group:
        return Group(tuple(parts[1]), _where(parts))

    def group_times(self, parts: Parts) -> Times:
        group, times = parts
        return Times(group.pieces, times, 0, group.column)

    def group_times_again(self, parts: Parts) -> Times:
        return self.group_times(parts[1:])

    def group_extent(self, parts: Parts) -> Fill:
        group, leave = parts
        return Fill(group.pieces, leave, group.column)

    def group_placed(self, parts: Parts) -> Into:
        group, place = parts
        return Into(group.pieces, place, group.column)

    def group_together(self, parts: Parts) -> Merged:
        group = parts[0]
        return Merged(group.pieces, None, _first(parts, Place), group.column)

    def times(self, parts: Parts) -> Numeral:
        return _number(parts)

    x_times = times

    def times_word(self, parts: Parts) -> Numeral:
        return _worded(parts[0])

    def star(self, parts: Parts) -> Piece:
        pieces, tail = tuple(parts[1]), parts[-1]
        if not isinstance(tail, Again):
            return Fill(pieces, tail, _where(parts))
        if tail.extra is None:
            raise NotUnderstood(
                column=tail.column,
                code="ambiguous",
                detail="Say whether the first time is counted: 'times more' or 'times in all'.",
            )
        return Times(pieces, tail.times, tail.extra, _where(parts))

    def star_rep(self, parts: Parts) -> None:
        return None

    def star_extent(self, parts: Parts) -> Numeral | None:
        return cast("Numeral | None", parts[-1])

    def star_again(self, parts: Parts) -> Again:
        return cast(Again, parts[-1])

    def again_more(self, parts: Parts) -> Again:
        return Again(_number(parts), 1, _where(parts))

    again_more_last = again_more

    def again_once_more(self, parts: Parts) -> Again:
        return Again(_worded(parts[0]), 1, _where(parts))

    def again_in_all(self, parts: Parts) -> Again:
        return Again(_number(parts), 0, _where(parts))

    again_in_all_last = again_in_all

    def again_unsaid(self, parts: Parts) -> Again:
        return Again(_number_in(parts) or _worded(parts[0]), None, _where(parts))

    # chains, skips, crossings

    def skip_one(self, parts: Parts) -> SkipStitches:
        return SkipStitches(ONE, _unit_in(parts), _where(parts))

    def skip_many(self, parts: Parts) -> SkipStitches:
        return SkipStitches(_number(parts), _unit_in(parts), _where(parts))

    def chain(self, parts: Parts) -> MakeChain:
        return MakeChain(_number(parts), _first(parts, Counts), _where(parts))

    def note(self, parts: Parts) -> Counts:
        counts = cast(Counts, _first(parts, Counts))
        return replace(counts, is_throughout=_has(parts, "THROUGHOUT"))

    def note_with_space(self, parts: Parts) -> Counts:
        return Counts(ONE, has_space=True)

    def space_chain(self, parts: Parts) -> None:
        return None

    def said_of_chain(self, parts: Parts) -> ChainNote:
        return ChainNote(self.note(parts), _has(parts, "THROUGHOUT"), _where(parts))

    def said_of_every_chain(self, parts: Parts) -> ChainNote:
        return ChainNote(self.note(parts), True, _where(parts), _first(parts, Numeral))

    def counts_as_one(self, parts: Parts) -> Counts:
        return Counts(ONE)

    def counts_as_many(self, parts: Parts) -> Counts:
        return Counts(_number(parts))

    def counts_not(self, parts: Parts) -> Counts:
        return _NOTHING

    def back_behind(self, parts: Parts) -> BackWork:
        return self._back("right", parts)

    def back_front(self, parts: Parts) -> BackWork:
        return self._back("left", parts)

    def _back(self, lean: Literal["left", "right"], parts: Parts) -> BackWork:
        several, place = parts[-2:]
        return BackWork(lean, _first(parts, Numeral), _at(several, place), _where(parts))

    def made_before(self, parts: Parts) -> None:
        return None

    def made_before_many(self, parts: Parts) -> Numeral:
        return _number(parts)

    made_before_last = made_before_many

    # joins and sentences without a count

    def join_plain(self, parts: Parts) -> Join:
        return Join(False, "", _where(parts))

    def _join(self, parts: Parts) -> Join:
        into = next((part for part in parts if type(part) is str), "")
        return Join(into == "ring", "" if into == "ring" else into, _where(parts))  # type: ignore[arg-type]

    join_with = join_at = join_with_at = _join

    def join_ring(self, parts: Parts) -> Join:
        return Join(True, "", _where(parts))

    def yarn_joined(self, parts: Parts) -> Remark:
        return Remark("yarn_joined", _where(parts))

    def join_place(self, parts: Parts) -> str:
        return cast(str, parts[-1])

    def join_target(self, parts: Parts) -> str:
        """Return whether a chain or a stitch is joined to: the first stitch is evidence only by its name."""
        if _has(parts, "RING"):
            return "ring"
        if _has(parts, "TOP") or _has(parts, "ORDINAL") or _has(parts, "BEG"):
            return "start"
        return ""

    def set_loop(self, parts: Parts) -> SetLoop:
        return SetLoop(str(parts[-1]), _where(parts))

    def set_foundation(self, parts: Parts) -> SetFoundation:
        return SetFoundation(_where(parts))

    def no_start_chain(self, parts: Parts) -> NoStartChain:
        return NoStartChain(_where(parts))

    def magic_ring(self, parts: Parts) -> MagicRing:
        return MagicRing(_where(parts))

    def loop_named(self, parts: Parts) -> Piece:
        number = _number(parts).values[0]
        raise NotUnderstood(
            column=_where(parts),
            code="unexpected",
            detail=f"'ch-{number}' names a loop that is there. Write 'ch {number}' to make one.",
        )

    def in_pattern(self, parts: Parts) -> Uncountable:
        return Uncountable("'In pattern' names no stitches. Repeat a round by its number.", _where(parts))

    def until_length(self, parts: Parts) -> Uncountable:
        return Uncountable("A length leaves the number of rounds open. Give the rounds.", _where(parts))

    def remark(self, parts: Parts) -> Remark:
        kinds = [part.type for part in parts if isinstance(part, Word)]
        return Remark(kinds[0] if kinds else "", _where(parts))

    def measure(self, parts: Parts) -> None:
        return None

    long_of = marked_place = measure

    def closing(self, parts: Parts) -> Closing:
        return Closing(parts[-1], _where(parts))

    def closed_number(self, parts: Parts) -> Numeral:
        return _number(parts)

    def closed_rest(self, parts: Parts) -> None:
        return None

    # rounds again

    def rounds_again(self, parts: Parts) -> RoundsAgain:
        spans = next(part for part in parts if isinstance(part, list))
        return RoundsAgain(tuple(spans), _first(parts, Again), _where(parts))

    rounds_as = rounds_again
