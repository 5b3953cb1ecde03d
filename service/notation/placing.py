"""Count stitches by where they go: the next stitches, each one, the same, a ring, a chain space."""

from dataclasses import dataclass
from typing import assert_never

from service.domain.steps import Chain, Cross, IntoOne, Skip, Step, Together, Work
from service.notation.faults import NotUnderstood
from service.notation.spaces import SpacesCourse
from service.notation.tree import (
    Place,
    Stitches,
    StitchWord,
)
from service.notation.units import (
    FEWEST_LEGS,
    LONGEST_LENGTH,
    MOST_LEGS,
    MOST_STITCHES,
    UNNAMED_STITCH,
    Unit,
    ambiguous,
    chains_apart,
    codes_of,
    count_of_stitches,
    in_one_place,
    is_special,
    left_over,
    refuse_zero,
    worked_once,
)

__all__ = ["PlacingCourse"]


@dataclass(slots=True)
class PlacingCourse(SpacesCourse):
    """A round to which stitches are added, each at its place."""

    def _one(self, word: StitchWord | None, loop: str, column: int) -> Unit:
        """Return the unit of a stitch worked once."""
        if word is None:
            if self.last_stitch is None:
                raise NotUnderstood(column=column, code="unexpected", detail="No stitch was named before.")
            return Unit((Work(self.last_stitch),), 1, 1)
        if word.change == "shell":
            if word.code not in self.shells:
                raise NotUnderstood(
                    column=column, code="not_countable", detail="Say first what it is: 'sh = 5 dc in one st'."
                )
            return self.shells[word.code]
        own = self.shells.get(word.code or word.change)
        if own is not None:
            return own
        self.has_unnamed |= not (word.code or self.last_stitch)
        code = self._with_legs(word) or self.last_stitch or UNNAMED_STITCH
        self.last_stitch, unit = worked_once(code, word.change, loop)
        return unit

    def _with_legs(self, word: StitchWord) -> str:
        if word.legs is None or self.change is None:
            return word.code
        legs = self.number(word.legs)
        if not FEWEST_LEGS <= legs <= MOST_LEGS:
            raise NotUnderstood(
                column=word.column, code="unexpected", detail="Two to eight stitches are worked together."
            )
        return f"{word.code[:-4]}{legs}tog"

    def _add_stitches(self, piece: Stitches) -> None:
        place = piece.place
        loop = (place.loop if place else "") or self.loop
        unit = self._one(piece.stitch, loop, piece.column)
        amount = self.number(piece.amount) if piece.amount else None
        if piece.amount is not None:
            refuse_zero(self.number(piece.amount), piece.amount, piece.column)
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
            alone = [Work(stitch) for stitch in step.stitches] if isinstance(step, IntoOne) else [step]
            self._join_steps(alone)
        self.add(unit._replace(steps=(), used=0), column)

    def _worked(self, count: int) -> None:
        self.last_worked = count

    def _add_placed(self, unit: Unit, amount: int | None, place: Place, column: int) -> None:
        _refuse_few_between(place)
        self._add_by_place(unit, amount, place, column)
        if place.is_last and not self.is_nested:
            is_space = place.unit == "space"
            self.claims.append((place.column, is_space, self.used_spaces if is_space else self.used))

    def _add_by_place(self, unit: Unit, amount: int | None, place: Place, column: int) -> None:
        match place.kind:
            case "ring":
                self._add_in_ring(unit.times(amount or 1), column)
            case "next":
                self._add_in_next(unit, amount, place, column)
            case "each_of_next":
                each = in_one_place(unit, amount, column)
                self._add_at(each.times(self._places(place)), place, column)
            case "each" | "around":
                self._add_each(unit, amount, place, column)
            case "alternate":
                every = in_one_place(unit, amount, column)
                pair = Unit(
                    (*every.steps, Skip(1)),
                    every.used + 1,
                    every.made,
                    made_spaces=every.made_spaces,
                    asked=self._demand(place),
                    lengths=every.lengths,
                    order_made=every.order_made,
                )
                self._fill(pair, self.number(place.leave, otherwise=0), column)
            case "same":
                self._add_in_same(in_one_place(unit, amount, column), place, column)
            case "first" | "top":
                self._add_in_first(unit, amount, place, column)
            case "from_hook":
                self._add_from_hook(in_one_place(unit, amount, column), place, column)
            case "skipped":
                self._add_into_skipped(unit, amount, place, column)
            case _:
                assert_never(place.kind)

    def _places(self, place: Place) -> int:
        count = self.number(place.count)
        refuse_zero(count, place.count, place.column)
        return count

    def _add_at(self, unit: Unit, place: Place, column: int) -> None:
        """Add a unit that goes into stitches, or into chain spaces."""
        self._worked(unit.used)
        self.add(self._called(unit, place, column), column)

    def _called(self, unit: Unit, place: Place, column: int) -> Unit:
        """Return a unit that goes into stitches or chain spaces of the name that the place gives."""
        demand = self._demand(place)
        row = demand * unit.used if unit.used <= MOST_STITCHES else b""
        if self._is_space(place.unit, column):
            return unit._replace(
                used=0, used_spaces=self._spaces_of(unit.used, place.unit, column), asked_spaces=row
            )
        return unit._replace(asked=row) if demand else unit

    def _add_in_next(self, unit: Unit, amount: int | None, place: Place, column: int) -> None:
        count = self._places(place)
        if place.is_over and count > 1 and amount in (None, 1) and is_special(unit):
            code = codes_of(unit, column)[0]
            self._add_at(Unit((Together((code,) * min(count, MOST_STITCHES)),), count, 1), place, column)
        elif unit.used > 1:
            self._note_other_legs(unit.times(amount or 1), count, place)
            self._add_at(unit.times(amount or 1), place, column)
        elif count == 0:
            return
        elif amount is None and (count == 1 or unit.made == 1 or isinstance(unit.steps[0], IntoOne)):
            if isinstance(unit.steps[0], IntoOne) and count > 1 and len(set(unit.steps[0].stitches)) > 1:
                raise ambiguous(place.column)
            self._add_at(unit.times(count), place, column)
        elif count == 1:
            self._add_at(in_one_place(unit, amount, column), place, column)
        elif amount == 1 or (amount == count and unit.made > 1):
            self._add_at(unit.times(count), place, column)
        else:
            raise ambiguous(place.column)

    def _note_other_legs(self, unit: Unit, count: int, place: Place) -> None:
        if unit.used != count:
            detail = f"These stitches worked together use up {count_of_stitches(unit.used)}, not {count}."
            self.fault(place.column, "wrong_place", detail)

    def _add_each(self, unit: Unit, amount: int | None, place: Place, column: int) -> None:
        if place.kind == "each" and unit.used > 1:
            raise NotUnderstood(
                column=place.column,
                code="ambiguous",
                detail="Stitches worked together cannot go into each stitch.",
            )
        if place.kind == "around" and amount is not None and amount > 1:
            raise ambiguous(place.column)
        each = in_one_place(unit, amount, column) if unit.used == 1 else unit
        leave = self.number(place.leave, otherwise=0)
        if place.unit == "ch" and self._is_space("ch", column) and self._are_chains_long():
            self._add_each_chain(each, leave, column)
            return
        called = self._called(each, place, column)
        self.is_swept |= bool(called.used_spaces)
        self._fill(called, leave, column)

    def _add_each_chain(self, unit: Unit, leave: int, column: int) -> None:
        """Add a unit in each chain of all spaces that are left."""
        rest = self.space_lengths[self.used_spaces :]
        if self.is_nested or leave or not rest or rest.strip(bytes(range(1, LONGEST_LENGTH))):
            raise NotUnderstood(
                column=column, code="not_countable", detail="Say how many chains, or how many chain spaces."
            )
        self.is_swept = True
        self.add(unit.times(sum(rest))._replace(used=0, used_spaces=len(rest)), column)

    def _add_in_same(self, unit: Unit, place: Place, column: int) -> None:
        """Add stitches to the place of the stitch before; at the beginning that is the first stitch."""
        unit, chains = chains_apart(unit)
        codes = codes_of(unit, column)
        is_space = place.unit == "space"
        if is_space and self.steps and not self.used_spaces:
            raise NotUnderstood(
                column=column, code="wrong_place", detail="No chain space was worked in before this."
            )
        begin = (self.used_spaces if is_space else self.used) - 1
        if begin >= 0 and (demand := self._demand(place)):
            self.demand_again(demand, begin=begin, count=1, is_space=is_space)
        if not self.steps and self.start_counts:
            if is_space and not self.used_spaces:
                self._stand_in_space(place, column)
            self.steps.append(IntoOne(("ch", *codes)))
            self.add(unit._replace(steps=chains, used=0), column)
            return
        kept: list[Step] = []
        while len(self.steps) > 1 and isinstance(self.steps[-1], Chain):
            kept.insert(0, self.steps.pop())
        last = self.steps.pop() if self.steps else None
        match last:
            case None if not self.is_nested:
                self._add_at(unit._replace(steps=(*unit.steps, *chains)), place, column)
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
        self.add(unit._replace(steps=(*kept, *chains), used=0), column)

    def _stand_in_space(self, place: Place, column: int) -> None:
        """Let the chain that the round begins with stand in a chain space, since others share that."""
        self.used = 0
        self.add(Unit((), used_spaces=1, asked_spaces=self._demand(place)), column)

    def _add_in_first(self, unit: Unit, amount: int | None, place: Place, column: int) -> None:
        """Add a stitch in the first stitch; a slip stitch there, once the round is worked, closes it."""
        if self.made and unit.steps == (Work("sl_st"),):
            return
        if place.kind == "top" and self.ends_in_chain and self.available == self.used + 1:
            self.chain_count = 1
            self._add_at(in_one_place(unit, amount, column), place, column)
            return
        if place.kind == "top" or self.used or self.is_nested:
            raise NotUnderstood(
                column=column,
                code="wrong_place",
                detail="The first stitch of the round before is used already.",
            )
        self._add_at(in_one_place(unit, amount, column), place, column)

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

    def _ringed(self, unit: Unit) -> Unit:
        return unit._replace(used=0, asked=b"") if self.in_ring else unit

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
                column,
                "run_out",
                f"One turn uses up {count_of_stitches(needed)}; only {max(left, 0)} are left.",
            )
        elif over:
            self.fault(column, "left_over", left_over(count=over, times=times, are_spaces=by_spaces))
        self.add(unit.times(times), column)

    def _skipped_places(self, place: Place, column: int) -> int:
        count = self.number(place.count, otherwise=self.skipped)
        refuse_zero(count, place.count, place.column)
        if count == 0:
            self.fault(column, "run_out", "No stitches are skipped before this.")
        elif count > self.skipped:
            self.fault(column, "run_out", f"{_only(self.skipped)} skipped, not {count}.")
        if demand := self._demand(place):
            if count < self.skipped:
                self.fault(
                    place.column, "kind_unknown", "Nothing says which of the skipped stitches these are."
                )
            else:
                self.demand_again(demand, begin=self.skipped_from, count=count, is_space=False)
        self.skipped = max(0, self.skipped - count)
        return count

    def _add_into_skipped(self, unit: Unit, amount: int | None, place: Place, column: int) -> None:
        self._work_back(unit, amount, self._skipped_places(place, column), column)

    def _work_back(self, unit: Unit, amount: int | None, count: int, column: int) -> None:
        """Add stitches into some of the stitches skipped last; these are then no longer skipped."""
        worked = in_one_place(unit, amount, column).times(count)
        for index in range(len(self.steps) - 1, -1, -1):
            step = self.steps[index]
            if isinstance(step, Skip):
                rest = step.count - count
                self.steps[index : index + 1] = [Skip(rest)] if rest > 0 else []
                break
        self.add(worked._replace(used=0), column)


def _only(count: int) -> str:
    if not count:
        return "No stitches are"
    return f"Only {count_of_stitches(count)} {'is' if count == 1 else 'are'}"


def _refuse_few_between(place: Place) -> None:
    """Refuse stitches between stitches, except all round, where there are as many gaps as stitches."""
    if place.is_between and place.kind != "each":
        raise NotUnderstood(
            column=place.column, code="not_countable", detail="A stitch between two stitches uses up neither."
        )
