"""Shopping lists: what the class itself reckons, in either form, whatever the order of its people."""

import csv
import io
import random
from typing import Any

import pytest
from flask.testing import FlaskClient

from service.api.answers.shopping_lists import SHOPPING_COLUMNS
from tests.class_orders import HOSTILE, WORSTED, YARNS, class_order, person

PATH = "/v1/shopping-lists"
PEOPLE = [person(number, 50 + number % 7, yarn_choice=number % 2) for number in range(12)]


def _list(client: FlaskClient, order: dict[str, Any]) -> Any:
    return client.post(PATH, json=order).json


def _table(client: FlaskClient, order: dict[str, Any]) -> list[dict[str, str]]:
    answer = client.post(PATH, json=order, headers={"Accept": "text/csv"})
    assert answer.status_code == 200
    return list(csv.DictReader(io.StringIO(answer.text, newline=""), strict=True))


@pytest.mark.parametrize(
    ("accept", "media_type"),
    [
        (None, "application/json"),
        ("", "application/json"),
        ("*/*", "application/json"),
        ("text/csv", "text/csv"),
        ("text/*", "text/csv"),
        ("application/json;q=0.1, text/csv", "text/csv"),
    ],
)
def test_accept_chooses_the_form(client: FlaskClient, accept: str | None, media_type: str) -> None:
    headers = {} if accept is None else {"Accept": accept}

    first, second = (
        client.post(PATH, json=class_order(PEOPLE, yarns=YARNS), headers=headers) for _ in range(2)
    )

    assert first.status_code == 200
    assert first.mimetype == media_type
    assert first.data == second.data
    assert "Accept" in first.headers["Vary"]


def test_a_form_that_is_not_made_is_refused_and_the_others_are_named(client: FlaskClient) -> None:
    answer = client.post(PATH, json=class_order(PEOPLE, yarns=YARNS), headers={"Accept": "text/html"})

    assert answer.status_code == 406
    assert (answer.json or {})["available"] == ["application/json", "text/csv"]
    assert "Accept" in answer.headers["Vary"]


def test_a_table_is_kept_under_a_name_and_says_how_it_is_written(client: FlaskClient) -> None:
    answer = client.post(PATH, json=class_order(PEOPLE, yarns=YARNS), headers={"Accept": "text/csv"})

    assert answer.headers["Content-Type"] == "text/csv; charset=utf-8; header=present"
    assert answer.headers["Content-Disposition"] == 'attachment; filename="shopping-list.csv"'
    assert answer.text.splitlines()[0] == ",".join(SHOPPING_COLUMNS)
    assert answer.text.count("\n") == answer.text.count("\r\n")


def test_what_is_bought_is_what_the_class_reckons(client: FlaskClient) -> None:
    order = class_order(PEOPLE, yarns=YARNS)
    kits: Any = client.post("/v1/class-kits", json=order).json

    made = _list(client, order)

    for name in ("kit_count", "problem_count", "ball_count", "length_m", "mass_g"):
        assert made["totals"][name] == kits["totals"][name]
    for bought, total in zip(made["yarns"], kits["yarns"], strict=True):
        for name in ("position", "name", "colour", "kit_count", "length_m", "mass_g"):
            assert bought[name] == total[name]
    bought, balls = made["yarns"][0], kits["yarns"][0]["balls"]
    assert [bought[f"{name}_ball_count"] for name in ("by_kit", "pooled", "spare")] == [
        balls[name] for name in ("by_kit", "pooled", "spare")
    ]
    assert bought["buy_count"] == balls["one_lot"]
    assert {each["name"]: each["buy_count"] for each in made["notions"]} == {
        each["name"]: each["count"] for each in kits["notions"]
    }


def test_what_is_left_over_is_the_balls_less_the_need(client: FlaskClient) -> None:
    order = class_order(PEOPLE, yarns=YARNS)
    kits: Any = client.post("/v1/class-kits", json=order).json

    [yarn, no_ball] = _list(client, order)["yarns"]

    left_m = [kit["plan"]["yarn"]["buy"]["leftover_m"] for kit in kits["kits"][::2]]
    assert yarn["by_kit_leftover_m"] == pytest.approx(sum(left_m))
    assert yarn["pooled_leftover_m"] == pytest.approx(
        85 * yarn["pooled_ball_count"] - yarn["length_m"], abs=0.5
    )
    assert no_ball["pooled_leftover_m"] is None
    assert no_ball["buy_count"] is None


def test_lengths_and_masses_stand_in_both_systems(client: FlaskClient) -> None:
    made = _list(client, class_order(PEOPLE, yarns=YARNS))

    for row in (*made["yarns"], made["totals"]):
        assert row["length_yd"] == pytest.approx(row["length_m"] / 0.9144, abs=0.06)
        assert row["mass_oz"] == pytest.approx(row["mass_g"] / 28.3495, abs=0.06)
    assert " yd), " in made["yarns"][1]["text"]


def test_hooks_stand_by_size_thinnest_first_and_once_whatever_the_terms(client: FlaskClient) -> None:
    people = [person(1, terms="uk"), person(2), person(3, yarn_choice=1), person(4, yarn_choice=1)]

    hooks = _list(client, class_order(people, yarns=YARNS))["hooks"]

    assert [hook["buy_count"] for hook in hooks] == [2, 2]
    assert hooks[0]["hook_mm_low"] < hooks[1]["hook_mm_low"]


def test_those_without_a_kit_are_named_with_the_reason_and_nothing_is_bought_for_them(
    client: FlaskClient,
) -> None:
    bad = [person(7, 5.6), {"reference": "Ann Lee", "head": {"circumference_cm": 56}}]

    with_bad = _list(client, class_order([*PEOPLE, *bad], yarns=YARNS))
    without = _list(client, class_order(PEOPLE, yarns=YARNS))

    assert [(each["number"], each["reference"]) for each in with_bad["left_out"]] == [
        (13, "seat-7"),
        (14, None),
    ]
    assert with_bad["left_out"][0]["problem"] == "/problems/invalid-request"
    assert with_bad["left_out"][0]["text"] == "Head in cm: Give a number from 20 to 75."
    assert with_bad["left_out"][1]["text"].startswith("Reference: This could be a name.")
    assert with_bad["yarns"] == without["yarns"]
    assert with_bad["totals"]["problem_count"] == 2


def test_the_order_of_the_participants_changes_nothing(client: FlaskClient) -> None:
    people = [
        person(number, 49 + number % 9, yarn_choice=number % 2, terms=("us", "uk")[number % 3 == 0])
        for number in range(20)
    ]
    shuffled = random.Random(5).sample(people, k=len(people))

    for accept in ("application/json", "text/csv"):
        first, second = (
            client.post(PATH, json=class_order(each, yarns=YARNS), headers={"Accept": accept})
            for each in (people, shuffled)
        )

        assert first.data == second.data


def test_the_table_has_every_row_of_the_lists(client: FlaskClient) -> None:
    order = class_order([*PEOPLE, person(99, 3)], yarns=YARNS)
    made = _list(client, order)

    rows = _table(client, order)

    told = {
        "yarns": "yarn",
        "hooks": "hook",
        "notions": "notion",
        "left_out": "left_out",
        "notices": "notice",
    }
    expected = [{"kind": kind, **row} for member, kind in told.items() for row in made[member]]
    assert len(rows) == len(expected)
    for row, wanted in zip(rows, expected, strict=True):
        assert set(wanted) <= set(SHOPPING_COLUMNS)
        assert row == {
            column: "" if wanted.get(column) is None else str(wanted[column]) for column in SHOPPING_COLUMNS
        }


@pytest.mark.parametrize("text", HOSTILE)
def test_no_name_and_no_colour_is_a_formula(client: FlaskClient, text: str) -> None:
    yarns = [{"name": text, "colour": text, **WORSTED}]

    [row] = [each for each in _table(client, class_order(PEOPLE[:1], yarns=yarns)) if each["kind"] == "yarn"]

    is_formula = text.lstrip("'\" ")[0] in "=+-@＝"
    assert row["name"] == row["colour"] == (f"'{text}" if is_formula else text)


def test_a_class_without_yarn_buys_hooks_and_notions(client: FlaskClient) -> None:
    made = _list(client, class_order([person(1)], design={"hook_mm": 4}))

    assert made["yarns"] == []
    assert made["totals"]["length_yd"] is None
    assert [(hook["hook_mm_low"], hook["buy_count"]) for hook in made["hooks"]] == [(4, 1)]


def test_a_class_of_problems_alone_buys_nothing(client: FlaskClient) -> None:
    made = _list(client, class_order([person(1, 5)], yarns=YARNS))

    assert [yarn["buy_count"] for yarn in made["yarns"]] == [0, None]
    assert made["yarns"][0]["text"] == "None: no kit is made of it."
    assert (made["hooks"], made["notions"], made["notices"]) == ([], [], [])


def test_figures_that_differ_are_told_for_the_kit_that_takes_most(client: FlaskClient) -> None:
    made = _list(client, class_order([person(1, 50), person(2, 60)], yarns=YARNS[:1]))

    told = {notice["code"]: notice["text"] for notice in made["notices"]}
    assert told["yarn_estimate_rough"].startswith("All kits; for the one that takes most yarn: ")
    assert "kits" not in told["one_dye_lot"]


def test_working_shows_how_the_balls_were_reached(client: FlaskClient) -> None:
    made = _list(client, class_order(PEOPLE, yarns=YARNS, design={"show_working": True}))

    shown = {line["name"]: line["value"] for line in made["working"]}
    assert shown["yarn_0.pooled"] == made["yarns"][0]["pooled_ball_count"]
    assert "working" not in _list(client, class_order(PEOPLE, yarns=YARNS))


def test_a_design_that_cannot_be_is_refused_as_for_class_kits(client: FlaskClient) -> None:
    order = class_order([person(1)], design={"fit": "close", "ease_cm": -3})

    refused = client.post(PATH, json=order, headers={"Accept": "text/csv"})

    assert refused.status_code == 422
    assert refused.mimetype == "application/problem+json"
    assert (refused.json or {})["type"] == "/problems/choose-one"


def test_a_class_of_five_hundred_may_be_longer_than_other_requests(client: FlaskClient) -> None:
    yarns = [{"name": "n" * 120, "colour": "c" * 120, **WORSTED}]
    people = [person(number, 50 + number % 9) for number in range(500)]

    answer = client.post(PATH, json={**class_order(people, yarns=yarns)})

    assert (answer.json or {})["totals"]["kit_count"] == 500
