"""Crowns over HTTP: schedules and reviews."""

import pytest

GAUGE = {"stitches_per_10cm": 20, "rounds_per_10cm": 14.5455}
CABLE = {
    "stitch": "dc",
    "columns": [
        {"face": "back", "width": 2},
        {"face": "front", "width": 8, "crossing": {"over": 4, "lean": "right"}},
    ],
    "round_repeat_count": 2,
}
ORDER = {"start_stitch_count": 100, "gauge": GAUGE, "fabric": CABLE, "closing_stitch_count_max": 12}


def test_a_textured_crown_comes_out_as_worked_by_hand(client):
    # Back 2 and crossed 8, N 10, 5.0 by 6.875 mm, K 8: our own exact optimum, found by brute force as well.
    answer = client.post("/v1/crown-schedules", json={**ORDER, "crown_round_count": 8}).json

    assert [each["stitch_count"] for each in answer["rounds"]] == [60, 60, 40, 40, 30, 20, 10, 5]
    assert answer["cost"] == pytest.approx(0.128, abs=0.001)


def test_each_round_uses_up_the_one_before_and_is_written(client):
    answer = client.post("/v1/crown-schedules", json=ORDER).json

    before = 100
    for each in answer["rounds"]:
        assert each["consumed_stitch_count"] == before
        assert each["text"]
        before = each["stitch_count"]
    assert before == answer["closing_stitch_count"]


def test_too_few_rounds_say_how_many_would_do(client):
    refused = client.post("/v1/crown-schedules", json={**ORDER, "crown_round_count": 1})

    assert refused.status_code == 422
    fewest = refused.json["smallest_round_count"]
    assert client.post("/v1/crown-schedules", json={**ORDER, "crown_round_count": fewest}).status_code == 200


def test_a_crown_of_more_rounds_than_any_hat_is_refused_at_once(client):
    # Found by generated requests: a slip of the gauge asked for a hundred thousand rounds.
    wide = {"start_stitch_count": 2000, "gauge": {"stitches_per_10cm": 0.5, "rounds_per_10cm": 150}}

    refused = client.post("/v1/crown-schedules", json=wide)

    assert refused.status_code == 422
    assert refused.json["type"] == "/problems/hat-out-of-bounds"
    assert refused.json["limit"] == 400


def test_a_gathered_crown_is_accepted_as_what_it_is(client):
    # The crown of a worked hat, common practice, no source.
    answer = client.post(
        "/v1/crown-reviews",
        json={
            "stitch_counts": [60, 60, 60, 40, 40, 30, 10, 5],
            "start_stitch_count": 100,
            "gauge": GAUGE,
            "fabric": CABLE,
            "crown_shape": "gathered",
        },
    ).json

    assert answer["accepted"] is True
    assert answer["verdict"] == "gathers"
    assert answer["shape_error"] == pytest.approx(0.189, abs=0.001)
    assert len(answer["proposed"]["stitch_counts"]) == 8


def test_a_fabric_far_too_complex_is_refused_with_a_number_that_can_be_read(client):
    # Found by a tester: the reckoned work had more digits than JSON numbers hold.
    faces = [("front", 8), ("back", 7), ("front", 6), ("back", 5)]
    fabric = {"stitch": "dc", "columns": [{"face": face, "width": width} for face, width in faces]}
    order = {"start_stitch_count": 260, "gauge": GAUGE, "fabric": fabric, "crown_group_count": 5}

    refused = client.post("/v1/crown-schedules", json=order)

    assert refused.status_code == 422
    assert refused.json["type"] == "/problems/fabric-too-complex"
    assert refused.json["limit"] < refused.json["work_units"] <= 10**9
