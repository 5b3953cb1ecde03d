"""Rounds of brim and body: worked examples and the rule of the starting chain."""

from service.domain.fabrics import Column, Crossing, Fabric
from service.domain.hat_rounds import (
    RoundManner,
    fabric_round_kind,
    fabric_round_steps,
    make_round,
    plain_base,
)
from service.domain.rounds import Start
from service.domain.steps import Cross, IntoOne, Repeat, Together, Work

CABLE = Fabric("dc", (Column("back", 2), Column("front", 8, Crossing(4, "right"))), round_repeat_count=2)
BASKET = Fabric("dc", (Column("front", 4), Column("back", 4)), round_repeat_count=8, flip_round_count=4)


def _round(steps, **manner):
    return make_round(
        number=1,
        section="body",
        kind="plain",
        worked_into="previous_round",
        steps=steps,
        manner=RoundManner(**manner),
        height_mm=5.0,
    )


def test_a_cable_crosses_on_its_round_and_is_straight_on_the_others():
    crossing = fabric_round_steps(
        CABLE, repeat_count=10, round_in_repeat=1, round_in_fabric=1, crossing_stitches={4: "tr"}
    )
    straight = fabric_round_steps(
        CABLE, repeat_count=10, round_in_repeat=2, round_in_fabric=2, crossing_stitches={4: "tr"}
    )

    assert crossing == (Repeat(10, (Work("bpdc", 2), Cross(4, "fptr", "right"))),)
    assert straight == (Repeat(10, (Work("bpdc", 2), Work("fpdc", 8))),)
    assert fabric_round_kind(CABLE, round_in_repeat=1) == "cross"
    assert fabric_round_kind(CABLE, round_in_repeat=2) == "pattern"


def test_a_lead_in_round_crosses_nothing():
    assert fabric_round_kind(CABLE, round_in_repeat=0) == "pattern"


def test_a_basket_weave_turns_its_faces_after_four_rounds():
    rounds = [
        fabric_round_steps(
            BASKET, repeat_count=2, round_in_repeat=1, round_in_fabric=number, crossing_stitches={}
        )
        for number in (4, 5, 8, 9)
    ]

    assert [each[0].steps[0].stitch for each in rounds] == ["fpdc", "bpdc", "bpdc", "fpdc"]


def test_the_round_below_post_stitches_is_half_double_or_taller():
    assert plain_base(CABLE) == "dc"
    assert plain_base(Fabric("sc", (Column("front", 1), Column("back", 1)))) == "hdc"


def test_a_counting_chain_stands_for_the_first_plain_stitch():
    counted = _round([Repeat(6, (Work("dc", 8), Together(("dc", "dc"))))], start_chain_counts=True)

    assert counted.start == Start(3, counts_as_stitch=True)
    assert counted.steps == (
        Work("dc", 7),
        Repeat(5, (Together(("dc", "dc")), Work("dc", 8))),
        Together(("dc", "dc")),
    )
    assert (counted.consumed_stitch_count, counted.stitch_count) == (60, 54)


def test_a_chain_never_stands_for_an_increase_or_a_post_stitch():
    increase = _round([Repeat(20, (IntoOne(("dc", "dc")), Work("dc", 3)))], start_chain_counts=True)
    post = _round([Repeat(20, (Work("bpdc", 2), Work("fpdc", 2)))], start_chain_counts=True)

    assert increase.start == Start(2, counts_as_stitch=False)
    assert post.start == Start(2, counts_as_stitch=False)


def test_a_spiral_has_neither_chain_nor_join():
    spiral = _round([Work("sc", 80)], is_joined=False)

    assert (spiral.start, spiral.join) == (None, None)


def test_a_round_in_a_ring_uses_up_nothing_even_when_its_chain_counts():
    ring = make_round(
        number=1,
        section="crown",
        kind="plain",
        worked_into="ring",
        steps=[Work("dc", 12)],
        manner=RoundManner(start_chain_counts=True),
        height_mm=5.0,
    )

    assert (ring.consumed_stitch_count, ring.stitch_count) == (0, 12)


def test_a_chain_never_stands_for_the_only_stitch_of_a_round():
    single = _round([Work("dc", 1)], start_chain_counts=True)

    assert single.start == Start(2, counts_as_stitch=False)
    assert single.steps == (Work("dc", 1),)
