"""Every refusal: the numbers it keeps for a caller, and the sentence it makes of them."""

from typing import Any

import pytest

from service.domain import errors
from service.domain.errors import (
    BrimTooTall,
    ChooseOne,
    ColourUnmatched,
    CrossingOutsideRepeat,
    CrossingUnequal,
    CrownCannotClose,
    DrawingTooLarge,
    FabricTooComplex,
    FitBandEmpty,
    HatOutOfBounds,
    NoRoomForHead,
    NothingToDraw,
    PatternMathError,
    RepeatTooWide,
    RepeatWiderThanHat,
    RoundBeyondEnd,
    RoundsNeeded,
    ShapingOutOfReach,
    SpiralNeedsPlainFabric,
    StateContradictsPlan,
    StrandColoursUnequal,
    TextTooLong,
    WorkBudgetExceeded,
    YarnUnderdetermined,
)

REFUSALS: list[tuple[PatternMathError, dict[str, Any], str]] = [
    (
        ChooseOne(fields=["fit", "ease_cm"], given=["fit", "ease_cm"]),
        {"fields": ("fit", "ease_cm"), "given": ("fit", "ease_cm")},
        "Both fit and ease_cm were given. Give fit or ease_cm, one of them.",
    ),
    (
        ChooseOne(fields=("rounds", "stitch_counts"), given=()),
        {"fields": ("rounds", "stitch_counts"), "given": ()},
        "Neither rounds nor stitch_counts was given. Give rounds or stitch_counts, one of them.",
    ),
    (
        FitBandEmpty(low_cm=55.5, high_cm=50),
        {"low_cm": 55.5, "high_cm": 50},
        "A band from 55.50 to 50.00 cm holds no circumference. Give the smaller one as its low end.",
    ),
    (
        RepeatWiderThanHat(stitch_multiple=120, largest_stitch_multiple=110),
        {"stitch_multiple": 120, "largest_stitch_multiple": 110},
        "A repeat of 120 stitches is wider than this hat. "
        "Choose a fabric whose repeat has at most 110 stitches.",
    ),
    (
        ShapingOutOfReach(from_stitch_count=20, to_stitch_count=50, low=10, high=40),
        {"from_stitch_count": 20, "to_stitch_count": 50, "low": 10, "high": 40},
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
        {"from_stitch_count": 104, "to_stitch_count": 104, "low": 100, "high": 110},
        "104 stitches do not hold whole repeats of 10. Choose 100 or 110.",
    ),
    (
        ShapingOutOfReach(from_stitch_count=9, to_stitch_count=8, low=8, high=8, reason="No."),
        {"from_stitch_count": 9, "to_stitch_count": 8, "low": 8, "high": 8},
        "No. Choose 8.",
    ),
    (
        ShapingOutOfReach(
            from_stitch_count=9, to_stitch_count=99, low=1, high=9, reason="No.", remedy="Take fewer."
        ),
        {"from_stitch_count": 9, "to_stitch_count": 99, "low": 1, "high": 9},
        "No. Take fewer.",
    ),
    (
        CrownCannotClose(round_count=1, closing_stitch_count_max=12, smallest_round_count=4),
        {"round_count": 1, "closing_stitch_count_max": 12, "smallest_round_count": 4},
        "A crown of 1 round cannot come down to 12 stitches. Give the crown at least 4 rounds.",
    ),
    (
        CrownCannotClose(round_count=9, closing_stitch_count_max=None, smallest_round_count=17),
        {"round_count": 9, "closing_stitch_count_max": None, "smallest_round_count": 17},
        "A crown of 9 rounds is shorter than the radius of the hat, so it cannot taper. "
        "Give the crown at least 17 rounds.",
    ),
    (
        CrownCannotClose(round_count=2, closing_stitch_count_max=12, smallest_round_count=4),
        {"round_count": 2, "closing_stitch_count_max": 12, "smallest_round_count": 4},
        "A crown of 2 rounds cannot come down to 12 stitches. Give the crown at least 4 rounds.",
    ),
    (
        BrimTooTall(depth_cm=20.0, smallest_depth_cm=60.0),
        {"depth_cm": 60.0, "asked_depth_cm": 20.0},
        "The parts do not fit into a depth of 20.00 cm. "
        "Make the hat at least 60.00 cm deep, or the brim or the crown shorter.",
    ),
    (
        BrimTooTall(depth_cm=20.0, smallest_depth_cm=60.001),
        {"depth_cm": 60.01, "asked_depth_cm": 20.0},
        "The parts do not fit into a depth of 20.00 cm. "
        "Make the brim or the crown shorter, or choose a finer gauge: no hat is that deep.",
    ),
    (
        # Rounded up to a hundredth, so that the depth that is told would do.
        BrimTooTall(depth_cm=20.0, smallest_depth_cm=24.1201),
        {"depth_cm": 24.13, "asked_depth_cm": 20.0},
        "The parts do not fit into a depth of 20.00 cm. "
        "Make the hat at least 24.13 cm deep, or the brim or the crown shorter.",
    ),
    (
        # A whole hundredth that a float holds a little too large stays as it is.
        BrimTooTall(depth_cm=20.0, smallest_depth_cm=24.12 + 1e-10),
        {"depth_cm": 24.12, "asked_depth_cm": 20.0},
        "The parts do not fit into a depth of 20.00 cm. "
        "Make the hat at least 24.12 cm deep, or the brim or the crown shorter.",
    ),
    (
        CrossingUnequal(width=7, over=3),
        {"width": 7, "over": 3},
        "A column that crosses 3 over 3 is 6 stitches wide, not 7. Change the width to 6 or the crossing.",
    ),
    (
        CrossingOutsideRepeat(round_in_repeat=4, largest_round=3),
        {"round": 4, "largest_round": 3},
        "A column cannot cross on round 4 of this vertical repeat: a straight round must follow. "
        "Let it cross on round 3 or before, or make the repeat taller.",
    ),
    (
        RepeatTooWide(stitch_multiple=70, limit=64),
        {"work_units": 70, "limit": 64},
        "One repeat of this fabric has 70 stitches; the limit is 64. Use fewer or narrower columns.",
    ),
    (
        FabricTooComplex(work_units=700_000, limit=600_000, weighed_work_units=650_000),
        {"work_units": 700_000, "limit": 600_000, "weighed_work_units": 650_000},
        "The exact crown of this fabric takes 700000 work units; the limit is 600000. "
        "Use fewer or narrower columns, fewer crown rounds or a crown group count of 1.",
    ),
    (
        FabricTooComplex(work_units=10**9 + 1, limit=600_000),
        {"work_units": 10**9, "limit": 600_000, "weighed_work_units": 0},
        "The exact crown of this fabric takes 1000000000 work units; the limit is 600000. "
        "Use fewer or narrower columns, fewer crown rounds or a crown group count of 1.",
    ),
    (
        WorkBudgetExceeded(work_units=700, limit=600),
        {"work_units": 700, "limit": 600},
        "This request takes 700 work units; the limit is 600. Ask for less at once.",
    ),
    (
        TextTooLong(byte_count=70_000, limit_bytes=65_536),
        {"byte_count": 70_000, "limit_bytes": 65_536},
        "The text has 70000 bytes in UTF-8; at most 65536 are read at once. "
        "Send it in parts, each with the count it starts from.",
    ),
    (
        HatOutOfBounds(what="crown rounds", count=401, limit=400),
        {"what": "crown rounds", "count": 401, "limit": 400},
        "This hat would have 401 crown rounds; the service plans at most 400. Check the gauge and the head.",
    ),
    (
        HatOutOfBounds(what="colours", count=41, limit=40),
        {"what": "colours", "count": 41, "limit": 40},
        "This hat would have 41 colours; the service plans at most 40. Use fewer colours.",
    ),
    (
        NoRoomForHead(inner_cm=20.004, head_cm=55.996),
        {"inner_cm": 20.0, "head_cm": 56.0},
        "Inside, this hat measures 20.00 cm, too little for a head of 56.00 cm. "
        "Leave at least 28.00 cm: more ease, or a thinner fabric.",
    ),
    (
        DrawingTooLarge(symbol_count=9000, limit=8000),
        {"symbol_count": 9000, "limit": 8000},
        "This chart would hold 9000 symbols; the limit is 8000. "
        "Draw one repeat instead, or as SVG what is too large for a PNG.",
    ),
    (
        NothingToDraw(what="crown", kinds=["schematic", "body_chart"]),
        {"what": "crown", "kinds": ("schematic", "body_chart")},
        "This hat has no crown to draw. Ask for schematic or body_chart.",
    ),
    (
        SpiralNeedsPlainFabric(stitches=["sc", "hdc"]),
        {"stitches": ("sc", "hdc")},
        "A spiral shows a step in tall stitches and breaks textured rounds. "
        "Use joined rounds, or plain fabrics of sc or hdc in body and brim.",
    ),
    (
        StateContradictsPlan(round_number=7, reason="Round 7 has 80 stitches."),
        {"round": 7},
        "Round 7 has 80 stitches. Check the round, or send the plan that was worked.",
    ),
    (
        RoundsNeeded(fields=["after_round", "colouring"]),
        {"fields": ("after_round", "colouring")},
        "Counted stitches have no rounds for after_round and colouring. Send the work as rounds instead.",
    ),
    (
        RoundBeyondEnd(round_number=41, largest_round=40),
        {"round": 41, "largest_round": 40},
        "Round 41 comes after the last round of this work. "
        "Give a round from 0, before the first stitch, to 40.",
    ),
    (
        StrandColoursUnequal(colour_count=2, strand_count=1),
        {"colour_count": 2, "strand_count": 1},
        "2 colours cannot be worked at once with one strand. "
        "Name 1 for each stripe or section, or change the strand count.",
    ),
    (
        StrandColoursUnequal(colour_count=2, strand_count=3),
        {"colour_count": 2, "strand_count": 3},
        "2 colours cannot be worked at once with 3 strands held together. "
        "Name 1 or 3 for each stripe or section, or change the strand count.",
    ),
    (
        ColourUnmatched(entry_kind="source", position=2, fault="not_worked"),
        {"entry_kind": "source", "position": 2, "fault": "not_worked"},
        "Nothing is worked in this colour. Give a colour of the colouring, letter for letter.",
    ),
    (
        ColourUnmatched(entry_kind="source", position=1, fault="given_twice"),
        {"entry_kind": "source", "position": 1, "fault": "given_twice"},
        "This colour has an entry already. Put all that is said of a colour into one entry.",
    ),
    (
        ColourUnmatched(entry_kind="state", position=0, fault="unsaid"),
        {"entry_kind": "state", "position": 0, "fault": "unsaid"},
        "Each of several colours is weighed by itself. Say the colour of this weighing.",
    ),
    (
        YarnUnderdetermined(missing=["swatch", "gauge"]),
        {"missing": ("swatch", "gauge")},
        "The yarn cannot be reckoned. Give at least one of: swatch, gauge.",
    ),
]


@pytest.mark.parametrize(("refusal", "kept", "told"), REFUSALS, ids=lambda each: type(each).__name__)
def test_a_refusal_keeps_its_numbers_and_tells_them(
    refusal: PatternMathError, kept: dict[str, Any], told: str
) -> None:
    assert vars(refusal) == kept
    assert str(refusal) == told


def test_every_refusal_is_held_to_its_words_here() -> None:
    held = {type(refusal).__name__ for refusal, _, _ in REFUSALS}

    assert held == set(errors.__all__) - {"PatternMathError"}
