"""The hat as a body: the cloth covers it once, and narrows as the steps say."""

import math

import pytest
from hypothesis import assume, given, settings

from service.domain.errors import PatternMathError
from service.domain.hat_orders import HatOrder
from service.domain.hats import plan_hat
from service.drawings.hat_levels import section_spans
from service.drawings.hat_patches import hat_patches, round_patches, run_count
from service.drawings.hat_views import describe_hat_view, draw_hat_view
from service.drawings.pictures import flat_marks
from tests.drawings.hats import HATS, groups, headband, planned, words
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


def test_a_finely_worked_hat_keeps_its_columns() -> None:
    fine = hat_order(head_mm=600, fabric="cable-3x3", stitches_per_10cm=50, rounds_per_10cm=30)

    drawn = list(flat_marks(draw_hat_view(plan_hat(fine, TABLES), title="A hat").marks))

    assert sum(mark.role == "column_edge" for mark in drawn) > 500
    assert len(drawn) < 9_000


def test_a_hat_finer_than_print_is_drawn_without_its_columns() -> None:
    finest = hat_order(head_mm=430, fabric="cable-1x1", stitches_per_10cm=71, rounds_per_10cm=59)

    drawn = flat_marks(draw_hat_view(plan_hat(finest, TABLES), title="A hat").marks)

    assert not any(mark.role == "column_edge" for mark in drawn)


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
