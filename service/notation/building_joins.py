"""Turn joins into the tree: a method for each rule."""

from typing import cast

from service.notation.building_parts import (
    Parts,
    column_of,
    first_of_type,
    has_kind,
    named_in,
    numeral_of,
    unit_in,
)
from service.notation.building_stitches import StitchBuilder
from service.notation.lexer import Token
from service.notation.standing_stitches import Standing, joined_with
from service.notation.tree import Join, Named, Numeral, Piece, Remark, SetFoundation

__all__ = ["JoinBuilder"]


class JoinBuilder(StitchBuilder):
    """The rules of joins."""

    def join_plain(self, parts: Parts) -> Join:
        return Join(False, "", column_of(parts))

    def _join(self, parts: Parts) -> Join:
        into = next((part for part in parts if type(part) is str), "")
        chain = first_of_type(parts, Numeral)
        return Join(into == "ring", "start" if into == "start" or chain else "", column_of(parts), chain)

    join_at = stitch_to_join = _join

    def join_with(self, parts: Parts) -> Piece | Standing:
        return joined_with(parts, self._join(parts))

    join_with_at = join_with

    def join_ring(self, parts: Parts) -> Join:
        return Join(True, "", column_of(parts))

    def yarn_joined(self, parts: Parts) -> Piece | Standing:
        if "foundation" in parts:
            return joined_with(parts, SetFoundation(column_of(parts)))
        return joined_with(parts, Remark("YARN", column_of(parts)))

    def join_place(self, parts: Parts) -> str | Numeral | Named:
        return cast("str | Numeral | Named", parts[-1])

    def join_target(self, parts: Parts) -> str | Numeral | Named:
        """Return what is joined to, where that tells something: which chain, a ring, the foundation."""
        ordinal = next((part for part in parts if isinstance(part, Token) and part.type == "ORDINAL"), None)
        if ordinal is not None:
            return numeral_of(ordinal)
        if has_kind(parts, "RING"):
            return "ring"
        if unit_in(parts) == "foundation_ch":
            return "foundation"
        is_top = has_kind(parts, "TOP") and not has_kind(parts, "FIRST")
        if is_top or (has_kind(parts, "BEG") and unit_in(parts) == "ch"):
            return "start"
        return named_in(parts)
