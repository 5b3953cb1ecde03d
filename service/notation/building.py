"""Turn what the grammar recognises into the tree of a line: one small method for each of its rules."""

from dataclasses import replace
from typing import Literal, cast

from service.notation.building_joins import JoinBuilder
from service.notation.building_parts import (
    Parts,
    column_of,
    distinct,
    done_again,
    first_of_type,
    has_kind,
    is_row_word,
    named_in,
    number_in,
    number_of,
    numeral_of,
    placed_at,
    round_number,
    sizes_of,
    tally_of,
    worded_number,
)
from service.notation.faults import NotUnderstood
from service.notation.lexer import Token
from service.notation.lexicon import SPECIAL_STITCHES
from service.notation.standing_stitches import settled
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
    Label,
    Line,
    MagicRing,
    MakeChain,
    Merged,
    Named,
    NoStartChain,
    Numeral,
    Piece,
    Place,
    Remark,
    RoundsAgain,
    SetFoundation,
    SetLoop,
    SkipStitches,
    Times,
    Uncountable,
)

__all__ = ["Builder"]

Span = tuple[int, int]
_NOTHING = Counts(None)
#: Numbers that a declared count may have: its kinds of stitches, or its sizes.
MOST_KINDS = 24


class Builder(JoinBuilder):
    """The tree of a line, rule by rule; methods are named as the rules of ``pattern_line.lark``."""

    # lines and labels

    def labelled_line(self, parts: Parts) -> Line:
        return Line(parts[0], tuple(parts[1]) if len(parts) > 1 else ())

    def loose_line(self, parts: Parts) -> Line:
        return Line(None, tuple(parts[0]))

    def definition_line(self, parts: Parts) -> Line:
        name, end, pieces = parts
        if not name:
            raise NotUnderstood(
                column=end.column, code="unexpected", detail="This stitch has a meaning of its own already."
            )
        return Line(None, tuple(pieces), defines=name)

    def label_stitch(self, parts: Parts) -> str:
        """Return what is explained, as it is called later; nothing for a stitch that needs no words."""
        word: Token = parts[0]
        if word.type == "STITCH":
            return word.value if word.value in SPECIAL_STITCHES else ""
        return {"INC": "inc", "DEC": "dec"}.get(word.type, word.value)

    def label_end(self, parts: Parts) -> Token:
        return cast(Token, parts[0])

    def round_label(self, parts: Parts) -> Label:
        spans = tuple(parts[1])
        count = sum(last - first + 1 for first, last in spans)
        told = first_of_type(parts, Numeral)
        if told is not None and told.values != (count,):
            raise NotUnderstood(
                column=told.columns[0],
                code="rounds_differ",
                detail=f"The label names {count} rounds, not {told.values[0]}.",
            )
        return Label("round", spans, count, column_of(parts), is_row_word(parts[0]))

    def ordinal_label(self, parts: Parts) -> Label:
        number = 1 if parts[0].type == "FIRST" else round_number(numeral_of(parts[0]))
        return Label("round", ((number, number),), 1, column_of(parts), is_row_word(parts[1]))

    def label_side(self, parts: Parts) -> None:
        return None

    def label_rounds(self, parts: Parts) -> Numeral:
        return number_of(parts)

    def next_label(self, parts: Parts) -> Label:
        return Label("next", (), 1, column_of(parts))

    def next_rounds_label(self, parts: Parts) -> Label:
        return Label("next", (), round_number(number_of(parts)), column_of(parts))

    def foundation_label(self, parts: Parts) -> Label:
        return Label("foundation", (), 0, column_of(parts))

    def one_round(self, parts: Parts) -> list[Span]:
        number = round_number(number_of(parts))
        return [(number, number)]

    def round_range(self, parts: Parts) -> list[Span]:
        first, last = (round_number(numeral_of(part)) for part in (parts[0], parts[-1]))
        if last < first:
            raise NotUnderstood(
                column=parts[-1].column,
                code="unexpected",
                detail="The rounds run from a smaller number to a larger.",
            )
        return [(first, last)]

    def more_rounds(self, parts: Parts) -> list[Span]:
        number = round_number(numeral_of(parts[-1]))
        return [*parts[0], (number, number)]

    def first_of(self, parts: Parts) -> list[Piece]:
        return [settled(parts[0], ())]

    def added_to(self, parts: Parts) -> list[Piece]:
        pieces: list[Piece] = parts[0]
        pieces.append(done_again(settled(parts[-1], pieces), pieces[-1]))
        return pieces

    def just_done(self, parts: Parts) -> Piece:
        return cast(Piece, parts[-1])

    def count(self, parts: Parts) -> Count:
        tallies = [part for part in parts if type(part) is tuple]
        if len(tallies) > MOST_KINDS:
            raise NotUnderstood(
                column=column_of(parts), code="too_long", detail=f"A count has at most {MOST_KINDS} numbers."
            )
        names = [named for _, named in tallies]
        numbers = [number for number, _ in tallies]
        counts_spaces = names[-1] is not None and names[-1].unit == "space"
        if len(tallies) > 1 and not any(names[:-1]) and not counts_spaces:
            numbers = [sizes_of(numbers)]
            names = names[-1:]
        elif len(tallies) > 1 and not all(names):
            raise NotUnderstood(
                column=column_of(parts), code="unexpected", detail="Each part of a count needs its unit."
            )
        return Count(distinct(tuple(map(tally_of, numbers, names))), column_of(parts))

    def tally(self, parts: Parts) -> tuple[Numeral, Named | None]:
        return number_of(parts), first_of_type(parts, Named)

    def tally_stitches(self, parts: Parts) -> Named:
        return self.unit(parts)

    def tally_spaces(self, parts: Parts) -> Named:
        return self.unit_space(parts)

    # groups

    def bracketed(self, parts: Parts) -> Group:
        return Group(tuple(parts[1]), column_of(parts))

    def group_times(self, parts: Parts) -> Times:
        group, times = parts
        return Times(group.pieces, times, 0, group.column)

    def times_group(self, parts: Parts) -> Times:
        return Times(parts[-1].pieces, number_of(parts), 0, column_of(parts))

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
        return Merged(group.pieces, None, first_of_type(parts, Place), group.column)

    def times(self, parts: Parts) -> Numeral:
        return number_of(parts)

    x_times = times

    def times_word(self, parts: Parts) -> Numeral:
        return worded_number(parts[0])

    def star(self, parts: Parts) -> Piece:
        pieces, tail = tuple(parts[1]), parts[-1]
        if not isinstance(tail, Again):
            return Fill(pieces, tail, column_of(parts))
        if tail.extra is None:
            raise NotUnderstood(
                column=tail.column,
                code="ambiguous",
                detail="Say whether the first time is counted: 'times more' or 'times in all'.",
            )
        return Times(pieces, tail.times, tail.extra, column_of(parts))

    def star_times(self, parts: Parts) -> Times:
        return Times(tuple(parts[1]), parts[-1], 0, column_of(parts))

    def star_around(self, parts: Parts) -> Fill:
        return Fill(tuple(parts[1]), parts[-1], column_of(parts))

    def star_rep(self, parts: Parts) -> None:
        return None

    def star_extent(self, parts: Parts) -> Numeral | None:
        return cast("Numeral | None", parts[-1])

    def star_again(self, parts: Parts) -> Again:
        return cast(Again, parts[-1])

    def again_more(self, parts: Parts) -> Again:
        return Again(number_of(parts), 1, column_of(parts))

    again_more_last = again_more

    def again_once_more(self, parts: Parts) -> Again:
        return Again(worded_number(parts[0]), 1, column_of(parts))

    def again_in_all(self, parts: Parts) -> Again:
        return Again(number_of(parts), 0, column_of(parts))

    again_in_all_last = again_in_all

    def again_unsaid(self, parts: Parts) -> Again:
        return Again(number_in(parts) or worded_number(parts[0]), None, column_of(parts))

    # chains, skips, crossings

    def skip_one(self, parts: Parts) -> SkipStitches:
        named = named_in(parts)
        return SkipStitches(ONE, named.unit, column_of(parts), named.stitch, named.length)

    def skip_many(self, parts: Parts) -> SkipStitches:
        named = named_in(parts)
        return SkipStitches(number_of(parts), named.unit, column_of(parts), named.stitch, named.length)

    def chain(self, parts: Parts) -> MakeChain:
        return MakeChain(number_of(parts), first_of_type(parts, Counts), column_of(parts))

    def note(self, parts: Parts) -> Counts:
        counts = cast(Counts, first_of_type(parts, Counts))
        return replace(counts, is_throughout=has_kind(parts, "THROUGHOUT"))

    def note_with_space(self, parts: Parts) -> Counts:
        return Counts(ONE, space=first_of_type(parts, Numeral), stitch=named_in(parts).stitch)

    def space_chain(self, parts: Parts) -> Numeral:
        return number_of(parts)

    def said_of_chain(self, parts: Parts) -> ChainNote:
        return ChainNote(self.note(parts), has_kind(parts, "THROUGHOUT"), column_of(parts))

    def said_of_every_chain(self, parts: Parts) -> ChainNote:
        length = first_of_type(parts, Numeral) or number_in(parts)
        return ChainNote(self.note(parts), True, column_of(parts), length)

    def counts_as_one(self, parts: Parts) -> Counts:
        return Counts(ONE, stitch=named_in(parts).stitch)

    def counts_as_many(self, parts: Parts) -> Counts:
        return Counts(number_of(parts), stitch=named_in(parts).stitch)

    def counts_not(self, parts: Parts) -> Counts:
        return _NOTHING

    def back_behind(self, parts: Parts) -> BackWork:
        return self._back("right", parts)

    def back_front(self, parts: Parts) -> BackWork:
        return self._back("left", parts)

    def _back(self, lean: Literal["left", "right"], parts: Parts) -> BackWork:
        several, place = parts[-2:]
        return BackWork(lean, first_of_type(parts, Numeral), placed_at(several, place), column_of(parts))

    def made_before(self, parts: Parts) -> None:
        return None

    def made_before_many(self, parts: Parts) -> Numeral:
        return number_of(parts)

    made_before_last = made_before_many

    # sentences without a count

    def set_loop(self, parts: Parts) -> SetLoop:
        return SetLoop(parts[-1].value, column_of(parts))

    def set_foundation(self, parts: Parts) -> SetFoundation:
        return SetFoundation(column_of(parts))

    def no_start_chain(self, parts: Parts) -> NoStartChain:
        return NoStartChain(column_of(parts))

    def magic_ring(self, parts: Parts) -> MagicRing:
        return MagicRing(column_of(parts))

    def loop_named(self, parts: Parts) -> Piece:
        number = number_of(parts).values[0]
        raise NotUnderstood(
            column=column_of(parts),
            code="unexpected",
            detail=f"'ch-{number}' names a loop that is there. Write 'ch {number}' to make one.",
        )

    def stitch_described(self, parts: Parts) -> Uncountable:
        return Uncountable("This describes how a stitch is made. Name the stitch.", column_of(parts))

    def in_pattern(self, parts: Parts) -> Uncountable:
        return Uncountable("'In pattern' names no stitches. Repeat a round by its number.", column_of(parts))

    def until_length(self, parts: Parts) -> Uncountable:
        return Uncountable("A length leaves the number of rounds open. Give the rounds.", column_of(parts))

    def remark(self, parts: Parts) -> Remark:
        kinds = [part.type for part in parts if isinstance(part, Token)]
        if kinds == ["NOT", "TURN"]:
            return Remark("NOT_TURN", column_of(parts))
        return Remark(kinds[0] if kinds else "", column_of(parts))

    def measure(self, parts: Parts) -> None:
        return None

    long_of = marked_place = measure

    def closing(self, parts: Parts) -> Closing:
        return Closing(parts[-1], column_of(parts))

    def closed_number(self, parts: Parts) -> Numeral:
        return number_of(parts)

    def closed_rest(self, parts: Parts) -> None:
        return None

    # rounds again

    def rounds_again(self, parts: Parts) -> RoundsAgain:
        spans = next(part for part in parts if isinstance(part, list))
        return RoundsAgain(tuple(spans), first_of_type(parts, Again), column_of(parts))

    rounds_as = rounds_again

    def last_round_again(self, parts: Parts) -> RoundsAgain:
        count = number_in(parts) or ONE
        return RoundsAgain((), first_of_type(parts, Again), column_of(parts), round_number(count))
