"""Bodies that cannot be read, or read in more than one way, are refused with what is wrong."""

import json
from typing import Any

import pytest
from flask.testing import FlaskClient

PATH = "/v1/shaping-rounds"
GOOD = {"from_stitch_count": 80, "to_stitch_count": 100}


def _post(client: FlaskClient, body: bytes, content_type: str = "application/json") -> tuple[int, Any]:
    response = client.post(PATH, data=body, content_type=content_type)
    assert response.mimetype == "application/problem+json"
    return response.status_code, response.json


@pytest.mark.parametrize(
    ("body", "code", "pointer"),
    [
        ({"from_stitch_count": 80}, "missing", "/to_stitch_count"),
        ({**GOOD, "colour": "red"}, "unknown_field", "/colour"),
        ({**GOOD, "to_stitch_count": "100"}, "wrong_type", "/to_stitch_count"),
        ({**GOOD, "to_stitch_count": True}, "wrong_type", "/to_stitch_count"),
        ({**GOOD, "to_stitch_count": 100.5}, "wrong_type", "/to_stitch_count"),
        ({**GOOD, "to_stitch_count": None}, "wrong_type", "/to_stitch_count"),
        ({**GOOD, "to_stitch_count": 2001}, "out_of_range", "/to_stitch_count"),
        ({**GOOD, "stitch": "knit"}, "not_listed", "/stitch"),
        ({**GOOD, "show_working": 1}, "wrong_type", "/show_working"),
    ],
)
def test_a_body_that_breaks_the_document_is_named_fault_by_fault(client, body, code, pointer):
    status, problem = _post(client, json.dumps(body).encode())

    assert status == 422
    assert problem["type"] == "/problems/invalid-request"
    assert [(fault["code"], fault["pointer"]) for fault in problem["errors"]] == [(code, pointer)]


def test_all_faults_are_told_at_once(client):
    status, problem = _post(client, b'{"from_stitch_count": 0, "stitch": "x", "what": 1}')

    assert status == 422
    pointers = {fault["pointer"] for fault in problem["errors"]}
    assert pointers == {"/from_stitch_count", "/to_stitch_count", "/stitch", "/what"}


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"{",
        b'{"from_stitch_count": NaN}',
        b'{"from_stitch_count": -Infinity}',
        b'{"from_stitch_count": 1, "from_stitch_count": 2}',
        b'\xff\xfe{"a": 1}',
        b'\xef\xbb\xbf{"a": 1}',
        b"[" * 100_000,
        b'{"a":' * 50_000,
        b'{"a": ' + b"[" * 32 + b"]" * 32 + b"}",
        b"[" * 33 + b"]" * 33,
        b'{"a": ' + b"9" * 5000 + b"}",
        b'{"a": "\\ud800"}',
    ],
    ids=[
        "empty",
        "cut off",
        "NaN",
        "Infinity",
        "duplicate key",
        "not UTF-8",
        "byte order mark",
        "100,000 brackets",
        "50,000 objects",
        "nested 33 deep",
        "33 arrays",
        "5,000 digits",
        "half a surrogate pair",
    ],
)
def test_json_that_cannot_be_read_one_way_is_400(client, body):
    status, problem = _post(client, body)

    assert status == 400
    assert problem["type"] == "/problems/malformed-json"


def test_a_number_beyond_the_floats_is_out_of_range(client):
    status, problem = _post(client, b'{"from_stitch_count": 80, "to_stitch_count": 1e999}')

    assert status == 422
    assert problem["errors"][0]["code"] in ("wrong_type", "out_of_range")


def test_a_list_is_no_request(client):
    status, problem = _post(client, b"[]")

    assert status == 422
    assert problem["errors"][0]["pointer"] == ""


@pytest.mark.parametrize(
    "content_type", ["text/plain", "application/xml", "application/json; charset=latin-1", ""]
)
def test_another_media_type_is_415(client, content_type):
    status, problem = _post(client, json.dumps(GOOD).encode(), content_type)

    assert status == 415
    assert problem["type"] == "/problems/unsupported-media-type"


def test_a_compressed_body_is_415(client):
    response = client.post(
        PATH, data=b"x", content_type="application/json", headers={"Content-Encoding": "gzip"}
    )

    assert response.status_code == 415


def test_a_body_of_5_mb_is_413(client):
    status, problem = _post(client, b" " * 5_000_000)

    assert status == 413
    assert problem["limit_bytes"] == 262144


def test_a_string_value_is_never_echoed(client):
    _, problem = _post(client, json.dumps({**GOOD, "stitch": "s3cret-value"}).encode())

    assert "s3cret-value" not in json.dumps(problem)


def test_a_wrong_method_is_405_and_names_those_that_work(client):
    response = client.get(PATH)

    assert response.status_code == 405
    assert set(response.headers["Allow"].split(", ")) == {"POST", "OPTIONS"}
    assert response.json["type"] == "/problems/method-not-allowed"


def test_an_unknown_address_is_a_problem_too(client):
    response = client.get("/v1/nothing")

    assert response.status_code == 404
    assert response.json["type"] == "/problems/not-found"


def test_options_is_204_with_the_methods(client):
    response = client.options(PATH)

    assert response.status_code == 204
    assert "POST" in response.headers["Allow"]
    assert response.data == b""


def test_head_answers_wherever_get_does(client):
    assert client.head("/health/live").status_code == 200


@pytest.mark.parametrize(("sent", "kept"), [("abc.DEF-1_2", True), ("no spaces", False), ("x" * 65, False)])
def test_a_usable_request_id_is_echoed(client, sent, kept):
    response = client.post(PATH, json=GOOD, headers={"X-Request-Id": sent})

    assert (response.headers["X-Request-Id"] == sent) is kept
    assert response.headers["X-Request-Id"]


def test_every_answer_names_its_rules(client):
    response = client.post(PATH, json=GOOD)

    assert response.headers["Rules-Version"] == response.json["rules_version"]
    assert response.headers["Cache-Control"] == "no-store"


def test_nesting_up_to_the_bound_is_read(client):
    status, _ = _post(client, b'{"a": ' + b"[" * 31 + b"]" * 31 + b"}")

    assert status == 422


def test_a_thousand_faults_are_counted_and_a_hundred_told(client):
    body = {f"{'x' * 100}{number}": 1 for number in range(1000)}

    status, problem = _post(client, json.dumps({**GOOD, **body}).encode())

    assert status == 422
    assert problem["detail"].startswith("1000 values")
    assert len(problem["errors"]) == 100
    assert max(len(fault["pointer"]) for fault in problem["errors"]) < 100
