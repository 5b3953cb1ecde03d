"""The hat as a body: the cloth covers it once, and narrows as the steps say."""

import math
from dataclasses import replace

import pytest
from hypothesis import assume, given, settings

from service.domain.errors import PatternMathError
from service.domain.hat_orders import HatOrder
from service.domain.hats import HatPlan, plan_hat
from service.domain.yarn_colourings import Colouring, SectionColours
from service.domain.yarns import Yarn
from service.drawings.hat_levels import section_spans
from service.drawings.hat_patches import crossing_grounds, hat_patches, round_patches, run_count
from service.drawings.hat_views import _seen_cloth, describe_hat_view, draw_hat_view
from service.drawings.pictures import Mark, Path, flat_marks
from tests.drawings.hats import HATS, groups, headband, planned, points_of, words
from tests.orders import TABLES, hat_order, hat_orders


@settings(max_examples=20)
@given(order=hat_orders())
def test_the_patches_of_a_round_cover_it_once(order: HatOrder) -> None:
    try:
        plan = plan_hat(order, TABLES)
    except PatternMathError:
        assume(False)
        raise

    for worked in plan.rounds:
        patches = round_patches(worked, foot_mm=0.0, top_mm=worked.height_mm)
        assert sum(patch.top[1] - patch.top[0] for patch in patches) == pytest.approx(1.0)
        assert sum(patch.foot[1] - patch.foot[0] for patch in patches) == pytest.approx(1.0)


@pytest.mark.parametrize("name", sorted(HATS))
def test_the_patches_cover_the_whole_depth_at_every_turn(name: str) -> None:
    plan = planned(name)

    patches = [patch for patch in hat_patches(plan) if not patch.is_crossed]

    assert min(patch.low_mm for patch in patches) == 0.0
    assert max(patch.high_mm for patch in patches) == pytest.approx(plan.depth_mm)


def test_columns_of_a_rib_run_up_in_one_piece() -> None:
    plan = planned("post-rib-2x2")

    fronts = [patch for patch in hat_patches(plan) if patch.face == "front" and patch.is_straight]

    body_mm = next(section.height_mm for section in plan.sections if section.name == "body")
    assert max(patch.high_mm - patch.low_mm for patch in fronts) >= body_mm - 1e-6


def test_a_crossing_is_two_bands_that_change_places() -> None:
    plan = planned("cable-2x2")

    bands = [patch for patch in hat_patches(plan) if patch.is_crossed]

    body = [patch for patch in bands if patch.high_mm <= section_spans(plan)[2].high_mm + 1e-6]
    assert body
    for behind, over in zip(body[::2], body[1::2], strict=True):
        assert (behind.is_over, over.is_over) == (False, True)
        assert behind.top == pytest.approx(over.foot)
        assert over.top == pytest.approx(behind.foot)


@pytest.mark.parametrize(
    ("fabric", "stitches_per_10cm", "rounds_per_10cm"),
    [("cable-2x2", 30, 20), ("cable-3x3", 36, 28), ("cable-4x4", 32, 24), ("cable-4x4", 36, 30)],
)
def test_a_finely_worked_hat_keeps_its_crossings(
    fabric: str, stitches_per_10cm: float, rounds_per_10cm: float
) -> None:
    fine = _planned(fabric, stitches_per_10cm, rounds_per_10cm, head_mm=565)

    shown = [patch for patch in _seen_cloth(fine).patches if patch.is_crossed]

    assert len(shown) == sum(patch.is_crossed for patch in hat_patches(fine)) > 200
    assert "too fine" not in describe_hat_view(fine)


def test_a_hat_whose_crossings_are_finer_than_print_keeps_its_columns_and_says_so() -> None:
    finer = _planned("cable-3x3", 50, 30, head_mm=600)

    picture = draw_hat_view(finer, title="A hat")

    lines = [mark for mark in flat_marks(picture.marks) if mark.role == "column_edge"]
    assert sum(len(line.commands) for line in lines if isinstance(line, Path)) > 500
    assert "Its crossings are too fine to show here" in picture.description
    assert "Its crossings are too fine to show here" in " ".join(words(picture))


def test_a_hat_finer_than_print_is_drawn_without_its_columns_and_says_so() -> None:
    finest = _planned("cable-1x1", 71, 59, head_mm=430)

    picture = draw_hat_view(finest, title="A hat")

    assert not any(mark.role == "column_edge" for mark in flat_marks(picture.marks))
    assert "Its columns are too fine to show here" in " ".join(words(picture))


def _planned(fabric: str, stitches_per_10cm: float, rounds_per_10cm: float, *, head_mm: float) -> HatPlan:
    order = hat_order(
        head_mm=head_mm,
        fabric=fabric,
        stitches_per_10cm=stitches_per_10cm,
        rounds_per_10cm=rounds_per_10cm,
    )
    return plan_hat(order, TABLES)


@pytest.mark.parametrize("name", ["cable-3x3", "cable-and-twist", "down"])
def test_ground_lies_behind_both_bands_of_every_crossing(name: str) -> None:
    patches = hat_patches(planned(name))

    grounds = list(crossing_grounds(patches))

    bands = [patch for patch in patches if patch.is_crossed]
    assert len(grounds) == len(bands) / 2
    for ground, behind, over in zip(grounds, bands[::2], bands[1::2], strict=True):
        for band in (behind, over):
            assert ground.face == "back"
            assert ground.foot[0] <= band.foot[0] < band.foot[1] <= ground.foot[1]
            assert ground.top[0] <= band.top[0] < band.top[1] <= ground.top[1]
            assert (ground.low_mm, ground.high_mm) == (band.low_mm, band.high_mm)


@pytest.mark.parametrize("name", ["cable-2x2", "cuffed", "plain-sc", "down"])
def test_nothing_is_seen_through_the_cloth(name: str) -> None:
    picture = draw_hat_view(planned(name), title="A hat")

    sides = [groups(picture)[f"The hat from {seen}"] for seen in ("the side", "above")]

    for side in sides:
        under = next(mark for mark in side.marks if isinstance(mark, Path) and mark.role == "tone_8")
        assert len(points_of(under)) > 60


@pytest.mark.parametrize("name", ["cable-2x2", "slouch", "bulky"])
def test_the_outline_lies_about_everything_that_is_drawn_from_the_side(name: str) -> None:
    side = groups(draw_hat_view(planned(name), title="A hat"))["The hat from the side"]

    outline = max((points_of(mark) for mark in side.marks if _is_outline(mark)), key=len)

    drawn = [point for mark in side.marks for point in points_of(mark)]
    for axis in (0, 1):
        assert min(point[axis] for point in drawn) >= min(point[axis] for point in outline) - 0.05
        assert max(point[axis] for point in drawn) <= max(point[axis] for point in outline) + 0.05


def _is_outline(mark: Mark) -> bool:
    return isinstance(mark, Path) and mark.role == "outline"


def test_colours_that_are_not_shown_are_told() -> None:
    ground = Colouring(SectionColours(("rust",)))
    order = replace(hat_order(), colouring=ground, yarn=Yarn(weight_category=4))

    picture = draw_hat_view(plan_hat(order, TABLES), title="A hat")

    assert "Its colours are not shown." in picture.description
    assert "Its colours are not shown." in " ".join(words(picture))


@pytest.mark.parametrize("name", sorted(HATS))
def test_runs_are_reckoned_as_they_are_read(name: str) -> None:
    plan = planned(name)

    assert len(hat_patches(plan)) <= run_count(plan) + plan.rounds[-1].stitch_count


@pytest.mark.parametrize("name", ["bulky", "cable-2x2", "down", "cuffed"])
def test_both_views_are_drawn(name: str) -> None:
    said = words(draw_hat_view(planned(name), title="A hat"))

    assert "From the side" in said
    assert "From above" in said


def test_cables_are_counted_in_words() -> None:
    plan = planned("cable-2x2")

    picture = draw_hat_view(plan, title="A hat")

    assert f"{plan.counts.chosen.count.repeat_count} cables" in picture.description


@pytest.mark.parametrize(
    ("name", "words_of_it"),
    [
        ("plain-sc", "The worn hat, from the side and from above, with a plain surface."),
        ("cuffed", "The worn hat, its brim folded up, from the side and from above, with 17 cables "),
        ("post-rib-2x2", " columns narrowing into the crown."),
        ("down", " cables narrowing into the crown."),
        ("left", " cables narrowing into the crown."),
    ],
)
def test_the_view_says_what_it_shows(name: str, words_of_it: str) -> None:
    assert words_of_it in describe_hat_view(planned(name))


def test_a_headband_is_called_one() -> None:
    picture = draw_hat_view(headband(), title="A band")

    said = " ".join([picture.description, *words(picture), *groups(picture)])
    assert "headband" in picture.description
    assert " hat" not in said


def test_a_headband_is_open_above() -> None:
    picture = draw_hat_view(headband(), title="A band")

    assert "running all the way up" in picture.description


def test_the_marks_of_the_largest_view_stay_few() -> None:
    marks = list(flat_marks(draw_hat_view(planned("fine"), title="A hat").marks))

    assert len(marks) < 12_000
    assert all(math.isfinite(mark.size_mm) for mark in marks if hasattr(mark, "size_mm"))
