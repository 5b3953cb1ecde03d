"""Yarn weighed in the middle of the work, over HTTP."""

from typing import Any

import pytest
from flask.testing import FlaskClient

from tests.api.test_colourings import BOTH, HAT, STRIPES, WORK


def _answer(client: FlaskClient, path: str, order: dict[str, Any]) -> dict[str, Any]:
    response = client.post(path, json=order)
    assert response.status_code == 200, response.text
    return dict(response.json or {})


def _problem(client: FlaskClient, path: str, order: dict[str, Any]) -> dict[str, Any]:
    response = client.post(path, json=order)
    assert response.status_code == 422, response.text
    return dict(response.json or {})


@BOTH
def test_a_checkpoint_before_the_first_stitch_is_the_estimate(
    client: FlaskClient, path: str, order: dict[str, Any]
) -> None:
    asked = {**order, "checkpoints": [{"round": 0, "mass_left_g": 500}]}

    answer = _answer(client, path, asked)

    (check,) = answer["checkpoints"]
    assert check["remaining_g"] == answer.get("yarn", answer)["mass_g"]
    assert (check["missing_g"], check["colour"]) == (0, None)
    assert check["lasts_probability"] > 0.95


@BOTH
def test_the_checkpoints_of_colours_are_their_estimates(
    client: FlaskClient, path: str, order: dict[str, Any]
) -> None:
    states = [{"round": 0, "mass_left_g": 30, "colour": colour} for colour in ("navy", "red")]

    answer = _answer(client, path, {**order, "colouring": STRIPES, "checkpoints": states})

    navy, red = answer["checkpoints"]
    assert [red["colour"], navy["colour"]] == ["red", "navy"]
    assert [red["remaining_g"], navy["remaining_g"]] == [
        each["mass_g"] for each in answer.get("yarn", answer)["colours"]
    ]


@BOTH
def test_what_is_bought_lasts_as_surely_as_was_asked(
    client: FlaskClient, path: str, order: dict[str, Any]
) -> None:
    bought = _answer(client, path, {**order, "certainty_percent": 99})
    mass_g = bought.get("yarn", bought)["buy"]["mass_g"]

    (check,) = _answer(
        client,
        path,
        {**order, "certainty_percent": 99, "checkpoints": [{"round": 0, "mass_left_g": mass_g}]},
    )["checkpoints"]

    assert check["lasts_probability"] == pytest.approx(0.99, abs=0.002)
    assert check["missing_g"] == pytest.approx(0, abs=0.1)


@BOTH
def test_less_yarn_lasts_less_far(client: FlaskClient, path: str, order: dict[str, Any]) -> None:
    states = [{"round": 3, "mass_left_g": mass_g} for mass_g in (0, 10, 20, 40, 300)]

    checks = _answer(client, path, {**order, "checkpoints": states})["checkpoints"]

    rounds = [each["lasts_to_round"] for each in checks]
    assert rounds[0] == 3
    assert rounds == sorted(rounds)
    assert [each["lasts_probability"] for each in checks][0::4] == [0, 1]
    assert checks[0]["missing_g"] > checks[0]["remaining_g"]["high"]
    assert all(each["reserve_g"] > 0 for each in checks)


@BOTH
def test_yarn_used_so_far_corrects_the_rest(client: FlaskClient, path: str, order: dict[str, Any]) -> None:
    state = {"round": 10, "mass_left_g": 60}

    reckoned, weighed = _answer(
        client, path, {**order, "checkpoints": [state, {**state, "mass_used_g": 60}]}
    )["checkpoints"]

    assert weighed["remaining_g"]["median"] > reckoned["remaining_g"]["median"]
    spread = [each["remaining_g"]["high"] / each["remaining_g"]["low"] for each in (reckoned, weighed)]
    assert spread[0] > spread[1]


@BOTH
def test_a_weighing_that_cannot_be_true_is_told(
    client: FlaskClient, path: str, order: dict[str, Any]
) -> None:
    likely = {"round": 0, "mass_left_g": 100, "mass_used_g": 0}

    answer = _answer(
        client, path, {**order, "checkpoints": [likely, {"round": 1, "mass_left_g": 40, "mass_used_g": 500}]}
    )

    told = [each for each in answer["notices"] if each["code"] == "weighing_unlikely"]
    assert [each["severity"] for each in told] == ["warning"]
    assert told[0]["text"].startswith("Up to round 1 ")
    assert "500 g (18 oz)" in told[0]["text"]


@BOTH
def test_a_round_after_the_last_is_refused_with_the_last(
    client: FlaskClient, path: str, order: dict[str, Any]
) -> None:
    problem = _problem(client, path, {**order, "checkpoints": [{"round": 400, "mass_left_g": 10}]})

    last = problem["largest_round"]
    again = _answer(client, path, {**order, "checkpoints": [{"round": last, "mass_left_g": 10}]})
    assert problem["type"] == "/problems/round-beyond-end"
    assert problem["round"] == 400
    assert again["checkpoints"][0]["remaining_g"]["median"] == 0


@BOTH
@pytest.mark.parametrize("colour", [{}, {"colour": "green"}], ids=["none named", "another"])
def test_several_colours_are_weighed_one_by_one(
    client: FlaskClient, path: str, order: dict[str, Any], colour: dict[str, str]
) -> None:
    states = [{"round": 1, "mass_left_g": 10, "colour": "red"}, {"round": 1, "mass_left_g": 10, **colour}]

    problem = _problem(client, path, {**order, "colouring": STRIPES, "checkpoints": states})

    assert problem["type"] == "/problems/colour-unmatched"
    assert problem["pointer"] == "/checkpoints/1/colour"
    assert "green" not in problem["detail"]


def test_counted_stitches_have_no_checkpoints(client: FlaskClient) -> None:
    order = {"yarn": WORK["yarn"], "gauge": WORK["gauge"], "stitch_counts": {"sc": 2000}}

    problem = _problem(
        client, "/v1/yarn-estimates", {**order, "checkpoints": [{"round": 0, "mass_left_g": 10}]}
    )

    assert problem["type"] == "/problems/rounds-needed"
    assert problem["fields"] == ["checkpoints"]


def test_a_checkpoint_of_no_yarn_says_that_a_yarn_would_do(client: FlaskClient) -> None:
    hat = {key: value for key, value in HAT.items() if key != "yarn"}

    problem = _problem(client, "/v1/hat-plans", {**hat, "checkpoints": [{"round": 0, "mass_left_g": 10}]})

    assert problem["type"] == "/problems/yarn-underdetermined"
    assert problem["missing"] == ["yarn"]


def test_nobody_is_told_of_checkpoints_unasked(client: FlaskClient) -> None:
    assert _answer(client, "/v1/hat-plans", HAT)["checkpoints"] == []
