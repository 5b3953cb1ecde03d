"""Count the pieces of a round one after the other: what they use up, make and leave.

What is done so many times is counted once and multiplied: nothing is repeated to be counted.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from service.domain.steps import Chain, Cross, IntoOne, Skip, Step, Together, Work
from service.notation.faults import NotUnderstood
from service.notation.placing import PlacingCourse
from service.notation.tree import (
    BackWork,
    Counts,
    Fill,
    Into,
    MakeChain,
    Merged,
    Numeral,
    Piece,
    SetLoop,
    SkipStitches,
    Stitches,
    Times,
    Uncountable,
)
from service.notation.units import (
    MOST_STITCHES,
    MOST_TIMES,
    Unit,
    codes_of,
    count_of_stitches,
    length_of,
    refuse_zero,
)

__all__ = ["PieceCourse"]


@dataclass(slots=True)
class PieceCourse(PlacingCourse):
    """A round whose pieces are counted, repeats and all."""

    def work(self, pieces: Sequence[Piece]) -> None:
        """Count pieces one after the other."""
        for piece in pieces:
            self._work(piece)

    def _work(self, piece: Piece) -> None:
        match piece:
            case Stitches():
                self._add_stitches(piece)
            case Times(pieces, times, extra, column):
                refuse_zero(self.number(times), times, column)
                self._add_times(self._inside(pieces), self.number(times) + extra, column)
            case Fill(pieces, leave, column):
                self._fill(self._inside(pieces), self.number(leave, otherwise=0), column)
            case Into(pieces, place, column):
                self._add_placed(self._several(pieces, column), None, place, column)
            case Merged():
                self._add_merged(piece)
            case SkipStitches():
                self._add_skip(piece)
            case MakeChain(count, counts, column):
                self._add_chain(count, counts, column)
            case BackWork():
                self._add_back_work(piece)
            case _:
                self._work_setting(piece)

    def _work_setting(self, piece: Piece) -> None:
        if isinstance(piece, Uncountable):
            raise NotUnderstood(column=piece.column, code="not_countable", detail=piece.detail)
        if isinstance(piece, SetLoop):
            self.loop = piece.loop
        elif self.is_nested:
            raise NotUnderstood(
                column=piece.column, code="unexpected", detail="This cannot stand inside a repeat."
            )

    def _inside(self, pieces: Sequence[Piece]) -> Unit:
        inside = PieceCourse(
            None,
            None,
            size=self.size,
            change=self.change,
            is_nested=True,
            in_ring=self.in_ring,
            has_chains=self.has_chains,
            shells=self.shells,
            loop=self.loop,
            last_stitch=self.last_stitch,
            faults=self.faults,
            demands=self.demands,
            space_lengths=self.space_lengths,
        )
        inside.work(pieces)
        self.last_stitch = inside.last_stitch
        self.has_unnamed |= inside.has_unnamed
        return inside.unit()

    def _add_times(self, unit: Unit, times: int, column: int) -> None:
        if times > MOST_TIMES:
            raise NotUnderstood(
                column=column,
                code="too_many_times",
                detail=f"A repeat is done at most {MOST_TIMES} times, not {times} times.",
            )
        self.add(self._ringed(unit).times(times), column)

    def _several(self, pieces: Sequence[Piece], column: int) -> Unit:
        """Return stitches that share one place; the steps do not keep where their chains stand."""
        codes: list[str] = []
        chain_count = 0
        lengths = order = b""
        for piece in pieces:
            match piece:
                case Stitches(stitch, amount, None) if stitch is not None:
                    one = self._one(stitch, self.loop, piece.column)
                    codes += codes_of(one, column) * self.number(amount)
                case MakeChain(count, Counts(counting)) if counting is not None:
                    codes += ["ch"] * self.number(counting)
                case MakeChain(count):
                    chain_count += self.number(count)
                    lengths += length_of(self.number(count))
                    order = order.ljust(len(codes) + len(lengths) - 1, b"s") + b"c"
                case _:
                    raise NotUnderstood(
                        column=piece.column, code="unexpected", detail="Expected stitches for one place."
                    )
            if len(codes) > MOST_STITCHES:
                raise NotUnderstood(column=column, code="too_many_stitches", detail="Too many in one place.")
        if not codes:
            raise NotUnderstood(column=column, code="unexpected", detail="Expected a stitch.")
        chains: tuple[Step, ...] = (Chain(chain_count),) if chain_count else ()
        return Unit(
            (IntoOne(tuple(codes)), *chains),
            1,
            len(codes),
            0,
            len(lengths),
            lengths=lengths,
            order_made=order,
        )

    def _add_merged(self, piece: Merged) -> None:
        unit = self._several(piece.pieces, piece.column)
        assert isinstance(unit.steps[0], IntoOne)
        legs = unit.steps[0].stitches * self.number(piece.legs)
        if len(unit.steps) > 1 or "ch" in legs or not 2 <= len(legs) <= MOST_STITCHES:
            raise NotUnderstood(
                column=piece.column, code="unexpected", detail="Two stitches or more are worked together."
            )
        merged = Unit((Together(legs),), len(legs), 1)
        if piece.place is not None:
            self._note_other_legs(merged, self._places(piece.place), piece.place)
        self._add_next(merged, piece.column)

    def _add_skip(self, piece: SkipStitches) -> None:
        count = self.number(piece.count)
        refuse_zero(count, piece.count, piece.column)
        if self.in_ring:
            raise NotUnderstood(
                column=piece.column, code="wrong_place", detail="There is no stitch to skip here."
            )
        asked = self._demand(piece) * min(count, MOST_STITCHES)
        if self._is_space(piece.unit, piece.column):
            spaces = self._spaces_of(count, piece.unit, piece.column)
            self.add(Unit((), used_spaces=spaces, asked_spaces=asked), piece.column)
            return
        self.skipped, self.skipped_from = count, self.used
        if count:
            self.add(Unit((Skip(count),), count, asked=asked), piece.column)

    def _add_chain(self, count: Numeral, counts: Counts | None, column: int) -> None:
        chains = self.number(count)
        if not 1 <= chains <= MOST_STITCHES:
            raise NotUnderstood(column=column, code="unexpected", detail="Chain at least one.")
        counting = self.number(counts.count) if counts and counts.is_counting else 0
        if counting:
            self.add(Unit((Chain(chains, counting),), made=counting), column)
        else:
            self.add(Unit((Chain(chains),), made_spaces=1, lengths=length_of(chains)), column)

    def _add_back_work(self, piece: BackWork) -> None:
        place = piece.stitches.place
        if place is None or place.kind != "skipped":
            raise NotUnderstood(
                column=piece.column, code="wrong_place", detail="Say that these go into the skipped sts."
            )
        if piece.made is not None and self.number(piece.made) != self.last_worked:
            self.fault(piece.column, "wrong_place", f"{count_of_stitches(self.last_worked)} were just made.")
        unit = self._one(piece.stitches.stitch, place.loop or self.loop, piece.column)
        amount = self.number(piece.stitches.amount) if piece.stitches.amount else None
        count = self._skipped_places(place, piece.column)
        match unit.steps, self.steps[-2:]:
            case [Work(stitch)], [Skip(over), Work(worked, number)] if (
                amount in (None, 1) and stitch == worked and over == number == count
            ):
                self.steps[-2:] = [Cross(over, stitch, piece.lean)]
                self.add(Unit((), 0, count), piece.column)
            case _:
                self._work_back(unit, amount, count, piece.column)
