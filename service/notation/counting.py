"""Count the pieces of a round one after the other: what they use up, make and leave.

What is done so many times is counted once and multiplied: nothing is repeated to be counted.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from service.domain.steps import Chain, Cross, IntoOne, Repeat, Skip, Step, Together, Work, repeated
from service.domain.stitches import PLAIN_CODES
from service.notation.faults import Fault, NotUnderstood
from service.notation.tree import (
    BackWork,
    Counts,
    Fill,
    Into,
    MakeChain,
    Merged,
    Numeral,
    Piece,
    Place,
    SetLoop,
    SkipStitches,
    Stitches,
    StitchWord,
    Times,
    Uncountable,
)

__all__ = ["MOST_STITCHES", "MOST_TIMES", "Change", "Course", "Unit", "left_over", "ordinal"]

MOST_STITCHES = 4000
MOST_TIMES = 2000

_TOGETHER = re.compile(r"(?P<leg>\w+?)(?P<legs>[2-8])tog")
#: Convention: in a round that names no stitch, increases and decreases are of the shortest one.
_UNNAMED_STITCH = "sc"
_MANNERS = ("fp", "bp", "fl", "bl")


@dataclass(frozen=True, slots=True)
class Change:
    """Another value for one written number: how a repair is tried."""

    column: int
    value: int


@dataclass(frozen=True, slots=True)
class Unit:
    """Some steps with what they use up and make, in stitches and in chain spaces."""

    steps: tuple[Step, ...]
    used: int = 0
    made: int = 0
    used_spaces: int = 0
    made_spaces: int = 0

    def times(self, count: int) -> "Unit":
        """Return the unit done so many times.

        Examples
        --------
        >>> Unit((Work("sc", 2),), 2, 2).times(3)
        Unit(steps=(Work(stitch='sc', count=6),), used=6, made=6, used_spaces=0, made_spaces=0)
        """
        if count == 1:
            return self
        steps = repeated(count, self.steps) if self.steps and count else ()
        return Unit(
            steps, count * self.used, count * self.made, count * self.used_spaces, count * self.made_spaces
        )


def ordinal(number: int) -> str:
    """Return a number as a place in a row.

    Examples
    --------
    >>> ordinal(1), ordinal(11), ordinal(22), ordinal(103)
    ('1st', '11th', '22nd', '103rd')
    """
    if number % 100 in (11, 12, 13):
        return f"{number}th"
    return f"{number}{ {1: 'st', 2: 'nd', 3: 'rd'}.get(number % 10, 'th') }"


def _stitches(count: int) -> str:
    return f"{count} stitch" if count == 1 else f"{count} stitches"


@dataclass(slots=True)
class Course:
    """A round, or the inside of a repeat, while it is counted.

    ``available`` and ``spaces`` are what the round before made, ``None`` where unknown.
    Inside a repeat nothing is available, since nobody can say which turn it is.
    """

    available: int | None
    spaces: int | None
    size: int = 0
    change: Change | None = None
    is_nested: bool = False
    in_ring: bool = False
    has_chains: bool = True
    shell: Unit | None = None
    loop: str = ""
    start_counts: bool = False
    last_stitch: str | None = None
    faults: list[Fault] = field(default_factory=list)
    steps: list[Step] = field(default_factory=list)
    used: int = 0
    made: int = 0
    used_spaces: int = 0
    made_spaces: int = 0
    skipped: int = 0
    last_worked: int = 0

    def work(self, pieces: Sequence[Piece]) -> None:
        """Count pieces one after the other."""
        for piece in pieces:
            self._work(piece)

    def number(self, numeral: Numeral | None, *, otherwise: int = 1) -> int:
        """Return the value of a written number for this size."""
        if numeral is None:
            return otherwise
        index = self.size if len(numeral.values) > 1 else 0
        if index >= len(numeral.values):
            raise NotUnderstood(
                column=numeral.columns[0],
                code="sizes_differ",
                detail="This number has fewer sizes than others.",
            )
        if self.change is not None and numeral.columns and numeral.columns[index] == self.change.column:
            return self.change.value
        return numeral.values[index]

    def unit(self) -> Unit:
        """Return what was counted so far as one unit."""
        return Unit(tuple(self.steps), self.used, self.made, self.used_spaces, self.made_spaces)

    def fault(self, column: int, code: str, detail: str) -> None:
        """Note a wrong count and go on."""
        self.faults.append(Fault(1, column, code, detail))

    def _work(self, piece: Piece) -> None:
        match piece:
            case Stitches():
                self._add_stitches(piece)
            case Times(pieces, times, extra, column):
                _refuse_zero(self.number(times), times, column)
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
        inside = Course(
            None,
            None,
            size=self.size,
            change=self.change,
            is_nested=True,
            in_ring=self.in_ring,
            has_chains=self.has_chains,
            shell=self.shell,
            loop=self.loop,
            last_stitch=self.last_stitch,
            faults=self.faults,
        )
        inside.work(pieces)
        self.last_stitch = inside.last_stitch
        return inside.unit()

    def add(self, unit: Unit, column: int) -> None:
        """Add a unit to the round and note where the round before runs out."""
        before = self.used
        self._join_steps(unit.steps)
        self.used += unit.used
        self.made += unit.made
        self.used_spaces += unit.used_spaces
        self.made_spaces += unit.made_spaces
        if max(self.used, self.made, self.used_spaces) > MOST_STITCHES:
            raise NotUnderstood(
                column=column,
                code="too_many_stitches",
                detail=f"A round has at most {MOST_STITCHES} stitches; this one has more.",
            )
        if self.available is not None and before <= self.available < self.used:
            self._note_run_out(unit, before, column)
        if self.spaces is not None and self.used_spaces > self.spaces >= self.used_spaces - unit.used_spaces:
            self.fault(column, "run_out", f"The round before has only {self.spaces} chain spaces.")

    def _note_run_out(self, unit: Unit, before: int, column: int) -> None:
        assert self.available is not None
        left = self.available - before
        where = ""
        match unit.steps:
            case [Repeat(times)] if unit.used % times == 0:
                turn = left // (unit.used // times) + 1
                where = f" in the {ordinal(turn)} repeat"
        self.fault(
            column,
            "run_out",
            f"The round before has {_stitches(self.available)}; they run out{where}: "
            f"{self.used - self.available} more would be needed.",
        )

    def _join_steps(self, steps: Sequence[Step]) -> None:
        for step in steps:
            last = self.steps[-1] if self.steps else None
            if isinstance(step, Work) and isinstance(last, Work) and last.stitch == step.stitch:
                self.steps[-1] = Work(step.stitch, last.count + step.count)
            else:
                self.steps.append(step)

    def _remaining(self, place_unit: str, column: int) -> int:
        """Return what is left of the round before, to be used up to the end."""
        if self.is_nested:
            raise NotUnderstood(
                column=column, code="not_countable", detail="Inside a repeat nothing can go on to the end."
            )
        spaces = place_unit == "space"
        available = self.spaces if spaces else self.available
        if available is None:
            raise NotUnderstood(
                column=column,
                code="count_unknown",
                detail="The count of the round before is not known. Give it, or give numbers here.",
            )
        return available - (self.used_spaces if spaces else self.used)

    # stitches

    def _one(self, word: StitchWord | None, loop: str, column: int) -> Unit:
        """Return the unit of a stitch worked once."""
        if word is None:
            if self.last_stitch is None:
                raise NotUnderstood(column=column, code="unexpected", detail="No stitch was named before.")
            return Unit((Work(self.last_stitch),), 1, 1)
        if word.change == "shell":
            if self.shell is None:
                raise NotUnderstood(
                    column=column, code="not_countable", detail="Say first what it is: 'sh = 5 dc in one st'."
                )
            return self.shell
        together = _TOGETHER.fullmatch(word.code)
        leg = together["leg"] if together else word.code or self.last_stitch or _UNNAMED_STITCH
        code = _in_loop(leg, loop)
        self.last_stitch = code
        if word.change == "inc":
            return Unit((IntoOne((code, code)),), 1, 2)
        legs = int(together["legs"]) if together else 2 if word.change == "dec" else 1
        if legs > 1:
            return Unit((Together((code,) * legs),), legs, 1)
        return Unit((Work(code),), 1, 1)

    def _add_stitches(self, piece: Stitches) -> None:
        place = piece.place
        loop = (place.loop if place else "") or self.loop
        unit = self._one(piece.stitch, loop, piece.column)
        amount = self.number(piece.amount) if piece.amount else None
        if piece.amount is not None:
            _refuse_zero(self.number(piece.amount), piece.amount, piece.column)
        if place is None:
            self._add_next(unit.times(1 if amount is None else amount), piece.column)
        else:
            self._add_placed(unit, amount, place, piece.column)

    def _add_next(self, unit: Unit, column: int) -> None:
        if self.in_ring:
            self._add_in_ring(unit, column)
        else:
            self._worked(unit.used)
            self.add(unit, column)

    def _add_in_ring(self, unit: Unit, column: int) -> None:
        """Add stitches that go round the ring: several in one place are the same as one after another."""
        if any(isinstance(step, Together | Skip | Cross) for step in unit.steps):
            raise NotUnderstood(
                column=column, code="wrong_place", detail="A ring has no stitches to work together or skip."
            )
        for step in unit.steps:
            match step:
                case Work() | Chain():
                    self._join_steps([step])
                case IntoOne(stitches):
                    self._join_steps([Work(stitch) for stitch in stitches])
                case Repeat():
                    self._join_steps([step])
        self.add(replace(unit, steps=(), used=0), column)

    def _worked(self, count: int) -> None:
        self.last_worked = count

    def _add_placed(self, unit: Unit, amount: int | None, place: Place, column: int) -> None:
        match place.kind:
            case "ring":
                self._add_in_ring(unit.times(amount or 1), column)
            case "next":
                self._add_in_next(unit, amount, place, column)
            case "each_of_next":
                each = _in_one(unit, amount, column)
                self._add_at(each.times(self._places(place)), place, column)
            case "each" | "around":
                self._add_each(unit, amount, place, column)
            case "alternate":
                every = _in_one(unit, amount, column)
                pair = Unit((*every.steps, Skip(1)), every.used + 1, every.made, 0, every.made_spaces)
                self._fill(pair, self.number(place.leave, otherwise=0), column)
            case "same":
                self._add_in_same(_in_one(unit, amount, column), column)
            case "first" | "top":
                self._add_in_first(unit, amount, place, column)
            case "from_hook":
                self._add_from_hook(_in_one(unit, amount, column), place, column)
            case "skipped":
                self._add_into_skipped(unit, amount, place, column)

    def _places(self, place: Place) -> int:
        count = self.number(place.count)
        _refuse_zero(count, place.count, place.column)
        return count

    def _add_at(self, unit: Unit, place: Place, column: int) -> None:
        """Add a unit that goes into stitches, or into chain spaces."""
        if place.is_between:
            raise NotUnderstood(
                column=place.column,
                code="not_countable",
                detail="A stitch between two stitches uses up neither.",
            )
        self._worked(unit.used)
        self.add(self._spaced(unit, place.unit, column), column)

    def _spaced(self, unit: Unit, place_unit: str, column: int) -> Unit:
        if self._is_space(place_unit, column):
            return replace(unit, used=0, used_spaces=unit.used)
        return unit

    def _is_space(self, place_unit: str, column: int) -> bool:
        if place_unit == "ch" and not self.has_chains:
            if self.spaces == 0:
                raise NotUnderstood(
                    column=column, code="wrong_place", detail="The round before has no chains to work into."
                )
            return True
        return place_unit == "space"

    def _add_in_next(self, unit: Unit, amount: int | None, place: Place, column: int) -> None:
        count = self._places(place)
        if unit.used > 1:
            self._refuse_other_legs(unit.times(amount or 1), count, place)
            self._add_at(unit.times(amount or 1), place, column)
        elif count == 0:
            return
        elif amount is None and (count == 1 or unit.made == 1 or isinstance(unit.steps[0], IntoOne)):
            if isinstance(unit.steps[0], IntoOne) and count > 1 and len(set(unit.steps[0].stitches)) > 1:
                raise _ambiguous(place.column)
            self._add_at(unit.times(count), place, column)
        elif count == 1:
            self._add_at(_in_one(unit, amount, column), place, column)
        elif amount == 1:
            self._add_at(unit.times(count), place, column)
        else:
            raise _ambiguous(place.column)

    def _refuse_other_legs(self, unit: Unit, count: int, place: Place) -> None:
        if unit.used != count:
            raise NotUnderstood(
                column=place.column,
                code="wrong_place",
                detail=f"These stitches worked together use up {_stitches(unit.used)}, not {count}.",
            )

    def _add_each(self, unit: Unit, amount: int | None, place: Place, column: int) -> None:
        if place.kind == "each" and unit.used > 1:
            raise NotUnderstood(
                column=place.column,
                code="ambiguous",
                detail="Stitches worked together cannot go into each stitch.",
            )
        if place.kind == "around" and amount is not None and amount > 1:
            raise _ambiguous(place.column)
        each = _in_one(unit, amount, column) if unit.used == 1 else unit
        leave = self.number(place.leave, otherwise=0)
        self._fill(self._spaced(each, place.unit, column), leave, column)

    def _add_in_same(self, unit: Unit, column: int) -> None:
        """Add stitches to the place of the stitch before; at the beginning that is the first stitch."""
        codes = _codes(unit, column)
        if not self.steps and self.start_counts:
            self.steps.append(IntoOne(("ch", *codes)))
            self.add(replace(unit, steps=(), used=0), column)
            return
        last = self.steps.pop() if self.steps else None
        match last:
            case None if not self.is_nested:
                self.add(unit, column)
                return
            case Work(stitch, count):
                self._join_steps([Work(stitch, count - 1)] if count > 1 else [])
                self.steps.append(IntoOne((stitch, *codes)))
            case IntoOne(stitches):
                self.steps.append(IntoOne((*stitches, *codes)))
            case _:
                raise NotUnderstood(
                    column=column, code="wrong_place", detail="It is not clear which stitch is the same."
                )
        self.add(replace(unit, steps=(), used=0), column)

    def _add_in_first(self, unit: Unit, amount: int | None, place: Place, column: int) -> None:
        """Add a stitch in the first stitch; a slip stitch there, once the round is worked, closes it."""
        if self.used and unit.steps == (Work("sl_st"),):
            return
        if place.kind == "top" or self.used or self.is_nested:
            raise NotUnderstood(
                column=column,
                code="wrong_place",
                detail="The first stitch of the round before is used already.",
            )
        self._add_at(_in_one(unit, amount, column), place, column)

    def _add_from_hook(self, unit: Unit, place: Place, column: int) -> None:
        skipped = self.number(place.count) - 1
        if self.steps or self.is_nested or not self.has_chains or skipped < 1:
            raise NotUnderstood(
                column=place.column,
                code="wrong_place",
                detail="There is no foundation chain on the hook here.",
            )
        if place.counts is None and skipped > 1:
            raise NotUnderstood(
                column=place.column,
                code="start_chain_unsaid",
                detail=f"Say whether the {skipped} skipped ch count as a st.",
            )
        counting = self.number(place.counts.count) if place.counts and place.counts.is_counting else 0
        edge: tuple[Step, ...] = (Chain(skipped, counting),) if counting else ()
        self.add(Unit((Skip(skipped), *edge), skipped, counting), column)
        self.add(unit, column)

    # repeats

    def _add_times(self, unit: Unit, times: int, column: int) -> None:
        if times > MOST_TIMES:
            raise NotUnderstood(
                column=column,
                code="too_many_times",
                detail=f"A repeat is done at most {MOST_TIMES} times, not {times} times.",
            )
        self.add(self._ringed(unit).times(times), column)

    def _ringed(self, unit: Unit) -> Unit:
        return replace(unit, used=0) if self.in_ring else unit

    def _fill(self, unit: Unit, leave: int, column: int) -> None:
        """Do a unit over and over until only so many stitches are left."""
        by_spaces = unit.used == 0 and unit.used_spaces > 0
        needed = unit.used_spaces if by_spaces else unit.used
        if needed == 0:
            raise NotUnderstood(
                column=column,
                code="not_countable",
                detail="This uses up no stitch, so it never comes to an end.",
            )
        left = self._remaining("space" if by_spaces else "st", column) - leave
        times, over = divmod(max(left, 0), needed)
        if times > MOST_STITCHES:
            raise NotUnderstood(column=column, code="too_many_times", detail="This is repeated too often.")
        if left <= 0 or times == 0:
            self.fault(
                column, "run_out", f"One turn uses up {_stitches(needed)}; only {max(left, 0)} are left."
            )
        elif over:
            self.fault(column, "left_over", left_over(over, times, are_spaces=by_spaces))
        self.add(unit.times(times), column)

    def _several(self, pieces: Sequence[Piece], column: int) -> Unit:
        """Return stitches that share one place; their chains are kept, but not where they stand."""
        codes: list[str] = []
        chain_count = made_spaces = 0
        for piece in pieces:
            match piece:
                case Stitches(stitch, amount, None) if stitch is not None:
                    codes += _codes(self._one(stitch, self.loop, piece.column), column) * self.number(amount)
                case MakeChain(count, Counts(counting)) if counting is not None:
                    codes += ["ch"] * self.number(counting)
                case MakeChain(count):
                    chain_count += self.number(count)
                    made_spaces += 1
                case _:
                    raise NotUnderstood(
                        column=piece.column, code="unexpected", detail="Expected stitches for one place."
                    )
            if len(codes) > MOST_STITCHES:
                raise NotUnderstood(column=column, code="too_many_stitches", detail="Too many in one place.")
        if not codes:
            raise NotUnderstood(column=column, code="unexpected", detail="Expected a stitch.")
        chains: tuple[Step, ...] = (Chain(chain_count),) if chain_count else ()
        return Unit((IntoOne(tuple(codes)), *chains), 1, len(codes), 0, made_spaces)

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
            self._refuse_other_legs(merged, self._places(piece.place), piece.place)
        self._add_next(merged, piece.column)

    # skips, chains, crossings

    def _add_skip(self, piece: SkipStitches) -> None:
        count = self.number(piece.count)
        _refuse_zero(count, piece.count, piece.column)
        if self.in_ring:
            raise NotUnderstood(
                column=piece.column, code="wrong_place", detail="There is no stitch to skip here."
            )
        if self._is_space(piece.unit, piece.column):
            self.add(Unit((), used_spaces=count), piece.column)
            return
        self.skipped = count
        if count:
            self.add(Unit((Skip(count),), count), piece.column)

    def _add_chain(self, count: Numeral, counts: Counts | None, column: int) -> None:
        chains = self.number(count)
        if not 1 <= chains <= MOST_STITCHES:
            raise NotUnderstood(column=column, code="unexpected", detail="Chain at least one.")
        counting = self.number(counts.count) if counts and counts.is_counting else 0
        self.add(Unit((Chain(chains, counting),), 0, counting, 0, 0 if counting else 1), column)

    def _add_back_work(self, piece: BackWork) -> None:
        place = piece.stitches.place
        if place is None or place.kind != "skipped":
            raise NotUnderstood(
                column=piece.column, code="wrong_place", detail="Say that these go into the skipped sts."
            )
        if piece.made is not None and self.number(piece.made) != self.last_worked:
            self.fault(piece.column, "wrong_place", f"{_stitches(self.last_worked)} were just made.")
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

    def _add_into_skipped(self, unit: Unit, amount: int | None, place: Place, column: int) -> None:
        self._work_back(unit, amount, self._skipped_places(place, column), column)

    def _skipped_places(self, place: Place, column: int) -> int:
        count = self.number(place.count, otherwise=self.skipped)
        if count == 0 or count > self.skipped:
            self.fault(column, "run_out", f"Only {_stitches(self.skipped)} are skipped, not {count}.")
        self.skipped = max(0, self.skipped - count)
        return count

    def _work_back(self, unit: Unit, amount: int | None, count: int, column: int) -> None:
        """Add stitches into some of the stitches skipped last; these are then no longer skipped."""
        worked = _in_one(unit, amount, column).times(count)
        for index in range(len(self.steps) - 1, -1, -1):
            step = self.steps[index]
            if isinstance(step, Skip):
                rest = step.count - count
                self.steps[index : index + 1] = [Skip(rest)] if rest > 0 else []
                break
        self.add(replace(worked, used=0), column)


def _refuse_zero(count: int, numeral: Numeral | None, column: int) -> None:
    """Refuse none of a thing, unless other sizes have some of it."""
    if count == 0 and (numeral is None or len(numeral.values) == 1):
        raise NotUnderstood(column=column, code="unexpected", detail="Do this at least once.")


def _in_loop(code: str, loop: str) -> str:
    plain = not code.startswith(_MANNERS) and code not in PLAIN_CODES and len(code) > 1
    return loop + code if loop and plain else code


def _codes(unit: Unit, column: int) -> list[str]:
    """Return the stitches of a unit that goes into one place."""
    match unit.steps:
        case [Work(stitch, count)]:
            return [stitch] * count
        case [IntoOne(stitches)]:
            return list(stitches)
    raise NotUnderstood(
        column=column, code="unexpected", detail="Only single stitches can share a place with others."
    )


def _in_one(unit: Unit, amount: int | None, column: int) -> Unit:
    """Return a unit that goes into one place: so many of the stitch together."""
    if unit.used != 1:
        raise NotUnderstood(
            column=column, code="wrong_place", detail="Stitches worked together need more places than one."
        )
    if amount is None or amount == 1:
        return unit
    match unit.steps:
        case [Work(stitch, 1)] if amount <= MOST_STITCHES:
            return Unit((IntoOne((stitch,) * amount),), 1, amount)
    raise NotUnderstood(
        column=column, code="ambiguous", detail="It is not clear how many go into one stitch."
    )


def _ambiguous(column: int) -> NotUnderstood:
    return NotUnderstood(
        column=column,
        code="ambiguous",
        detail="Say 'in each of next …' where several go into each, or give one stitch for each place.",
    )


def left_over(count: int, times: int, *, are_spaces: bool) -> str:
    """Return the sentence for stitches that a round does not use up.

    Examples
    --------
    >>> left_over(3, 11, are_spaces=False)
    '3 stitches of the round before are left over after the 11th repeat.'
    >>> left_over(1, 0, are_spaces=True)
    '1 chain space of the round before is left over at the end of the round.'
    """
    what = ("chain space" if count == 1 else "chain spaces") if are_spaces else ""
    told = f"{count} {what}" if what else _stitches(count)
    where = f"after the {ordinal(times)} repeat" if times else "at the end of the round"
    return f"{told} of the round before {'is' if count == 1 else 'are'} left over {where}."
