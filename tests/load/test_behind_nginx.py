"""The service behind nginx as docker/nginx.conf sets it up, over real sockets."""

import json
import os
import re
import shutil
import socket
import urllib.error
import urllib.request
from collections.abc import Iterator, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest

from service.api.problems import PROBLEM_TYPES
from tests.load.instances import ROOT, Instance, nginx_before

PORTS, LISTEN_PORT = (18111, 18112), 18110
PLAN = {
    "head": {"circumference_cm": 57},
    "gauge": {"stitches_per_10cm": 17, "rounds_per_10cm": 14},
    "fabric": {"fabric_id": "plain-hdc"},
}
_BODY = re.compile(r"return (\d+) '(\{.*\})';")


@pytest.fixture(scope="module")
def instances(tmp_path_factory: pytest.TempPathFactory) -> Iterator[list[Instance]]:
    if shutil.which("nginx") is None:
        if os.environ.get("REQUIRE_NGINX"):
            pytest.fail("nginx is needed and not here")
        pytest.skip("nginx is not here")
    folder = Path(tmp_path_factory.mktemp("instances"))
    running = [Instance(port, folder) for port in PORTS]
    yield running
    for instance in running:
        instance.stop()


@pytest.fixture(scope="module")
def address(instances: list[Instance]) -> Iterator[str]:
    with nginx_before(PORTS, listen_port=LISTEN_PORT) as listening:
        yield listening


def _fetch(
    url: str, body: bytes | None = None, headers: Mapping[str, str] | None = None
) -> tuple[int, Any, bytes]:
    sent = {"Content-Type": "application/json", **(headers or {})}
    request = urllib.request.Request(url, data=body, headers=sent)
    try:
        with urllib.request.urlopen(request, timeout=10) as answer:
            return answer.status, answer.headers, answer.read()
    except urllib.error.HTTPError as refused:
        return refused.code, refused.headers, refused.read()


def _sent(request: bytes) -> bytes:
    """Send bytes as they are over a connection of their own; return all that comes until it is closed."""
    received = b""
    with socket.create_connection(("127.0.0.1", LISTEN_PORT), timeout=20) as connection:
        connection.sendall(request)
        with suppress(ConnectionResetError):
            while chunk := connection.recv(65536):
                received += chunk
    return received


def test_a_hat_is_planned(address: str) -> None:
    status, headers, body = _fetch(f"{address}/v1/hat-plans", json.dumps(PLAN).encode())

    assert status == 200
    assert json.loads(body)["proof"]["verdict"] == "agrees"
    assert headers["Rules-Version"]


def test_no_server_tells_its_version(address: str) -> None:
    _, headers, _ = _fetch(f"{address}/health/live")

    assert not re.search(r"\d|gunicorn|Python", headers.get("Server", ""))


def test_a_request_id_is_passed_on(address: str) -> None:
    _, headers, _ = _fetch(f"{address}/health/live", headers={"X-Request-Id": "order-17"})

    assert headers["X-Request-Id"] == "order-17"


def test_the_metrics_are_not_for_callers(address: str) -> None:
    status, headers, body = _fetch(f"{address}/metrics")

    assert status == 404
    assert headers["Content-Type"] == "application/problem+json"
    assert json.loads(body)["type"] == "/problems/not-found"


def test_a_packed_table_is_still_the_same_table(address: str) -> None:
    _, headers, _ = _fetch(f"{address}/v1/head-sizes", headers={"Accept-Encoding": "gzip"})

    known = {"Accept-Encoding": "gzip", "If-None-Match": headers["ETag"]}
    status, _, _ = _fetch(f"{address}/v1/head-sizes", headers=known)

    assert headers["Content-Encoding"] == "gzip"
    assert status == 304


def test_a_body_over_the_limit_is_a_problem(address: str) -> None:
    status, headers, body = _fetch(f"{address}/v1/class-kits", b"x" * (2 << 20))

    assert (status, headers["Content-Type"]) == (413, "application/problem+json")
    assert json.loads(body)["limit_bytes"] == 1 << 20


def test_an_address_over_the_limit_is_a_problem(address: str) -> None:
    status, headers, body = _fetch(f"{address}/?{'a' * 12000}")

    assert (status, headers["Content-Type"]) == (414, "application/problem+json")
    assert json.loads(body)["title"] == "URI Too Long"


@pytest.mark.parametrize(
    "headers",
    [
        b"X-Bomb: " + b"a" * 20000 + b"\r\n",
        b"".join(b"X-%d: %s\r\n" % (number, b"a" * 900) for number in range(60)),
        b"Content-Length: 5\r\nContent-Length: 6\r\n",
        b"Content-Length: 5\r\nTransfer-Encoding: chunked\r\n",
        b"Content-Length: -1\r\n",
        b"Content-Length: 99999999999999999999\r\n",
        b"X-Long: " + b"a" * 8100 + b"\r\n",
        b"Transfer-Encoding: gzip, chunked\r\n",
    ],
)
def test_headers_that_are_no_headers_are_a_problem(address: str, headers: bytes) -> None:
    received = _sent(b"POST /v1/hat-plans HTTP/1.1\r\nHost: here\r\n" + headers + b"\r\nhello")

    head, _, body = received.partition(b"\r\n\r\n")
    assert re.match(rb"HTTP/1.1 (4\d\d|501) ", head)
    assert b"application/problem+json" in head
    assert json.loads(body)["status"] in (400, 413, 501)


@pytest.mark.parametrize(
    "garbage", [b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc", b"GET\r\n\r\n", b"\x00" * 64 + b"\r\n\r\n"]
)
def test_what_is_no_request_is_answered_and_hung_up(address: str, garbage: bytes) -> None:
    _sent(garbage + b"\r\n\r\n")

    assert _fetch(f"{address}/health/live")[0] == 200


def test_garbage_behind_a_request_does_not_spoil_its_answer(address: str) -> None:
    received = _sent(b"GET /health/live HTTP/1.1\r\nHost: here\r\n\r\n" + b"\x00\xff garbage\r\n\r\n")

    assert received.startswith(b"HTTP/1.1 200 ")
    assert received.count(b"HTTP/1.1 ") == 2
    assert b"HTTP/1.1 400 " in received


def test_slow_and_silent_callers_hold_nobody_up(address: str) -> None:
    begun = b"POST /v1/hat-plans HTTP/1.1\r\nHost: here\r\nContent-Type: application/json\r\n"
    parts = [
        b"",
        b"GET / HT",
        begun,
        begun + b"Content-Length: 400\r\n\r\n{",
        begun + b"Transfer-Encoding: chunked\r\n\r\n5\r\n{",
    ]
    idle = [socket.create_connection(("127.0.0.1", LISTEN_PORT)) for _ in range(200)]
    try:
        for number, connection in enumerate(idle):
            connection.sendall(parts[number % len(parts)])

        answers = [_fetch(f"{address}/v1/hat-plans", json.dumps(PLAN).encode())[0] for _ in range(10)]
    finally:
        for connection in idle:
            connection.close()

    assert answers == [200] * 10


@pytest.mark.parametrize(
    ("line", "status"),
    [
        ("GET /v1/fabrics?q=h\u00e4keln HTTP/1.1", 400),
        ("A" * 300 + " /v1/fabrics HTTP/1.1", 400),
        ("TRACE /v1/fabrics HTTP/1.1", 405),
        ("GET /v1/fabrics HTTP/3.0", 505),
        ("GET /?" + "a" * 8100 + " HTTP/1.1", 414),
    ],
)
def test_no_odd_request_line_is_answered_in_html(address: str, line: str, status: int) -> None:
    received = _sent(line.encode() + b"\r\nHost: here\r\nConnection: close\r\n\r\n")

    head, _, body = received.partition(b"\r\n\r\n")
    assert head.startswith(b"HTTP/1.1 %d " % status)
    assert b"application/problem+json" in head
    assert "keln" not in body.decode()


def test_as_many_headers_as_a_browser_may_send_are_passed_on(address: str) -> None:
    many = {f"X-Header-{number}": "a" * 50 for number in range(80)}

    status, _, _ = _fetch(f"{address}/health/live", headers=many)

    assert status == 200


def test_a_packed_answer_says_that_it_may_come_unpacked(address: str) -> None:
    _, headers, _ = _fetch(f"{address}/v1/fabrics", headers={"Accept-Encoding": "gzip"})

    assert "Accept-Encoding" in headers["Vary"]


def test_a_half_sent_body_is_given_up(address: str) -> None:
    received = _sent(b"POST /v1/hat-plans HTTP/1.1\r\nHost: here\r\nContent-Length: 400\r\n\r\n{")

    assert received == b""


def test_an_instance_that_dies_loses_no_request(address: str, instances: list[Instance]) -> None:
    instances[0].kill()

    answers = [_fetch(f"{address}/v1/hat-plans", json.dumps(PLAN).encode())[0] for _ in range(20)]
    instances[0].start()

    assert answers == [200] * 20


def test_the_problems_of_nginx_are_those_of_the_service() -> None:
    written = _BODY.findall((ROOT / "docker" / "nginx.conf").read_text())

    problems = [(int(status), json.loads(body)) for status, body in written]
    assert len(problems) == 10
    for status, problem in problems:
        assert problem["status"] == status
        if problem["type"] != "about:blank":
            kind = PROBLEM_TYPES[problem["type"].removeprefix("/problems/")]
            assert (problem["title"], status) == (kind.title, kind.status)
