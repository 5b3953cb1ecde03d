"""What the mathematics refuses, each with its numbers and its remedy.

::

    PatternMathError (ValueError)
    ├── ChooseOne               two fields that exclude each other, or none of those needed
    ├── FitBandEmpty            a band that ends below where it begins
    ├── RepeatWiderThanHat      one repeat is more than the hat can hold
    ├── ShapingOutOfReach       a round cannot change that much at once
    ├── CrownCannotClose        too few rounds to reach the closing count
    ├── BrimTooTall             the parts are taller than the hat
    ├── CrossingUnequal         a crossed column that is not twice its crossing
    ├── CrossingOutsideRepeat   a crossing on a round that the vertical repeat has no room for
    ├── RepeatTooWide           a fabric's repeat with more stitches than are planned
    ├── FabricTooComplex        the exact crown would take too long to search
    ├── WorkBudgetExceeded      the request as a whole would take too long
    ├── HatOutOfBounds          more rounds, stitches or colours than any hat has
    ├── NoRoomForHead           a hat too tight to be pulled on
    ├── DrawingTooLarge         more symbols than a chart can show
    ├── NothingToDraw           a drawing of a part that the hat does not have
    ├── SpiralNeedsPlainFabric  a spiral in a fabric whose rounds have to be joined
    ├── StateContradictsPlan    the work on the hook is not this plan's
    ├── RoundsNeeded            something that is told by rounds, asked of work that has none
    ├── RoundBeyondEnd          a round after the last one of the work
    ├── StrandColoursUnequal    more or fewer colours than strands
    ├── ColourUnmatched         an entry that is not for one colour of the work
    ├── TextTooLong             more written text than is read at once
    └── YarnUnderdetermined     nothing to reckon yarn from
"""

from collections.abc import Sequence
from math import ceil
from typing import Literal

__all__ = [
    "BrimTooTall",
    "ChooseOne",
    "ColourUnmatched",
    "CrossingOutsideRepeat",
    "CrossingUnequal",
    "CrownCannotClose",
    "DrawingTooLarge",
    "FabricTooComplex",
    "FitBandEmpty",
    "HatOutOfBounds",
    "NoRoomForHead",
    "NothingToDraw",
    "PatternMathError",
    "RepeatTooWide",
    "RepeatWiderThanHat",
    "RoundBeyondEnd",
    "RoundsNeeded",
    "ShapingOutOfReach",
    "SpiralNeedsPlainFabric",
    "StateContradictsPlan",
    "StrandColoursUnequal",
    "TextTooLong",
    "WorkBudgetExceeded",
    "YarnUnderdetermined",
]


#: The deepest hat that can be asked for.
GREATEST_DEPTH_CM = 60

#: Counts beyond this are told as this: JSON readers lose the digits of larger ones.
LARGEST_TOLD = 10**9

_COLOUR_FAULTS = {
    "not_worked": "Nothing is worked in this colour. Give a colour of the colouring, letter for letter.",
    "given_twice": "This colour has an entry already. Put all that is said of a colour into one entry.",
    "unsaid": "Each of several colours is weighed by itself. Say the colour of this weighing.",
}


class PatternMathError(ValueError):
    """Something a caller asked for that the mathematics cannot give.

    ``size_head_mm`` is the head of the size that cannot be made, where several were asked for, and
    ``head_position`` its place among those that were sent, from 0. ``fabric_position`` is the place of the
    fabric that is none, where several were to be compared.
    """

    size_head_mm: float | None = None
    head_position: int | None = None
    fabric_position: int | None = None


class ChooseOne(PatternMathError):
    """Two fields that exclude each other were both given, or one of several is needed."""

    def __init__(self, *, fields: Sequence[str], given: Sequence[str]) -> None:
        self.fields = tuple(fields)
        self.given = tuple(given)
        names = " or ".join(self.fields)
        neither = f"Neither {' nor '.join(self.fields)} was given"
        what = f"Both {' and '.join(self.given)} were given" if self.given else neither
        super().__init__(f"{what}. Give {names}, one of them.")


class FitBandEmpty(PatternMathError):
    """A band of circumferences whose low end lies above its high end holds none."""

    def __init__(self, *, low_cm: float, high_cm: float) -> None:
        self.low_cm = low_cm
        self.high_cm = high_cm
        super().__init__(
            f"A band from {low_cm:.2f} to {high_cm:.2f} cm holds no circumference. "
            "Give the smaller one as its low end."
        )


class RepeatWiderThanHat(PatternMathError):
    """One repeat of the fabric is wider than the whole hat."""

    def __init__(self, *, stitch_multiple: int, largest_stitch_multiple: int) -> None:
        self.stitch_multiple = stitch_multiple
        self.largest_stitch_multiple = largest_stitch_multiple
        super().__init__(
            f"A repeat of {stitch_multiple} stitches is wider than this hat. "
            f"Choose a fabric whose repeat has at most {largest_stitch_multiple} stitches."
        )


class ShapingOutOfReach(PatternMathError):
    """A round more than doubles, or less than halves, the round before.

    ``reason`` replaces the first sentence where the counts do not fit for another cause, and ``remedy`` the
    second where another choice than one of two counts helps.
    """

    def __init__(
        self,
        *,
        from_stitch_count: int,
        to_stitch_count: int,
        low: int,
        high: int,
        reason: str | None = None,
        remedy: str | None = None,
    ) -> None:
        self.from_stitch_count = from_stitch_count
        self.to_stitch_count = to_stitch_count
        self.low = low
        self.high = high
        nearest = f"Choose {low}{'' if low == high else f' or {high}'}."
        if reason is None:
            reason = f"One round cannot go from {from_stitch_count} to {to_stitch_count} stitches."
            nearest = f"Choose a count from {low} to {high}, or spread the change over several rounds."
        super().__init__(f"{reason} {remedy or nearest}")


class CrownCannotClose(PatternMathError):
    """The crown has too few rounds to come down to its closing count, or to taper at all.

    ``closing_stitch_count_max`` is ``None`` where even a flat disc would need more rounds.
    """

    def __init__(
        self, *, round_count: int, closing_stitch_count_max: int | None, smallest_round_count: int
    ) -> None:
        self.round_count = round_count
        self.closing_stitch_count_max = closing_stitch_count_max
        self.smallest_round_count = smallest_round_count
        crown = f"A crown of {round_count} round{'s' if round_count > 1 else ''}"
        what = (
            f"{crown} cannot come down to {closing_stitch_count_max} stitches."
            if closing_stitch_count_max is not None
            else f"{crown} is shorter than the radius of the hat, so it cannot taper."
        )
        super().__init__(f"{what} Give the crown at least {smallest_round_count} rounds.")


class BrimTooTall(PatternMathError):
    """Brim, joining round, body and crown together are taller than the hat."""

    def __init__(self, *, depth_cm: float, smallest_depth_cm: float) -> None:
        self.depth_cm = ceil(100 * smallest_depth_cm - 1e-6) / 100
        self.asked_depth_cm = depth_cm
        deeper = f"Make the hat at least {self.depth_cm:.2f} cm deep, or the brim or the crown shorter."
        if self.depth_cm > GREATEST_DEPTH_CM:
            deeper = "Make the brim or the crown shorter, or choose a finer gauge: no hat is that deep."
        super().__init__(f"The parts do not fit into a depth of {depth_cm:.2f} cm. {deeper}")


class CrossingUnequal(PatternMathError):
    """A crossed column is not exactly twice as wide as its crossing."""

    def __init__(self, *, width: int, over: int) -> None:
        self.width = width
        self.over = over
        super().__init__(
            f"A column that crosses {over} over {over} is {2 * over} stitches wide, not {width}. "
            f"Change the width to {2 * over} or the crossing."
        )


class CrossingOutsideRepeat(PatternMathError):
    """A column is to cross on a round that its vertical repeat does not have, or has no room for."""

    def __init__(self, *, round_in_repeat: int, largest_round: int) -> None:
        self.round = round_in_repeat
        self.largest_round = largest_round
        # A repeat of one round may cross on it; in a taller one the last round is straight.
        before = " or before" if largest_round > 1 else ""
        super().__init__(
            f"A column cannot cross on round {round_in_repeat} of this vertical repeat: "
            "a straight round must follow. "
            f"Let it cross on round {largest_round}{before}, or make the repeat taller."
        )


class RepeatTooWide(PatternMathError):
    """One repeat of a fabric has more stitches than the service plans."""

    def __init__(self, *, stitch_multiple: int, limit: int) -> None:
        self.work_units = stitch_multiple
        self.limit = limit
        super().__init__(
            f"One repeat of this fabric has {stitch_multiple} stitches; the limit is {limit}. "
            "Use fewer or narrower columns."
        )


class FabricTooComplex(PatternMathError):
    """The exact crown search for this fabric would cost more than a request may.

    ``weighed_work_units`` is what it had cost when it stopped.
    """

    def __init__(self, *, work_units: int, limit: int, weighed_work_units: int = 0) -> None:
        self.work_units = min(work_units, LARGEST_TOLD)
        self.limit = limit
        self.weighed_work_units = weighed_work_units
        super().__init__(
            f"The exact crown of this fabric takes {self.work_units} work units; the limit is {limit}. "
            "Use fewer or narrower columns, fewer crown rounds or a crown group count of 1."
        )


class WorkBudgetExceeded(PatternMathError):
    """The request as a whole would cost more than a request may."""

    def __init__(self, *, work_units: int, limit: int) -> None:
        self.work_units = work_units
        self.limit = limit
        super().__init__(
            f"This request takes {work_units} work units; the limit is {limit}. Ask for less at once."
        )


class TextTooLong(PatternMathError):
    """A written text holds more bytes than are read at once."""

    def __init__(self, *, byte_count: int, limit_bytes: int) -> None:
        self.byte_count = min(byte_count, LARGEST_TOLD)
        self.limit_bytes = limit_bytes
        super().__init__(
            f"The text has {self.byte_count} bytes in UTF-8; at most {limit_bytes} are read at once. "
            "Send it in parts, each with the count it starts from."
        )


class HatOutOfBounds(PatternMathError):
    """The hat would have more rounds, stitches or colours than the service plans."""

    def __init__(self, *, what: str, count: int, limit: int) -> None:
        self.what = what
        self.count = min(count, LARGEST_TOLD)
        self.limit = limit
        remedy = "Use fewer colours." if what == "colours" else "Check the gauge and the head."
        super().__init__(
            f"This hat would have {self.count} {what}; the service plans at most {limit}. {remedy}"
        )


class NoRoomForHead(PatternMathError):
    """Ease and thickness leave so little room inside that no crochet stretches over the head."""

    def __init__(self, *, inner_cm: float, head_cm: float) -> None:
        self.inner_cm = round(inner_cm, 2)
        self.head_cm = round(head_cm, 2)
        super().__init__(
            f"Inside, this hat measures {self.inner_cm:.2f} cm, "
            f"too little for a head of {self.head_cm:.2f} cm. "
            f"Leave at least {self.head_cm / 2:.2f} cm: more ease, or a thinner fabric."
        )


class DrawingTooLarge(PatternMathError):
    """The chart would hold more symbols than its form may."""

    def __init__(self, *, symbol_count: int, limit: int) -> None:
        self.symbol_count = symbol_count
        self.limit = limit
        super().__init__(
            f"This chart would hold {symbol_count} symbols; the limit is {limit}. "
            "Draw one repeat instead, or as SVG what is too large for a PNG."
        )


class NothingToDraw(PatternMathError):
    """A drawing was asked for of a part that the hat does not have.

    ``kinds`` are the drawings that it does have.
    """

    def __init__(self, *, what: str, kinds: Sequence[str]) -> None:
        self.what = what
        self.kinds = tuple(kinds)
        super().__init__(f"This hat has no {what} to draw. Ask for {' or '.join(self.kinds)}.")


class SpiralNeedsPlainFabric(PatternMathError):
    """A spiral was asked for in a fabric whose rounds have to be joined."""

    def __init__(self, *, stitches: Sequence[str]) -> None:
        self.stitches = tuple(stitches)
        super().__init__(
            "A spiral shows a step in tall stitches and breaks textured rounds. "
            f"Use joined rounds, or plain fabrics of {' or '.join(self.stitches)} in body and brim."
        )


class StateContradictsPlan(PatternMathError):
    """What is on the hook is not what the plan has at that round."""

    def __init__(self, *, round_number: int, reason: str) -> None:
        self.round = round_number
        super().__init__(f"{reason} Check the round, or send the plan that was worked.")


class RoundsNeeded(PatternMathError):
    """Something is told round by round, and the work is only known as a sum."""

    def __init__(self, *, fields: Sequence[str]) -> None:
        self.fields = tuple(fields)
        names = " and ".join(self.fields)
        super().__init__(f"Counted stitches have no rounds for {names}. Send the work as rounds instead.")


class RoundBeyondEnd(PatternMathError):
    """A round was named that comes after the last one of the work."""

    def __init__(self, *, round_number: int, largest_round: int) -> None:
        self.round = round_number
        self.largest_round = largest_round
        super().__init__(
            f"Round {round_number} comes after the last round of this work. "
            f"Give a round from 0, before the first stitch, to {largest_round}."
        )


class StrandColoursUnequal(PatternMathError):
    """Rounds are to be worked in more or fewer colours than strands are held together."""

    def __init__(self, *, colour_count: int, strand_count: int) -> None:
        self.colour_count = colour_count
        self.strand_count = strand_count
        strands = "one strand" if strand_count == 1 else f"{strand_count} strands held together"
        fit = "1" if strand_count == 1 else f"1 or {strand_count}"
        super().__init__(
            f"{colour_count} colours cannot be worked at once with {strands}. "
            f"Name {fit} for each stripe or section, or change the strand count."
        )


class ColourUnmatched(PatternMathError):
    """An entry is not for one colour of the work.

    ``entry_kind`` is ``source`` for where a colour comes from and ``state`` for what was weighed of it,
    ``position`` the place of the entry among those of its kind, from 0.
    """

    def __init__(
        self,
        *,
        entry_kind: Literal["source", "state"],
        position: int,
        fault: Literal["not_worked", "given_twice", "unsaid"],
    ) -> None:
        self.entry_kind = entry_kind
        self.position = position
        self.fault = fault
        super().__init__(_COLOUR_FAULTS[fault])


class YarnUnderdetermined(PatternMathError):
    """There is nothing to reckon the yarn from."""

    def __init__(self, *, missing: Sequence[str]) -> None:
        self.missing = tuple(missing)
        super().__init__(f"The yarn cannot be reckoned. Give at least one of: {', '.join(self.missing)}.")
