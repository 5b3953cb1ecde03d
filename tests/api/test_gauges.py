"""Gauges over the interface: readings in, gauge and advice out."""

from typing import Any

import pytest
from flask.testing import FlaskClient

PATH = "/v1/gauges"
READING = {"stitch_count": 20, "width_cm": 12.5, "round_count": 12, "height_cm": 8}


def _gauge(client: FlaskClient, **order: Any) -> dict[str, Any]:
    response = client.post(PATH, json={"readings": [READING], **order})
    assert response.status_code == 200, response.text
    return dict(response.json or {})


def test_a_reading_gives_stitches_and_rounds_to_ten_centimetres(client: FlaskClient) -> None:
    # By hand: 20 over 12.5 cm are 16, 12 over 8 cm are 15.
    gauge = _gauge(client, washed=True)

    assert (gauge["stitches_per_10cm"], gauge["rounds_per_10cm"]) == (16.0, 15.0)
    assert (gauge["stitch_width_mm"], gauge["round_height_mm"]) == (6.25, 6.67)


def test_more_places_make_the_gauge_surer(client: FlaskClient) -> None:
    one = _gauge(client, washed=True)

    three = _gauge(client, washed=True, readings=[READING] * 3)

    assert three["width_error_percent"] < one["width_error_percent"]
    assert any("3 places" in advice for advice in one["advice"])
    assert not any("3 places" in advice for advice in three["advice"])


def test_an_unwashed_swatch_is_less_sure_and_says_so(client: FlaskClient) -> None:
    washed = _gauge(client, washed=True)

    unwashed = _gauge(client)

    assert unwashed["width_error_percent"] > washed["width_error_percent"]
    assert "wash_swatch" in [notice["code"] for notice in unwashed["notices"]]
    assert "wash_swatch" not in [notice["code"] for notice in washed["notices"]]


def test_the_readings_after_washing_rule(client: FlaskClient) -> None:
    # By hand: 13 over 12.5 cm is 4 % wider; 20 over 13 cm are 15.385.
    gauge = _gauge(client, after_wash_readings=[{**READING, "width_cm": 13}])

    assert gauge["stitches_per_10cm"] == 15.385
    assert gauge["wash_width_change_percent"] == 4.0
    assert gauge["wash_height_change_percent"] == 0.0


def test_an_evenness_that_nobody_stated_is_an_assumption(client: FlaskClient) -> None:
    supposed = _gauge(client)
    stated = _gauge(client, evenness="steady")

    assert "evenness" in [each["name"] for each in supposed["assumptions"]]
    assert "evenness" not in [each["name"] for each in stated["assumptions"]]
    assert stated["width_error_percent"] <= supposed["width_error_percent"]


@pytest.mark.parametrize(
    ("readings", "pointer"),
    [
        ([], "/readings"),
        ([READING] * 21, "/readings"),
        ([READING, {**READING, "width_cm": 0}], "/readings/1/width_cm"),
        ([{"stitch_count": 20, "width_cm": 12.5, "round_count": 12}], "/readings/0/height_cm"),
    ],
)
def test_a_reading_that_cannot_be_is_pointed_at(
    client: FlaskClient, readings: list[Any], pointer: str
) -> None:
    response = client.post(PATH, json={"readings": readings})

    assert response.status_code == 422
    assert [fault["pointer"] for fault in (response.json or {})["errors"]] == [pointer]
