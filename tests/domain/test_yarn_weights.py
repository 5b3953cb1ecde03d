"""Yarn of a stitch in sc units: examples worked by hand."""

import pytest

from service.domain.yarn_weights import (
    crossing_extra_mm,
    crossing_factor,
    stitch_weight,
    tally_code,
    tally_units,
    together_factor,
    weight_assumptions,
)


@pytest.mark.parametrize(
    ("code", "units", "sd"),
    [
        ("ch", 0.50, 0.05),
        ("sl_st", 0.60, 0.10),
        ("rev_sc", 1.15, 0.15),
        ("sc", 1.00, 0.0),
        ("hdc", 1.45, 0.06),
        ("dc", 1.85, 0.15),
        ("tr", 2.60, 0.30),
        ("dtr", 3.30, 0.40),
    ],
)
def test_a_basic_stitch_weighs_what_the_table_says(code: str, units: float, sd: float) -> None:
    weight = stitch_weight(code)

    assert (weight.sc_units, weight.sd) == (units, sd)


@pytest.mark.parametrize(
    ("code", "units"),
    [
        ("sc2tog", 1.50),
        ("hdc2tog", 2.42),
        ("dc2tog", 3.24),
        ("dc3tog", 4.63),
        ("tr2tog", 4.77),
        ("fpdc2tog", 3.63),
    ],
)
def test_stitches_worked_together_share_their_last_loop(code: str, units: float) -> None:
    weight = stitch_weight(code).sc_units

    # Half the last printed digit, with dc3tog = 4.625 on the border.
    assert weight == pytest.approx(units, abs=0.005 + 1e-9)


def test_two_together_of_eight_loops_are_fifteen_eighths() -> None:
    factor = together_factor(base="dtr", leg_count=2)

    assert factor == 15 / 8


def test_a_post_stitch_takes_an_eighth_more_and_its_deviations_add_in_quadrature() -> None:
    weight = stitch_weight("fpdc")

    # 1.85 x 1.12; sqrt((0.15 x 1.12)^2 + (1.85 x 0.06)^2)
    assert weight.sc_units == pytest.approx(2.072)
    assert weight.sd == pytest.approx(0.201358, abs=1e-6)


@pytest.mark.parametrize("manner", ["fl", "bl"])
def test_a_stitch_into_one_loop_takes_no_more(manner: str) -> None:
    weight = stitch_weight(f"{manner}hdc")

    assert weight.sc_units == 1.45


def test_legs_of_one_kind_weigh_what_their_code_weighs() -> None:
    legs = tally_units(("fpdc", "fpdc", "fpdc"), {})

    assert legs == pytest.approx(tally_units("fpdc3tog", {}))


def test_a_front_and_a_back_post_leg_weigh_like_two_front_post_legs() -> None:
    legs = tally_units(("bpdc", "fpdc"), {})

    assert legs == pytest.approx(3.626)


def test_legs_of_different_height_give_all_but_their_last_loops_and_one_mean_last_loop() -> None:
    legs = tally_units(("sc", "dc"), {})

    # 1 x 1/2 + 1.85 x 3/4 + (1/2 + 1.85/4) / 2
    assert legs == pytest.approx(0.5 + 1.3875 + 0.48125)


def test_a_measured_weight_wins_over_the_published_one() -> None:
    units = tally_units("dc", {"dc": 2.0})

    assert units == 2.0


@pytest.mark.parametrize(
    ("tally", "measured", "units"),
    [
        ("fpdc", {"dc": 2.0}, 2.24),
        ("dc2tog", {"dc": 2.0}, 3.5),
        (("dc", "dc"), {"dc": 2.0}, 3.5),
        (("dc", "dc"), {"dc2tog": 3.0}, 3.0),
        ("fpdc2tog", {"fpdc": 2.0}, 3.5),
        ("fpdc2tog", {"dc2tog": 3.7}, 1.12 * 3.7),
        (("bpdc", "fpdc"), {"dc2tog": 3.7}, 1.12 * 3.7),
        ("fpdc2tog", {"fpdc2tog": 4.0, "dc": 9.0}, 4.0),
        ("rev_sc", {"sc": 2.0}, 1.15),
        ("hdc", {"dc": 2.0}, 1.45),
    ],
)
def test_a_measured_weight_carries_over_to_what_derives_from_it(
    tally: str | tuple[str, ...], measured: dict[str, float], units: float
) -> None:
    weight = tally_units(tally, measured)

    assert weight == pytest.approx(units)


@pytest.mark.parametrize(
    ("tally", "code"),
    [
        ("fpdc", "fpdc"),
        (("sc", "sc"), "sc2tog"),
        (("fptr",) * 3, "fptr3tog"),
        (("sc",), "sc"),
        (("bpdc", "fpdc"), None),
    ],
)
def test_only_legs_of_one_kind_have_a_code(tally: str | tuple[str, ...], code: str | None) -> None:
    found = tally_code(tally)

    assert found == code


@pytest.mark.parametrize(("over", "factor"), [(1, 1.076), (2, 1.258), (3, 1.487)])
def test_a_crossing_at_unchanged_height_takes_more_the_further_it_reaches(over: int, factor: float) -> None:
    grown = crossing_factor(over=over, stitch_width_mm=6.5, round_height_mm=11, stitch_length_mm=93.5)

    assert grown == pytest.approx(factor, abs=0.0005)


def test_a_crossing_over_nothing_takes_no_more() -> None:
    extra = crossing_extra_mm(over=0, stitch_width_mm=6.5, round_height_mm=11)

    assert extra == 0


def test_every_published_weight_that_is_used_is_named() -> None:
    lines = weight_assumptions(["sc", "fpdc", "dc", "ch"], {"dc": 2.0})

    assert [(line.name, line.value, line.unit) for line in lines] == [
        ("stitch_weight_ch", 0.5, "sc_unit"),
        ("stitch_weight_fpdc", pytest.approx(2.24), "sc_unit"),
    ]


@pytest.mark.parametrize("code", ["", "xdc", "dc9tog", "dc1tog", "fpch", "DC", "sc\n"])
def test_what_is_no_stitch_is_refused(code: str) -> None:
    with pytest.raises(ValueError, match="no basic stitch"):
        stitch_weight(code)
