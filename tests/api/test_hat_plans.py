"""Whole hats over HTTP: what a caller gets, what is refused, and the same bytes for the same request."""

import json
import os
import subprocess
import sys

import pytest

PATH = "/v1/hat-plans"
GOOD = {
    "head": {"circumference_cm": 57},
    "gauge": {"stitches_per_10cm": 18.5, "rounds_per_10cm": 11.5},
    "fabric": {"fabric_id": "cable-2x2"},
}
CABLE = {
    "stitch": "dc",
    "columns": [
        {"face": "back", "width": 2},
        {"face": "front", "width": 6, "crossing": {"over": 3, "lean": "right"}},
    ],
    "round_repeat_count": 4,
}


def _post(client, **changes):
    return client.post(PATH, json={**GOOD, **changes})


def _columns(columns, **rest):
    return {"fabric": {**CABLE, "columns": columns, **rest}}


def test_one_request_returns_a_whole_hat(client):
    plan = _post(client, yarn={"ball": {"mass_g": 100, "length_m": 170}}).json

    assert plan["counts"]["foundation"] == plan["rounds"][0]["consumed_stitch_count"]
    assert [each["round"] for each in plan["rounds"]] == list(range(1, len(plan["rounds"]) + 1))
    assert sum(part["round_count"] for part in plan["sections"]) == len(plan["rounds"])
    assert plan["yarn"]["buy"]["ball_count"] >= 1
    assert len(plan["alternatives"]) >= 2


def test_printed_yarn_by_round_adds_up_to_the_printed_sum(client):
    plan = _post(client, yarn={"ball": {"mass_g": 100, "length_m": 170}}).json

    total = plan["foundation"]["yarn_m"]
    for each in plan["rounds"]:
        total += each["yarn_m"]
        assert each["cumulative_yarn_m"] == pytest.approx(total, abs=0.001)
    assert plan["yarn"]["length_m"]["median"] == pytest.approx(total, abs=0.051)


def test_every_figure_that_nobody_measured_is_listed(client):
    plan = _post(client).json

    assumed = {each["name"] for each in plan["assumptions"]}
    assert {"fabric_thickness_mm", "grip_percent", "width_error_percent", "pace_units_per_minute"} <= assumed


def test_working_is_there_only_when_it_is_asked_for(client):
    assert "working" not in _post(client).json
    assert _post(client, show_working=True).json["working"]


def test_uk_terms_have_no_single_crochet(client):
    plan = _post(client, fabric={"fabric_id": "plain-sc"}, brim=None, terms="uk").json

    text = " ".join(each["text"] for each in plan["rounds"])
    assert "dc in each" in text
    assert " sc " not in text


def test_a_baby_hat_carries_the_cautions_in_their_words(client):
    plan = _post(client, head={"age_months": 6}, gauge={"stitches_per_10cm": 22, "rounds_per_10cm": 16}).json

    texts = {notice["code"]: notice["text"] for notice in plan["notices"]}
    assert texts["sleep"] == (
        "Take the hat off a sleeping baby, and indoors. Overheating and a covered face are dangerous."
    )
    assert {"small_parts", "cords", "selling"} <= set(texts)


@pytest.mark.parametrize(
    ("changes", "slug", "members"),
    [
        ({"fit": "close", "ease_cm": -3}, "choose-one", {"fields", "given"}),
        ({"covers": "mid_ear", "depth_cm": 20}, "choose-one", {"fields"}),
        ({"crown_round_count": 8, "crown_depth_cm": 6}, "choose-one", {"fields"}),
        ({"section_count": 8}, "choose-one", {"fields"}),
        (
            {"brim": {"fabric_id": "post-rib-1x1", "round_count": 3, "height_cm": 4}},
            "choose-one",
            {"fields"},
        ),
        (
            _columns([{"face": "front", "width": 5, "crossing": {"over": 2, "lean": "left"}}]),
            "crossing-unequal",
            {"width", "over"},
        ),
        ({"crown_round_count": 2}, "crown-cannot-close", {"smallest_round_count"}),
        (
            _columns([{"face": "front", "width": 16}, {"face": "back", "width": 16}] * 2)
            | {"gauge": {"stitches_per_10cm": 5, "rounds_per_10cm": 5}},
            "repeat-wider-than-hat",
            {"largest_stitch_multiple"},
        ),
        ({"brim": {"fabric_id": "post-rib-1x1", "height_cm": 20}}, "brim-too-tall", {"depth_cm"}),
        (_columns([{"face": "front", "width": 16}] * 5), "fabric-too-complex", {"work_units", "limit"}),
        ({"yarn": {}}, "yarn-underdetermined", {"missing"}),
        ({"round_style": "spiral"}, "spiral-needs-plain-fabric", {"stitches"}),
        (
            _columns(
                [{"face": "front", "width": 4, "crossing": {"over": 2, "lean": "left", "round": 4}}],
                round_repeat_count=4,
            ),
            "crossing-outside-repeat",
            {"largest_round"},
        ),
    ],
)
def test_what_cannot_be_satisfied_says_what_would_fit(client, changes, slug, members):
    response = _post(client, **changes)

    assert response.status_code == 422
    assert response.json["type"] == f"/problems/{slug}"
    assert members <= set(response.json)


def test_a_repeat_of_one_stitch_face_turned_into_its_smallest_period_still_closes(client):
    doubled = [{"face": "front", "width": 1}, {"face": "back", "width": 1}] * 2

    assert _post(client, **_columns(doubled)).status_code == 200


@pytest.mark.parametrize(
    ("changes", "pointer"),
    [
        ({"head": {"circumference_cm": 57, "size_id": "adult-m"}}, "/head"),
        ({"head": {}}, "/head"),
        ({"head": {"circumference_cm": 19.9}}, "/head/circumference_cm"),
        ({"fabric": {"fabric_id": "moss"}}, "/fabric/fabric_id"),
        (_columns([]), "/fabric/columns"),
        (_columns([{"face": "front", "width": 0}]), "/fabric/columns/0/width"),
        ({"gauge": {"stitches_per_10cm": 18}}, "/gauge/rounds_per_10cm"),
        ({"gauge": {"stitches_per_10cm": 121, "rounds_per_10cm": 11}}, "/gauge/stitches_per_10cm"),
        ({"colour": "red"}, "/colour"),
        ({"yarn": {"fibre": "steel"}}, "/yarn/fibre"),
        ({"swatch": {"mass_g": 10, "stitch_counts": {"knit": 3}}}, "/swatch/stitch_counts/knit"),
    ],
)
def test_what_breaks_the_document_is_named_by_a_pointer(client, changes, pointer):
    response = _post(client, **changes)

    assert response.status_code == 422
    assert response.json["type"] == "/problems/invalid-request"
    assert pointer in [fault["pointer"] for fault in response.json["errors"]]


def test_the_order_of_keys_changes_nothing(client):
    turned = json.dumps(dict(reversed([*GOOD.items()]))).encode()

    again = client.post(PATH, data=turned, content_type="application/json")

    assert again.data == _post(client).data


_SCRIPT = """
import json, sys
from service.application import create_app
from service.configuration import read_configuration
client = create_app(read_configuration({})).test_client()
sys.stdout.buffer.write(client.post("/v1/hat-plans", json=json.loads(sys.argv[1])).data)
"""


def test_the_same_request_gives_the_same_bytes_under_any_time_zone_and_hash_seed():
    answers = [
        subprocess.run(
            [sys.executable, "-c", _SCRIPT, json.dumps(GOOD)],
            env={**os.environ, "TZ": zone, "PYTHONHASHSEED": seed, "LC_ALL": locale},
            capture_output=True,
            check=True,
        ).stdout
        for zone, seed, locale in (("UTC", "1", "C"), ("Asia/Tokyo", "77", "C.UTF-8"))
    ]

    assert answers[0] == answers[1]
    assert answers[0]


def test_only_a_round_in_the_foundation_is_worked_into_chains(client):
    plan = _post(client, fabric={"fabric_id": "plain-dc"}, brim=None).json

    assert "in each ch around" in plan["rounds"][0]["text"]
    assert all("in each st around" in each["text"] for each in plan["rounds"][1:4])
