"""The shaping curve shows the plan's own circumferences."""

import re
from itertools import pairwise

import pytest

from service.domain.errors import NothingToDraw
from service.domain.hats import plan_hat
from service.drawings.lettering import NOTE_MM, text_width_mm
from service.drawings.pictures import Circle, Path, Text, flat_marks
from service.drawings.shaping_curves import curve_points, draw_shaping_curve
from tests.drawings.hats import HATS, groups, headband, planned, points_of, words
from tests.orders import TABLES, hat_order


@pytest.mark.parametrize("name", sorted(HATS))
def test_the_points_are_the_plans(name: str) -> None:
    plan = planned(name)
    assert plan.crown is not None

    points = curve_points(plan)

    assert [point.worked_mm for point in points] == [row.fabric_circumference_mm for row in plan.crown.rounds]
    assert [point.target_mm for point in points] == [row.target_circumference_mm for row in plan.crown.rounds]
    assert [point.fullness for point in points] == [row.fullness for row in plan.crown.rounds]
    assert [point.round_number for point in points] == [
        worked.number for worked in plan.rounds if worked.section == "crown"
    ]


@pytest.mark.parametrize("name", ["cable-2x2", "down", "fine"])
def test_the_drawn_points_stand_in_the_plans_proportion(name: str) -> None:
    plan = planned(name)
    points = curve_points(plan)

    drawn = groups(draw_shaping_curve(plan, title="A crown"))["Circumference"].marks

    worked = [mark.centre for mark in drawn if isinstance(mark, Circle)]
    bottom = max(y for mark in drawn if isinstance(mark, Path) for _, y in points_of(mark))
    heights = [bottom - y for _, y in worked]
    scale = heights[0] / points[0].worked_mm
    assert len(worked) == len(points)
    # The target line ends at nothing, where the circumference is 0.
    assert heights == pytest.approx([scale * point.worked_mm for point in points], abs=0.6)


def test_every_round_has_its_fullness_below_where_there_is_room() -> None:
    plan = planned("bulky")

    said = words(draw_shaping_curve(plan, title="A crown"))

    assert all(f"{point.fullness:.2f}" in said for point in curve_points(plan))


def test_both_axes_speak_centimetres_and_inches() -> None:
    plan = planned("cable-2x2")
    assert plan.crown is not None

    scales = groups(draw_shaping_curve(plan, title="A crown"))["Scales"].marks

    texts = [mark for mark in scales if isinstance(mark, Text)]
    along, above = (
        max(float(text.words) for text in texts if text.at[1] == y and text.anchor == "middle")
        for y in (max(each.at[1] for each in texts if each.words == "0"), 9.0)
    )
    assert along == int(plan.crown.depth_mm / 10)
    assert above == int(plan.crown.depth_mm / 25.4)


def test_target_and_worked_differ_by_more_than_shade() -> None:
    drawn = groups(draw_shaping_curve(planned("cable-2x2"), title="A crown"))["Circumference"].marks

    shapes = {(type(mark).__name__, mark.role) for mark in flat_marks(drawn)}
    assert {
        ("Circle", "worked_point"),
        ("Path", "target_point"),
        ("Path", "target"),
        ("Path", "worked"),
    } <= shapes


def test_a_headband_has_no_crown_to_plot() -> None:
    with pytest.raises(NothingToDraw) as refused:
        draw_shaping_curve(headband(), title="A crown")

    assert "schematic" in refused.value.kinds


def test_every_round_that_leaves_the_scale_has_its_figure_and_no_labels_touch() -> None:
    plan = plan_hat(hat_order(fabric="plain-sc", brim=None, stitches_per_10cm=36, rounds_per_10cm=40), TABLES)

    picture = draw_shaping_curve(plan, title="A curve")

    fullness = groups(picture)["Fullness"]
    figures = [mark for mark in fullness.marks if isinstance(mark, Text)]
    heads = sum(isinstance(mark, Path) and mark.role == "arrow" for mark in fullness.marks)
    last = [f"{point.round_number}" for point in curve_points(plan)[-heads:]]
    assert heads > 1
    assert set(last) <= {mark.words for mark in figures}
    places = sorted(mark.at[0] for mark in figures if re.fullmatch(r"\d\.\d\d", mark.words))
    assert min(after - before for before, after in pairwise(places)) >= text_width_mm("0.00", NOTE_MM)
    assert places[-1] < 18 + 130 + 16
