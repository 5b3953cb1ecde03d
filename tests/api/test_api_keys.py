"""Keys: none are asked for until there are some, then by everything that calculates."""

import json
import re

import pytest
from flask.testing import FlaskClient

from service.api.callers import hash_of_key
from service.api_key import main, new_key
from service.application import create_app
from service.configuration import read_configuration

FIRST, SECOND = "hat_first", "hat_second"
HASHES = f"sha256:{hash_of_key(FIRST)},sha256:{hash_of_key(SECOND)}"
SHAPING = {"from_stitch_count": 80, "to_stitch_count": 100}
PATH = "/v1/shaping-rounds"


def _client(**settings: str) -> FlaskClient:
    return create_app(read_configuration({"API_KEY_HASHES": HASHES, **settings})).test_client()


@pytest.fixture(scope="module")
def guarded() -> FlaskClient:
    return _client()


@pytest.mark.parametrize("key", [FIRST, SECOND])
def test_each_known_key_is_answered(guarded, key):
    assert guarded.post(PATH, json=SHAPING, headers={"X-API-Key": key}).status_code == 200


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"X-API-Key": ""},
        {"X-API-Key": FIRST[:-1]},
        {"X-API-Key": FIRST + " x"},
        {"X-API-Key": FIRST.upper()},
        {"X-API-Key": f"{FIRST},{SECOND}"},
        {"X-API-Key": hash_of_key(FIRST)},
        {"X-API-Key": f"sha256:{hash_of_key(FIRST)}"},
        {"X-API-Key": "ÿþ"},
        {"X-API-Key": "x" * 10_000},
        {"Authorization": f"Bearer {FIRST}"},
        {"Cookie": f"X-API-Key={FIRST}"},
    ],
)
def test_no_other_request_is(guarded, headers):
    answer = guarded.post(PATH, json=SHAPING, headers=headers)

    assert answer.status_code == 401
    assert answer.json["type"] == "/problems/unauthorized"
    assert answer.headers["WWW-Authenticate"] == 'ApiKey realm="hat pattern math"'


def test_a_key_in_the_query_is_none(guarded):
    assert guarded.post(f"{PATH}?X-API-Key={FIRST}", json=SHAPING).status_code == 401


@pytest.mark.parametrize(
    "path", ["/v1/fabrics", "/v1/nothing", "/v1/gauges", "/", "/?head_cm=57", "/worksheet/pattern.pdf"]
)
def test_what_calculates_is_guarded_before_anything_is_read(guarded, path):
    answer = guarded.get(path)

    assert answer.status_code == 401
    assert guarded.get(path, headers={"X-API-Key": FIRST}).status_code != 401


@pytest.mark.parametrize(
    "path",
    ["/health/live", "/health/ready", "/metrics", "/problems/", "/problems/unauthorized", "/docs",
     "/openapi.json", "/static/hat.svg"],
)  # fmt: skip
def test_health_problems_and_the_document_are_open(guarded, path):
    assert guarded.get(path).status_code == 200


def test_a_browser_may_ask_first_without_a_key():
    client = _client(ALLOWED_ORIGINS="https://shop.example")
    asking = {"Origin": "https://shop.example", "Access-Control-Request-Method": "POST"}

    answer = client.options(PATH, headers=asking)

    assert answer.status_code == 204
    assert "X-API-Key" in answer.headers["Access-Control-Allow-Headers"]


def test_a_page_can_read_that_its_key_is_wrong():
    client = _client(ALLOWED_ORIGINS="https://shop.example")

    answer = client.post(PATH, json=SHAPING, headers={"Origin": "https://shop.example"})

    assert answer.status_code == 401
    assert answer.headers["Access-Control-Allow-Origin"] == "https://shop.example"


def test_the_worksheet_can_be_left_open_for_people():
    client = _client(OPEN_WORKSHEET="yes")

    assert client.get("/").status_code == 200
    assert client.get("/v1/fabrics").status_code == 401


def test_without_keys_nothing_is_asked(client):
    assert client.post(PATH, json=SHAPING).status_code == 200
    assert client.post(PATH, json=SHAPING, headers={"X-API-Key": "any"}).status_code == 200


def test_every_known_hash_is_compared_whatever_the_first_says(guarded, monkeypatch):
    compared = []
    monkeypatch.setattr(
        "service.api.callers.hmac.compare_digest", lambda sent, known: compared.append(known) or sent == known
    )

    guarded.post(PATH, json=SHAPING, headers={"X-API-Key": FIRST})

    assert len(compared) == 2


def test_the_log_tells_keys_apart_and_no_key(guarded, lines):
    guarded.post(PATH, json=SHAPING, headers={"X-API-Key": FIRST})
    guarded.post(PATH, json=SHAPING, headers={"X-API-Key": "hat_wrong"})

    known, unknown = (json.loads(line) for line in lines.text.splitlines())
    assert known["key"] == hash_of_key(FIRST)[:8]
    assert unknown["key"] is None
    assert "hat_" not in lines.text


def test_new_keys_are_long_and_never_the_same():
    keys = {new_key() for _ in range(50)}

    assert len(keys) == 50
    assert all(re.fullmatch(r"hat_[A-Za-z0-9_-]{43}", key) for key in keys)


def test_the_command_prints_a_key_and_its_hash_that_belong_together(capsys):
    main()

    printed = capsys.readouterr().out
    (key,) = re.findall(r"^hat_\S+$", printed, re.MULTILINE)
    (setting,) = re.findall(r"^sha256:\S+$", printed, re.MULTILINE)
    client = create_app(read_configuration({"API_KEY_HASHES": setting})).test_client()
    assert client.get("/v1/fabrics", headers={"X-API-Key": key}).status_code == 200


def test_no_cache_on_the_way_may_hand_a_guarded_table_to_others(guarded, client):
    keyed = guarded.get("/v1/fabrics", headers={"X-API-Key": FIRST})

    assert keyed.headers["Cache-Control"] == "private, max-age=3600"
    assert client.get("/v1/fabrics").headers["Cache-Control"] == "public, max-age=3600"
