"""The state of a round while it is counted: what it found, what it used up, what it made."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from service.domain.steps import Repeat, Step, Work
from service.notation.faults import Fault, NotUnderstood
from service.notation.kinds import MOST_DEMANDS, Demand
from service.notation.tree import Numeral
from service.notation.units import (
    MOST_STITCHES,
    Change,
    Unit,
    count_of_stitches,
    order_of,
    ordinal,
)

__all__ = ["Course"]


@dataclass(slots=True)
class Course:
    """A round, or the inside of a repeat, while it is counted.

    ``available`` and ``spaces`` are what the round before made, ``None`` where unknown.
    Inside a repeat nothing is available, since nobody can say which turn it is.
    ``demands`` are the stitches and spaces called by name, ``asked`` which of them each place is to meet.
    ``order_used`` and ``order_made`` are the order of stitches and spaces as in a unit; ``is_swept`` tells
    that each space is worked in one sweep with the stitches, so that the order of both is not said.
    ``space_lengths`` are the chains of each space of the round before. ``claims`` are the places called last:
    their column, whether they are spaces, and how many were used up then. ``ends_in_chain`` tells that the
    last stitch of a turned row is the chain it began with, ``chain_count`` whether that was worked.
    """

    available: int | None
    spaces: int | None
    size: int = 0
    change: Change | None = None
    is_nested: bool = False
    in_ring: bool = False
    has_chains: bool = True
    passed: tuple[Numeral, ...] = ()
    shells: Mapping[str, Unit] = field(default_factory=dict)
    loop: str = ""
    start_counts: bool = False
    last_stitch: str | None = None
    faults: list[Fault] = field(default_factory=list)
    demands: list[Demand] = field(default_factory=list)
    has_unnamed: bool = False
    steps: list[Step] = field(default_factory=list)
    used: int = 0
    made: int = 0
    used_spaces: int = 0
    made_spaces: int = 0
    asked: bytes = b""
    asked_spaces: bytes = b""
    lengths: bytes = b""
    order_used: bytes = b""
    order_made: bytes = b""
    order_columns: list[tuple[int, int]] = field(default_factory=list)
    is_swept: bool = False
    claims: list[tuple[int, bool, int]] = field(default_factory=list)
    ends_in_chain: bool = False
    chain_count: int = 0
    space_lengths: bytes = b""
    skipped: int = 0
    skipped_from: int = 0
    last_worked: int = 0

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

    @property
    def passed_count(self) -> int:
        """How many stitches were passed before the round began."""
        return sum(self.number(numeral) for numeral in self.passed)

    def unit(self) -> Unit:
        """Return what was counted so far as one unit."""
        return Unit(
            tuple(self.steps),
            self.used,
            self.made,
            self.used_spaces,
            self.made_spaces,
            self.asked,
            self.asked_spaces,
            self.lengths,
            self.order_used,
            self.order_made,
        )

    def fault(self, column: int, code: str, detail: str) -> None:
        """Note a wrong count and go on."""
        self.faults.append(Fault(1, column, code, detail))

    def add(self, unit: Unit, column: int) -> None:
        """Add a unit to the round and note where the round before runs out."""
        before = self.used
        self._join_steps(unit.steps)
        if unit.asked or unit.asked_spaces or unit.lengths or unit.used_spaces:
            self._add_rows(unit, column)
        self.used += unit.used
        self.made += unit.made
        self.used_spaces += unit.used_spaces
        self.made_spaces += unit.made_spaces
        if max(self.used, self.made, self.used_spaces, self.made_spaces) > MOST_STITCHES:
            raise NotUnderstood(
                column=column,
                code="too_many_stitches",
                detail=f"A round has at most {MOST_STITCHES} stitches; this one has more.",
            )
        if unit.used_spaces and self.spaces is None and not self.is_nested:
            raise NotUnderstood(
                column=column,
                code="count_unknown",
                detail="Nothing says that the round before has chain spaces, or how many.",
            )
        if self.available is not None and before <= self.available < self.used:
            self._note_run_out(unit, before, column)
        if self.spaces is not None and self.used_spaces > self.spaces >= self.used_spaces - unit.used_spaces:
            self.fault(
                column, "run_out", f"The chain spaces of the round before run out: it has {self.spaces}."
            )

    def _add_rows(self, unit: Unit, column: int) -> None:
        if unit.asked:
            self.asked = self.asked.ljust(self.used, b"\0") + unit.asked
        if unit.asked_spaces:
            self.asked_spaces = self.asked_spaces.ljust(self.used_spaces, b"\0") + unit.asked_spaces
        if unit.lengths:
            self.lengths = self.lengths.ljust(self.made_spaces, b"\0") + unit.lengths
        if unit.made_spaces:
            order = self.order_made.ljust(self.made + self.made_spaces, b"s")
            self.order_made = order + order_of(unit.order_made, unit.made, unit.made_spaces)
        if unit.used_spaces:
            order = self.order_used.ljust(self.used + self.used_spaces, b"s")
            self.order_used = order + order_of(unit.order_used, unit.used, unit.used_spaces)
            self.order_columns.append((len(self.order_used), column))

    def demand(self, *, stitch: str, length: int, column: int) -> bytes:
        """Return how a name that is asked for stands in a row, empty if none is."""
        if not stitch and not length:
            return b""
        if len(self.demands) == MOST_DEMANDS:
            raise NotUnderstood(
                column=column,
                code="too_long",
                detail=f"A line calls at most {MOST_DEMANDS} places by the names of their stitches.",
            )
        self.demands.append(Demand(stitch, length, column))
        return bytes([len(self.demands)])

    def demand_again(self, demand: bytes, *, begin: int, count: int, is_space: bool) -> None:
        """Ask for a name where something was worked into already; another name there is a fault."""
        row = (self.asked_spaces if is_space else self.asked).ljust(begin + count, b"\0")
        this = self.demands[demand[0] - 1]
        for number in sorted(set(row[begin : begin + count]) - {0}):
            that = self.demands[number - 1]
            if (that.stitch, that.length) != (this.stitch, this.length):
                self.fault(this.column, "kind_differs", "One place is called by two names.")
        again = row[begin : begin + count].replace(b"\0", demand)
        row = row[:begin] + again + row[begin + count :]
        if is_space:
            self.asked_spaces = row
        else:
            self.asked = row

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
            f"The round before has {count_of_stitches(self.available)}; they run out{where}: "
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
