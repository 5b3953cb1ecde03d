"""The server around the service: what it writes, and what it refuses before the service sees it."""

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from gunicorn.config import Config

from service.api.server_log import ServerLog
from tests.servers import Server, running_server

SECRET = "s3cret-value"


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    with running_server(tmp_path_factory.mktemp("server")) as server:
        yield server


def test_requests_go_to_the_standard_output_as_json_lines(server: Server) -> None:
    server.get("/v1/fabrics", headers={"X-Request-Id": "order-9"})

    (line,) = [line for line in server.lines if line.get("request_id") == "order-9"]
    assert (line["route"], line["status"]) == ("/v1/fabrics", 200)


@pytest.mark.parametrize(
    ("sent", "status"),
    [
        (f"GET /{SECRET}\r\n\r\n", 400),
        (f"GET / HTTP/1.1\r\nHost: a\r\n{SECRET} x: 1\r\n\r\n", 400),
        (f"GET /?{'x' * 8200}{SECRET} HTTP/1.1\r\nHost: a\r\n\r\n", 414),
        ("GET / HTTP/1.1\r\nHost: a\r\n" + f"X-A: {SECRET}\r\n" * 120 + "\r\n", 431),
        (f"POST /v1/gauges HTTP/1.1\r\nHost: a\r\nContent-Length: 1{SECRET}\r\n\r\n", 400),
    ],
    ids=["no version", "bad header", "long line", "120 headers", "bad length"],
)
def test_what_cannot_be_read_is_refused_and_leaves_no_trace_of_its_values(
    server: Server, sent: str, status: int
) -> None:
    answer = server.exchange(sent.encode())

    assert int(answer.split(b" ")[1]) == status
    head, _, body = answer.partition(b"\r\n\r\n")
    assert b"Content-Type: application/problem+json" in head
    assert json.loads(body)["status"] == status
    assert SECRET not in server.errors + answer.decode()
    assert "127.0.0.1:" not in server.errors.partition("Booting")[2]
    assert "unreadable request" in server.errors


def test_what_cannot_be_read_is_logged_and_counted_like_everything_else(tmp_path: Path) -> None:
    with running_server(tmp_path) as server:
        answer = server.exchange(f"GET /?{'x' * 8200} HTTP/1.1\r\nHost: a\r\n\r\n".encode())
        (line,) = [line for line in server.lines if line.get("route") == "unreadable"]
        metrics = server.get("/metrics")[1]

    assert (line["event"], line["method"], line["status"]) == ("request", "other", 414)
    assert f"X-Request-Id: {line['request_id']}".encode() in answer
    assert 'hat_requests_total{method="other",route="unreadable",status="414"} 1.0' in metrics


def test_a_request_that_takes_too_long_is_answered_logged_and_counted(tmp_path: Path) -> None:
    with running_server(tmp_path, "tests.slow_service:app", TIME_LIMIT_S="1", WORKERS="1") as server:
        status, text = server.get("/slow", headers={"X-Request-Id": "order-8"})
        server.wait_until_ready()
        fault, line = [line for line in server.lines if line.get("request_id") == "order-8"]
        metrics = server.get("/metrics")[1]

    assert status == 500
    assert json.loads(text)["type"] == "/problems/internal-error"
    assert "longer than the service may spend" in json.loads(text)["detail"]
    assert "TimeLimitReached" in fault["fault"]["types"]
    assert any("in be_slow" in frame for frame in fault["fault"]["frames"])
    assert (line["route"], line["status"], line["problem"]) == ("/slow", 500, "internal-error")
    assert 'hat_requests_total{method="GET",route="/slow",status="500"} 1.0' in metrics


def test_the_servers_own_log_is_json_too(server: Server) -> None:
    assert all(json.loads(line)["event"] for line in server.errors.splitlines())


def test_no_answer_names_a_version_of_the_server(server: Server) -> None:
    answer = server.exchange(b"GET /health/live HTTP/1.1\r\nHost: a\r\n\r\n")

    (banner,) = [line for line in answer.decode().splitlines() if line.lower().startswith("server:")]
    assert not any(letter.isdigit() for letter in banner)


def test_a_request_that_fails_in_the_server_itself_leaves_no_address(
    capfd: pytest.CaptureFixture[str],
) -> None:
    config = Config()
    config.set("errorlog", "-")
    log = ServerLog(config)

    try:
        raise ValueError(SECRET)
    except ValueError:
        log.exception("Error handling request %s %s", "GET", f"/?{SECRET}")

    written = capfd.readouterr().err
    assert json.loads(written)["event"] == "Error handling request"
    assert json.loads(written)["fault"]["types"] == ["ValueError"]
    assert SECRET not in written


def test_a_storage_without_a_limit_is_told_at_start(tmp_path: Path) -> None:
    with running_server(tmp_path, RATE_LIMIT_STORAGE="redis://127.0.0.1:6379/0") as server:
        assert "RATE_LIMIT_STORAGE is set but RATE_LIMIT is not" in server.errors


def test_a_server_that_is_wrongly_set_up_does_not_start(tmp_path: Path) -> None:
    server = Server(tmp_path, {"WORKERS": "none"})

    assert server.process.wait(30) == 1
    assert server.errors == "The service does not start. WORKERS must be a whole number from 1 to 64.\n"
