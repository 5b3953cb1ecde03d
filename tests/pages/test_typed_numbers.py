"""Numbers as people type them."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.pages.typed_numbers import bounds_words, inches_beside, interface_number, typed_value

EIGHTHS = {"": 0, "⅛": 1, "¼": 2, "⅜": 3, "½": 4, "⅝": 5, "¾": 6, "⅞": 7}


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("17", Fraction(17)),
        (" 17.5 ", Fraction(35, 2)),
        ("17,5", Fraction(35, 2)),
        (".5", Fraction(1, 2)),
        ("22 1/2", Fraction(45, 2)),
        ("3/4", Fraction(3, 4)),
        ("22½", Fraction(45, 2)),
        ("22-1/2", Fraction(45, 2)),
        ("22⅔", Fraction(68, 3)),
        ("½", Fraction(1, 2)),
        ("-1 1/4", Fraction(-5, 4)),
        ("−2.5", Fraction(-5, 2)),
        ("+3", Fraction(3)),
        ("٣", Fraction(3)),
    ],
)
def test_numbers_are_read_as_they_are_written_by_hand(text, value):
    assert typed_value(text) == value


@pytest.mark.parametrize(
    "text",
    ["", "wide", "1e9", "1/0", "22 1/2 in", "1.5.2", "0x10", "NaN", "inf", "1 2", "--2", "9" * 40],
)
def test_other_text_is_no_number(text):
    assert typed_value(text) is None


@given(st.text(max_size=30))
def test_no_text_is_too_strange_to_be_read(text):
    value = typed_value(text)

    assert value is None or abs(value) < 10**10


@given(whole=st.integers(1, 40), mark=st.sampled_from(sorted(EIGHTHS)))
def test_a_length_in_inches_and_eighths_keeps_its_eighths(whole, mark):
    typed = interface_number(f"{whole}{mark}", measure="length", units="in")

    assert typed == pytest.approx(2.54 * (whole + EIGHTHS[mark] / 8))


@pytest.mark.parametrize("text", ['22 1/2"', "22.5 in", "22½″", "22-1/2 inches", '22.5"', "22½ IN"])
def test_the_unit_that_is_asked_for_may_stand_behind_the_number(text):
    assert interface_number(text, measure="length", units="in") == 57.15


@pytest.mark.parametrize(
    ("text", "units"), [("57 cm", "in"), ('22"', "cm"), ("22 in in", "in"), ("in", "in")]
)
def test_another_unit_behind_a_number_makes_it_none(text, units):
    assert interface_number(text, measure="length", units=units) == text


def test_a_gauge_over_four_inches_is_a_little_less_over_ten_centimetres():
    # 4 in are 10.16 cm, so that 17 stitches over them are 16.732 over 10 cm.
    assert interface_number("17", measure="gauge", units="in") == pytest.approx(16.7323, abs=5e-5)


def test_yards_become_metres_of_yarn():
    assert interface_number("170", measure="yarn_length", units="in") == pytest.approx(155.448)


@pytest.mark.parametrize(("low", "high"), [(20, 75), (0.5, 120), (3, 60), (-30, 30)])
def test_bounds_in_inches_lie_within_those_of_the_interface(low, high):
    words = bounds_words(low=low, high=high, measure="length", units="in").split()

    assert low <= float(words[4]) * 2.54
    assert float(words[6]) * 2.54 <= high


def test_a_sentence_in_centimetres_gains_inches():
    sentence = inches_beside("A band from 48.00 to 50.80 cm holds 3 things.")

    assert sentence == "A band from 48.00 to 50.80 cm (20 in) holds 3 things."
