"""The schematic says and shows what the plan says."""

from itertools import pairwise
from math import isclose

import pytest
from hypothesis import assume, given, settings

from service.domain.errors import PatternMathError
from service.domain.hat_orders import HatOrder
from service.domain.hats import plan_hat
from service.drawings.hat_levels import hat_levels, section_spans
from service.drawings.hat_profiles import hat_profile
from service.drawings.pictures import Path, flat_marks
from service.drawings.schematic import draw_schematic, flat_outline, worn_curve
from service.patterns.lengths import both_systems
from tests.drawings.hats import HATS, groups, headband, planned, points_of, words
from tests.orders import TABLES, hat_orders


@pytest.mark.parametrize("name", sorted(HATS))
def test_the_dimensions_are_those_of_the_plan(name: str) -> None:
    plan = planned(name)

    said = words(draw_schematic(plan, title="A hat"))

    edge = plan.counts.chosen.count.circumference_mm
    if plan.counts.chosen.brim is not None:
        edge = plan.counts.chosen.brim.count.circumference_mm
    assert f"width {both_systems(edge / 2)}" in said
    assert f"around {both_systems(edge)}" in said
    assert f"depth {both_systems(plan.depth_mm)}" in said
    for section in plan.sections:
        label = "joining round" if section.name == "joining" else section.name
        assert f"{label} {both_systems(section.height_mm)}" in said


@pytest.mark.parametrize("name", ["cable-2x2", "preterm", "down", "slouch"])
def test_the_flat_outline_is_in_true_proportion(name: str) -> None:
    plan = planned(name)
    picture = draw_schematic(plan, title="A hat")

    outline = next(
        mark for mark in flat_marks(picture.marks) if isinstance(mark, Path) and mark.role == "outline"
    )

    xs, ys = zip(*points_of(outline), strict=True)
    widest_mm = max(level.circumference_mm for level in hat_levels(plan)) / 2
    scale = (max(xs) - min(xs)) / widest_mm
    assert isclose(max(ys) - min(ys), scale * plan.depth_mm, rel_tol=1e-9)


@pytest.mark.parametrize("name", sorted(HATS))
def test_the_arrows_of_the_parts_stand_as_far_apart_as_the_parts_are_tall(name: str) -> None:
    plan = planned(name)
    marks = list(flat_marks([groups(draw_schematic(plan, title="A hat"))["The hat laid flat"]]))
    outline = next(mark for mark in marks if isinstance(mark, Path) and mark.role == "outline")
    ys = [y for _, y in points_of(outline)]
    scale = (max(ys) - min(ys)) / plan.depth_mm

    tips = [points_of(mark)[0] for mark in marks if isinstance(mark, Path) and mark.role == "arrow"]

    line = max(x for x, _ in tips)
    heights = sorted({round(max(ys) - y, 6) for x, y in tips if x == line})
    spans = section_spans(plan)
    assert heights == pytest.approx([0.0, *(scale * span.high_mm for span in spans)], abs=1e-4)


def test_a_plain_hat_is_as_wide_at_each_height_as_its_round() -> None:
    plan = planned("bulky")

    half = flat_outline(hat_levels(plan), depth_mm=plan.depth_mm, is_closed=True)

    width_mm = plan.gauges.body.stitch_width_mm
    expected = [worked.stitch_count * width_mm / 4 for worked in plan.rounds]
    assert [across for across, _ in half][1:-1] == pytest.approx(expected)
    assert half[-1] == (0.0, plan.depth_mm)


def test_the_round_that_joins_lies_no_narrower_than_both_its_neighbours() -> None:
    levels = hat_levels(planned("down"))

    around = {
        section: [level.circumference_mm for level in levels if level.section == section]
        for section in ("brim", "joining", "body")
    }

    [joining_mm] = around["joining"]
    assert joining_mm == pytest.approx(around["brim"][-1])
    assert min(around["brim"][-1], around["body"][0]) <= joining_mm


@pytest.mark.parametrize("name", sorted(HATS))
def test_the_description_measures_what_is_drawn(name: str) -> None:
    plan = planned(name)

    said = draw_schematic(plan, title="A hat").description

    for length_mm in (hat_levels(plan)[0].circumference_mm, plan.counts.chosen.count.circumference_mm):
        assert both_systems(length_mm) in said
    assert f"depth {both_systems(plan.depth_mm)} along the fabric" in said
    assert ("The brim folds up by" in said) == bool(plan.size.cuff_mm)
    assert "headband" not in said


def test_a_headband_is_described_as_one() -> None:
    picture = draw_schematic(headband(), title="A band")

    told = " ".join([picture.description, *groups(picture)])
    assert "A headband laid flat" in told
    assert "height " in told
    assert "hat" not in told.replace("headband", "")


def test_a_headband_has_a_height_and_no_crown() -> None:
    said = words(draw_schematic(headband(), title="A band"))

    assert any(each.startswith("height ") for each in said)
    assert not any(each.startswith("crown") for each in said)


def test_a_folded_brim_stands_outside_and_shortens_the_hat() -> None:
    plan = planned("cuffed")
    profile = hat_profile(plan)

    curve = worn_curve(plan, profile)

    fold = profile.at(plan.size.cuff_mm)
    assert min(up for _, up in curve) == pytest.approx(0.0, abs=1.0)
    assert max(up for _, up in curve) == pytest.approx(profile.stand_mm - fold.stand_mm)
    assert any(each.startswith("fold up 6 cm") for each in words(draw_schematic(plan, title="A hat")))


@settings(max_examples=25)
@given(order=hat_orders())
def test_parts_add_up_and_the_worn_curve_keeps_its_length(order: HatOrder) -> None:
    try:
        plan = plan_hat(order, TABLES)
    except PatternMathError:
        assume(False)
        raise

    spans, levels, profile = section_spans(plan), hat_levels(plan), hat_profile(plan)

    assert isclose(spans[-1].high_mm, plan.depth_mm, rel_tol=1e-9)
    assert all(after.height_mm >= before.height_mm - 1e-9 for before, after in pairwise(levels))
    for low, high in pairwise(profile.points):
        along = high.height_mm - low.height_mm
        across, up = high.radius_mm - low.radius_mm, high.stand_mm - low.stand_mm
        assert isclose(across**2 + up**2, along**2, rel_tol=1e-6, abs_tol=1e-9)
    widest_mm = max(level.circumference_mm for level in levels)
    assert profile.largest_radius_mm <= widest_mm / 6.283185 + 1e-6
