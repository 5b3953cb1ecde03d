"""Heads by tape, size and age, reckoned by hand."""

from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.domain.heads import (
    Head,
    child_cautions,
    head_assumptions,
    head_at_age,
    head_of_size,
    measured_head,
    outgrown_at_age_months,
)
from service.domain.tables import Sex
from service.reference.load import load_reference_tables

TABLES = load_reference_tables()

sexes: st.SearchStrategy[Sex | None] = st.sampled_from(["female", "male", None])


def codes(head: Head) -> list[str]:
    return [notice.code for notice in child_cautions(head)]


def test_a_tape_is_good_to_seven_in_a_thousand() -> None:
    head = measured_head(560, tables=TABLES)

    assert head.error == pytest.approx(0.007)
    assert head_assumptions(head) == ()


def test_a_size_stands_for_its_row() -> None:
    head = head_of_size("newborn", tables=TABLES)

    assert (head.circumference_mm, head.sd_mm) == (342, 12.6)
    assert head.source.startswith("WHO")
    assert [assumption.name for assumption in head_assumptions(head)] == ["head_circumference_mm"]


def test_an_unknown_size_is_refused() -> None:
    with pytest.raises(KeyError):
        head_of_size("giant", tables=TABLES)


def test_an_age_between_two_months_lies_between_their_heads() -> None:
    # UK90 boys: 53.168 cm at 72 months, 53.534 cm at 84.
    assert head_at_age(78, sex="male", tables=TABLES).circumference_mm == pytest.approx(533.51)


def test_who_passes_into_uk90_in_a_straight_line() -> None:
    # WHO boys 494.612 mm at 36 months, UK90 boys 531.68 mm at 72.
    head = head_at_age(54, sex="male", tables=TABLES)

    assert head.circumference_mm == pytest.approx((494.612 + 531.68) / 2)
    assert head.source.startswith("straight line from WHO")


def test_without_a_sex_both_count_alike() -> None:
    # 33.8787 and 34.4618 cm; sd 1.18440 and 1.27026 cm.
    head = head_at_age(0, sex=None, tables=TABLES)

    assert head.circumference_mm == pytest.approx(341.7025, abs=1e-3)
    assert head.sd_mm == pytest.approx(sqrt((11.844**2 + 12.7026**2) / 2 + 2.9155**2), abs=1e-2)
    assert head.source.endswith("mean of both sexes")


def test_girls_are_held_from_17_years() -> None:
    assert head_at_age(216, sex="female", tables=TABLES).circumference_mm == pytest.approx(555.2)


@pytest.mark.parametrize("age_months", [-0.1, 216.1])
def test_an_age_without_a_reference_is_refused(age_months: float) -> None:
    with pytest.raises(ValueError, match="no reference"):
        head_at_age(age_months, sex=None, tables=TABLES)


def test_a_standard_hat_for_a_boy_of_one_is_outgrown_at_28_months() -> None:
    # 0.92 / 0.87 * 460.661 = 487.14 mm; boys have 486.15 mm at 27 months and 487.26 mm at 28.
    month = outgrown_at_age_months(inner_mm=0.92 * 460.661, age_months=12, sex="male", tables=TABLES)

    assert month == 28


def test_a_close_hat_is_outgrown_the_next_month() -> None:
    assert outgrown_at_age_months(inner_mm=0.87 * 460.661, age_months=12, sex="male", tables=TABLES) == 13


def test_a_hat_too_small_already_is_outgrown_now() -> None:
    assert outgrown_at_age_months(inner_mm=300, age_months=12.5, sex="male", tables=TABLES) == 13


def test_a_hat_can_outlast_growth() -> None:
    assert outgrown_at_age_months(inner_mm=540, age_months=12, sex="female", tables=TABLES) is None


@pytest.mark.parametrize(
    ("head_mm", "expected"),
    [
        (479.9, ["sleep", "small_parts", "cords", "selling"]),
        (480, ["small_parts", "cords", "selling"]),
        (499.9, ["small_parts", "cords", "selling"]),
        (500, []),
    ],
)
def test_a_small_head_is_cautioned(head_mm: float, expected: list[str]) -> None:
    assert codes(measured_head(head_mm, tables=TABLES)) == expected


@pytest.mark.parametrize(
    ("age_months", "expected"),
    [
        (23.9, ["sleep", "small_parts", "cords", "selling"]),
        (35.9, ["small_parts", "cords", "selling"]),
        (36, []),
    ],
)
def test_a_young_child_is_cautioned_whatever_the_head(age_months: float, expected: list[str]) -> None:
    big = Head(circumference_mm=520, sd_mm=10, source="a test", age_months=age_months)

    assert codes(big) == expected


@given(sex=sexes, age_months=st.floats(0, 216), later=st.floats(0, 60))
def test_heads_never_shrink_with_age(sex: Sex | None, age_months: float, later: float) -> None:
    younger = head_at_age(age_months, sex=sex, tables=TABLES)
    older = head_at_age(min(216, age_months + later), sex=sex, tables=TABLES)

    assert older.circumference_mm >= younger.circumference_mm - 1e-9


@given(sex=sexes, age_months=st.integers(0, 216), grip=st.floats(-0.13, 0.0))
def test_a_hat_is_outgrown_in_the_first_month_beyond_the_closest_grip(
    sex: Sex | None, age_months: int, grip: float
) -> None:
    inner_mm = (1 + grip) * head_at_age(age_months, sex=sex, tables=TABLES).circumference_mm

    month = outgrown_at_age_months(inner_mm=inner_mm, age_months=age_months, sex=sex, tables=TABLES)

    heads = {m: head_at_age(m, sex=sex, tables=TABLES).circumference_mm for m in range(age_months, 217)}
    outgrown = [m for m, head_mm in heads.items() if inner_mm / head_mm - 1 < -0.13 - 1e-11]
    assert month == (outgrown[0] if outgrown else None)


WHO, UK90 = "WHO Child Growth Standards (2007)", "UK 1990 reference (UK90)"


@pytest.mark.parametrize(
    ("age_months", "source"),
    [
        (0, WHO),
        (36, WHO),
        (36.5, f"straight line from {WHO} at 36 months to {UK90} at 72 months"),
        (71.9, f"straight line from {WHO} at 36 months to {UK90} at 72 months"),
        (72, UK90),
        (216, UK90),
    ],
)
def test_a_head_of_an_age_says_which_reference_it_is_from(age_months: float, source: str) -> None:
    girl, anybody = (head_at_age(age_months, sex=sex, tables=TABLES) for sex in ("female", None))

    assert girl.source == source
    assert anybody.source == f"{source}, mean of both sexes"
