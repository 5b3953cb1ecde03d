"""Alive, ready, about to stop: what a load balancer hears, and what becomes of requests meanwhile."""

import http.client
import json
import os
import signal
import threading
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from service.api.state import begin_draining
from service.application import create_app
from service.configuration import read_configuration
from service.wsgi import app as app_of_the_server
from tests.servers import Server, read_to_the_end, running_server

SHAPING = json.dumps({"from_stitch_count": 80, "to_stitch_count": 100}).encode()
HEAD = (
    b"POST /v1/shaping-rounds HTTP/1.1\r\nHost: a\r\n"
    b"Content-Type: application/json\r\nContent-Length: %d\r\n\r\n"
)
FAMILIAR = ("keep-alive", "close")


def test_an_application_with_its_tables_is_ready(client):
    assert client.get("/health/ready").json == {"status": "ready"}
    assert client.get("/health/live").json == {"status": "live"}


def test_what_a_server_imports_is_such_an_application():
    assert app_of_the_server.test_client().get("/health/ready").json == {"status": "ready"}


def test_without_its_tables_it_lives_and_is_not_ready():
    app = create_app(read_configuration({}))
    del app.extensions["tables"]
    client = app.test_client()

    assert client.get("/health/live").status_code == 200
    answer = client.get("/health/ready")
    assert (answer.status_code, answer.json["type"]) == (503, "/problems/not-ready")


def test_about_to_stop_it_answers_and_is_not_ready():
    app = create_app(read_configuration({}))
    client = app.test_client()

    begin_draining(app)

    answer = client.get("/health/ready")
    assert (answer.status_code, answer.json["type"]) == (503, "/problems/not-ready")
    assert client.get("/health/live").status_code == 200
    assert client.get("/v1/fabrics").status_code == 200


class Callers:
    """Several callers who send requests without a pause until they are stopped, and keep what failed."""

    def __init__(self, server: Server, connection: str, count: int = 4) -> None:
        self._server, self._connection = server, connection
        self._stopped = threading.Event()
        self.answered = 0
        self.failed: list[str] = []
        self._threads = [threading.Thread(target=self._call) for _ in range(count)]

    def __enter__(self) -> "Callers":
        for thread in self._threads:
            thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self.stop()

    def stop(self) -> None:
        self._stopped.set()
        for thread in self._threads:
            thread.join()

    def _call(self) -> None:
        headers = {"Content-Type": "application/json", "Connection": self._connection}
        client = http.client.HTTPConnection("127.0.0.1", self._server.port, timeout=10)
        while not self._stopped.is_set():
            try:
                client.request("POST", "/v1/shaping-rounds", SHAPING, headers)
                answer = client.getresponse()
                answer.read()
            except (OSError, http.client.HTTPException) as error:
                self.failed.append(repr(error))
                client.close()
            else:
                self.answered += 1
                if answer.status != 200:
                    self.failed.append(str(answer.status))
        client.close()


def _wait(condition: Callable[[], bool]) -> None:
    deadline = time.monotonic() + 20
    while not condition():
        assert time.monotonic() < deadline
        time.sleep(0.02)


def _reload(server: Server) -> None:
    old = set(server.worker_pids)
    server.tell(signal.SIGHUP)
    _wait(lambda: not old & set(server.worker_pids))


@pytest.mark.parametrize("connection", FAMILIAR)
def test_no_request_is_lost_on_reloads_under_load(tmp_path: Path, connection: str) -> None:
    with running_server(tmp_path) as server, Callers(server, connection) as callers:
        for _ in range(2):
            _reload(server)
        _wait(lambda: callers.answered > 100)
        callers.stop()

    assert callers.failed == []


@pytest.mark.parametrize("connection", FAMILIAR)
def test_no_request_is_lost_on_a_stop_that_the_balancer_hears_of(tmp_path: Path, connection: str) -> None:
    with running_server(tmp_path, DRAIN_S="2") as server, Callers(server, connection) as callers:
        _wait(lambda: callers.answered > 50)
        server.tell(signal.SIGTERM)
        _wait(lambda: server.get("/health/ready")[0] == 503)
        answered = callers.answered
        _wait(lambda: callers.answered > answered)
        callers.stop()
        status = server.process.wait(20)

    assert status == 0
    assert callers.failed == []


def test_both_workers_know_that_a_stop_was_asked_for(tmp_path: Path) -> None:
    with running_server(tmp_path, DRAIN_S="3") as server:
        server.tell(signal.SIGTERM)
        _wait(lambda: server.get("/health/ready")[0] == 503)

        assert [server.get("/health/ready")[0] for _ in range(20)] == [503] * 20


def test_a_second_request_to_stop_is_heard_at_once(tmp_path: Path) -> None:
    with running_server(tmp_path, DRAIN_S="60") as server:
        server.tell(signal.SIGTERM)
        _wait(lambda: server.get("/health/ready")[0] == 503)

        assert server.stop() == 0


def test_a_request_in_flight_is_finished_before_a_stop(tmp_path: Path) -> None:
    with running_server(tmp_path, WORKERS="1") as server, server.connect() as connection:
        connection.sendall(HEAD % len(SHAPING) + SHAPING[:10])
        time.sleep(0.3)
        server.tell(signal.SIGTERM)
        time.sleep(0.5)

        connection.sendall(SHAPING[10:])

        assert read_to_the_end(connection).startswith(b"HTTP/1.1 200")
        assert server.process.wait(20) == 0


def test_a_worker_that_dies_is_replaced(tmp_path: Path) -> None:
    with running_server(tmp_path) as server:
        old = set(server.worker_pids)
        for pid in old:
            os.kill(pid, signal.SIGKILL)
        _wait(lambda: len(set(server.worker_pids) - old) == 2)

        assert server.get("/v1/fabrics")[0] == 200
