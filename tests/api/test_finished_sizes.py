"""Finished sizes over the interface: units, choices and what is refused."""

from typing import Any

import pytest
from flask.testing import FlaskClient

PATH = "/v1/finished-sizes"


def _size(client: FlaskClient, **order: Any) -> dict[str, Any]:
    response = client.post(PATH, json=order)
    assert response.status_code == 200, response.text
    return dict(response.json or {})


def _problem(client: FlaskClient, **order: Any) -> dict[str, Any]:
    response = client.post(PATH, json=order)
    assert response.status_code == 422, response.text
    return dict(response.json or {})


@pytest.mark.parametrize(
    ("head_cm", "thickness_mm", "finished_cm", "ease_percent"),
    [(34.2, 3, 32.4, -5.2), (56, 7, 53.7, -4.1), (59, 5, 55.9, -5.3)],
    ids=["newborn, plain", "woman, cables", "man, bulky single crochet"],
)
def test_a_hat_is_as_wide_as_grip_and_thickness_make_it(
    client: FlaskClient, head_cm: float, thickness_mm: float, finished_cm: float, ease_percent: float
) -> None:
    # By hand: head * 0.92 + pi * thickness.
    size = _size(client, head={"circumference_cm": head_cm}, fabric_thickness_mm=thickness_mm)

    assert size["finished_circumference_cm"] == pytest.approx(finished_cm, abs=0.05)
    assert size["ease_percent"] == ease_percent
    assert size["grip_percent"] == -8.0


def test_a_size_names_the_head_it_stands_for(client: FlaskClient) -> None:
    size = _size(client, head={"size_id": "adult-m"})

    assert size["head_circumference_cm"] == 57.0
    assert size["hat_size"] == {"us": "7 1/8", "uk": "7", "metric_cm": 57, "french": 5.0}
    assert size["assumptions"][0]["name"] == "head_circumference_mm"


def test_a_measured_head_is_no_assumption(client: FlaskClient) -> None:
    size = _size(client, head={"circumference_cm": 57})

    assert "head_circumference_mm" not in [each["name"] for each in size["assumptions"]]


def test_an_age_tells_when_the_hat_is_outgrown(client: FlaskClient) -> None:
    # WHO, boys of 12 months: mean 46.0661 cm.
    size = _size(client, head={"age_months": 12, "sex": "male"}, fabric_thickness_mm=3)

    assert size["head_circumference_cm"] == 46.07
    assert size["outgrown_at_age_months"] == 28
    assert size["hat_size"]["french"] is None
    assert {"sleep", "small_parts", "cords"} <= {each["code"] for each in size["notices"]}


def test_without_an_age_nobody_outgrows_it(client: FlaskClient) -> None:
    size = _size(client, head={"circumference_cm": 46})

    assert size["outgrown_at_age_months"] is None


def test_an_ease_gives_the_finished_size_and_the_grip_follows(client: FlaskClient) -> None:
    # By hand: 56 - 2 = 54 cm; inside 54 - 0.3 pi = 53.06, over 56 minus 1 = -5.3 %.
    size = _size(client, head={"circumference_cm": 56}, ease_cm=-2, fabric_thickness_mm=3)

    assert size["finished_circumference_cm"] == 54.0
    assert size["inner_circumference_cm"] == 53.06
    assert size["grip_percent"] == -5.3


def test_a_cuff_lies_twofold_and_adds_to_the_depth(client: FlaskClient) -> None:
    # By hand: 5 cm more along the fabric, and pi * 3 mm more around for the second layer.
    head = {"circumference_cm": 56}
    plain = _size(client, head=head, fabric_thickness_mm=3)

    cuffed = _size(client, head=head, fabric_thickness_mm=3, style="cuffed", cuff_cm=5)

    assert cuffed["cuff_cm"] == 5.0
    assert cuffed["depth_cm"] == pytest.approx(plain["depth_cm"] + 5, abs=0.011)
    wider_cm = cuffed["finished_circumference_cm"] - plain["finished_circumference_cm"]
    assert wider_cm == pytest.approx(0.94, abs=0.011)


def test_a_supposed_thickness_is_told(client: FlaskClient) -> None:
    size = _size(client, head={"circumference_cm": 56})

    assert "thickness_assumed" in [each["code"] for each in size["notices"]]
    assert "fabric_thickness_mm" in [each["name"] for each in size["assumptions"]]


def test_the_working_is_there_when_it_is_asked_for(client: FlaskClient) -> None:
    head = {"circumference_cm": 56}

    told = _size(client, head=head, show_working=True)
    silent = _size(client, head=head)

    assert "finished_circumference_mm" in [line["name"] for line in told["working"]]
    assert "working" not in silent


@pytest.mark.parametrize(
    ("both", "fields"),
    [
        ({"fit": "close", "ease_cm": -3}, ["fit", "ease_cm"]),
        ({"covers": "mid_ear", "depth_cm": 20}, ["covers", "depth_cm"]),
    ],
)
def test_two_answers_to_one_question_are_refused(
    client: FlaskClient, both: dict[str, Any], fields: list[str]
) -> None:
    problem = _problem(client, head={"circumference_cm": 56}, **both)

    assert problem["type"] == "/problems/choose-one"
    assert problem["fields"] == problem["given"] == fields


def test_a_hat_without_room_for_the_head_is_refused(client: FlaskClient) -> None:
    problem = _problem(client, head={"circumference_cm": 40}, ease_cm=-30)

    assert problem["type"] == "/problems/no-room-for-head"


@pytest.mark.parametrize(
    ("head", "pointer"),
    [
        ({}, "/head"),
        ({"circumference_cm": 56, "size_id": "adult-m"}, "/head"),
        ({"circumference_cm": 19.9}, "/head/circumference_cm"),
        ({"size_id": "adult"}, "/head/size_id"),
        ({"age_months": 217}, "/head/age_months"),
        ({"size_id": "adult-m", "sex": "female"}, "/head/sex"),
    ],
)
def test_a_head_is_one_of_three_closed_choices(
    client: FlaskClient, head: dict[str, Any], pointer: str
) -> None:
    problem = _problem(client, head=head)

    assert problem["type"] == "/problems/invalid-request"
    assert [fault["pointer"] for fault in problem["errors"]] == [pointer]
