"""A yarn as numbers: examples worked by hand, and what is refused."""

import pytest

from service.domain.errors import YarnUnderdetermined
from service.domain.yarns import (
    CATEGORY_YARNS,
    FIBRES,
    Yarn,
    cloth_mass_g_per_m2,
    diameter_mm,
    fibre_notices,
    yarn_diameter_mm,
    yarn_tex,
)


def test_a_stated_tex_beats_the_ball_and_the_ball_beats_the_category() -> None:
    stated = yarn_tex(Yarn(tex=560, ball_mass_g=50, ball_length_m=90, weight_category=4))
    by_ball = yarn_tex(Yarn(ball_mass_g=50, ball_length_m=90, weight_category=4))
    by_category = yarn_tex(Yarn(weight_category=4))

    assert (stated.strand_tex, stated.basis) == (560, "tex")
    assert by_ball.basis == "ball"
    assert by_ball.strand_tex == pytest.approx(555.5556, abs=1e-4)
    assert (by_category.strand_tex, by_category.basis) == (590, "category")


def test_only_a_tex_from_the_category_is_an_assumption() -> None:
    guessed = yarn_tex(Yarn(weight_category=4)).assumptions
    known = yarn_tex(Yarn(tex=560, weight_category=4)).assumptions

    assert [(line.name, line.value) for line in guessed] == [("tex", 590)]
    assert known == ()


def test_strands_held_together_add_up() -> None:
    tex = yarn_tex(Yarn(tex=250, strand_count=3))

    assert (tex.strand_tex, tex.held_tex) == (250, 750)


@pytest.mark.parametrize(("ball_length_m", "is_told"), [(100, False), (114, False), (116, True), (86, True)])
def test_statements_that_differ_by_more_than_15_percent_are_told(ball_length_m: float, is_told: bool) -> None:
    # 500 tex stated; 50 g on 100, 114, 116 and 86 m are 500, 439, 431 and 581 tex.
    tex = yarn_tex(Yarn(tex=500, ball_mass_g=50, ball_length_m=ball_length_m))

    assert [notice.code for notice in tex.notices] == (["yarn_figures_disagree"] if is_told else [])


def test_a_category_that_contradicts_the_ball_is_told_with_both_figures() -> None:
    tex = yarn_tex(Yarn(ball_mass_g=50, ball_length_m=125, weight_category=5))

    (notice,) = tex.notices
    assert notice.values == {"basis": "ball", "tex": 400, "other_basis": "category", "other_tex": 950}


@pytest.mark.parametrize("yarn", [Yarn(), Yarn(ball_mass_g=50), Yarn(ball_length_m=125), Yarn(fibre="wool")])
def test_a_yarn_of_unknown_mass_to_the_metre_is_refused(yarn: Yarn) -> None:
    with pytest.raises(YarnUnderdetermined, match=r"yarn\.tex, yarn\.ball, yarn\.weight_category"):
        yarn_tex(yarn)


def test_wool_of_560_tex_is_one_and_a_half_millimetres_thick() -> None:
    diameter = yarn_diameter_mm(Yarn(tex=560, fibre="wool"))

    assert diameter == pytest.approx(1.48, abs=0.005)


def test_four_strands_are_twice_as_thick_as_one() -> None:
    one, four = yarn_diameter_mm(Yarn(tex=100)), yarn_diameter_mm(Yarn(tex=100, strand_count=4))

    assert four == pytest.approx(2 * one)


def test_a_yarn_without_a_fibre_counts_as_wool() -> None:
    bare, wool = yarn_diameter_mm(Yarn(tex=560)), yarn_diameter_mm(Yarn(tex=560, fibre="wool"))

    assert bare == wool


def test_a_denser_yarn_is_thinner() -> None:
    cotton = FIBRES["cotton"].bulk_density_g_per_cm3

    assert diameter_mm(tex=560, bulk_density_g_per_cm3=cotton) < yarn_diameter_mm(Yarn(tex=560))


@pytest.mark.parametrize(
    ("category", "tex", "mass_g"),
    [(1, 230, 425), (2, 330, 509), (3, 435, 584), (4, 590, 680), (5, 950, 863), (6, 1700, 1154)],
)
def test_a_category_stands_for_a_tex_and_a_mass_of_cloth(category: int, tex: int, mass_g: int) -> None:
    yarn = CATEGORY_YARNS[category]

    assert yarn.tex == tex
    # 28 x sqrt(1700) is 1154.47
    assert cloth_mass_g_per_m2(yarn.tex) == pytest.approx(mass_g, abs=0.5)


@pytest.mark.parametrize(
    ("yarn", "codes"),
    [
        (Yarn(fibre="wool"), ["fibre"]),
        (Yarn(fibre="wool", fibre_diameter_um=22), []),
        (Yarn(fibre="merino"), []),
        (Yarn(fibre="alpaca", fibre_diameter_um=28), ["fibre"]),
        (Yarn(fibre="alpaca", fibre_diameter_um=27.9), []),
        (Yarn(), []),
    ],
)
def test_coarse_fibre_and_wool_of_unknown_fineness_are_cautioned(yarn: Yarn, codes: list[str]) -> None:
    notices = fibre_notices(yarn)

    assert [notice.code for notice in notices] == codes
