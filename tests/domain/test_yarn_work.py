"""The work that yarn goes into: examples worked by hand."""

import pytest

from service.domain.rounds import Round, Start
from service.domain.steps import Chain, Cross, IntoOne, Repeat, Skip, Together, Work
from service.domain.yarn_work import (
    Crossed,
    StitchSize,
    flattened_crossing,
    has_post_stitches,
    part_units,
    units_absent_from,
    work_from_counts,
    work_from_foundation,
    work_from_round,
    work_from_steps,
)

CABLE = StitchSize(stitch_width_mm=6.5, round_height_mm=11.0, stitch="dc")


def test_the_swatch_of_twenty_single_crochets_on_eighteen_rows_has_379_and_a_half_units() -> None:
    swatch = work_from_counts({"sc": 20 * 18, "ch": 21 + 18})

    units = part_units(swatch, {})

    assert units == 379.5


def test_the_hat_has_2877_and_a_half_units() -> None:
    # 18 rounds of 88, and a crown of 1252 stitches, 83 of them two worked together.
    straight = [work_from_steps([Work("sc", 88)], number=number) for number in range(1, 19)]
    crown = work_from_steps([Work("sc", 1252 - 83), Repeat(83, (Together(("sc", "sc")),))], number=19)

    units = sum(part_units(part, {}) for part in [*straight, crown])

    assert units == 2877.5


def test_a_joined_round_takes_its_starting_chain_and_its_slip_stitch_too() -> None:
    worked = work_from_steps([Work("sc", 10)], number=1, start=Start(1, False), is_joined=True)

    units = part_units(worked, {})

    assert units == pytest.approx(10 + 1.1)


def test_a_chain_that_counts_as_a_stitch_still_weighs_as_a_chain() -> None:
    worked = work_from_steps([Work("dc", 71)], number=1, start=Start(3, True), is_joined=False)

    units = part_units(worked, {})

    assert units == pytest.approx(71 * 1.85 + 1.5)


def test_an_increase_weighs_as_two_stitches() -> None:
    worked = work_from_steps([Repeat(6, (IntoOne(("dc", "dc")), Work("dc", 3)))], number=1)

    units = part_units(worked, {})

    assert units == pytest.approx(6 * 5 * 1.85)


def test_a_foundation_is_a_chain_closed_with_a_slip_stitch() -> None:
    foundation = work_from_foundation(80, CABLE)

    units = part_units(foundation, {})

    assert (foundation.number, foundation.cell_count) == (0, 0)
    assert units == pytest.approx(40.6)


def test_a_crossing_at_the_height_of_its_fabric_takes_more() -> None:
    worked = work_from_steps([Repeat(10, (Cross(2, "fpdc", "left"),))], number=3, size=CABLE)

    units = part_units(worked, {})

    # 40 stitches of 2.072 units; each 4 x (17.0294 - 11) = 24.1175 mm more,
    # and a unit is 7.5 x sqrt(6.5 x 5.5) = 44.8435 mm.
    assert units == pytest.approx(40 * (2.072 + 24.1175 / 44.8435), abs=1e-3)


def test_a_crossing_written_as_a_taller_stitch_takes_that_stitches_weight() -> None:
    worked = work_from_steps([Cross(2, "fptr", "left")], number=3, size=CABLE)

    units = part_units(worked, {})

    assert units == pytest.approx(4 * 2.6 * 1.12)


def test_the_widest_flat_crossing_is_found_and_one_over_one_is_none() -> None:
    wide = work_from_steps(
        [Cross(2, "fpdc", "left"), Cross(3, "fpdc", "right"), Cross(4, "fptr", "left")], number=1, size=CABLE
    )
    narrow = work_from_steps([Cross(1, "fpdc", "left")], number=1, size=CABLE)

    found = flattened_crossing([narrow, wide])

    assert found == Crossed(over=3, stitch="fpdc", stitch_count=6)
    assert flattened_crossing([narrow]) is None


def test_the_unit_length_comes_from_the_height_of_a_single_crochet_in_the_same_hands() -> None:
    single = StitchSize(stitch_width_mm=7.0, round_height_mm=6.3, stitch="sc")
    double = StitchSize(stitch_width_mm=7.0, round_height_mm=12.6, stitch="dc")

    lengths = single.unit_length_mm, double.unit_length_mm

    assert lengths[0] == pytest.approx(49.8, abs=0.05)
    assert lengths[0] == pytest.approx(lengths[1])


def test_a_round_covers_its_stitches_and_post_stitches_half_as_much_again() -> None:
    plain = work_from_steps([Work("dc", 60)], number=1, size=CABLE)
    rib = work_from_steps([Repeat(30, (Work("fpdc"), Work("bpdc")))], number=1, size=CABLE)

    cells = plain.cell_count, rib.cell_count

    assert cells == (60, 90)
    assert (has_post_stitches(plain), has_post_stitches(rib)) == (False, True)


def test_a_mesh_of_one_stitch_and_one_chain_has_the_texture_seven_tenths() -> None:
    mesh = work_from_steps([Repeat(30, (Work("dc"), Skip(1), Chain(1, 1)))], number=1, size=CABLE)

    cells = mesh.cell_count

    assert cells == pytest.approx(0.7 * 60)


def test_a_starting_chain_that_counts_covers_a_stitch() -> None:
    worked = work_from_steps([Work("dc", 71)], number=1, start=Start(3, True), size=CABLE)

    cells = worked.cell_count

    assert cells == 72


def test_two_worked_together_cover_one_stitch() -> None:
    worked = work_from_steps([Repeat(30, (Together(("dc", "dc")),))], number=1, size=CABLE)

    cells = worked.cell_count

    assert cells == 30


def test_counted_stitches_are_as_high_as_their_kind() -> None:
    work = work_from_counts({"dc": 10, "sc": 10, "ch": 50, "sl_st": 9}, CABLE)

    cells = work.cell_count

    assert cells == pytest.approx(10 + 10 / 2.0)


def test_without_a_size_a_post_stitch_is_narrower_and_lower_before_its_texture_counts() -> None:
    work = work_from_counts({"fpdc": 10})

    cells = work.cell_count

    assert cells == pytest.approx(10 * 2.0 * 0.85 * 0.75 * 1.5)


def test_a_round_of_a_hat_keeps_its_own_height() -> None:
    worked = Round(
        number=7,
        section="body",
        kind="plain",
        worked_into="previous_round",
        consumed_stitch_count=72,
        stitch_count=72,
        start=Start(2, False),
        steps=(Work("dc", 72),),
        join="sl_st",
        height_mm=12.6,
    )

    part = work_from_round(worked, stitch_width_mm=7.0, stitch="dc")

    assert (part.number, part.section) == (7, "body")
    assert part.size == StitchSize(7.0, 12.6, "dc")
    assert part_units(part, {}) == pytest.approx(72 * 1.85 + 1.0 + 0.6)


def test_yarn_in_codes_that_are_absent_is_told_apart() -> None:
    work = work_from_steps(
        [Work("dc", 10), Together(("dc", "dc")), Together(("bpdc", "fpdc")), Cross(1, "fpdc", "left")],
        number=1,
        size=CABLE,
    )

    absent = units_absent_from(["dc", "dc2tog", "ch"], [work], {})

    crossing = 2 * 4 * (163.25**0.5 - 11) / CABLE.unit_length_mm
    assert absent == pytest.approx(3.626 + 2 * 2.072 + crossing)
