"""Colours in words: what to have at hand of each, and the rounds that are worked in it."""

from dataclasses import replace

import pytest

from service.domain.steps import Work
from service.domain.yarn_colourings import (
    Colouring,
    ColourSource,
    SectionColours,
    Stripe,
    StripedColours,
)
from service.domain.yarn_estimates import estimate_yarn
from service.domain.yarn_orders import YarnOrder
from service.domain.yarn_swatches import Swatch
from service.domain.yarn_work import work_from_steps
from service.domain.yarns import Yarn
from service.patterns.colour_words import colour_sentences, colouring_sentence, round_ranges

# A unit is 0.05 g, 100 mm of 500 tex: each of ten rounds takes 10 m.
ORDER = YarnOrder(
    yarn=Yarn(tex=500, ball_mass_g=10, ball_length_m=20),
    work=tuple(work_from_steps([Work("sc", 100)], number=number) for number in range(1, 11)),
    swatch=Swatch(mass_g=10.0, stitch_counts={"sc": 200}, is_unravelled=True),
    colouring=Colouring(
        StripedColours((Stripe(("red",), 2), Stripe(("blue",), 3))),
        (("blue", ColourSource(Yarn(ball_mass_g=50, ball_length_m=100), leftovers_m=(20.3,))),),
    ),
)


def test_each_colour_says_its_yarn_its_balls_and_its_rounds() -> None:
    # 40 m x exp(0.0987) + 0.6 m of ends + 0.3 m of a second ball = 45.05 m are three balls of 20 m;
    # 60 m x exp(0.0987) + 0.6 + 0.4 to gather = 67.2 m, 20 m of them there, are one of 100 m.
    assert colour_sentences(estimate_yarn(ORDER)) == (
        "red, about 45 m (49 yd), 23 g (0.79 oz): 3 balls. Rounds 1–2, 6–7.",
        "blue, about 67 m (74 yd), 34 g (1.2 oz), 20 m of it from leftovers: 1 ball of 50 g (1.8 oz), "
        "100 m (109 yd). Rounds 3–5, 8–10.",
    )


def test_a_colour_of_leftovers_alone_has_no_balls() -> None:
    source = ColourSource(leftovers_m=(500.0,))
    layout = StripedColours((Stripe(("red",), 1), Stripe(("blue",), 9)))
    order = replace(ORDER, colouring=Colouring(layout, (("red", source),)))

    red, _ = colour_sentences(estimate_yarn(order))

    assert red.endswith("from leftovers. Round 1.")
    assert "ball" not in red


def test_work_of_no_named_colour_says_nothing_of_colours() -> None:
    assert colour_sentences(estimate_yarn(replace(ORDER, colouring=None))) == ()


@pytest.mark.parametrize(
    ("numbers", "told"), [([], ""), ([4], "4"), ([1, 2], "1–2"), ([1, 3, 4, 5, 9], "1, 3–5, 9")]
)
def test_rounds_that_follow_each_other_are_a_range(numbers: list[int], told: str) -> None:
    assert round_ranges(numbers) == told


@pytest.mark.parametrize(
    ("layout", "told"),
    [
        (
            StripedColours((Stripe(("red",), 2), Stripe(("blue", "grey"), 1))),
            "Stripes from the first round to the last, again and again: "
            "2 rounds in red, 1 round in blue and grey held together.",
        ),
        (
            SectionColours(("red",), {"brim": ("blue",), "joining": ("grey",)}),
            "Brim in blue, joining round in grey; all else in red.",
        ),
        (SectionColours(("red", "blue")), "All in red and blue held together."),
    ],
)
def test_a_colouring_is_told_for_a_hat_of_any_size(
    layout: StripedColours | SectionColours, told: str
) -> None:
    assert colouring_sentence(Colouring(layout)) == told
