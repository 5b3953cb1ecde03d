"""Counting written patterns over the interface: verdicts, faults with their place, repairs, bounds."""

from typing import Any, NoReturn

import pytest
from flask.testing import FlaskClient

from service.application import create_app
from service.configuration import read_configuration
from service.notation.count_checks import MOST_SIZES
from service.notation.faults import FAULT_CODES
from service.notation.work_budgets import MOST_WORK
from service.patterns.proofs import PlanUnproved

PATH = "/v1/count-checks"
DISC = "Rnd 1: 6 sc in magic ring. (6)\nRnd 2: 2 sc in each st around. (12)"


def _check(client: FlaskClient, text: str, **order: Any) -> dict[str, Any]:
    response = client.post(PATH, json={"text": text, **order})
    assert response.status_code == 200, response.text
    return dict(response.json or {})


def _problem(client: FlaskClient, **order: Any) -> dict[str, Any]:
    response = client.post(PATH, json=order)
    assert response.status_code == 422, response.text
    return dict(response.json or {})


def test_a_right_pattern_agrees_line_by_line(client: FlaskClient) -> None:
    answer = _check(client, DISC)

    assert answer["verdict"] == "agrees"
    assert answer["rounds"][1] == {
        "line": 2,
        "round": 2,
        "last_round": 2,
        "consumed_stitch_count": 6,
        "stitch_count": 12,
        "declared_stitch_count": 12,
        "verdict": "agrees",
        "faults": [],
        "repair": None,
        "sizes": [],
    }


def test_a_wrong_round_is_named_with_its_place_and_its_repair(client: FlaskClient) -> None:
    # By hand: 8 stitches to a repeat, 10 repeats in 80; 9 of them leave 8 stitches over.
    text = "Rnd 20: [Sc in next 6 sts, sc2tog] 9 times. (70)"

    answer = _check(client, text, start_stitch_count=80)

    [entry] = answer["rounds"]
    assert answer["verdict"] == entry["verdict"] == "disagrees"
    assert entry["faults"] == [
        {
            "line": 1,
            "column": 9,
            "code": "left_over",
            "detail": "8 stitches of the round before are left over after the 9th repeat.",
        }
    ]
    assert entry["repair"] == {"line": 1, "column": 36, "written_count": 9, "right_count": 10}


def test_a_line_that_is_not_understood_says_what_was_expected(client: FlaskClient) -> None:
    answer = _check(client, "Rnd 1: 6 sc in magic ring. (6)\nRnd 2: sc in in next st. (6)")

    entry = answer["rounds"][1]
    assert answer["verdict"] == entry["verdict"] == "not_understood"
    assert (entry["round"], entry["stitch_count"], entry["declared_stitch_count"]) == (2, None, 6)
    assert "Expected" in entry["faults"][0]["detail"]


def test_headings_blank_lines_and_the_end_make_no_entry(client: FlaskClient) -> None:
    answer = _check(client, f"Crown\n\n{DISC}\n\nFasten off.")

    assert [entry["line"] for entry in answer["rounds"]] == [3, 4]


def test_the_terms_decide_what_a_stitch_is(client: FlaskClient) -> None:
    text = "Rnd 1: 6 dc in magic ring. (6)\nRnd 2: [dc2tog] 3 times. (3)"

    assert _check(client, text, terms="uk")["verdict"] == "agrees"
    assert _check(client, text.replace("dc", "sc"), terms="uk")["verdict"] == "not_understood"


def test_every_size_is_counted(client: FlaskClient) -> None:
    text = "Ch 60 (66, 72), join with sl st in first ch.\nRnd 1: Sc in each ch around. (60, 66, 71)"

    entry = _check(client, text)["rounds"][1]

    assert [size["stitch_count"] for size in entry["sizes"]] == [60, 66, 72]
    assert entry["verdict"] == "disagrees"


def test_lines_may_end_as_they_do_elsewhere(client: FlaskClient) -> None:
    assert _check(client, DISC.replace("\n", "\r\n"))["verdict"] == "agrees"


def test_the_working_names_each_line_that_was_counted(client: FlaskClient) -> None:
    answer = _check(client, DISC, show_working=True)

    assert [(line["name"], line["value"]) for line in answer["working"]] == [
        ("line_1_stitch_count", 6),
        ("line_2_stitch_count", 12),
    ]


def test_a_plan_written_by_the_service_agrees(client: FlaskClient) -> None:
    order = {
        "head": {"circumference_cm": 56},
        "gauge": {"stitches_per_10cm": 18.5, "rounds_per_10cm": 11.5},
        "fabric": {"fabric_id": "cable-3x3"},
        "terms": "uk",
    }
    plan = client.post("/v1/hat-plans", json=order).json or {}
    lines = [plan["foundation"]["text"], *(each["text"] for each in plan["rounds"]), plan["finishing"][0]]

    answer = _check(client, "\n".join(lines), terms="uk")

    assert plan["proof"] == {
        "verdict": "agrees",
        "terms": ["us", "uk"],
        "round_count": len(plan["rounds"]),
        "checker_version": plan["proof"]["checker_version"],
    }
    assert answer["verdict"] == "agrees"
    assert len(answer["rounds"]) == len(plan["rounds"]) + 2


def test_a_hostile_repeat_costs_nothing(client: FlaskClient) -> None:
    text = "Rnd 1: " + "[" * 40 + "sc in next st" + "] 2000 times" * 40

    assert _check(client, text)["verdict"] == "not_understood"


def test_more_bytes_than_are_read_are_refused(client: FlaskClient) -> None:
    problem = _problem(client, text="Ж" * 40_000)

    assert problem["type"] == "/problems/text-too-long"
    assert (problem["byte_count"], problem["limit_bytes"]) == (80_000, 65_536)


@pytest.mark.parametrize(
    ("order", "pointer"),
    [
        ({}, "/text"),
        ({"text": ""}, "/text"),
        ({"text": "a" * 65_537}, "/text"),
        ({"text": "Rnd 1:\u0007"}, "/text"),
        ({"text": "Rnd 1:\u202e"}, "/text"),
        ({"text": 5}, "/text"),
        ({"text": "Turn", "terms": "de"}, "/terms"),
        ({"text": "Turn", "start_stitch_count": 0}, "/start_stitch_count"),
        ({"text": "Turn", "start_stitch_count": 4001}, "/start_stitch_count"),
        ({"text": "Turn", "sizes": 3}, "/sizes"),
    ],
)
def test_what_breaks_the_document_is_pointed_at(
    client: FlaskClient, order: dict[str, Any], pointer: str
) -> None:
    problem = _problem(client, **order)

    assert problem["type"] == "/problems/invalid-request"
    assert [fault["pointer"] for fault in problem["errors"]] == [pointer]


def test_a_fault_never_echoes_what_was_sent(client: FlaskClient) -> None:
    answer = _check(client, "Rnd 1: zzsecretzz in next st")

    assert "zzsecretzz" not in str(answer)


def test_a_plan_that_cannot_be_proved_is_a_failure_of_the_service_and_never_sent() -> None:
    app = create_app(read_configuration({}))

    def unproved() -> NoReturn:
        raise PlanUnproved(terms_id="us", text="Rnd 3: secret words", reason="it begins otherwise")

    app.add_url_rule("/unproved", view_func=unproved)
    response = app.test_client().get("/unproved")

    assert response.status_code == 500
    assert response.content_type == "application/problem+json"
    assert (response.json or {})["type"] == "/problems/internal-error"
    assert "secret" not in response.text


def test_the_bounds_of_a_text_stand_in_the_document(client: FlaskClient) -> None:
    document = client.get("/openapi.json").json or {}
    told = document["components"]["schemas"]["CountCheckRequest"]["properties"]["text"]["description"]

    page = client.get("/problems/text-too-long").text

    for bound in ("400 rounds", f"{MOST_SIZES} sizes", f"{MOST_WORK:,} work units"):
        assert bound in told
        assert bound in page


def test_every_code_of_a_fault_stands_in_the_document(client: FlaskClient) -> None:
    document = client.get("/openapi.json").json or {}
    told = document["components"]["schemas"]["CountFault"]["properties"]["code"]["description"]

    assert [code for code in FAULT_CODES if f"`{code}`" not in told] == []


def test_many_sizes_of_many_rounds_are_counted_as_far_as_the_work_goes(client: FlaskClient) -> None:
    sizes = ", ".join(str(count) for count in range(61, 84))
    rounds = "\n".join(f"Rnd {k}: Sc in next {k} sts, sc in each st around." for k in range(1, 300))

    answer = _check(client, f"Ch 60 ({sizes}), join.\n{rounds}")

    assert answer["rounds"][1]["stitch_count"] == 60
    assert [fault["code"] for fault in answer["rounds"][-1]["faults"]] == ["too_long"]
    assert str(MOST_WORK) in answer["rounds"][-1]["faults"][0]["detail"]


def test_a_count_on_its_own_line_is_repaired_there(client: FlaskClient) -> None:
    answer = _check(client, "Rnd 1: Sc in each st around.\n(25 sts)", start_stitch_count=24)

    [entry] = answer["rounds"]
    assert (entry["line"], entry["verdict"], entry["faults"][0]["line"]) == (1, "disagrees", 2)
    assert entry["repair"] == {"line": 2, "column": 2, "written_count": 25, "right_count": 24}


def test_kinds_are_named_in_the_terms_of_the_text(client: FlaskClient) -> None:
    text = "Rnd 1: Dc in each st around. (24 tr)"

    [entry] = _check(client, text, terms="uk", start_stitch_count=24)["rounds"]

    assert entry["faults"][0]["detail"] == "The round makes 0 tr, not 24."


def test_a_round_out_of_number_keeps_the_verdict_of_its_counts(client: FlaskClient) -> None:
    text = "Rnd 1: Sc in each st around. (24)\nRnd 3: Sc in each st around. (24)"

    answer = _check(client, text, start_stitch_count=24)

    assert answer["verdict"] == "agrees"
    assert [fault["code"] for fault in answer["rounds"][1]["faults"]] == ["misnumbered"]
