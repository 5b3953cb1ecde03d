"""Charts of crowns and bodies: every stitch once, the key complete, the way of work told."""

import math
import re
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import assume, given, settings

from service.domain.errors import DrawingTooLarge, NothingToDraw, PatternMathError
from service.domain.fabrics import Column, Crossing, Fabric
from service.domain.hat_orders import CrownWishes, HatOrder
from service.domain.hats import HatPlan, plan_hat
from service.domain.steps import Cross, Together, flat
from service.drawings.body_charts import draw_body_chart
from service.drawings.crown_charts import draw_crown_chart
from service.drawings.pictures import Group, Path, Picture, Text, flat_marks
from service.notation.terms import UK, US
from tests.drawings.hats import HATS, groups, headband, planned, points_of, words
from tests.orders import TABLES, hat_order, hat_orders

TEXTURED = sorted(name for name in HATS if "plain" not in name and name not in ("bulky", "fine", "preterm"))


def _rounds(picture: Picture) -> dict[int, Group]:
    named = {title: group for title, group in groups(picture).items() if title.startswith("Round ")}
    return {int(title.split()[1].rstrip(":")): group for title, group in named.items() if ":" in title}


def _expected_symbols(plan: HatPlan, number: int, times: int) -> int:
    worked = plan.rounds[number - 1]
    counting = worked.start is not None and worked.start.counts_as_stitch
    chains = 0 if worked.start is None else worked.start.chain_count
    return worked.stitch_count // times - counting + chains + (worked.join is not None)


@pytest.mark.parametrize("name", sorted(set(HATS) - {"fine"}))
def test_a_whole_crown_has_every_stitch_once(name: str) -> None:
    plan = planned(name)

    rounds = _rounds(draw_crown_chart(plan, extent="whole", title="A crown", terms=US))

    crown = [worked.number for worked in plan.rounds if worked.section == "crown"]
    assert sorted(rounds) == crown
    for number, group in rounds.items():
        assert len(group.marks) == _expected_symbols(plan, number, 1)


@pytest.mark.parametrize("name", TEXTURED)
def test_one_repeat_has_its_share_of_every_round(name: str) -> None:
    plan = planned(name)
    picture = draw_crown_chart(plan, extent="one_repeat", title="A crown", terms=US)

    rounds = _rounds(picture)

    times = int(next(each for each in words(picture) if each.startswith("Work the outlined")).split()[4])
    assert len(rounds) >= 2
    for number, group in rounds.items():
        assert len(group.marks) == _expected_symbols(plan, number, times)


def test_rounds_outside_the_repeat_are_told_in_words() -> None:
    plan = planned("cable-2x2")
    picture = draw_crown_chart(plan, extent="one_repeat", title="A crown", terms=US)

    said = " ".join(words(picture))

    crown = {worked.number for worked in plan.rounds if worked.section == "crown"}
    for number in crown - set(_rounds(picture)):
        assert f"Not a part of the repeat: Rnd {number}:" in said


@settings(max_examples=15)
@given(order=hat_orders())
def test_any_whole_crown_has_every_stitch_once(order: HatOrder) -> None:
    try:
        plan = plan_hat(order, TABLES)
        picture = draw_crown_chart(plan, extent="whole", title="A crown", terms=US)
    except PatternMathError:
        assume(False)
        raise

    for number, group in _rounds(picture).items():
        assert len(group.marks) == _expected_symbols(plan, number, 1)


@pytest.mark.parametrize("name", sorted(HATS))
def test_the_body_shows_one_repeat_by_one_vertical_repeat(name: str) -> None:
    plan = planned(name)
    fabric = plan.order.fabric

    rounds = _rounds(draw_body_chart(plan, extent="one_repeat", title="A body", terms=US))

    body = [worked for worked in plan.rounds if worked.section == "body"]
    assert len(rounds) == min(fabric.round_repeat_count, len(body))
    for number, group in rounds.items():
        times = plan.counts.chosen.count.repeat_count
        assert len(group.marks) == _expected_symbols(plan, number, times)


@pytest.mark.parametrize("name", ["preterm", "cable-4x4", "left", "basket-weave-4x4"])
def test_a_whole_body_has_every_stitch_once(name: str) -> None:
    plan = planned(name)

    rounds = _rounds(draw_body_chart(plan, extent="whole", title="A body", terms=US))

    assert sorted(rounds) == [worked.number for worked in plan.rounds if worked.section == "body"]
    for number, group in rounds.items():
        assert len(group.marks) == _expected_symbols(plan, number, 1)


def test_the_key_names_the_symbols_used_and_no_other() -> None:
    plan = planned("cable-2x2")

    said = words(draw_crown_chart(plan, extent="whole", title="A crown", terms=US))

    crown = [step for worked in plan.rounds if worked.section == "crown" for step in flat(worked.steps)]
    assert "FPdc: front post double crochet" in said
    assert any(each.startswith("FPdc2tog") for each in said)
    assert any("crossed" in each for each in said) == any(isinstance(step, Cross) for step in crown)
    assert any(isinstance(step, Together) for step in crown)
    assert not any(each.startswith("sc:") for each in said)


def test_the_key_follows_the_terms() -> None:
    said = words(draw_body_chart(planned("cable-2x2"), extent="one_repeat", title="A body", terms=UK))

    assert any(each.startswith("FPtr: ") for each in said)
    assert not any(each.startswith("FPdc: ") for each in said)


def test_a_left_hander_sees_the_mirror_image() -> None:
    right, left = (
        draw_body_chart(
            plan_hat(hat_order(is_left_handed=hand), TABLES), extent="one_repeat", title="A", terms=US
        )
        for hand in (False, True)
    )

    xs = [
        [x for group in _rounds(picture).values() for x, _ in points_of(group)] for picture in (right, left)
    ]
    assert sorted(round(max(xs[0]) - x, 3) for x in xs[0]) == sorted(round(x - min(xs[1]), 3) for x in xs[1])
    assert any("leaning right" in each for each in words(right))
    assert any("leaning left" in each for each in words(left))


@pytest.mark.parametrize(
    ("name", "way"),
    [
        ("cable-2x2", "clockwise and from the outside in"),
        ("left", "anticlockwise and from the outside in"),
        ("down", "anticlockwise and from the centre outward"),
    ],
)
def test_the_chart_says_how_it_is_read(name: str, way: str) -> None:
    picture = draw_crown_chart(planned(name), extent="whole", title="A crown", terms=US)

    assert f"read {way}." in " ".join(words(picture))
    assert f"read {way}." in picture.description


@pytest.mark.parametrize("name", ["cable-2x2", "down"])
def test_rounds_are_numbered_the_way_they_are_worked(name: str) -> None:
    plan = planned(name)
    picture = draw_crown_chart(plan, extent="whole", title="A crown", terms=US)

    labels = [mark for mark in groups(picture)["Round numbers"].marks if isinstance(mark, Text)]

    distances = [math.hypot(*label.at) for label in labels]
    assert [int(label.words) for label in labels] == sorted(int(label.words) for label in labels)
    assert distances == sorted(distances, reverse=plan.order.is_from_brim)


def test_an_arrow_leads_inward_from_the_brim() -> None:
    picture = draw_crown_chart(planned("cable-2x2"), extent="whole", title="A crown", terms=US)

    *_, across, head = groups(picture)["Direction of work"].marks

    tail, tip = points_of(across)
    assert math.hypot(*tip) < math.hypot(*tail)
    assert isinstance(head, Path)
    assert points_of(head)[0] == tip


def test_a_scattered_crown_is_shown_whole() -> None:
    order = hat_order(
        fabric="plain-hdc", stitches_per_10cm=14, brim=None, crown=CrownWishes(is_scattered=True)
    )
    plan = plan_hat(order, TABLES)

    picture = draw_crown_chart(plan, extent="one_repeat", title="A crown", terms=US)

    crown = [worked for worked in plan.rounds if worked.section == "crown"]
    assert len(_rounds(picture)) == len(crown)


def test_a_chart_of_too_many_symbols_is_refused() -> None:
    order = hat_order(fabric="plain-sc", stitches_per_10cm=45, rounds_per_10cm=48, brim=None)
    plan = plan_hat(order, TABLES)

    with pytest.raises(DrawingTooLarge) as refused:
        draw_body_chart(plan, extent="whole", title="A body", terms=US)

    body = [worked.number for worked in plan.rounds if worked.section == "body"]
    assert refused.value.symbol_count == sum(_expected_symbols(plan, number, 1) for number in body)
    assert refused.value.limit == 8000


@pytest.mark.parametrize("name", ["cable-2x2", "down", "plain-sc"])
def test_what_is_refused_is_what_would_be_drawn(name: str) -> None:
    plan = planned(name)
    drawn = _rounds(draw_crown_chart(plan, extent="one_repeat", title="A crown", terms=US))

    with pytest.raises(DrawingTooLarge) as refused:
        draw_crown_chart(plan, extent="one_repeat", title="A crown", terms=US, most_symbols=3)

    assert refused.value.symbol_count == sum(len(group.marks) for group in drawn.values())
    assert refused.value.limit == 3


def test_a_headband_has_no_crown_to_chart() -> None:
    with pytest.raises(NothingToDraw, match="no crown to draw"):
        draw_crown_chart(headband(), extent="whole", title="A crown", terms=US)


@pytest.mark.parametrize("name", ["cable-2x2", "down", "post-rib-1x1", "plain-sc"])
def test_round_numbers_do_not_collide(name: str) -> None:
    picture = draw_crown_chart(planned(name), extent="whole", title="A crown", terms=US)

    labels = [mark for mark in flat_marks([groups(picture)["Round numbers"]]) if isinstance(mark, Text)]

    for number, label in enumerate(labels):
        for other in labels[number + 1 :]:
            assert math.dist(label.at, other.at) >= label.size_mm


@pytest.mark.parametrize(
    ("worked", "size"), [("from_brim", {"style": "cuffed"}), ("from_crown", {"depth_mm": 240})]
)
def test_every_round_of_the_body_is_in_the_chart_or_told_in_words(worked: str, size: dict[str, Any]) -> None:
    order = hat_order(fabric="cable-2x2", stitches_per_10cm=18, rounds_per_10cm=11, size=size, worked=worked)
    plan = plan_hat(order, TABLES)
    assert plan.layout.lead_in_round_count > 1

    picture = draw_body_chart(plan, extent="one_repeat", title="A body", terms=US)

    notes = " ".join(words(picture))
    told = set(_rounds(picture)) | {int(number) for number in re.findall(r"Rnd (\d+):", notes)}
    for first, last in re.findall(r"Rounds? (\d+)(?: to (\d+))? (?:goes|go|is|are) ", notes):
        told |= set(range(int(first), int(last or first) + 1))
    assert told == {each.number for each in plan.rounds if each.section == "body"}


@pytest.mark.parametrize("name", sorted(set(HATS) - {"fine"}))
def test_a_whole_crown_tells_of_a_shaded_part_only_where_there_is_one(name: str) -> None:
    picture = draw_crown_chart(planned(name), extent="whole", title="A crown", terms=US)

    is_told = any("a part is shaded" in line for line in words(picture))
    assert is_told == any(mark.role == "repeat_area" for mark in flat_marks(picture.marks))


def test_a_wide_cable_leaves_the_other_rows_of_the_key_as_they_are() -> None:
    over_eight = Fabric("dc", (Column("back", 2), Column("front", 16, Crossing(8, "right"))), 8)
    plan = plan_hat(hat_order(fabric=over_eight), TABLES)

    found = groups(draw_body_chart(plan, extent="one_repeat", title="A body", terms=US))

    key = [points_of(group) for title, group in found.items() if title.startswith("Key: ")]
    widths = [max(x for x, _ in points) - min(x for x, _ in points) for points in key]
    feet = sorted(max(y for _, y in points) for points in key)
    assert max(widths) < 60
    assert max(after - before for before, after in pairwise(feet)) < 16
