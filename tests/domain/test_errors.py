"""Refusals: each says what happened with its numbers, then what to do."""

import re
from collections.abc import Iterator

import pytest

from service.domain import errors
from service.domain.errors import (
    BrimTooTall,
    ChooseOne,
    CrossingOutsideRepeat,
    CrossingUnequal,
    CrownCannotClose,
    DrawingTooLarge,
    NothingToDraw,
    PatternMathError,
    RepeatTooWide,
    RoundsNeeded,
    ShapingOutOfReach,
    TextTooLong,
)


def _below(kind: type[PatternMathError]) -> Iterator[type[PatternMathError]]:
    for each in kind.__subclasses__():
        yield each
        yield from _below(each)


REFUSALS = [
    (
        ChooseOne(fields=("fit", "ease_cm"), given=("fit", "ease_cm")),
        "Both fit and ease_cm were given. Give fit or ease_cm, one of them.",
    ),
    (
        ChooseOne(fields=("rounds", "stitch_counts"), given=()),
        "Neither rounds nor stitch_counts was given. Give rounds or stitch_counts, one of them.",
    ),
    (
        ShapingOutOfReach(from_stitch_count=20, to_stitch_count=50, low=10, high=40),
        "One round cannot go from 20 to 50 stitches. "
        "Choose a count from 10 to 40, or spread the change over several rounds.",
    ),
    (
        ShapingOutOfReach(
            from_stitch_count=104,
            to_stitch_count=104,
            low=100,
            high=110,
            reason="104 stitches do not hold whole repeats of 10.",
        ),
        "104 stitches do not hold whole repeats of 10. Choose 100 or 110.",
    ),
    (
        ShapingOutOfReach(from_stitch_count=9, to_stitch_count=8, low=8, high=8, reason="No."),
        "No. Choose 8.",
    ),
    (
        ShapingOutOfReach(
            from_stitch_count=9, to_stitch_count=99, low=1, high=9, reason="No.", remedy="Take fewer."
        ),
        "No. Take fewer.",
    ),
    (
        CrownCannotClose(round_count=1, closing_stitch_count_max=12, smallest_round_count=4),
        "A crown of 1 round cannot come down to 12 stitches. Give the crown at least 4 rounds.",
    ),
    (
        CrownCannotClose(round_count=9, closing_stitch_count_max=None, smallest_round_count=17),
        "A crown of 9 rounds is shorter than the radius of the hat, so it cannot taper. "
        "Give the crown at least 17 rounds.",
    ),
    (
        BrimTooTall(depth_cm=20.0, smallest_depth_cm=60.0),
        "The parts do not fit into a depth of 20.00 cm. "
        "Make the hat at least 60.00 cm deep, or the brim or the crown shorter.",
    ),
    (
        BrimTooTall(depth_cm=20.0, smallest_depth_cm=60.001),
        "The parts do not fit into a depth of 20.00 cm. "
        "Make the brim or the crown shorter, or choose a finer gauge: no hat is that deep.",
    ),
    (
        CrossingUnequal(width=7, over=3),
        "A column that crosses 3 over 3 is 6 stitches wide, not 7. Change the width to 6 or the crossing.",
    ),
    (
        CrossingOutsideRepeat(round_in_repeat=4, largest_round=3),
        "A column cannot cross on round 4 of this vertical repeat: a straight round must follow. "
        "Let it cross on round 3 or before, or make the repeat taller.",
    ),
    (
        RepeatTooWide(stitch_multiple=70, limit=64),
        "One repeat of this fabric has 70 stitches; the limit is 64. Use fewer or narrower columns.",
    ),
    (
        TextTooLong(byte_count=70_000, limit_bytes=65_536),
        "The text has 70000 bytes in UTF-8; at most 65536 are read at once. "
        "Send it in parts, each with the count it starts from.",
    ),
    (
        DrawingTooLarge(symbol_count=9000, limit=8000),
        "This chart would hold 9000 symbols; the limit is 8000. "
        "Draw one repeat instead, or as SVG what is too large for a PNG.",
    ),
    (
        NothingToDraw(what="crown", kinds=("schematic", "body_chart")),
        "This hat has no crown to draw. Ask for schematic or body_chart.",
    ),
    (
        RoundsNeeded(fields=("after_round", "colouring")),
        "Counted stitches have no rounds for after_round and colouring. Send the work as rounds instead.",
    ),
]


@pytest.mark.parametrize(("refusal", "told"), REFUSALS, ids=lambda each: type(each).__name__)
def test_a_refusal_says_what_happened_and_what_to_do(refusal: PatternMathError, told: str) -> None:
    assert str(refusal) == told
    assert isinstance(refusal, ValueError)


@pytest.mark.parametrize(
    "refusal",
    [
        errors.FabricTooComplex(work_units=10**30, limit=600_000),
        errors.HatOutOfBounds(what="stitches", count=10**30, limit=60_000),
        errors.TextTooLong(byte_count=10**30, limit_bytes=65_536),
    ],
    ids=lambda each: type(each).__name__,
)
def test_numbers_beyond_counting_are_told_as_one_that_json_can_hold(refusal: PatternMathError) -> None:
    assert " 1000000000 " in str(refusal)
    assert 10**30 not in vars(refusal).values()


def test_the_tree_of_refusals_is_drawn_whole() -> None:
    drawn = re.findall(r"^    [├└]── (\w+) ", errors.__doc__ or "", flags=re.MULTILINE)

    kinds = [each.__name__ for each in _below(PatternMathError) if each.__module__ == errors.__name__]
    assert sorted(drawn) == sorted(kinds)
    assert sorted([*kinds, "PatternMathError"]) == errors.__all__
