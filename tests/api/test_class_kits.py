"""Classes over HTTP: kits in the order sent, one problem among many kits, and nobody's name kept or told."""

import json
import random
from typing import Any

import pytest
from flask.testing import FlaskClient

PATH = "/v1/class-kits"
DESIGN: dict[str, Any] = {
    "gauge": {"stitches_per_10cm": 18.5, "rounds_per_10cm": 11.5},
    "fabric": {"fabric_id": "cable-2x2"},
}
YARN = {"weight_category": 4, "ball": {"mass_g": 50, "length_m": 85}}
YARNS = [{"name": "Harbour wool", "colour": "sand", **YARN}, {"name": "Fine wool", "tex": 400}]


def _person(number: int, head_cm: Any = 56, **options: Any) -> dict[str, Any]:
    return {"reference": f"seat-{number}", "head": {"circumference_cm": head_cm}, **options}


def _json(client: FlaskClient, path: str, body: Any) -> Any:
    return client.post(path, json=body).json


def _post(client: FlaskClient, people: Any, design: dict[str, Any] | None = None, **rest: Any) -> Any:
    body = {"participants": people, "design": {**DESIGN, **(design or {})}, **rest}
    return client.post(PATH, json=body)


def test_every_kit_is_the_plan_of_its_head_alone_and_in_the_order_sent(client: FlaskClient) -> None:
    heads_cm = (58, 50, 61.5, 58)

    made = _post(
        client, [_person(number, head_cm) for number, head_cm in enumerate(heads_cm)], design={"yarn": YARN}
    ).json

    assert [kit["reference"] for kit in made["kits"]] == ["seat-0", "seat-1", "seat-2", "seat-3"]
    assert [kit["number"] for kit in made["kits"]] == [1, 2, 3, 4]
    for kit, head_cm in zip(made["kits"], heads_cm, strict=True):
        wish = {**DESIGN, "yarn": YARN, "head": {"circumference_cm": head_cm}}
        plan = _json(client, "/v1/hat-plans", wish)
        for member in ("counts", "size", "yarn", "hours", "fit_probability", "finished_depth_cm"):
            assert kit["plan"][member] == plan[member]
        assert "rounds" not in kit["plan"]
    assert made["totals"]["distinct_plan_count"] == 3


def test_a_design_the_plan_refuses_is_refused_for_the_class(client: FlaskClient) -> None:
    refused = _post(client, [_person(1)], design={"fit": "close", "ease_cm": -3}).json

    assert refused["type"] == "/problems/choose-one"


@pytest.mark.parametrize(
    ("options", "pointer"),
    [
        ({"head": {"circumference_cm": 5.6}}, "/participants/41/head/circumference_cm"),
        ({"head": {"circumference_cm": 10**400}}, "/participants/41/head/circumference_cm"),
        ({"head": {"size_id": "huge"}}, "/participants/41/head/size_id"),
        ({"head": {"age_months": -3}}, "/participants/41/head/age_months"),
        ({"fit": "loose"}, "/participants/41/fit"),
        ({"terms": "au"}, "/participants/41/terms"),
        ({"evenness": ""}, "/participants/41/evenness"),
        ({"handedness": "both"}, "/participants/41/handedness"),
        ({"yarn_choice": 2}, "/participants/41/yarn_choice"),
        ({"yarn_choice": -1}, "/participants/41/yarn_choice"),
        ({"reference": ""}, "/participants/41/reference"),
    ],
)
def test_one_bad_among_a_hundred_is_one_problem_and_ninety_nine_kits(
    client: FlaskClient, options: dict[str, Any], pointer: str
) -> None:
    people = [_person(number, 50 + number % 9) for number in range(100)]
    people[41] |= options

    made = _post(client, people, yarns=YARNS).json

    bad = [kit for kit in made["kits"] if kit["plan"] is None]
    assert [kit["number"] for kit in bad] == [42]
    assert bad[0]["problem"]["type"] == "/problems/invalid-request"
    assert [fault["pointer"] for fault in bad[0]["problem"]["errors"]] == [pointer]
    assert sum(kit["problem"] is None for kit in made["kits"]) == 99
    assert (made["totals"]["kit_count"], made["totals"]["problem_count"]) == (99, 1)


def test_a_hat_that_cannot_be_made_tells_what_would_do(client: FlaskClient) -> None:
    wide = {"stitch": "dc", "columns": [{"face": "front", "width": 16}, {"face": "back", "width": 16}] * 2}

    made = _post(client, [_person(1, 56), _person(2, 25)], design={"fabric": wide}).json

    problem = made["kits"][1]["problem"]
    assert made["kits"][0]["plan"] is not None
    assert problem["type"] == "/problems/repeat-wider-than-hat"
    assert 1 < problem["largest_stitch_multiple"] < 64
    assert problem["status"] == 422
    assert "errors" not in problem


@pytest.mark.parametrize(
    ("options", "pointer"),
    [
        ({"head": {"circumference_cm": "56"}}, "/participants/1/head/circumference_cm"),
        ({"head": {"circumference_cm": True}}, "/participants/1/head/circumference_cm"),
        ({"head": {"circumference_cm": 56, "size_id": "adult-m"}}, "/participants/1/head"),
        ({"head": {"circumference_cm": 56, "sex": "male"}}, "/participants/1/head/sex"),
        ({"fit": 1}, "/participants/1/fit"),
        ({"yarn_choice": 0.5}, "/participants/1/yarn_choice"),
        ({"yarn_choice": None}, "/participants/1/yarn_choice"),
        ({"name": "x"}, "/participants/1/name"),
        ({"reference": 7}, "/participants/1/reference"),
    ],
)
def test_a_wrong_type_or_an_unknown_key_is_refused_for_the_class(
    client: FlaskClient, options: dict[str, Any], pointer: str
) -> None:
    refused = _post(client, [_person(0), {**_person(1), **options}], yarns=YARNS)

    assert refused.status_code == 422
    assert [fault["pointer"] for fault in refused.json["errors"]] == [pointer]


@pytest.mark.parametrize(
    ("reference", "code", "word"),
    [
        ("ada.l@post.example", "personal_data", "e-mail"),
        ("Ada Lovelace", "personal_data", "name"),
        ("Ada\u00a0L", "personal_data", "name"),
        ("seat 7", "personal_data", "name"),
        ("-desk", "bad_form", "letter or digit first"),
        ("seat-7\n", "bad_form", "letters"),
        ("=1+1", "bad_form", "letters"),
        ("x" * 65, "bad_form", "64"),
    ],
)
def test_a_reference_that_could_tell_who_it_is_is_refused_and_not_sent_back(
    client: FlaskClient, reference: str, code: str, word: str
) -> None:
    answer = _post(client, [_person(0), {**_person(1), "reference": reference}])

    kit = answer.json["kits"][1]
    [fault] = kit["problem"]["errors"]
    assert kit["reference"] is None
    assert kit["plan"] is None
    assert (fault["pointer"], fault["code"]) == ("/participants/1/reference", code)
    assert word in fault["detail"]
    assert json.dumps(reference)[1:-1] not in answer.text
    assert answer.json["kits"][0]["plan"] is not None


def test_all_that_is_wrong_with_somebody_is_told_at_once(client: FlaskClient) -> None:
    bad = {"reference": "a b", "head": {"circumference_cm": 5}, "fit": "x", "yarn_choice": 1}

    [kit] = _post(client, [bad]).json["kits"]

    told = {fault["pointer"].rpartition("/")[2] for fault in kit["problem"]["errors"]}
    assert {"reference", "circumference_cm", "fit"} <= told


@pytest.mark.parametrize("choice", [-1, 2, 10**400])
@pytest.mark.parametrize(
    ("rest", "words"),
    [
        ({"yarns": YARNS}, "Give a whole number from 0 to 1: the place of a yarn among the 2 `yarns`."),
        ({"yarns": YARNS[:1]}, "Give 0 or leave it out: there is one yarn."),
        ({"design": {"yarn": YARN}}, "Give 0 or leave it out: there is one yarn."),
        ({}, "Leave it out: there are no `yarns` to choose from."),
    ],
)
def test_a_choice_that_is_none_says_what_there_is_to_choose(
    client: FlaskClient, choice: int, rest: dict[str, Any], words: str
) -> None:
    [kit] = _post(client, [_person(1, yarn_choice=choice)], **rest).json["kits"]

    assert kit["problem"]["errors"] == [
        {"pointer": "/participants/0/yarn_choice", "code": "out_of_range", "detail": words}
    ]


def test_balls_hooks_notions_and_sizes_are_those_of_all_kits(client: FlaskClient) -> None:
    people = [_person(number, 54 + number % 5, yarn_choice=number % 2) for number in range(20)]

    made = _post(client, people, design={"hook_mm": 5}, yarns=YARNS).json

    plans = [kit["plan"] for kit in made["kits"]]
    sand, fine = made["yarns"]
    assert (sand["name"], sand["colour"], fine["colour"]) == ("Harbour wool", "sand", None)
    assert sand["balls"]["by_kit"] == sum(plan["yarn"]["buy"]["ball_count"] for plan in plans[::2])
    assert sand["balls"]["pooled"] <= sand["balls"]["by_kit"]
    assert fine["balls"] is None
    assert sand["length_m"] == pytest.approx(sum(plan["yarn"]["buy"]["length_m"] for plan in plans[::2]))
    assert made["totals"]["hours"] == pytest.approx(sum(plan["hours"]["hours"] for plan in plans))
    assert [(hook["low_mm"], hook["kit_count"]) for hook in made["hooks"]] == [(5, 20)]
    assert {notion["name"]: notion["count"] for notion in made["notions"]} == {"needle": 20, "marker": 20}
    assert [(size["metric_cm"], size["kit_count"]) for size in made["size_histogram"]] == [
        (54, 4),
        (55, 4),
        (56, 4),
        (57, 4),
        (58, 4),
    ]


def test_without_a_swatch_hook_each_yarn_has_its_own_thinnest_first(client: FlaskClient) -> None:
    people = [_person(1), _person(2, yarn_choice=1), _person(3, yarn_choice=1)]

    made = _post(client, people, yarns=YARNS).json

    assert [hook["kit_count"] for hook in made["hooks"]] == [2, 1]
    assert made["hooks"][0]["high_mm"] < made["hooks"][1]["high_mm"]


def test_a_hook_stands_once_whatever_the_terms_of_its_people(client: FlaskClient) -> None:
    people = [_person(number, terms=("us", "uk")[number % 2]) for number in range(6)]

    made = _post(client, people, yarns=YARNS[:1]).json

    [hook] = made["hooks"]
    assert hook["kit_count"] == 6
    assert "US I-9 to K-10.5" in hook["text"]


def test_notices_stand_the_most_serious_first_then_by_code(client: FlaskClient) -> None:
    people = [_person(1), {"reference": "k2", "head": {"age_months": 12}}, _person(3, handedness="left")]

    told = [(each["severity"], each["code"]) for each in _post(client, people, yarns=YARNS).json["notices"]]

    assert told == sorted(told, key=lambda each: (["warning", "caution", "info"].index(each[0]), each[1]))
    assert ("warning", "sleep") in told[:3]


def test_permuting_the_participants_changes_nothing_but_order(client: FlaskClient) -> None:
    heads: list[Any] = [{"circumference_cm": 50 + number} for number in range(6)]
    heads += [{"age_months": 9}, {"age_months": 30}, {"size_id": "adult-m"}]
    people = [
        {
            "reference": f"seat-{number}",
            "head": head,
            "fit": ("close", "standard", "relaxed")[number % 3],
            "terms": ("us", "uk")[number % 2],
            "yarn_choice": number % 2,
        }
        for number, head in enumerate(heads)
    ]
    numbered = list(enumerate(people, 1))
    shuffled = random.Random(3).sample(numbered, k=len(numbered))

    made = _post(client, people, yarns=YARNS).json
    other = _post(client, [person for _, person in shuffled], yarns=YARNS).json

    for member in ("yarns", "hooks", "notions", "size_histogram", "totals"):
        assert made[member] == other[member]
    assert [each["code"] for each in made["notices"]] == [each["code"] for each in other["notices"]]
    was = [number for number, _ in shuffled]
    for each in other["assumptions"]:
        if each["kit_numbers"] is not None:
            each["kit_numbers"] = sorted(was[number - 1] for number in each["kit_numbers"])
    assert made["assumptions"] == other["assumptions"]


def test_what_is_supposed_for_some_kits_only_names_them(client: FlaskClient) -> None:
    people = [_person(1), _person(2, fit="close"), _person(3), _person(4, fit="relaxed")]

    supposed = _post(client, people).json["assumptions"]

    grips = {each["value"]: each["kit_numbers"] for each in supposed if each["name"] == "grip_percent"}
    assert sorted(grips.values()) == [[1, 3], [2], [4]]
    assert grips[min(grips)] == [2]
    assert None in [each["kit_numbers"] for each in supposed]


def test_a_hat_longer_than_the_class_says_what_to_work_beforehand(client: FlaskClient) -> None:
    made = _post(client, [_person(1)], class_hours=3, pace_units_per_minute=12).json

    plan = made["kits"][0]["plan"]
    assert plan["fits_class"] is False
    assert plan["beforehand"]["hours"] >= plan["hours"]["hours"] - 3.1
    assert plan["beforehand"]["text"].startswith("Before the class, work rounds 1 to ")
    assert made["totals"]["fits_class_count"] == 0
    assert _post(client, [_person(1)]).json["kits"][0]["plan"]["fits_class"] is None


def test_the_pace_of_the_class_beats_the_pace_of_the_design(client: FlaskClient) -> None:
    slow = {"pace_units_per_minute": 6}

    made = [
        _post(client, [_person(1)], design=slow, **rest).json for rest in ({}, {"pace_units_per_minute": 12})
    ]

    hours = [each["kits"][0]["plan"]["hours"]["hours"] for each in made]
    assert hours[0] == pytest.approx(2 * hours[1], abs=0.1)


def test_options_of_participants_beat_those_of_the_design(client: FlaskClient) -> None:
    people = [_person(1), _person(2, terms="us", handedness="right"), _person(3, fit="relaxed")]

    made = _post(client, people, design={"terms": "uk", "handedness": "left", "fit": "close"}).json

    usual, other, relaxed = (kit["plan"] for kit in made["kits"])
    assert (usual["terms"], usual["handedness"]) == ("uk", "left")
    assert (other["terms"], other["handedness"]) == ("us", "right")
    assert relaxed["size"]["grip_percent"] > usual["size"]["grip_percent"]


def test_a_notice_that_is_not_for_everybody_says_for_how_many(client: FlaskClient) -> None:
    people = [_person(1), {"reference": "k2", "head": {"age_months": 12}}]

    made = _post(client, people).json

    told = {notice["code"]: notice["text"] for notice in made["notices"]}
    assert told["sleep"].startswith("1 of 2 kits: ")
    assert "kits" not in told["wash_swatch"]
    assert "sleep" in made["kits"][1]["plan"]["notice_codes"]
    assert "sleep" not in made["kits"][0]["plan"]["notice_codes"]


def test_yarns_of_the_class_and_a_yarn_of_the_design_exclude_each_other(client: FlaskClient) -> None:
    refused = _post(client, [_person(1)], design={"yarn": YARN}, yarns=YARNS).json

    assert refused["type"] == "/problems/choose-one"
    assert refused["given"] == ["yarns", "design.yarn"]


def test_a_yarn_of_the_class_that_nothing_is_known_of_says_which(client: FlaskClient) -> None:
    refused = _post(client, [_person(1)], yarns=[YARNS[0], {"name": "wool", "fibre": "wool"}]).json

    assert refused["type"] == "/problems/yarn-underdetermined"
    assert refused["missing"] == ["yarns.1.tex", "yarns.1.ball", "yarns.1.weight_category"]


def test_a_class_of_five_hundred_may_be_longer_than_other_requests(client: FlaskClient) -> None:
    people = [
        {"reference": f"{number:0>64}", "head": {"circumference_cm": 50 + number / 50}}
        for number in range(500)
    ]
    yarns = [{"name": "n" * 120, "colour": "c" * 120, **YARN}]
    filling = " " * 300_000

    body = json.dumps({"participants": people, "design": DESIGN, "yarns": yarns}) + filling
    answer = client.post(PATH, data=body, content_type="application/json")

    assert answer.status_code == 200
    assert (answer.json or {})["totals"]["kit_count"] == 500


def test_more_than_a_mebibyte_is_too_large(client: FlaskClient) -> None:
    refused = client.post(PATH, data="{}" + " " * 2**20, content_type="application/json")

    assert refused.status_code == 413
    assert (refused.json or {})["limit_bytes"] == 2**20


def test_a_class_that_costs_too_much_is_refused_before_the_work(client: FlaskClient) -> None:
    fine = {"gauge": {"stitches_per_10cm": 60, "rounds_per_10cm": 70}, "fabric": {"fabric_id": "plain-sc"}}

    refused = _post(client, [_person(number, 30 + 0.08 * number) for number in range(500)], design=fine)

    assert refused.json["type"] == "/problems/work-budget-exceeded"


def test_working_is_shown_kit_by_kit_when_asked_for(client: FlaskClient) -> None:
    made = _post(client, [_person(1), _person(2, 60), _person(3)], design={"show_working": True}).json

    names = {line["name"].partition(".")[0] for line in made["working"]}
    assert names == {"kit_1", "kit_2"}


def test_working_of_the_yarns_is_shown_beside_that_of_the_kits(client: FlaskClient) -> None:
    made = _post(client, [_person(1), _person(2, 60)], design={"show_working": True}, yarns=YARNS).json

    shown = {line["name"]: line["value"] for line in made["working"]}
    assert shown["yarn_0.pooled"] == made["yarns"][0]["balls"]["pooled"]
    assert "yarn_1.pooled" not in shown
