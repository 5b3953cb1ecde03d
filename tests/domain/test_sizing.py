"""Finished sizes, reckoned by hand."""

from itertools import product
from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.domain.depths import Cover, crown_to_ear_mm, ear_offset_mm, fabric_depth_mm
from service.domain.errors import ChooseOne, NoRoomForHead
from service.domain.heads import head_at_age, head_of_size, measured_head
from service.domain.sizing import FinishedSize, Fit, SizeOrder, Style, finish_size
from service.reference.load import load_reference_tables

TABLES = load_reference_tables()


def sized(
    head_mm: float,
    *,
    fit: Fit | None = None,
    ease_mm: float | None = None,
    style: Style = "beanie",
    covers: Cover | None = None,
    depth_mm: float | None = None,
    cuff_mm: float | None = None,
    thickness_mm: float | None = 3,
) -> FinishedSize:
    order = SizeOrder(
        head=measured_head(head_mm, tables=TABLES),
        fit=fit,
        ease_mm=ease_mm,
        style=style,
        covers=covers,
        depth_mm=depth_mm,
        cuff_mm=cuff_mm,
        thickness_mm=thickness_mm,
    )
    return finish_size(order, TABLES)


# Newborn plain, woman in a cabled fabric, man in bulky single crochet; standard grip, to the last digit.
@pytest.mark.parametrize(
    ("head_mm", "thickness_mm", "finished_cm", "ease_percent"),
    [(342, 3, 32.4, -5.2), (560, 7, 53.7, -4.1), (590, 5, 55.9, -5.3)],
)
def test_a_hat_grips_its_head(
    head_mm: float, thickness_mm: float, finished_cm: float, ease_percent: float
) -> None:
    size = sized(head_mm, thickness_mm=thickness_mm)

    assert size.finished_circumference_mm / 10 == pytest.approx(finished_cm, abs=0.05)
    assert 100 * size.ease == pytest.approx(ease_percent, abs=0.05)
    assert size.grip == -0.08
    assert size.inner_circumference_mm == pytest.approx(0.92 * head_mm)


# Finished hats sold for these heads, inches: common practice, no source.
@pytest.mark.parametrize(("head_mm", "low_in", "high_in"), [(342, 12, 14), (560, 20, 22), (590, 22, 24)])
def test_a_hat_is_as_large_as_those_in_the_trade(head_mm: float, low_in: float, high_in: float) -> None:
    inches = sized(head_mm, thickness_mm=5).finished_circumference_mm / 25.4

    assert low_in <= round(inches, 1) <= high_in


@pytest.mark.parametrize(("fit", "grip"), [("close", -0.13), ("standard", -0.08), ("relaxed", -0.03)])
def test_a_fit_is_a_grip(fit: Fit, grip: float) -> None:
    assert sized(560, fit=fit).inner_circumference_mm == pytest.approx((1 + grip) * 560)


def test_seven_millimetres_of_fabric_cost_two_centimetres() -> None:
    size = sized(560, thickness_mm=7)

    assert size.finished_circumference_mm - size.inner_circumference_mm == pytest.approx(21.99, abs=0.005)


def test_an_ease_is_taken_as_it_stands() -> None:
    size = sized(560, ease_mm=-30, thickness_mm=7)

    assert size.finished_circumference_mm == 530
    assert size.ease_mm == -30
    assert size.grip == pytest.approx((530 - 7 * pi) / 560 - 1)


def test_the_heads_a_hat_fits_surround_its_own() -> None:
    size = sized(560)

    assert size.fits_head.low_mm == pytest.approx(0.92 * 560 / 0.945)
    assert size.fits_head.high_mm == pytest.approx(0.92 * 560 / 0.895)


# Heads of 570 mm, to half a millimetre: NIOSH regression and adult ear.
@pytest.mark.parametrize(
    ("covers", "expected"), [("top_of_ear", 144), ("mid_ear", 174), ("bottom_of_ear", 206)]
)
def test_an_adult_hat_reaches_the_ear(covers: Cover, expected: float) -> None:
    depth_mm = crown_to_ear_mm(570, tables=TABLES) + ear_offset_mm(570, covers=covers, tables=TABLES)

    assert depth_mm == pytest.approx(expected, abs=0.5)


def test_a_newborn_hat_reaches_below_the_ear() -> None:
    # 0.305 * 342 + 32 * 342 / 520 = 104.31 + 21.05; 4.5 to 5.5 in is common practice, no source.
    depth_mm = crown_to_ear_mm(342, tables=TABLES) + ear_offset_mm(342, covers="bottom_of_ear", tables=TABLES)

    assert depth_mm == pytest.approx(125, abs=0.5)
    assert 4.5 <= depth_mm / 25.4 <= 5.5


@pytest.mark.parametrize("head_mm", [480, 520])
def test_the_depth_does_not_jump_between_child_and_adult(head_mm: float) -> None:
    below, above = (crown_to_ear_mm(head_mm + step, tables=TABLES) for step in (-1e-6, 1e-6))

    assert above == pytest.approx(below, abs=1e-5)


def test_half_way_between_the_rules_both_count_alike() -> None:
    assert crown_to_ear_mm(500, tables=TABLES) == pytest.approx((0.305 * 500 + 59.6 + 0.2002 * 500) / 2)


def test_the_fabric_is_deeper_than_the_head() -> None:
    # 570 mm, grip -8 %, no thickness: dome 128.65, below it 77.06 * (1 + 0.4 * 0.086957) = 79.74.
    size = sized(570, thickness_mm=0)

    assert size.depth_mm == pytest.approx(128.649 + 77.065 * 1.0347826, abs=0.01)


def test_thickness_adds_a_quarter_circle_of_itself() -> None:
    thin, thick = (
        fabric_depth_mm(150, head_mm=600, body_mm=900, thickness_mm=t, tables=TABLES) for t in (0, 4)
    )

    assert thick - thin == pytest.approx(0.785 * 4, abs=0.002)


def test_a_wide_fabric_is_not_shortened() -> None:
    assert fabric_depth_mm(200, head_mm=500, body_mm=600, thickness_mm=0, tables=TABLES) == 200


def test_the_depth_has_a_range_of_two_deviations() -> None:
    size = sized(570)

    assert (size.depth_mm - size.depth_low_mm, size.depth_high_mm - size.depth_mm) == pytest.approx((13, 13))


def test_a_depth_is_taken_as_it_stands() -> None:
    assert sized(570, depth_mm=210).depth_mm == 210


def test_a_fold_adds_its_height_and_a_second_layer() -> None:
    plain, folded = sized(570), sized(570, style="cuffed", cuff_mm=50)

    assert folded.worn_depth_mm == pytest.approx(plain.depth_mm)
    assert folded.depth_mm == pytest.approx(plain.depth_mm + 50)
    assert folded.layer_count == 2
    assert folded.finished_circumference_mm == pytest.approx(0.92 * 570 + 2 * pi * 3)
    assert folded.body_circumference_mm == pytest.approx(plain.finished_circumference_mm)
    assert folded.inner_circumference_mm == pytest.approx(plain.inner_circumference_mm)


def test_a_fold_that_nobody_measured_is_assumed() -> None:
    folded = sized(570, style="cuffed")

    assert folded.cuff_mm == pytest.approx(45.6)
    assert "brim_height_ratio" in [assumption.name for assumption in folded.assumptions]


def test_a_slouch_is_deeper_and_wider_above_its_band() -> None:
    slouch = sized(570, style="slouch")

    assert slouch.finished_circumference_mm == pytest.approx(sized(570).finished_circumference_mm)
    assert slouch.body_circumference_mm == pytest.approx(1.15 * slouch.finished_circumference_mm)
    # A body wider than the head is not stretched, so it does not shorten.
    assert slouch.depth_mm == pytest.approx(59.6 + 0.2002 * 570 + 32 + 0.785398 * 3 + 50, abs=1e-3)


def test_a_headband_has_a_height_and_no_crown() -> None:
    band = sized(570, style="headband")

    assert band.depth_mm == pytest.approx(0.16 * 570)
    assert not band.has_crown
    assert "depth_child_rule" not in [notice.code for notice in sized(400, style="headband").notices]


def test_a_fit_and_an_ease_exclude_each_other() -> None:
    with pytest.raises(ChooseOne, match="fit and ease_cm"):
        sized(560, fit="close", ease_mm=0)


def test_a_cover_and_a_depth_exclude_each_other() -> None:
    with pytest.raises(ChooseOne, match="covers and depth_cm"):
        sized(560, covers="mid_ear", depth_mm=200)


@pytest.mark.parametrize(("ease_mm", "thickness_mm"), [(-199, 3), (-300, 3), (-60, 40)])
def test_a_hat_that_leaves_no_room_is_refused(ease_mm: float, thickness_mm: float) -> None:
    with pytest.raises(NoRoomForHead) as refusal:
        sized(200, ease_mm=ease_mm, thickness_mm=thickness_mm)

    assert refusal.value.inner_cm < refusal.value.head_cm / 2


def test_a_thickness_that_nobody_measured_is_assumed() -> None:
    order = SizeOrder(
        head=measured_head(590, tables=TABLES),
        fabric=TABLES.fabric_by_id["plain-sc"],
        yarn_diameter_mm=2.5,
    )

    size = finish_size(order, TABLES)

    assumed = {assumption.name: assumption.value for assumption in size.assumptions}
    assert size.thickness_mm == pytest.approx(5)
    assert assumed["fabric_thickness_mm"] == size.thickness_mm
    assert "thickness_assumed" in [notice.code for notice in size.notices]


def test_a_cabled_fabric_is_assumed_thick() -> None:
    order = SizeOrder(head=measured_head(560, tables=TABLES), fabric=TABLES.fabric_by_id["cable-4x4"])

    assert finish_size(order, TABLES).thickness_mm == 7


def test_a_measured_adult_head_with_a_measured_thickness_needs_few_notices() -> None:
    assert sized(570).notices == ()


@pytest.mark.parametrize(("head_mm", "expected"), [(519, True), (520, False)])
def test_a_childs_depth_says_so(head_mm: float, expected: bool) -> None:
    assert ("depth_child_rule" in [notice.code for notice in sized(head_mm).notices]) is expected
    assert "depth_child_rule" not in [n.code for n in sized(head_mm, depth_mm=150).notices]


def test_a_hat_for_an_age_says_when_it_is_outgrown() -> None:
    order = SizeOrder(head=head_at_age(12, sex="male", tables=TABLES))

    assert finish_size(order, TABLES).outgrown_at_age_months == 28
    assert sized(460).outgrown_at_age_months is None


def test_a_size_row_is_named_among_the_assumptions() -> None:
    size = finish_size(SizeOrder(head=head_of_size("adult-m", tables=TABLES)), TABLES)

    assert size.assumptions[0].name == "head_circumference_mm"
    assert size.hat_size.us == "7 1/8"


def test_the_working_ends_in_the_figures_of_the_size() -> None:
    size = sized(570, style="cuffed", cuff_mm=40)

    working = {line.name: line.value for line in size.working}
    assert working["finished_circumference_mm"] == size.finished_circumference_mm
    assert working["inner_circumference_mm"] == size.inner_circumference_mm
    assert working["fabric_depth_mm"] == size.depth_mm


STYLES: tuple[Style, ...] = ("beanie", "cuffed", "slouch", "headband")
COVERS: tuple[Cover, ...] = ("top_of_ear", "mid_ear", "bottom_of_ear")


@pytest.mark.parametrize(("style", "covers"), list(product(STYLES, COVERS)))
@given(head_mm=st.floats(200, 749), more_mm=st.floats(0.01, 100), thickness_mm=st.floats(0, 10))
def test_a_bigger_head_never_gets_a_smaller_hat(
    style: Style, covers: Cover, head_mm: float, more_mm: float, thickness_mm: float
) -> None:
    small = sized(head_mm, style=style, covers=covers, thickness_mm=thickness_mm)
    large = sized(min(750, head_mm + more_mm), style=style, covers=covers, thickness_mm=thickness_mm)

    assert large.finished_circumference_mm > small.finished_circumference_mm
    assert large.depth_mm >= small.depth_mm - 1e-9


@given(head_mm=st.floats(200, 750), ease_mm=st.floats(-80, 200), thickness_mm=st.floats(0, 10))
def test_ease_and_grip_say_the_same(head_mm: float, ease_mm: float, thickness_mm: float) -> None:
    size = sized(head_mm, ease_mm=ease_mm, thickness_mm=thickness_mm)

    # A hat that grips as the ease says is the hat the ease says.
    assert head_mm * (1 + size.grip) + pi * thickness_mm == pytest.approx(head_mm + ease_mm)
    assert size.fits_head.low_mm < head_mm < size.fits_head.high_mm
    assert size.target.low_mm < size.inner_circumference_mm < size.target.high_mm


@given(head_mm=st.floats(200, 750), thickness_mm=st.floats(0, 10))
def test_covering_more_of_the_ear_takes_more_depth(head_mm: float, thickness_mm: float) -> None:
    depths = [sized(head_mm, covers=covers, thickness_mm=thickness_mm).depth_mm for covers in COVERS]

    assert depths == sorted(depths)
