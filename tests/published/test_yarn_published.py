"""Yarn against figures from outside: weighed and unravelled swatches, and Peirce's cotton yarns."""

from math import log, sqrt

import pytest

from service.domain.stitches import HEIGHT_RATIOS
from service.domain.yarn_estimates import estimate_yarn
from service.domain.yarn_orders import YarnOrder
from service.domain.yarn_tiers import TIERS
from service.domain.yarn_weights import stitch_weight
from service.domain.yarn_work import POST_AREA, StitchSize, work_from_counts
from service.domain.yarns import (
    CATEGORY_YARNS,
    FIBRES,
    Yarn,
    cloth_mass_g_per_m2,
    diameter_mm,
    yarn_diameter_mm,
)
from service.reference.load import load_reference_tables

MM_PER_INCH = 25.4

#: Inches of worsted unravelled from a square inch of 5 x 5 in swatches; practitioners, no source.
UNRAVELLED_IN_PER_SQUARE_IN = {"sc": 31.4, "hdc": 32.1, "dc": 31.6}


def test_half_double_crochet_over_single_is_as_weighed() -> None:
    weight = stitch_weight("hdc")

    # Interweave, "Yarn usage for knitting vs. crochet": 1.474 over 20 x 20 stitches each.
    assert abs(weight.sc_units - 1.474) <= weight.sd


def test_unravelled_squares_show_that_yarn_on_an_area_hardly_depends_on_the_stitch() -> None:
    by_model = {
        stitch: stitch_weight(stitch).sc_units / HEIGHT_RATIOS[stitch]  # type: ignore[index]
        for stitch in UNRAVELLED_IN_PER_SQUARE_IN
    }

    # By the model a square of hdc takes 1.036 and one of dc 0.925 of one of sc; unravelled 1.022 and 1.006.
    for stitch, inches in UNRAVELLED_IN_PER_SQUARE_IN.items():
        unravelled = inches / UNRAVELLED_IN_PER_SQUARE_IN["sc"]
        assert by_model[stitch] == pytest.approx(unravelled, rel=0.09)


@pytest.mark.parametrize("stitch", list(UNRAVELLED_IN_PER_SQUARE_IN))
def test_unravelled_squares_lie_within_the_interval_of_the_category(stitch: str) -> None:
    size = StitchSize(8.0, 7.2, "sc")
    square = work_from_counts({stitch: 100}, size)

    estimate = estimate_yarn(YarnOrder(yarn=Yarn(weight_category=4), work=(square,)))

    area_mm2 = square.cell_count * size.area_mm2
    unravelled_mm = UNRAVELLED_IN_PER_SQUARE_IN[stitch] / MM_PER_INCH * area_mm2
    assert estimate.length_m.low < unravelled_mm / 1000 < estimate.length_m.high
    # Well inside: within half a standard deviation.
    assert abs(log(unravelled_mm / 1000 / estimate.length_m.median)) < 0.5 * TIERS[4].log_sd


def test_a_unit_of_worsted_by_gauge_agrees_with_one_weighed() -> None:
    weighed_mm = 9.60 / 379.5 * 1e6 / 560

    by_gauge_mm = StitchSize(7.0, 6.3, "sc").unit_length_mm

    # The weighed swatch and the length rule stand independently; the rule claims 15 %.
    assert abs(log(by_gauge_mm / weighed_mm)) < TIERS[3].log_sd


@pytest.mark.parametrize("cotton_count", [10, 20, 40, 80])
def test_cotton_yarns_are_as_thick_as_peirce_says(cotton_count: int) -> None:
    # Peirce (1937): d = 1 / (28 sqrt(Ne)) inch, for cotton of 1.1 cm3/g; tex = 590.5 / Ne.
    peirce_mm = MM_PER_INCH / (28 * sqrt(cotton_count))

    diameter = diameter_mm(tex=590.5 / cotton_count, bulk_density_g_per_cm3=0.909)

    assert diameter == pytest.approx(peirce_mm, rel=0.005)


def test_cotton_of_29_5_tex_is_a_fifth_of_a_millimetre_thick() -> None:
    by_density = diameter_mm(tex=29.5, bulk_density_g_per_cm3=0.909)
    by_fibre = yarn_diameter_mm(Yarn(tex=29.5, fibre="cotton"))

    assert by_density == pytest.approx(0.203, abs=0.0005)
    assert by_fibre == pytest.approx(0.203, abs=0.0005)
    assert FIBRES["cotton"].bulk_density_g_per_cm3 == pytest.approx(0.909, abs=0.0005)


@pytest.mark.parametrize("row", load_reference_tables().yarn_weights, ids=lambda row: row.name)
def test_the_categories_are_those_of_the_published_table(row) -> None:
    category = CATEGORY_YARNS[row.weight_category]

    # An open range, "5 and fewer", stands at its closed end.
    low = row.stitches_per_10cm_low or row.stitches_per_10cm_high
    assert category.tex == row.tex
    assert category.sc_per_10cm == (low + row.stitches_per_10cm_high) / 2
    assert row.fabric_g_per_m2 == pytest.approx(cloth_mass_g_per_m2(row.tex), abs=0.6)


@pytest.mark.parametrize("row", load_reference_tables().stitches, ids=lambda row: row.code)
def test_the_weights_are_those_of_the_published_table(row) -> None:
    weight = stitch_weight(row.code)

    assert weight.sc_units == pytest.approx(row.sc_units, abs=5.1e-5)
    assert weight.sd == pytest.approx(row.sc_units_sd, abs=5.1e-5)


def test_a_post_stitch_is_as_small_as_the_published_priors_say() -> None:
    tables = load_reference_tables()

    area = tables.prior("post_width_ratio") * tables.prior("post_height_ratio")

    assert area == pytest.approx(POST_AREA)
