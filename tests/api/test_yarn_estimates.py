"""Yarn estimates over the interface: what the work is, what is known, and what is refused."""

from typing import Any

import pytest
from flask.testing import FlaskClient

PATH = "/v1/yarn-estimates"
YARN = {"tex": 560, "ball": {"mass_g": 50, "length_m": 89.3}}
GAUGE = {"stitches_per_10cm": 16, "rounds_per_10cm": 18}
COUNTS = {"sc": 2753}


def _estimate(client: FlaskClient, **order: Any) -> dict[str, Any]:
    response = client.post(PATH, json={"yarn": YARN, **order})
    assert response.status_code == 200, response.text
    return dict(response.json or {})


def _problem(client: FlaskClient, **order: Any) -> dict[str, Any]:
    response = client.post(PATH, json={"yarn": YARN, **order})
    assert response.status_code == 422, response.text
    return dict(response.json or {})


def _nested(depth: int) -> dict[str, Any]:
    """Return steps with so many repeats one in the other."""
    step: dict[str, Any] = {"op": "work", "stitch": "sc", "count": 1}
    for _ in range(depth):
        step = {"op": "repeat", "times": 2, "steps": [step, {"op": "work", "stitch": "dc", "count": 1}]}
    return {"steps": [step]}


def test_the_best_information_at_hand_decides(client: FlaskClient) -> None:
    swatch = {"mass_g": 9.6, "stitch_counts": {"sc": 360, "ch": 39}}

    weighed = _estimate(client, stitch_counts=COUNTS, swatch=swatch, gauge=GAUGE)
    measured = _estimate(client, stitch_counts=COUNTS, gauge=GAUGE)
    supposed = _estimate(client, stitch_counts=COUNTS, yarn={"weight_category": 4})

    assert [each["tier"] for each in (weighed, measured, supposed)] == [1, 3, 4]


def test_a_weighed_swatch_gives_its_yarn_to_each_stitch(client: FlaskClient) -> None:
    # By hand: a swatch of 100 single crochets of 5.6 g at 560 tex is 10 m; 1000 of them take 100 m, 56 g.
    estimate = _estimate(
        client, stitch_counts={"sc": 1000}, swatch={"mass_g": 5.6, "stitch_counts": {"sc": 100}}
    )

    assert estimate["length_m"]["median"] == pytest.approx(100, abs=0.1)
    assert estimate["mass_g"]["median"] == pytest.approx(56, abs=0.1)
    assert estimate["length_m"]["low"] < 100 < estimate["length_m"]["high"]


def test_rounds_and_their_counts_take_the_same_yarn(client: FlaskClient) -> None:
    rounds = [{"steps": [{"op": "work", "stitch": "sc", "count": 80}], "repeat_count": 10}]

    by_rounds = _estimate(client, rounds=rounds, gauge=GAUGE)
    by_counts = _estimate(client, stitch_counts={"sc": 800}, gauge=GAUGE)

    assert by_rounds["length_m"]["median"] == by_counts["length_m"]["median"]


def test_more_certainty_never_buys_less(client: FlaskClient) -> None:
    estimate = _estimate(client, stitch_counts=COUNTS, gauge=GAUGE, certainty_percent=99)

    lengths = [each["length_m"] for each in estimate["buy_by_certainty"]]
    assert lengths == sorted(lengths)
    assert estimate["buy"] == estimate["buy_by_certainty"][-1]


def test_ends_and_gathering_are_bought_beside_the_work(client: FlaskClient) -> None:
    # By hand: a colour change leaves two ends or 0.3 m; the gathering of the crown takes 0.4 m.
    order = {"stitch_counts": COUNTS, "gauge": GAUGE}
    plain = _estimate(client, **order)

    striped = _estimate(client, **order, colour_change_count=10)
    open_top = _estimate(client, **order, gathers_crown=False)
    edged = _estimate(client, **order, has_edging=True)

    bought_m = plain["buy"]["length_m"]
    assert striped["buy"]["length_m"] == pytest.approx(bought_m + 3, abs=0.11)
    assert open_top["buy"]["length_m"] == pytest.approx(bought_m - 0.4, abs=0.11)
    assert edged["buy"]["length_m"] == pytest.approx(bought_m + 0.3, abs=0.11)
    assert striped["length_m"] == plain["length_m"]


def test_without_a_ball_nobody_counts_balls(client: FlaskClient) -> None:
    estimate = _estimate(client, stitch_counts=COUNTS, yarn={"tex": 560}, gauge=GAUGE)

    assert estimate["buy"]["ball_count"] is None
    assert estimate["buy"]["leftover_m"] is None


@pytest.mark.parametrize(
    ("work", "given"),
    [
        ({}, []),
        ({"stitch_counts": COUNTS, "rounds": [_nested(0)]}, ["stitch_counts", "rounds"]),
    ],
    ids=["no work", "the work twice"],
)
def test_the_work_is_said_in_one_way(client: FlaskClient, work: dict[str, Any], given: list[str]) -> None:
    problem = _problem(client, **work, gauge=GAUGE)

    assert problem["type"] == "/problems/choose-one"
    assert problem["fields"] == ["stitch_counts", "rounds"]
    assert problem["given"] == given


@pytest.mark.parametrize(
    "order",
    [
        {"yarn": {}, "stitch_counts": COUNTS, "gauge": GAUGE},
        {"yarn": {"tex": 560}, "stitch_counts": COUNTS},
    ],
    ids=["nothing of the yarn", "nothing of its size"],
)
def test_what_cannot_be_reckoned_says_what_would_do(client: FlaskClient, order: dict[str, Any]) -> None:
    problem = _problem(client, **order)

    assert problem["type"] == "/problems/yarn-underdetermined"
    assert problem["missing"]


def test_repeats_stand_three_deep_at_most(client: FlaskClient) -> None:
    three = client.post(PATH, json={"yarn": YARN, "rounds": [_nested(3)], "gauge": GAUGE})

    problem = _problem(client, rounds=[_nested(4)], gauge=GAUGE)

    assert three.status_code == 200
    assert problem["type"] == "/problems/invalid-request"
    assert problem["errors"][0]["code"] == "not_listed"


def test_a_round_with_more_stitches_than_any_hat_is_refused(client: FlaskClient) -> None:
    steps = [{"op": "repeat", "times": 2000, "steps": [{"op": "work", "stitch": "sc", "count": 2000}]}]

    problem = _problem(client, rounds=[{"steps": steps}], gauge=GAUGE)

    assert problem["type"] == "/problems/hat-out-of-bounds"


@pytest.mark.parametrize("code", ["sc9tog", "xyz", "ch2tog", "SC", "sc "])
def test_an_unknown_stitch_code_is_pointed_at(client: FlaskClient, code: str) -> None:
    problem = _problem(client, stitch_counts={code: 3}, gauge=GAUGE)

    assert problem["type"] == "/problems/invalid-request"
    assert [fault["pointer"] for fault in problem["errors"]] == [f"/stitch_counts/{code}"]
