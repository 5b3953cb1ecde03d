"""Yarn by colour: examples worked by hand."""

from dataclasses import replace

import pytest

from service.domain.errors import ColourUnmatched, HatOutOfBounds, StrandColoursUnequal
from service.domain.rounds import Section
from service.domain.steps import Work
from service.domain.yarn_buying import Finishing, leftover_join_count, leftovers_used_m
from service.domain.yarn_colourings import (
    Colouring,
    ColourSource,
    SectionColours,
    StrandColours,
    Stripe,
    StripedColours,
)
from service.domain.yarn_colours import (
    colour_change_count,
    colour_yarns,
    section_colours,
    striped_colours,
)
from service.domain.yarn_estimates import estimate_yarn
from service.domain.yarn_orders import YarnOrder
from service.domain.yarn_swatches import Swatch
from service.domain.yarn_work import work_from_steps
from service.domain.yarns import Yarn

SECTIONS: tuple[Section, ...] = ("brim", "brim", "body", "body", "crown", "edging")
SWATCH = Swatch(mass_g=10.0, stitch_counts={"sc": 200}, is_unravelled=True)


def _order(*, strand_count: int = 1) -> YarnOrder:
    # A unit is 0.05 g, 100 mm of 500 tex: each round of 100 takes 10 m.
    rounds = [
        work_from_steps([Work("sc", 100)], number=number, section=section)
        for number, section in enumerate(SECTIONS, 1)
    ]
    yarn = Yarn(tex=500, ball_mass_g=10, ball_length_m=20, strand_count=strand_count)
    return YarnOrder(yarn=yarn, work=tuple(rounds), swatch=SWATCH, finishing=Finishing(has_edging=True))


def test_each_colour_takes_the_rounds_that_are_worked_in_it() -> None:
    order = _order()
    estimate = estimate_yarn(order)
    colours = striped_colours(estimate.parts, [Stripe(("red",), 1), Stripe(("blue",), 2)])

    red, blue = colour_yarns(order, estimate, colours=colours, sources={})

    assert (red.colour, blue.colour) == ("red", "blue")
    assert red.need.length_m == pytest.approx(20)
    assert blue.need.length_m == pytest.approx(40)
    # 500 tex are 0.5 g to the metre.
    assert (red.length_m.median, red.mass_g.median) == pytest.approx((20, 10))
    assert red.length_m.low < 20 < red.length_m.high


def test_a_colour_has_two_ends_for_each_time_it_is_begun_and_the_edging_begins_anew() -> None:
    order = _order()
    estimate = estimate_yarn(order)
    colours = striped_colours(estimate.parts, [Stripe(("red",), 1), Stripe(("blue",), 2)])

    red, blue = colour_yarns(order, estimate, colours=colours, sources={})

    # red | blue blue | red | blue | edging blue
    assert red.extras.ends_m == pytest.approx(2 * 2 * 0.15)
    assert blue.extras.ends_m == pytest.approx(2 * 3 * 0.15)
    assert (red.extras.gathering_m, blue.extras.gathering_m) == (0.0, 0.4)
    assert colour_change_count(estimate.parts, colours) == 3


def test_each_section_can_have_its_colour() -> None:
    estimate = estimate_yarn(_order())

    colours = section_colours(estimate.parts, {"brim": ("red",), "edging": ("red",)}, ground=("blue",))

    assert [names[0] for names in colours] == ["red", "red", "blue", "blue", "blue", "red"]


def test_strands_of_two_colours_share_every_round() -> None:
    order = _order(strand_count=2)
    estimate = estimate_yarn(order)

    red, blue = colour_yarns(order, estimate, colours=[("red", "blue")] * 6, sources={})

    assert red.need.length_m == blue.need.length_m == pytest.approx(estimate.length_m.median / 2)
    assert red.extras.ends_m == pytest.approx(2 * 2 * 0.15)


def test_a_kept_swatch_is_of_the_colour_used_most() -> None:
    order = replace(_order(), swatch=replace(SWATCH, is_unravelled=False))
    estimate = estimate_yarn(order)
    colours = striped_colours(estimate.parts, [Stripe(("red",), 1), Stripe(("blue",), 2)])

    red, blue = colour_yarns(order, estimate, colours=colours, sources={})

    assert red.extras.swatch_m == 0
    assert blue.extras.swatch_m == pytest.approx(20)


def test_one_colour_is_bought_as_the_whole_is() -> None:
    order = _order(strand_count=2)
    estimate = estimate_yarn(order)

    (only,) = colour_yarns(order, estimate, colours=[("red",)] * 6, sources={})

    assert only.extras == estimate.extras
    assert only.buy_by_certainty == estimate.buy_by_certainty


def test_a_colour_is_counted_in_its_own_balls_and_its_leftovers_go_first() -> None:
    order = _order()
    estimate = estimate_yarn(order)
    sources = {
        "red": ColourSource(Yarn(tex=400, ball_mass_g=50, ball_length_m=125)),
        "blue": ColourSource(order.yarn, leftovers_m=(12.0, 14.0)),
    }
    colours = striped_colours(estimate.parts, [Stripe(("red",), 1), Stripe(("blue",), 2)])

    red, blue = colour_yarns(order, estimate, colours=colours, sources=sources)

    assert red.buy.ball_count == 1
    assert red.need.mass_g == pytest.approx(20 * 0.4)
    # 40 x exp(0.0987) + 0.9 + 0.3 + 0.4 = 45.75 m, of which 13.7 + 11.7 are there: 20.35 m are two balls.
    assert blue.buy.from_leftovers_m == pytest.approx(25.4)
    assert blue.buy.ball_count == 2


@pytest.mark.parametrize(
    ("leftovers_m", "length_m", "used_m"),
    [([], 10, 0), ([0.3, 0.1], 10, 0), ([5], 10, 4.7), ([10], 10, 10), ([4, 7], 10, 10), ([4, 6], 10, 9.4)],
)
def test_a_leftover_gives_its_length_less_a_join(
    leftovers_m: list[float], length_m: float, used_m: float
) -> None:
    used = leftovers_used_m(leftovers_m, length_m)

    assert used == pytest.approx(used_m)


@pytest.mark.parametrize(
    ("leftovers_m", "length_m", "join_count"),
    [
        ([], 50, 0),
        ([0.3, 0.1], 50, 0),
        ([5], 50, 1),
        # The last of those that do is joined to nothing.
        ([5, 5, 60], 50, 0),
        ([30, 30], 50, 1),
        ([1.0] * 50, 50, 50),
        # Nine give 6.3 m, and the tenth does for the rest.
        ([1.0] * 500, 7, 9),
    ],
)
def test_every_leftover_that_runs_out_is_joined_once(
    leftovers_m: list[float], length_m: float, join_count: int
) -> None:
    assert leftover_join_count(leftovers_m, length_m) == join_count


@pytest.mark.parametrize(
    ("leftovers_m", "end_count"),
    [
        # 40 m are three balls of 19.5 m: two joins, each with two ends, beside those of the work.
        ((), 2 + 2 * 2),
        # Ten pieces give 7 m and are joined; 33 m are two balls.
        ((1.0,) * 10, 2 + 2 * (10 + 1)),
        # A long one spares two of the balls, so that one join is left.
        ((30.0,), 2 + 2 * 1),
        ((100.0,), 2),
    ],
)
def test_each_piece_joined_in_has_its_ends(leftovers_m: tuple[float, ...], end_count: int) -> None:
    yarn = replace(_order().yarn, ball_mass_g=9.75, ball_length_m=19.5)
    order = replace(_order(), work=_order().work[:4], yarn=yarn, finishing=Finishing())
    grey = Colouring(SectionColours(("grey",)), (("grey", ColourSource(leftovers_m=leftovers_m)),))

    estimate = estimate_yarn(replace(order, colouring=grey))

    assert estimate.extras.end_count == estimate.colours[0].extras.end_count == end_count
    without = estimate_yarn(replace(order, colouring=replace(grey, sources=())))
    assert estimate.buy.length_m == without.buy.length_m


RED_AND_BLUE = Colouring(StripedColours((Stripe(("red",), 1), Stripe(("blue",), 2))))


def test_the_estimate_of_coloured_work_is_the_sum_of_its_colours() -> None:
    order = replace(_order(), colouring=RED_AND_BLUE)

    estimate = estimate_yarn(order)

    # 20 m x exp(0.0987) + 0.6 + 0 = 22.7 m are two balls of 20 m;
    # 40 m x exp(0.0987) + 0.9 + 0.3 + 0.4 = 45.7 m are three. In one colour it were four.
    assert [each.buy.ball_count for each in estimate.colours] == [2, 3]
    assert estimate.buy.ball_count == 5
    assert estimate_yarn(_order()).buy.ball_count == 4
    assert estimate.buy.length_m == pytest.approx(22.7 + 45.7)
    assert estimate.extras.end_count == 2 * 2 + 2 * 3 + 2 * 1
    assert (estimate.colour_change_count, estimate.idle_colour_count) == (3, 0)


def test_a_colour_of_a_heavier_yarn_makes_the_whole_heavier() -> None:
    heavier = ColourSource(Yarn(tex=1000))
    order = replace(_order(), colouring=replace(RED_AND_BLUE, sources=(("red", heavier),)))

    estimate = estimate_yarn(order)

    assert estimate.length_m.median == pytest.approx(60)
    assert estimate.mass_g.median == pytest.approx(20 * 1.0 + 40 * 0.5)
    assert estimate.gram_per_m == pytest.approx(40 / 60)
    # No ball is known of the heavier yarn, so nobody can count the balls of the whole.
    assert estimate.buy.ball_count is None
    assert [notice.code for notice in estimate.colours[0].notices] == [
        "colour_weighs_otherwise",
        "one_dye_lot",
    ]


@pytest.mark.parametrize("tex", [435.0, 575.0])
def test_a_yarn_of_nearly_the_same_weight_is_not_remarked_upon(tex: float) -> None:
    source = ColourSource(Yarn(tex=tex))

    estimate = estimate_yarn(replace(_order(), colouring=replace(RED_AND_BLUE, sources=(("red", source),))))

    assert [notice.code for notice in estimate.colours[0].notices] == ["one_dye_lot"]


def test_colours_of_one_ball_each_need_no_dye_lot() -> None:
    yarn = replace(_order().yarn, ball_mass_g=500.0, ball_length_m=1000.0)

    estimate = estimate_yarn(replace(_order(), yarn=yarn, colouring=RED_AND_BLUE))

    assert [colour.buy.ball_count for colour in estimate.colours] == [1, 1]
    assert "one_dye_lot" not in {notice.code for notice in estimate.notices}


def test_a_colour_that_is_never_worked_is_told() -> None:
    layout = StripedColours((Stripe(("red",), 50), Stripe(("blue",), 2)))

    estimate = estimate_yarn(replace(_order(), colouring=Colouring(layout)))

    assert [each.colour for each in estimate.colours] == ["red"]
    assert [notice.code for notice in estimate.notices][-2:] == ["colours_not_worked", "one_dye_lot"]


def test_where_leftovers_do_nothing_is_bought_and_nothing_is_said_of_balls() -> None:
    source = ColourSource(leftovers_g=(100.0,))
    order = replace(_order(), colouring=Colouring(SectionColours(("grey",)), (("grey", source),)))

    (grey,) = estimate_yarn(order).colours

    assert (grey.buy.ball_count, grey.buy.leftover_m) == (0, 0)
    assert grey.buy.from_leftovers_m == pytest.approx(grey.buy.length_m)
    assert grey.notices == ()


def test_an_edging_that_is_no_stretch_of_the_work_has_its_ends_too() -> None:
    rounds = tuple(replace(part, section=None) for part in _order().work)
    order = replace(_order(), work=rounds, colouring=Colouring(SectionColours(("grey",))))

    (grey,) = estimate_yarn(order).colours

    assert grey.extras == estimate_yarn(replace(order, colouring=None)).extras


def test_rounds_of_no_section_have_the_colours_of_the_ground() -> None:
    rounds = tuple(replace(part, section=None) for part in _order().work)
    layout = SectionColours(("grey",), {"brim": ("red",)})

    estimate = estimate_yarn(replace(_order(), work=rounds, colouring=Colouring(layout)))

    assert [each.colour for each in estimate.colours] == ["grey"]
    assert estimate.idle_colour_count == 1


@pytest.mark.parametrize("colours", [("red", "blue"), ("red", "blue", "white", "grey")])
def test_as_many_colours_as_strands_or_one(colours: StrandColours) -> None:
    order = replace(_order(strand_count=3), colouring=Colouring(StripedColours((Stripe(colours, 9),))))

    with pytest.raises(StrandColoursUnequal, match="Name 1 or 3") as refused:
        estimate_yarn(order)

    assert (refused.value.colour_count, refused.value.strand_count) == (len(colours), 3)


@pytest.mark.parametrize(
    ("colours", "fault", "position"),
    [
        (["green"], "not_worked", 0),
        (["red", "Blue"], "not_worked", 1),
        (["red", "blue", "red"], "given_twice", 2),
    ],
)
def test_a_source_for_no_colour_of_its_own_is_refused(colours: list[str], fault: str, position: int) -> None:
    sources = tuple((colour, ColourSource()) for colour in colours)

    with pytest.raises(ColourUnmatched) as refused:
        replace(RED_AND_BLUE, sources=sources)

    assert (refused.value.entry_kind, refused.value.position, refused.value.fault) == (
        "source",
        position,
        fault,
    )


def test_more_colours_than_any_hat_has_are_refused() -> None:
    stripes = tuple(Stripe((f"colour {number}",), 1) for number in range(25))

    assert len(Colouring(StripedColours(stripes[:24])).names) == 24
    with pytest.raises(
        HatOutOfBounds, match=r"25 colours; the service plans at most 24\. Use fewer colours\."
    ):
        Colouring(StripedColours(stripes))
