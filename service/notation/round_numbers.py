"""Follow the numbers of the rounds of a text, and say where one does not follow the last."""

from collections.abc import Sequence
from dataclasses import dataclass

from service.notation.faults import Fault
from service.notation.made_before import RealizedKind
from service.notation.tree import Closing, Label, Line, Remark

__all__ = ["RoundNumbers"]


@dataclass(slots=True)
class RoundNumbers:
    """Where the numbers of a text stand.

    A number follows the last one. Convention, as makers write: it may also be 1 under a heading, behind
    a foundation, after fastening off, and where rows turn to rounds; and it may be any where the text
    begins, and after a line that leaves open how many rounds it is.
    """

    first: int = 0
    last: int = 0
    are_rows: bool = False
    may_begin: bool = False
    is_open: bool = True

    def fault_of(self, label: Label | None, *, is_for_all_sizes: bool = True) -> Fault | None:
        """Return the fault of a label that does not follow, if it does not.

        A round that other sizes work in other words has the same number in several lines.

        Examples
        --------
        >>> numbers = RoundNumbers(last=4, is_open=False)
        >>> numbers.fault_of(Label("round", ((6, 6),), 1, 1)).detail
        'Round 6 stands here, where round 5 was expected.'
        >>> numbers.fault_of(Label("round", ((5, 9),), 5, 1))
        """
        if label is None or label.kind != "round" or self.is_open:
            return None
        number = label.spans[0][0]
        expected = [self.last + 1]
        if self.last and (self.may_begin or label.is_row != self.are_rows):
            expected.append(1)
        if number in expected or (number == self.first and not is_for_all_sizes):
            return None
        names = " or ".join(f"round {each}" for each in expected)
        detail = f"Round {number} stands here, where {names} was expected."
        return Fault(1, label.column, "misnumbered", detail)

    def begin_section(self) -> None:
        """Let the next number be 1."""
        self.may_begin = True

    def begin_piece(self) -> None:
        """Let the next number be 1 behind a foundation or after the end of a piece."""
        self.may_begin = True
        if self.last == 0:
            self.is_open = False

    def number(self, label: Label | None, worked_count: int) -> tuple[int, int]:
        """Return the first and the last number of a line that is worked, and go on from there."""
        if label is not None and label.kind == "round":
            first, self.are_rows, self.is_open = label.spans[0][0], label.is_row, False
        else:
            first = self.last + 1
        self.first, self.last = first, first + worked_count - 1
        self.may_begin = False
        return first, self.last

    def number_unread(self, label: Label | None, code: str) -> tuple[int | None, int | None]:
        """Return the numbers of a line that cannot be counted; it may leave open what comes next."""
        numbers: tuple[int | None, int | None] = None, None
        if label is not None and label.kind != "foundation":
            numbers = self.number(label, label.round_count)
            if label.spans:
                self.last = label.spans[-1][1]
                numbers = numbers[0], self.last
        self.is_open = self.is_open or label is None or code == "not_countable"
        return numbers

    def end_line(self, line: Line, kinds: Sequence[RealizedKind | None]) -> None:
        """Note what a line means for the numbers that follow."""
        ends = any(isinstance(piece, Remark) and piece.kind == "FASTEN_OFF" for piece in line.pieces)
        if ends or any(isinstance(piece, Closing) for piece in line.pieces) or "foundation" in kinds:
            self.begin_piece()
