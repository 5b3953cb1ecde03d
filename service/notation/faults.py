"""What is wrong with a line of a pattern, and where: a place, a code and a sentence."""

from dataclasses import dataclass, replace

__all__ = ["FAULT_CODES", "Fault", "NotUnderstood"]

#: Every code of a fault, and what it says in general.
FAULT_CODES: dict[str, str] = {
    "ambiguous": "Two readings give different counts; the line must say which.",
    "bracket_mismatch": "A bracket is never closed, never opened, or closed by another kind.",
    "count_differs": "The round makes another count than it declares.",
    "count_unknown": "The count of the round before is not known, so the line cannot be counted.",
    "kind_differs": "The stitches, or the chain spaces, are of another kind than the line calls them.",
    "kind_unknown": "Nothing says what kind the stitches of the round before are, so it is not compared.",
    "left_over": "Stitches of the round before are left over.",
    "misnumbered": "The number of the round does not follow that of the round before.",
    "not_countable": "The line leaves open how many stitches or rounds are worked.",
    "round_missing": "A round is referred to that stands nowhere before.",
    "rounds_differ": "The label names another number of rounds than the line works.",
    "run_out": "The round uses more stitches than the round before has.",
    "sizes_differ": "Two numbers are given for different numbers of sizes, or a line is for a size beyond.",
    "start_chain_unsaid": "The line must say whether the starting chain counts as a stitch.",
    "too_deep": "Brackets stand in brackets too deep.",
    "too_long": "The text is longer than a pattern may be.",
    "too_many_rounds": "The text has more rounds than a pattern may have.",
    "too_many_stitches": "The round has more stitches than a round may have.",
    "too_many_times": "The repeat is done more often than a repeat may be.",
    "unexpected": "The sentence cannot go on like this.",
    "unknown_word": "The word is not one of the written language.",
    "wrong_place": "The stitch is worked into something that is not there.",
    "wrong_terms": "The word belongs to the other terms, US or UK.",
}


@dataclass(frozen=True, slots=True)
class Fault:
    """A fault with its place; line and column count from 1."""

    line: int
    column: int
    code: str
    detail: str

    def at_line(self, line: int) -> "Fault":
        """Return the same fault in its line of the whole text.

        Examples
        --------
        >>> Fault(1, 5, "unexpected", "Expected a stitch.").at_line(12).line
        12
        """
        return replace(self, line=line)


class NotUnderstood(ValueError):
    """A line that cannot be read or counted; it carries the fault."""

    def __init__(self, *, column: int, code: str, detail: str) -> None:
        self.fault = Fault(1, column, code, detail)
        super().__init__(detail)
