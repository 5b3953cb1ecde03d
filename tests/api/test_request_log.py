"""One JSON line a request, which tells the operator enough and nothing that the caller sent."""

import json
import logging
import sys

import pytest
from flask import Flask

from service.api.log_lines import JsonLines, fault_to_json
from service.application import create_app
from service.configuration import read_configuration

SECRET = "s3cret-value"
SHAPING = {"from_stitch_count": 80, "to_stitch_count": 100}
PLAN = {
    "head": {"circumference_cm": 57},
    "gauge": {"stitches_per_10cm": 17, "rounds_per_10cm": 14},
    "fabric": {"fabric_id": "cable-2x2"},
}


@pytest.fixture(scope="module")
def failing_app() -> Flask:
    app = create_app(read_configuration({}))

    @app.get("/fails/<what>")
    def fail(what: str) -> str:
        try:
            raise KeyError(what)
        except KeyError as error:
            raise RuntimeError(f"no {what}") from error

    return app


def test_a_request_leaves_one_line_with_what_the_operator_needs(client, lines):
    answer = client.post("/v1/shaping-rounds", json=SHAPING, headers={"X-Request-Id": "order-7"})

    assert len(lines.text.splitlines()) == 1
    line = lines.last
    assert line.pop("time").endswith("+00:00")
    assert line.pop("milliseconds") > 0
    assert line == {
        "level": "info",
        "event": "request",
        "request_id": "order-7",
        "method": "POST",
        "route": "/v1/shaping-rounds",
        "status": 200,
        "byte_count": len(answer.data),
        "problem": None,
        "work_units": int(answer.headers["Work-Units"]),
        "key": None,
    }


def test_a_made_request_id_is_the_one_that_was_answered(client, lines):
    answer = client.get("/health/live")

    assert lines.last["request_id"] == answer.headers["X-Request-Id"]


def test_a_refusal_names_its_problem_type(client, lines):
    client.post("/v1/shaping-rounds", json={})

    assert (lines.last["status"], lines.last["problem"]) == (422, "invalid-request")


@pytest.mark.parametrize(
    ("path", "route"),
    [
        ("/problems/not-found", "/problems/<slug>"),
        ("/problems/nothing", "/problems/<slug>"),
        (f"/{SECRET}", "unmatched"),
        (f"/v1/{SECRET}", "unmatched"),
        (f"/?head_cm={SECRET}", "/"),
    ],
)
def test_a_line_has_the_template_of_a_route_never_the_address(client, lines, path, route):
    client.get(path)

    assert lines.last["route"] == route
    assert SECRET not in lines.text


def test_a_method_of_the_callers_making_is_another(client, lines):
    client.open("/v1/shaping-rounds", method="S3CRET")

    assert (lines.last["method"], lines.last["status"]) == ("other", 405)
    assert "S3CRET" not in lines.text


def test_an_answer_without_a_body_has_no_bytes(client, lines):
    client.head("/v1/fabrics")

    assert (lines.last["method"], lines.last["byte_count"]) == ("HEAD", 0)


@pytest.mark.parametrize("path", ["/v1/hat-plans", "/v1/pattern-sheets"])
def test_no_value_of_a_request_reaches_the_log(client, lines, path):
    headers = dict.fromkeys(
        ("X-API-Key", "Authorization", "Cookie", "User-Agent", "Referer", "X-Forwarded-For", "Accept"), SECRET
    )

    client.post(f"{path}?key={SECRET}", json={**PLAN, "title": SECRET}, headers=headers)
    client.post(path, json={**PLAN, SECRET: SECRET}, headers={"X-Request-Id": f"{SECRET} {SECRET}"})
    client.post(path, data=f"{{{SECRET}", content_type="application/json")
    client.post(path, data=SECRET, content_type=f"text/{SECRET}")

    assert len(lines.text.splitlines()) == 4
    assert SECRET not in lines.text


def test_no_line_has_an_address(client, lines):
    client.get("/health/live", environ_base={"REMOTE_ADDR": "192.0.2.77"})

    assert "192.0.2" not in lines.text


def test_a_fault_is_logged_with_its_places_and_without_its_words(failing_app, lines):
    answer = failing_app.test_client().get(f"/fails/{SECRET}", headers={"X-Request-Id": "order-8"})

    assert answer.status_code == 500
    assert SECRET not in answer.text
    fault, request = (json.loads(line) for line in lines.text.splitlines())
    assert (fault["level"], fault["event"], fault["request_id"]) == ("error", "fault", "order-8")
    assert fault["fault"]["types"] == ["RuntimeError", "KeyError"]
    assert any("in fail" in frame for frame in fault["fault"]["frames"])
    assert (request["status"], request["problem"]) == (500, "internal-error")
    assert SECRET not in lines.text


def test_no_place_of_a_fault_tells_where_this_machine_keeps_it(failing_app, lines):
    failing_app.test_client().get("/fails/x")

    frames = json.loads(lines.text.splitlines()[0])["fault"]["frames"]
    assert frames
    assert not any(frame.startswith("/") for frame in frames)


def test_a_fault_that_led_to_itself_is_told_once():
    first, second = ValueError(), KeyError()
    first.__cause__, second.__cause__ = second, first

    assert fault_to_json(first)["types"] == ["ValueError", "KeyError"]


def test_an_exception_in_any_record_is_told_without_its_words():
    try:
        raise ValueError(SECRET)
    except ValueError:
        record = logging.LogRecord("a", logging.ERROR, "f", 1, "words", None, sys.exc_info())

    line = json.loads(JsonLines().format(record))

    assert line["fault"]["types"] == ["ValueError"]
    assert SECRET not in json.dumps(line)
