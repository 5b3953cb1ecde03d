"""Textures against plain fabric, reckoned by hand from our own priors."""

from math import hypot

import pytest

from service.domain.fabrics import BaseStitch, Column, Crossing, Fabric
from service.domain.gauge import Gauge
from service.domain.texture import (
    CrossingStitch,
    choose_crossing_stitch,
    convert_gauge,
    crossing_rhythm,
    fabric_texture,
    fabric_thickness_mm,
    gauge_for_fabric,
    is_same_texture,
    plain_round_height_mm,
)
from service.reference.load import load_reference_tables

TABLES = load_reference_tables()
FABRICS = TABLES.fabric_by_id
PLAIN_13_6 = Gauge(stitch_width_mm=100 / 13.6, round_height_mm=12, width_error=0.03, height_error=0.04)


def cable(*, over: int, round_repeat_count: int) -> Fabric:
    crossed = Column("front", 2 * over, Crossing(over=over, lean="right"))
    return Fabric("dc", (Column("back", 2), crossed), round_repeat_count)


def crossing(*, over: int, base: BaseStitch = "dc", override: str | None = None) -> CrossingStitch:
    return choose_crossing_stitch(
        over=over,
        base=base,
        face="front",
        stitch_width_mm=6.5,
        round_height_mm=11,
        override=override,
        tables=TABLES,
    )


# Plain double crochet at 13.6 stitches per 10 cm; 13.6 / 0.85 = 16.0 and 13.6 / (0.85 * 0.80) = 20.0.
@pytest.mark.parametrize(
    ("fabric", "expected"),
    [(FABRICS["post-rib-1x1"], 16.0), (cable(over=4, round_repeat_count=2), 20.0)],
)
def test_a_plain_gauge_becomes_that_of_a_texture(fabric: Fabric, expected: float) -> None:
    gauge = convert_gauge(PLAIN_13_6, measured=FABRICS["plain-dc"], wanted=fabric, tables=TABLES)

    assert gauge.stitches_per_10cm == pytest.approx(expected, abs=1e-9)
    assert gauge.round_height_mm == pytest.approx(9)


def test_cables_take_about_a_quarter_more_stitches_than_their_rib() -> None:
    # Trade rule, common practice, no source.
    rib = fabric_texture(FABRICS["post-rib-1x1"], tables=TABLES)
    cabled = fabric_texture(cable(over=4, round_repeat_count=4), tables=TABLES)

    assert rib.width_ratio / cabled.width_ratio == pytest.approx(1.25)


@pytest.mark.parametrize(
    ("round_count", "expected"), [(1, 1), (4, 1), (5, 0.8), (6, 0.6), (7, 0.5), (8, 0.4), (30, 0.4)]
)
def test_crossings_far_apart_draw_in_less(round_count: int, expected: float) -> None:
    assert crossing_rhythm(round_count) == pytest.approx(expected)


def test_flat_stitches_between_posts_lie_between() -> None:
    half = Fabric("dc", (Column("flat", 2), Column("front", 2)))

    texture = fabric_texture(half, tables=TABLES)

    assert (texture.width_ratio, texture.height_ratio) == pytest.approx((0.925, 0.875))


def test_what_two_textures_share_cancels() -> None:
    rib, cabled = FABRICS["post-rib-1x1"], cable(over=4, round_repeat_count=4)

    gauge = convert_gauge(PLAIN_13_6, measured=rib, wanted=cabled, tables=TABLES)

    # Only the crossings are unsure: 0.08 * 0.8 / (1 - 0.25 * 0.8) = 0.08.
    assert gauge.width_error == pytest.approx(hypot(0.03, 0.08))
    assert gauge.height_error == pytest.approx(0.04)


def test_a_texture_from_plain_is_as_unsure_as_its_prior() -> None:
    gauge = convert_gauge(
        PLAIN_13_6, measured=FABRICS["plain-dc"], wanted=FABRICS["post-rib-1x1"], tables=TABLES
    )

    assert gauge.width_error == pytest.approx(hypot(0.03, 0.05 / 0.85))
    assert gauge.height_error == pytest.approx(hypot(0.04, 0.06 / 0.75))


def test_another_base_stitch_changes_the_height_alone() -> None:
    gauge = convert_gauge(PLAIN_13_6, measured=FABRICS["plain-dc"], wanted=FABRICS["plain-sc"], tables=TABLES)

    assert gauge.stitch_width_mm == pytest.approx(PLAIN_13_6.stitch_width_mm)
    assert gauge.round_height_mm == pytest.approx(6)
    assert gauge.width_error == pytest.approx(hypot(0.03, 0.05))


def test_there_and_back_is_the_same_gauge() -> None:
    plain, cabled = FABRICS["plain-sc"], FABRICS["cable-3x3"]

    there = convert_gauge(PLAIN_13_6, measured=plain, wanted=cabled, tables=TABLES)
    back = convert_gauge(there, measured=cabled, wanted=plain, tables=TABLES)

    assert back.stitch_width_mm == pytest.approx(PLAIN_13_6.stitch_width_mm)
    assert back.round_height_mm == pytest.approx(PLAIN_13_6.round_height_mm)


def test_a_gauge_in_the_fabric_itself_is_kept() -> None:
    rib, other = FABRICS["post-rib-1x1"], FABRICS["post-rib-2x2"]

    kept = gauge_for_fabric(PLAIN_13_6, measured=rib, wanted=other, tables=TABLES)

    assert is_same_texture(rib, other, tables=TABLES)
    assert kept.gauge.stitch_width_mm == PLAIN_13_6.stitch_width_mm
    assert kept.gauge.width_error == PLAIN_13_6.width_error
    assert (kept.notices, kept.assumptions) == ((), ())


def test_a_swatch_in_another_fabric_is_named() -> None:
    converted = gauge_for_fabric(
        PLAIN_13_6, measured=FABRICS["plain-dc"], wanted=FABRICS["post-rib-1x1"], tables=TABLES
    )

    assert [notice.code for notice in converted.notices] == ["swatch_fabric"]
    assert {a.name: a.value for a in converted.assumptions} == pytest.approx(
        {"stitch_width_ratio": 0.85, "round_height_ratio": 0.75}
    )


def test_a_plain_round_is_taller_than_a_post_round() -> None:
    assert plain_round_height_mm(9, fabric=FABRICS["cable-3x3"], tables=TABLES) == pytest.approx(12)
    assert plain_round_height_mm(9, fabric=FABRICS["plain-sc"], tables=TABLES) == 9


# Worsted yarn: plain 3, post 5, crossed 7 mm (our own judgement).
@pytest.mark.parametrize(
    ("fabric_id", "expected"),
    [("plain-sc", 3), ("post-rib-2x2", 5), ("basket-weave-4x4", 5), ("cable-3x3", 7)],
)
def test_a_texture_has_its_thickness(fabric_id: str, expected: float) -> None:
    assert fabric_thickness_mm(FABRICS[fabric_id], tables=TABLES) == expected


def test_a_thicker_yarn_makes_a_thicker_fabric() -> None:
    assert fabric_thickness_mm(None, tables=TABLES, yarn_diameter_mm=2.5) == pytest.approx(5)


# Legs 12.78, 17.03, 22.39 and 28.23 mm over 11 mm; dc, tr and dtr reach 1.2, 1.74 and 2.28 times their round.
@pytest.mark.parametrize(
    ("over", "stitch", "leg_ratio", "pulls_in"),
    [
        (1, "fpdc", 1.1615, False),
        (2, "fptr", 1.5481, False),
        (3, "fpdtr", 2.0353, False),
        (4, "fpdtr", 2.5665, True),
    ],
)
def test_the_shortest_stitch_that_reaches_crosses(
    over: int, stitch: str, leg_ratio: float, pulls_in: bool
) -> None:
    chosen = crossing(over=over)

    assert chosen.stitch == stitch
    assert chosen.leg_ratio == pytest.approx(leg_ratio, abs=5e-5)
    assert chosen.pulls_in is pulls_in


def test_only_the_next_two_taller_stitches_are_tried() -> None:
    # From sc the choices end at dc, which reaches 2.4 times its round; 4 over 4 needs 2.57.
    assert crossing(over=4, base="sc") == CrossingStitch(
        stitch="fpdc", leg_ratio=crossing(over=4).leg_ratio, pulls_in=True
    )


def test_the_tallest_stitch_has_nothing_above_it() -> None:
    assert crossing(over=2, base="dtr").stitch == "fpdtr"
    assert crossing(over=2, base="dtr").pulls_in


def test_a_wanted_stitch_wins_and_is_still_measured() -> None:
    assert crossing(over=3, override="dc").stitch == "fpdc"
    assert crossing(over=3, override="dc").pulls_in
    assert crossing(over=3, override="bpdtr").stitch == "bpdtr"
    assert not crossing(over=3, override="bpdtr").pulls_in


@pytest.mark.parametrize("override", [None, "tr", "bptr"])
def test_the_leg_that_a_crossing_needs_is_told_whoever_chose_its_stitch(override: str | None) -> None:
    # Two stitches of 6.5 mm across and a round of 11 mm up: sqrt(13^2 + 11^2) / 11.
    assert crossing(over=2, override=override).leg_ratio == pytest.approx(hypot(13, 11) / 11)
