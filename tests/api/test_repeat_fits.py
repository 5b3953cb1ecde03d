"""Whole repeats over the interface: units, bands, brims and what is refused."""

from typing import Any

import pytest
from flask.testing import FlaskClient

PATH = "/v1/repeat-fits"
BODY = {"stitches_per_10cm": 20, "rounds_per_10cm": 14, "width_error_percent": 3, "height_error_percent": 3}
RIB = {"stitches_per_10cm": 16, "rounds_per_10cm": 12, "width_error_percent": 3, "height_error_percent": 3}
ORDER: dict[str, Any] = {"target_circumference_cm": 50, "gauge": BODY, "stitch_multiple": 10}


def _fits(client: FlaskClient, **order: Any) -> dict[str, Any]:
    response = client.post(PATH, json={**ORDER, **order})
    assert response.status_code == 200, response.text
    return dict(response.json or {})


def _problem(client: FlaskClient, **order: Any) -> dict[str, Any]:
    response = client.post(PATH, json={**ORDER, **order})
    assert response.status_code == 422, response.text
    return dict(response.json or {})


def _codes(answer: dict[str, Any]) -> list[str]:
    return [notice["code"] for notice in answer["notices"]]


def test_the_best_count_holds_whole_repeats_and_meets_the_target(client: FlaskClient) -> None:
    # By hand: 50 cm of 5 mm stitches are 100. The band is 47.3 to 52.7 cm, 5.4 % over 3 %, or 1.8
    # deviations, either side: 2 * 0.9641 - 1 = 0.928.
    best = _fits(client)["candidates"][0]

    assert best == {
        "stitch_count": 100,
        "repeat_count": 10,
        "circumference_cm": 50.0,
        "difference_cm": 0.0,
        "within_tolerance": True,
        "fit_probability": 0.928,
        "exact_stitches_per_10cm": 20.0,
        "brim": None,
    }


def test_the_neighbours_say_which_gauge_would_make_them_exact(client: FlaskClient) -> None:
    neighbours = _fits(client)["neighbours"]

    assert neighbours == [
        {"stitch_count": 90, "repeat_count": 9, "circumference_cm": 45.0, "exact_stitches_per_10cm": 18.0},
        {"stitch_count": 110, "repeat_count": 11, "circumference_cm": 55.0, "exact_stitches_per_10cm": 22.0},
    ]


def test_extra_stitches_stand_beside_the_repeats(client: FlaskClient) -> None:
    best = _fits(client, extra_stitch_count=3)["candidates"][0]

    assert (best["stitch_count"], best["repeat_count"]) == (103, 10)


def test_as_many_candidates_come_as_were_asked_for_and_differ(client: FlaskClient) -> None:
    candidates = _fits(client, limit=7)["candidates"]

    assert len({each["stitch_count"] for each in candidates}) == 7
    chances = [each["fit_probability"] for each in candidates]
    assert chances == sorted(chances, reverse=True)


@pytest.mark.parametrize("target_cm", [1, 200])
def test_there_is_always_a_candidate(client: FlaskClient, target_cm: float) -> None:
    gauge = {"stitches_per_10cm": 120, "rounds_per_10cm": 1}

    answer = _fits(client, target_circumference_cm=target_cm, gauge=gauge, stitch_multiple=64)

    assert answer["candidates"]
    assert all(each["stitch_count"] <= 2000 for each in answer["candidates"])


def test_a_brim_joins_the_body_in_one_even_round(client: FlaskClient) -> None:
    # By hand: 50 cm of 6.25 mm stitches are 80; from 80 to 100 is one increase in every four.
    brim = {"gauge": RIB, "stitch_multiple": 2}

    best = _fits(client, brim=brim)["candidates"][0]

    assert best["brim"]["stitch_count"] == 80
    assert best["brim"]["circumference_cm"] == 50.0
    assert best["brim"]["joining_round"] == {
        "uniform": True,
        "change_count": 20,
        "text": "[2 dc in next st, dc in next 3 sts] 20 times",
        "steps": [
            {
                "op": "repeat",
                "times": 20,
                "steps": [
                    {"op": "into_one", "stitches": ["dc", "dc"]},
                    {"op": "work", "stitch": "dc", "count": 3},
                ],
            }
        ],
    }


def test_the_joining_round_speaks_the_terms_asked_for(client: FlaskClient) -> None:
    best = _fits(client, brim={"gauge": RIB, "stitch_multiple": 2}, terms="uk")["candidates"][0]

    assert best["brim"]["joining_round"]["text"] == "[2 tr in next st, tr in next 3 sts] 20 times"
    assert best["brim"]["joining_round"]["steps"][0]["steps"][0]["stitches"] == ["dc", "dc"]


def test_a_brim_may_have_a_target_of_its_own(client: FlaskClient) -> None:
    # By hand: 45 cm of 6.25 mm stitches are 72.
    brim = {"gauge": RIB, "stitch_multiple": 2, "target_circumference_cm": 45}

    best = _fits(client, brim=brim)["candidates"][0]

    assert best["brim"]["stitch_count"] in (70, 72, 74)


def test_a_brim_that_no_single_round_joins_is_null(client: FlaskClient) -> None:
    brim = {"gauge": RIB, "stitch_multiple": 1, "target_circumference_cm": 5}

    answer = _fits(client, brim=brim, limit=1)

    assert answer["candidates"][0]["brim"] is None


def test_a_stated_band_moves_the_likeliest_count(client: FlaskClient) -> None:
    best = _fits(client, fit_band_cm={"low": 53, "high": 57})["candidates"][0]

    assert best["stitch_count"] == 110
    assert best["difference_cm"] == 5.0


def test_a_tolerance_decides_what_is_right(client: FlaskClient) -> None:
    # 110 before 90: both are 5 cm off, but the errors of a wider hat are wider, and it may come out right.
    loose = _fits(client, tolerance_cm=5)["candidates"]
    tight = _fits(client, tolerance_cm=4.99)["candidates"]

    assert [each["stitch_count"] for each in loose if each["within_tolerance"]] == [100, 110, 90]
    assert [each["stitch_count"] for each in tight if each["within_tolerance"]] == [100]


def test_a_band_that_nobody_stated_is_an_assumption(client: FlaskClient) -> None:
    bare = _fits(client)
    stated = _fits(client, fit_band_cm={"low": 47, "high": 53})

    assert "bare_target_band" in [each["name"] for each in bare["assumptions"]]
    assert stated["assumptions"] == []


def test_a_wide_repeat_is_said_to_force_the_size(client: FlaskClient) -> None:
    answer = _fits(client, stitch_multiple=30)

    assert {"repeat_forces_size", "fit_unlikely"} <= set(_codes(answer))


def test_a_repeat_that_fits_raises_no_notice_but_the_swatch(client: FlaskClient) -> None:
    washed = _fits(client, gauge={**BODY, "washed": True}, stitch_multiple=2)
    unwashed = _fits(client, gauge={**BODY, "washed": False}, stitch_multiple=2)

    assert _codes(washed) == []
    assert _codes(unwashed) == ["wash_swatch"]


def test_a_band_that_ends_before_it_begins_is_refused(client: FlaskClient) -> None:
    problem = _problem(client, fit_band_cm={"low": 53, "high": 47})

    assert problem["type"] == "/problems/fit-band-empty"
    assert (problem["low_cm"], problem["high_cm"]) == (53, 47)


@pytest.mark.parametrize(
    ("fault", "pointer"),
    [
        ({"stitch_multiple": 0}, "/stitch_multiple"),
        ({"limit": 21}, "/limit"),
        ({"target_circumference_cm": 200.5}, "/target_circumference_cm"),
        ({"brim": {"stitch_multiple": 2}}, "/brim/gauge"),
        ({"brim": None}, "/brim"),
        ({"fit_band_cm": {"low": 50}}, "/fit_band_cm/high"),
    ],
)
def test_what_breaks_the_document_is_pointed_at(
    client: FlaskClient, fault: dict[str, Any], pointer: str
) -> None:
    problem = _problem(client, **fault)

    assert problem["type"] == "/problems/invalid-request"
    assert [each["pointer"] for each in problem["errors"]] == [pointer]


def test_the_dearest_order_is_answered_in_time(client: FlaskClient) -> None:
    # Twenty joining rounds of two thousand stitches without a short period.
    fine = {"stitches_per_10cm": 99.1, "rounds_per_10cm": 20}
    brim = {"gauge": {"stitches_per_10cm": 61.3, "rounds_per_10cm": 20}, "stitch_multiple": 1}

    answer = _fits(client, target_circumference_cm=200, gauge=fine, stitch_multiple=1, limit=20, brim=brim)

    assert len(answer["candidates"]) == 20
    assert len(str(answer)) < 200_000
