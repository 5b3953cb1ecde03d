"""Hours on the hook: examples worked by hand."""

import pytest

from service.domain.yarn_hours import working_time


def test_the_hat_takes_four_hours_at_the_usual_pace() -> None:
    time = working_time(units=2880)

    assert time.hours == 4.0
    assert [line.name for line in time.assumptions] == ["pace_units_per_minute"]


def test_a_stated_pace_is_no_assumption() -> None:
    time = working_time(units=2880, pace_units_per_minute=24)

    assert (time.hours, time.assumptions) == (2.0, ())


@pytest.mark.parametrize(("units", "codes"), [(2160, []), (2161, ["hands"])])
def test_more_than_three_hours_call_for_breaks(units: float, codes: list[str]) -> None:
    time = working_time(units=units)

    assert [notice.code for notice in time.notices] == codes
