"""The reference tables against the publications they are taken from."""

import csv
import re
from hashlib import sha256
from math import erf, sqrt

import pytest
from pygrowup.tables.by_day import hcfa

from service.domain.stitches import HEIGHT_RATIOS, TURNING_CHAINS, read_stitch
from service.domain.tables import HeadSize, StitchRow
from service.domain.yarn_weights import stitch_weight
from service.reference.load import load_reference_tables
from tests.published.build_tables import BUILT_TABLES, RAW, REFERENCE, read_raw

CHECKSUMS = {
    "fabrics.csv": "cc7ef7bb93e883d82c049fc8d56d98429b843ab8cb31f92aa1715f304d0133b4",
    "growth.csv": "486b522b287db70fe9ff024154241036f717ddcb213a7d397eab8a5c73a484d5",
    "head_sizes.csv": "6c981ae0b7882afb116c09271f90dd903391855f1248e67ca04147bc875795df",
    "head_surveys.csv": "efc10dc345e24f818bfbf45f7ffbef76c88d2925327e7d4622683472e2cffcf8",
    "hook_sizes.csv": "159952e29f5b9f2856ec506f85c9064bb248af51e04520d26feab402549450e5",
    "priors.csv": "4471ac34a27cc9575860075dc875fd1f84a12356c3c2d6aa5310fcac2a5f22a7",
    "stitches.csv": "80d80ac456a3d194b2e6f811b4681fb17ee9940beff7d412032255fe2ca0e8d8",
    "yarn_weights.csv": "93f892274f8f89e70f06f568838a83b36c882e7a8d6432508952d06be23ec30c",
}

TABLES = load_reference_tables()

#: Head-size rows in centimetres: WHO to 36 months and UK90 beyond, mean of both sexes; ANSUR II percentiles.
HEADS_CM = {
    "preterm-28-weeks": 26.5,
    "preterm-32-weeks": 29.9,
    "preterm-36-weeks": 32.6,
    "newborn": 34.2,
    "1-month": 36.9,
    "3-months": 40.0,
    "6-months": 42.8,
    "12-months": 45.5,
    "24-months": 47.7,
    "36-months": 49.0,
    "6-years": 52.7,
    "10-years": 54.1,
    "14-years": 55.4,
    "adult-xs": 54.0,
    "adult-s": 55.7,
    "adult-m": 57.0,
    "adult-l": 58.2,
    "adult-xl": 60.0,
    "adult-xxl": 61.4,
}


@pytest.mark.parametrize("name", sorted(path.name for path in REFERENCE.glob("*.csv")))
def test_a_table_is_the_one_that_was_checked(name: str) -> None:
    assert sha256((REFERENCE / name).read_bytes()).hexdigest() == CHECKSUMS[name]


@pytest.mark.parametrize("name", sorted(BUILT_TABLES))
def test_a_built_table_follows_from_its_excerpt(name: str) -> None:
    assert (REFERENCE / name).read_text() == BUILT_TABLES[name]()


@pytest.mark.parametrize("name", sorted(CHECKSUMS))
def test_every_row_names_its_source(name: str) -> None:
    with (REFERENCE / name).open(newline="") as file:
        sources = [row["source"] for row in csv.DictReader(file)]

    assert all(len(source) > 10 for source in sources)


def test_the_readme_describes_every_table() -> None:
    text = (REFERENCE / "README.md").read_text()

    assert all(f"`{name}`" in text for name in CHECKSUMS)


def test_the_sizes_are_the_published_heads() -> None:
    assert {row.size_id: row.mean_mm / 10 for row in TABLES.head_sizes} == HEADS_CM


def test_no_size_is_smaller_than_the_one_before() -> None:
    children = [row.mean_mm for row in TABLES.head_sizes if not row.size_id.startswith("adult")]
    adults = [row.mean_mm for row in TABLES.head_sizes if row.size_id.startswith("adult")]

    assert children == sorted(children)
    assert adults == sorted(adults)


@pytest.mark.parametrize("row", [row for row in TABLES.head_sizes if (row.age_months or 0) > 0])
def test_a_size_of_an_age_is_the_mean_of_both_sexes(row: HeadSize) -> None:
    points = [p for curve in TABLES.growth_curves.values() for p in curve if p.age_months == row.age_months]

    mean_mm = sum(point.mean_mm for point in points) / 2

    assert len(points) == 2
    # Half the last printed digit of the row, in millimetres.
    assert row.mean_mm == pytest.approx(mean_mm, abs=0.5)


@pytest.mark.parametrize("sex", ["female", "male"])
def test_who_months_agree_with_the_daily_table_of_an_independent_package(sex: str) -> None:
    points = [p for p in TABLES.growth_points if p.reference == "WHO" and p.sex == sex]

    for point in points:
        day, share = divmod(point.age_months * 30.4375, 1)
        near, far = hcfa.DATA[sex][int(day)], hcfa.DATA[sex][min(int(day) + 1, 1856)]
        mean_mm = 10 * ((1 - share) * float(near["m"]) + share * float(far["m"]))
        spread = (1 - share) * float(near["s"]) + share * float(far["s"])
        # The package prints 0.001 mm; between two days the curve bends by less than 0.003 mm.
        assert point.mean_mm == pytest.approx(mean_mm, abs=0.003)
        assert point.sd_mm == pytest.approx(mean_mm * spread, abs=0.01)


#: UK90 medians in centimetres at 4, 6, 8, 10, 12, 14 and 16 years, then 18 years (girls 17).
UK90_BOYS = (52.22, 53.17, 53.87, 54.48, 55.13, 55.86, 56.59, 57.26)
UK90_GIRLS = (51.10, 52.17, 53.01, 53.74, 54.36, 54.87, 55.32, 55.52)


@pytest.mark.parametrize(("sex", "medians_cm"), [("male", UK90_BOYS), ("female", UK90_GIRLS)])
def test_uk90_medians_are_the_published_ones(sex: str, medians_cm: tuple[float, ...]) -> None:
    years = (4, 6, 8, 10, 12, 14, 16, 18 if sex == "male" else 17)
    points = {p.age_months: p.mean_mm for p in TABLES.growth_points if p.reference == "UK90" and p.sex == sex}

    for year, median_cm in zip(years, medians_cm, strict=True):
        assert points[12 * year] / 10 == pytest.approx(median_cm, abs=0.00501)


#: UK90 by weeks of gestation, boys and girls, in centimetres.
UK90_PRETERM = {28: (26.74, 26.32), 32: (30.05, 29.82), 36: (32.75, 32.45), 40: (34.91, 34.13)}


@pytest.mark.parametrize(("weeks", "pair"), UK90_PRETERM.items())
def test_uk90_preterm_medians_are_the_published_ones(weeks: int, pair: tuple[float, float]) -> None:
    rows = {row["sex"]: float(row["m_cm"]) for row in read_raw("uk90_preterm_weeks.csv")
            if int(row["gestation_weeks"]) == weeks}  # fmt: skip

    assert (rows["male"], rows["female"]) == pytest.approx(pair, abs=0.00501)


#: ANSUR II 2012, men and women pooled: percentile and millimetres.
ANSUR_POOLED = ((1, 527), (5, 540), (25, 557), (50, 570), (75, 582), (95, 600), (99, 614))


@pytest.mark.parametrize(("percentile", "head_mm"), ANSUR_POOLED)
def test_the_pooled_percentiles_follow_from_men_and_women(percentile: int, head_mm: float) -> None:
    surveys = [row for row in TABLES.head_surveys if row.survey_id.startswith("ansur")]
    total = sum(row.head_count or 0 for row in surveys)

    def share_below(mm: float) -> float:
        return sum(
            (row.head_count or 0) / total * (1 + erf((mm - row.mean_mm) / row.sd_mm / sqrt(2))) / 2
            for row in surveys
        )

    # Heads are not quite normal: the percentiles lie within 4 mm of the mixture of two normal curves.
    assert share_below(head_mm - 4) < percentile / 100 < share_below(head_mm + 4)


#: Craft Yarn Council: category, stitches per 4 in, hook in millimetres.
CYC_WEIGHTS = {
    0: (32, 42, 1.4, 2.25),
    1: (21, 32, 2.25, 3.5),
    2: (16, 20, 3.5, 4.5),
    3: (12, 17, 4.5, 5.5),
    4: (11, 14, 5.5, 6.5),
    5: (8, 11, 6.5, 9.0),
    6: (6, 9, 9.0, 16.0),
    7: (None, 5, 16.0, None),
}


@pytest.mark.parametrize("category", CYC_WEIGHTS)
def test_yarn_weights_are_the_councils(category: int) -> None:
    row = TABLES.yarn_weight_by_category[category]

    assert CYC_WEIGHTS[category] == (
        row.stitches_per_10cm_low,
        row.stitches_per_10cm_high,
        row.hook_mm_low,
        row.hook_mm_high,
    )


def test_the_mass_of_plain_fabric_goes_with_the_root_of_tex() -> None:
    for row in TABLES.yarn_weights:
        assert row.fabric_g_per_m2 == pytest.approx(28 * sqrt(row.tex), rel=0.002)


def test_hooks_stand_once_each_in_order() -> None:
    sizes = [row.diameter_mm for row in TABLES.hook_sizes]

    assert sizes == sorted(set(sizes))
    assert {row.us: row.diameter_mm for row in TABLES.hook_sizes}["H-8"] == 5.0


@pytest.mark.parametrize("row", TABLES.stitches[3:], ids=lambda row: row.code)
def test_a_stitch_row_says_what_its_code_says(row: StitchRow) -> None:
    stitch = read_stitch(row.code)

    assert (row.consumed_stitch_count, row.made_stitch_count) == (stitch.leg_count, 1)
    assert row.turning_chain_count == TURNING_CHAINS[stitch.base]
    height = HEIGHT_RATIOS[stitch.base] * (0.75 if stitch.manner in {"fp", "bp"} else 1)
    assert row.relative_height == pytest.approx(height)


@pytest.mark.parametrize("row", TABLES.stitches, ids=lambda row: row.code)
def test_the_yarn_of_a_stitch_row_is_what_estimates_use(row: StitchRow) -> None:
    weight = stitch_weight(row.code)

    assert row.sc_units == pytest.approx(weight.sc_units, abs=5e-5)
    assert row.sc_units_sd == pytest.approx(weight.sd, abs=5e-5)


def test_uk_names_stand_one_rung_down_the_ladder() -> None:
    row = TABLES.stitch_by_code

    assert [row[code].uk_abbreviation for code in ("sl_st", "sc", "hdc", "dc", "tr", "dtr")] == (
        ["ss", "dc", "htr", "tr", "dtr", "trtr"]
    )
    assert row["fpdc"].uk_abbreviation == "FPtr"
    assert row["dc2tog"].uk_abbreviation == "tr2tog"
    assert not any(re.search(r"(?<![a-z])h?sc", r.uk_abbreviation) for r in TABLES.stitches)


#: Fabric id, stitch multiple, vertical repeat.
FABRICS = (
    ("plain-sc", 1, 1),
    ("plain-hdc", 1, 1),
    ("plain-dc", 1, 1),
    ("post-rib-1x1", 2, 1),
    ("post-rib-2x2", 4, 1),
    ("cable-1x1", 4, 2),
    ("cable-2x2", 6, 4),
    ("cable-3x3", 8, 4),
    ("cable-4x4", 10, 4),
    ("basket-weave-4x4", 8, 8),
)


@pytest.mark.parametrize(("fabric_id", "multiple", "vertical"), FABRICS)
def test_a_fabric_has_its_repeats(fabric_id: str, multiple: int, vertical: int) -> None:
    fabric = TABLES.fabric_by_id[fabric_id]

    assert (fabric.stitch_multiple, fabric.round_repeat_count) == (multiple, vertical)


def test_a_cable_stands_on_a_ground_of_two_back_post_stitches() -> None:
    for row in TABLES.fabrics:
        if row.fabric.is_crossed:
            assert (row.fabric.columns[0].face, row.fabric.columns[0].width) == ("back", 2)


def test_a_crossing_leaves_a_straight_round_in_each_repeat() -> None:
    for row in TABLES.fabrics:
        for column in row.fabric.columns:
            assert column.crossing is None or column.crossing.round_in_repeat < row.fabric.round_repeat_count


def test_one_fabric_has_two_different_crossed_columns() -> None:
    widths = {row.fabric_id: {c.width for c in row.fabric.columns if c.is_crossed} for row in TABLES.fabrics}

    assert any(len(crossed) > 1 for crossed in widths.values())


def test_ids_are_unique_in_every_table() -> None:
    tables = TABLES

    assert len(tables.fabric_by_id) == len(tables.fabrics)
    assert len(tables.prior_by_name) == len(tables.priors)
    assert len(tables.stitch_by_code) == len(tables.stitches)
    assert len(tables.head_size_by_id) == len(tables.head_sizes)


def test_the_excerpts_are_kept() -> None:
    assert {path.name for path in RAW.glob("*.csv")} >= {"who_months.csv", "who_days.csv", "uk90_years.csv"}
