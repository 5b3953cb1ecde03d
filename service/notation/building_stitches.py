"""Turn stitches and their places into the tree: a method for each rule."""

from dataclasses import replace
from typing import Any, cast

from lark import Transformer

from service.notation.building_parts import (
    Parts,
    column_of,
    first_of_type,
    has_kind,
    has_plural,
    legs_of,
    lone,
    named_in,
    number_in,
    number_of,
    numeral_of,
    place_rule,
    placed_at,
    several_of,
    with_manner,
    worded_number,
)
from service.notation.lexer import Token
from service.notation.tree import (
    ONE,
    Counts,
    Join,
    Line,
    Merged,
    Named,
    Numeral,
    Place,
    Stitches,
    StitchWord,
    Times,
)

__all__ = ["StitchBuilder"]

#: Names that tell no stitch apart from others.
_STITCH, _STITCHES = Named(), Named(is_plural=True)
_NAMED = {"CH": Named("ch"), "SPACE": Named("space")}


class StitchBuilder(Transformer[Any, Line]):
    """The rules of stitches and places."""

    # stitches

    def stitches_plain(self, parts: Parts) -> Stitches:
        return cast(Stitches, parts[0])

    def stitches_placed(self, parts: Parts) -> Stitches | Join:
        several, place = parts
        if place.kind == "top" and several.stitch.code == "sl_st" and several.amount is None:
            return self.placed_to_join(parts)
        return placed_at(several, place)

    def stitches_around(self, parts: Parts) -> Stitches:
        return placed_at(parts[0], Place("around", parts[1].column))

    def stitches_to_end(self, parts: Parts) -> Stitches:
        place = Place("around", column_of(parts), leave=parts[-1])
        return placed_at(several_of(parts[0]), place)

    def stitches_next(self, parts: Parts) -> Stitches:
        return placed_at(several_of(parts[0]), self.next_one(parts[1:]))

    def stitches_each(self, parts: Parts) -> Stitches:
        return placed_at(several_of(parts[0]), self.each(parts[1:]))

    def stitches_times(self, parts: Parts) -> Times:
        return Times((parts[0],), parts[1], 0, column_of(parts))

    def stitches_placed_times(self, parts: Parts) -> Times:
        several, place, times = parts
        return Times((placed_at(several, place),), times, 0, column_of(parts))

    def stitch_times(self, parts: Parts) -> Times:
        return Times((lone(parts[0]),), number_of(parts), 0, column_of(parts))

    stitch_x_times = stitch_times

    def stitch_word_times(self, parts: Parts) -> Times:
        return Times((lone(parts[0]),), worded_number(parts[1]), 0, column_of(parts))

    def stitches_counted(self, parts: Parts) -> Stitches:
        return replace(lone(parts[0]), amount=number_of(parts))

    def stitches_together(self, parts: Parts) -> Merged:
        return Merged((lone(parts[0]),), number_of(parts), None, column_of(parts))

    def placed_to_join(self, parts: Parts) -> Join:
        place: Place = parts[1]
        is_start = place.kind == "top"
        return Join(False, "start" if is_start else "", column_of(parts), place.count if is_start else None)

    def same_again(self, parts: Parts) -> Stitches:
        return Stitches(None, None, parts[0], column_of(parts))

    def one_kind(self, parts: Parts) -> Stitches:
        return lone(parts[0])

    def many_kind(self, parts: Parts) -> Stitches:
        return Stitches(parts[1], number_of(parts), None, column_of(parts))

    def stitch_plain(self, parts: Parts) -> StitchWord:
        return StitchWord(parts[0].value, "", column_of(parts), legs_of(parts[0]))

    def stitch_then_loop(self, parts: Parts) -> StitchWord:
        code, manner = parts
        return StitchWord(with_manner(code, manner), "", column_of(parts), legs_of(code))

    def stitch_in_loop(self, parts: Parts) -> StitchWord:
        manner, code = parts
        return StitchWord(with_manner(code, manner), "", column_of(parts), legs_of(code))

    stitch_on_post = stitch_in_loop

    def increase_bare(self, parts: Parts) -> StitchWord:
        return StitchWord("", "inc", column_of(parts))

    def increase(self, parts: Parts) -> StitchWord:
        return StitchWord(parts[0].value, "inc", column_of(parts))

    def decrease_bare(self, parts: Parts) -> StitchWord:
        return StitchWord("", "dec", column_of(parts))

    def decrease(self, parts: Parts) -> StitchWord:
        return StitchWord(parts[0].value, "dec", column_of(parts))

    def shell(self, parts: Parts) -> StitchWord:
        return StitchWord(parts[0].value, "shell", column_of(parts))

    # places

    def place(self, parts: Parts) -> Place:
        manner: str = parts[0]
        target: Place = parts[1]
        if manner == "between":
            return replace(target, is_between=True)
        if manner == "over":
            return replace(target, is_over=True)
        return replace(target, loop=manner) if manner else target

    def into(self, parts: Parts) -> str:
        return ""

    around_post = into

    def over(self, parts: Parts) -> str:
        return "over"

    def into_loop(self, parts: Parts) -> str:
        return cast(Token, parts[1]).value

    def between(self, parts: Parts) -> str:
        return "between"

    next_one = place_rule("next")
    next_many = place_rule("next")
    bare_many = place_rule("next")
    bare_one = place_rule("next")
    each_of_next = place_rule("each_of_next")
    each_of_next_bare = place_rule("each_of_next")
    each = place_rule("each")
    each_remaining = place_rule("each")
    each_alternate = place_rule("alternate")
    remaining = place_rule("next")
    remaining_bare = place_rule("next")
    last_one = place_rule("next")
    last_many = place_rule("next")
    first = place_rule("first")
    first_many = place_rule("next")
    same = place_rule("same")
    ring = place_rule("ring")
    skipped_many = place_rule("skipped")
    skipped_each = place_rule("skipped")

    def top(self, parts: Parts) -> Place:
        first = parts[0]
        return Place("top", first.column, count=numeral_of(first) if first.type == "ORDINAL" else None)

    def skipped_one(self, parts: Parts) -> Place:
        """Return one skipped stitch, which may be one of several, or all where they are named as several."""
        skipped = self.skipped_all(parts)
        is_one = not has_plural(parts) and (has_kind(parts, "NEXT") or not skipped.stitch)
        return replace(skipped, count=ONE) if is_one else skipped

    def skipped_all(self, parts: Parts) -> Place:
        named = named_in(parts)
        return Place("skipped", column_of(parts), named.unit, stitch=named.stitch, length=named.length)

    def from_hook(self, parts: Parts) -> Place:
        ordinal = parts[0]
        return Place(
            "from_hook", ordinal.column, "ch", numeral_of(ordinal), counts=first_of_type(parts, Counts)
        )

    def from_hook_note(self, parts: Parts) -> Counts:
        return cast(Counts, first_of_type(parts, Counts))

    def unit(self, parts: Parts) -> Named:
        word: Token = parts[0]
        if word.type == "ST":
            return _STITCHES if word.value in ("sts", "stitches") else _STITCH
        return _NAMED.get(word.type) or Named(stitch=word.value)

    def unit_space(self, parts: Parts) -> Named:
        return Named("space", length=number_in(parts))

    def unit_foundation(self, parts: Parts) -> Named:
        return Named("foundation_ch")

    def to_end(self, parts: Parts) -> None:
        return None

    def to_last_one(self, parts: Parts) -> Numeral:
        return ONE

    def to_last(self, parts: Parts) -> Numeral:
        return number_of(parts)

    to_last_bare = to_last

    def start_chain(self, parts: Parts) -> None:
        return None

    def start_loop(self, parts: Parts) -> Numeral:
        return number_of(parts)
