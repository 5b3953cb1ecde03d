"""Limits: off until one is set, then a caller is counted by key, else by address, here or in a Redis."""

import socket
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from flask.testing import FlaskClient
from redis import Redis

from service.api import rate_limits
from service.api.callers import hash_of_key
from service.api.rate_limits import RateLimiter
from service.application import create_app
from service.configuration import RateLimit, read_configuration
from tests.redis_servers import RedisServer, running_redis
from tests.servers import running_server

KEYS = ("hat_first", "hat_second")
HASHES = ",".join(f"sha256:{hash_of_key(key)}" for key in KEYS)
PATH = "/v1/fabrics"


@pytest.fixture
def redis(tmp_path: Path) -> Iterator[RedisServer]:
    with running_redis(tmp_path) as server:
        yield server


def _client(**settings: str) -> FlaskClient:
    return create_app(read_configuration({"RATE_LIMIT": "3/hour", **settings})).test_client()


def _statuses(client: FlaskClient, times: int, **headers: str) -> list[int]:
    named = {name.replace("_", "-"): value for name, value in headers.items()}
    return [client.get(PATH, headers=named).status_code for _ in range(times)]


def test_without_a_limit_nobody_is_counted(client):
    assert _statuses(client, 50) == [200] * 50


def test_beyond_the_limit_a_caller_is_told_when_to_come_back():
    client = _client()
    assert _statuses(client, 4) == [200, 200, 200, 429]

    answer = client.get(PATH)

    assert answer.json["type"] == "/problems/rate-limited"
    assert 3500 < int(answer.headers["Retry-After"]) <= 3600


def test_after_that_time_the_same_request_is_answered(monkeypatch):
    client = _client(RATE_LIMIT="1/second")
    assert _statuses(client, 2) == [200, 429]

    time.sleep(int(client.get(PATH).headers["Retry-After"]))

    assert _statuses(client, 1) == [200]


def test_each_key_is_counted_by_itself():
    client = _client(API_KEY_HASHES=HASHES)

    first, second = (_statuses(client, 4, X_API_Key=key) for key in KEYS)

    assert first == second == [200, 200, 200, 429]


def test_a_key_is_one_caller_at_every_address():
    client = _client(API_KEY_HASHES=HASHES, TRUSTED_PROXY_COUNT="1")

    statuses = [
        _statuses(client, 1, X_API_Key=KEYS[0], X_Forwarded_For=f"192.0.2.{number}")[0] for number in range(4)
    ]

    assert statuses == [200, 200, 200, 429]


def test_guessing_keys_is_counted_too():
    client = _client(API_KEY_HASHES=HASHES)

    statuses = [_statuses(client, 1, X_API_Key=f"guess{number}")[0] for number in range(5)]

    assert statuses == [401, 401, 401, 429, 429]
    assert _statuses(client, 1, X_API_Key=KEYS[0]) == [200]


def test_inventing_keys_makes_no_new_caller_where_none_are_asked_for():
    client = _client()

    assert [_statuses(client, 1, X_API_Key=f"key{number}")[0] for number in range(4)][-1] == 429


def test_addresses_behind_a_trusted_proxy_are_told_apart():
    client = _client(TRUSTED_PROXY_COUNT="1")

    assert _statuses(client, 4, X_Forwarded_For="192.0.2.1")[-1] == 429
    assert _statuses(client, 1, X_Forwarded_For="192.0.2.2") == [200]


def test_a_port_behind_an_address_makes_no_other_caller():
    client = _client(TRUSTED_PROXY_COUNT="1")

    statuses = [_statuses(client, 1, X_Forwarded_For=f"192.0.2.1:{port}")[0] for port in range(1001, 1005)]

    assert statuses == [200, 200, 200, 429]
    assert _statuses(client, 1, X_Forwarded_For="192.0.2.2:1001") == [200]
    assert _statuses(client, 1, X_Forwarded_For="[2001:db8::1]:80") == [200]
    assert _statuses(client, 1, X_Forwarded_For="somebody") == [200]


def test_what_stands_before_the_trusted_proxies_is_not_believed():
    client = _client(TRUSTED_PROXY_COUNT="1")

    statuses = [_statuses(client, 1, X_Forwarded_For=f"192.0.2.{n}, 198.51.100.1")[0] for n in range(4)]

    assert statuses[-1] == 429


def test_without_a_trusted_proxy_the_header_is_not_believed():
    client = _client()

    statuses = [_statuses(client, 1, X_Forwarded_For=f"192.0.2.{number}")[0] for number in range(4)]

    assert statuses[-1] == 429


def test_one_network_of_a_customer_is_one_caller():
    client = _client(TRUSTED_PROXY_COUNT="1")

    statuses = [_statuses(client, 1, X_Forwarded_For=f"2001:db8::{number}")[0] for number in range(1, 5)]

    assert statuses[-1] == 429
    assert _statuses(client, 1, X_Forwarded_For="2001:db8:0:1::1") == [200]


def test_health_and_asking_first_are_never_counted():
    client = _client()
    _statuses(client, 4)

    assert client.get("/health/ready").status_code == 200
    assert client.get("/problems/rate-limited").status_code == 200
    assert client.options(PATH).status_code == 204


def test_the_worksheet_is_counted_like_the_interface():
    client = _client()

    assert [client.get("/?head_cm=57").status_code for _ in range(4)][-1] == 429


def test_workers_and_instances_share_the_counts_of_a_redis(redis, tmp_path):
    settings = {"RATE_LIMIT": "10/hour", "RATE_LIMIT_STORAGE": redis.url}
    with running_server(tmp_path, WORKERS="2", **settings) as server:
        statuses = [server.get(PATH)[0] for _ in range(9)]
    other = _client(**settings)

    assert statuses == [200] * 9
    assert _statuses(other, 2) == [200, 429]
    assert 3500 < int(other.get(PATH).headers["Retry-After"]) <= 3600


def test_without_its_redis_the_service_answers_everybody_and_says_so(redis, lines):
    client = _client(RATE_LIMIT_STORAGE=redis.url)
    assert _statuses(client, 4)[-1] == 429

    redis.stop()

    assert _statuses(client, 4) == [200] * 4
    assert lines.text.count("rate limit storage does not answer") == 1
    assert "hat_uncounted_requests_total 4.0" in client.get("/metrics").text


def test_a_redis_that_comes_back_is_counted_in_again(redis, lines, monkeypatch):
    monkeypatch.setattr(rate_limits, "_LEFT_ALONE_S", 0.0)
    client = _client(RATE_LIMIT_STORAGE=redis.url)
    redis.stop()
    assert _statuses(client, 5) == [200] * 5

    redis.start()

    assert _statuses(client, 4) == [200, 200, 200, 429]
    assert lines.text.count("rate limit storage does not answer") == 1
    assert lines.text.count("rate limit storage answers again") == 1


def test_a_redis_that_refuses_the_password_is_told_with_its_fault(redis, tmp_path):
    Redis(port=redis.port).config_set("requirepass", "another")
    url = redis.url.replace("redis://", "redis://:s3cret@")
    with running_server(tmp_path, WORKERS="1", RATE_LIMIT="1/hour", RATE_LIMIT_STORAGE=url) as server:
        statuses = [server.get(PATH)[0] for _ in range(3)]
        faults = [line for line in server.lines if line["event"].startswith("rate limit storage")]

    assert statuses == [200] * 3
    assert ["AuthenticationError" in line["fault"]["types"] for line in faults] == [True]
    assert "s3cret" not in server.output


def test_a_service_whose_redis_was_never_there_starts_and_answers(tmp_path):
    client = _client(RATE_LIMIT_STORAGE="redis://127.0.0.1:1/0")

    assert _statuses(client, 4) == [200] * 4


def test_a_redis_that_hangs_is_waited_for_once() -> None:
    uncounted: list[int] = []
    with socket.create_server(("127.0.0.1", 0)) as silent:
        url = f"redis://127.0.0.1:{silent.getsockname()[1]}/0"
        limiter = RateLimiter(RateLimit(1, 60), url, lambda: uncounted.append(1))
        begun = time.monotonic()

        waits = [limiter.wait_s("a") for _ in range(20)]

    assert waits == [0] * 20
    assert len(uncounted) == 20
    assert time.monotonic() - begun < 1
