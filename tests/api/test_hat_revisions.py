"""Hats on the hook over HTTP: the rest of the plan where all is well, another rest where it is not."""

from typing import Any

import pytest
from flask.testing import FlaskClient

PATH = "/v1/hat-revisions"
PLAN: dict[str, Any] = {
    "head": {"circumference_cm": 57},
    "gauge": {"stitches_per_10cm": 18.5, "rounds_per_10cm": 11.5},
    "fabric": {"fabric_id": "cable-2x2"},
    "yarn": {"weight_category": 4, "ball": {"mass_g": 100, "length_m": 170}},
}


def _post(client: FlaskClient, state: dict[str, Any], plan: dict[str, Any] | None = None) -> Any:
    return client.post(PATH, json={"plan": {**PLAN, **(plan or {})}, "state": state}).json


def _plan(client: FlaskClient, plan: dict[str, Any] | None = None) -> Any:
    return client.post("/v1/hat-plans", json={**PLAN, **(plan or {})}).json


def _on_plan(client: FlaskClient, round_number: int, plan: dict[str, Any] | None = None) -> dict[str, Any]:
    """Return the state of work that is exactly as it was planned, as precisely as it is printed."""
    planned = _post(client, {"round": round_number}, plan)["planned"]
    return {
        "round": round_number,
        "stitch_count": planned["stitch_count"],
        "circumference_cm": planned["circumference_cm"],
        "height_cm": planned["height_cm"],
    }


@pytest.mark.parametrize("terms", ["us", "uk"])
@pytest.mark.parametrize("worked", ["from_brim", "from_crown"])
@pytest.mark.parametrize("round_number", [2, 7, 12, 20])
def test_work_that_is_on_plan_gets_the_same_rest_of_the_plan(
    client: FlaskClient, round_number: int, worked: str, terms: str
) -> None:
    wishes = {"worked": worked, "terms": terms}
    plan = _plan(client, wishes)

    revised = _post(client, _on_plan(client, round_number, wishes), wishes)

    best = revised["options"][0]
    told = ("round", "section", "kind", "steps", "text", "stitch_count", "start", "join")
    assert best["action"] == "go_on"
    assert best["from_round"] == round_number + 1
    assert best["changed_rounds"] == []
    assert [[row[name] for name in told] for row in best["rounds"]] == [
        [row[name] for name in told] for row in plan["rounds"][round_number:]
    ]
    assert best["counts"] == plan["counts"]
    assert best["finishing"] == plan["finishing"]
    assert best["finished_depth_cm"] == pytest.approx(plan["finished_depth_cm"], abs=0.02)


def test_a_state_of_nothing_but_a_round_keeps_the_plan_as_it_is(client: FlaskClient) -> None:
    plan = _plan(client)

    best = _post(client, {"round": 9})["options"][0]

    assert best["rounds"] == plan["rounds"][9:]
    assert best["fit_probability"] == plan["fit_probability"]


@pytest.mark.parametrize(("width", "sign"), [(1.05, -1), (0.95, 1)])
def test_a_circumference_off_by_five_percent_changes_counts_in_the_right_direction(
    client: FlaskClient, width: float, sign: int
) -> None:
    planned = _plan(client)["counts"]["body"]
    states = [_on_plan(client, number) for number in (4, 9)]
    for state in states:
        state["circumference_cm"] = round(width * state["circumference_cm"], 2)

    in_brim, in_body = (_post(client, state)["options"] for state in states)

    adjusting = next(option for option in in_brim if option["action"] == "adjust")
    ripping = next(option for option in in_body if option["action"] == "rip_back")
    assert sign * (adjusting["counts"]["body"] - planned) > 0
    assert sign * (ripping["counts"]["body"] - planned) > 0
    assert ripping["rip_back_round_count"] == 9 - ripping["from_round"] + 1
    assert "stitches in the body" in ripping["why"]


def test_the_gauge_of_the_work_stands_beside_its_errors(client: FlaskClient) -> None:
    state = _on_plan(client, 12)
    state["circumference_cm"] *= 1.05

    gauge = _post(client, state)["gauge_as_worked"]

    assert 18.5 / 1.05 < gauge["stitches_per_10cm"] < 18.5 / 1.04
    assert gauge["width_error_percent"] == 1.0
    assert gauge["rounds_per_10cm"] == pytest.approx(11.5, abs=0.01)


@pytest.mark.parametrize(
    ("state", "departs"),
    [
        ({"round": 300}, 24),
        ({"round": 12, "stitch_count": 101}, 12),
        ({"round": 9, "stitch_count": 82}, 6),
        ({"round": 12, "circumference_cm": 27}, 12),
        ({"round": 12, "rip_back_to_round": 20}, 12),
    ],
)
def test_work_that_contradicts_the_plan_is_refused_with_the_round_where_it_departs(
    client: FlaskClient, state: dict[str, Any], departs: int
) -> None:
    refused = _post(client, state)

    assert refused["type"] == "/problems/state-contradicts-plan"
    assert refused["round"] == departs


def test_yarn_that_does_not_last_says_what_to_shorten(client: FlaskClient) -> None:
    plain = {"fabric": {"fabric_id": "plain-sc"}, "gauge": {"stitches_per_10cm": 14, "rounds_per_10cm": 16}}
    needed = _post(client, {"round": 6, "mass_left_g": 0}, plain)["options"][0]["yarn"]

    yarn = _post(client, {"round": 6, "mass_left_g": needed["missing_g"] - 6}, plain)["options"][0]["yarn"]

    assert 0 < yarn["lasts_probability"] < 0.95
    assert yarn["missing_g"] == pytest.approx(6, abs=0.2)
    assert yarn["shorten"]["section"] == "body"
    assert yarn["shorten"]["round_count"] >= 1
    assert yarn["shorten"]["height_cm"] == pytest.approx(yarn["shorten"]["round_count"] * 10 / 16, abs=0.01)


def test_yarn_left_cannot_be_judged_without_a_yarn(client: FlaskClient) -> None:
    body = {"plan": {key: PLAN[key] for key in ("head", "gauge", "fabric")}}

    refused: Any = client.post(PATH, json={**body, "state": {"round": 3, "mass_left_g": 40}}).json

    assert refused["type"] == "/problems/yarn-underdetermined"
    assert refused["missing"] == ["plan.yarn"]


def test_a_finished_hat_has_no_rounds_left(client: FlaskClient) -> None:
    last = len(_plan(client)["rounds"])

    options = _post(client, {"round": last})["options"]

    assert [option["rounds"] for option in options] == [[]]


@pytest.mark.parametrize("field", ["head", "gauge", "fabric"])
def test_what_a_plan_needs_is_needed_here(client: FlaskClient, field: str) -> None:
    plan = {key: value for key, value in PLAN.items() if key != field}

    refused: Any = client.post(PATH, json={"plan": plan, "state": {"round": 3}}).json

    assert refused["errors"][0]["pointer"] == f"/plan/{field}"


def test_each_way_on_is_proved(client: FlaskClient) -> None:
    state = {**_on_plan(client, 9), "height_cm": 6.5, "rip_back_to_round": 0}

    options = _post(client, state)["options"]

    assert {option["action"] for option in options} == {"go_on", "adjust", "rip_back"}
    assert {option["proof"]["verdict"] for option in options} == {"agrees"}
