"""Heads at an age against WHO, UK90 and an independent package of the WHO tables."""

import pytest
from pygrowup.tables.by_day import hcfa

from service.domain.heads import head_at_age
from service.domain.tables import Sex
from service.reference.load import load_reference_tables
from tests.published.build_tables import read_raw

TABLES = load_reference_tables()

WHO_MONTHS = [row for row in read_raw("who_months.csv") if int(row["age_months"]) <= 36]
UK90_YEARS = [row for row in read_raw("uk90_years.csv") if int(row["age_years"]) >= 6]


def as_sex(text: str) -> Sex:
    return "female" if text == "female" else "male"


@pytest.mark.parametrize("row", WHO_MONTHS, ids=lambda row: f"{row['sex']} {row['age_months']}")
def test_a_head_up_to_36_months_is_the_whos(row: dict[str, str]) -> None:
    head = head_at_age(int(row["age_months"]), sex=as_sex(row["sex"]), tables=TABLES)

    # WHO Child Growth Standards (2007), median and M * S to half the last printed digit.
    assert head.circumference_mm / 10 == pytest.approx(float(row["m_cm"]), abs=5e-5)
    assert head.sd_mm / 10 == pytest.approx(float(row["m_cm"]) * float(row["s"]), abs=3e-4)


@pytest.mark.parametrize("row", UK90_YEARS, ids=lambda row: f"{row['sex']} {row['age_years']}")
def test_a_head_from_6_years_is_uk90s(row: dict[str, str]) -> None:
    head = head_at_age(12 * int(row["age_years"]), sex=as_sex(row["sex"]), tables=TABLES)

    # UK90, reanalysed 2009.
    assert head.circumference_mm / 10 == pytest.approx(float(row["m_cm"]), abs=5e-4)
    assert head.sd_mm / 10 == pytest.approx(float(row["m_cm"]) * float(row["s"]), abs=5e-4)


@pytest.mark.parametrize("sex", ["female", "male"])
def test_every_day_to_36_months_is_the_whos_to_a_third_of_a_millimetre(sex: Sex) -> None:
    worst_mm = max(
        abs(head_at_age(day / 30.4375, sex=sex, tables=TABLES).circumference_mm - 10 * float(row["m"]))
        for day, row in hcfa.DATA[sex].items()
        if day <= 1095
    )

    # The package prints the WHO's daily table; between its months the curve bends by 0.3 mm at most.
    assert worst_mm < 0.3


# WHO, months 12: third and 97th percentile from z = 1.8808, in centimetres, to half the last digit.
@pytest.mark.parametrize(("sex", "low_cm", "high_cm"), [("male", 43.65, 48.48), ("female", 42.34, 47.45)])
def test_the_spread_gives_the_published_percentiles(sex: Sex, low_cm: float, high_cm: float) -> None:
    head = head_at_age(12, sex=sex, tables=TABLES)

    assert (head.circumference_mm - 1.8808 * head.sd_mm) / 10 == pytest.approx(low_cm, abs=0.005)
    assert (head.circumference_mm + 1.8808 * head.sd_mm) / 10 == pytest.approx(high_cm, abs=0.005)


#: CDC 2000 (public domain): months, boys' and girls' median in centimetres.
CDC_2000 = ((12, 46.35, 45.04), (24, 48.66, 47.47), (36, 49.68, 48.63))


@pytest.mark.parametrize(("age_months", "boys_cm", "girls_cm"), CDC_2000)
def test_another_countrys_chart_is_within_half_a_centimetre(
    age_months: int, boys_cm: float, girls_cm: float
) -> None:
    boys = head_at_age(age_months, sex="male", tables=TABLES).circumference_mm / 10
    girls = head_at_age(age_months, sex="female", tables=TABLES).circumference_mm / 10

    assert (boys, girls) == pytest.approx((boys_cm, girls_cm), abs=0.5)
