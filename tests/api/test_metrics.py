"""Counters for Prometheus: right, bounded whatever callers send, and of all workers together."""

import os
import signal
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from flask.testing import FlaskClient
from prometheus_client.parser import text_string_to_metric_families

from service.application import create_app
from service.configuration import read_configuration
from tests.servers import Server, running_server

SHAPING = {"from_stitch_count": 80, "to_stitch_count": 100}
Series = dict[tuple[str, frozenset[tuple[str, str]]], float]


def _series(text: str) -> Series:
    return {
        (sample.name, frozenset(sample.labels.items())): sample.value
        for family in text_string_to_metric_families(text)
        for sample in family.samples
    }


def _value(series: Series, name: str, **labels: str) -> float:
    return series.get((name, frozenset(labels.items())), 0)


@pytest.fixture
def fresh() -> FlaskClient:
    return create_app(read_configuration({})).test_client()


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Server]:
    with running_server(tmp_path, TMPDIR=str(tmp_path)) as server:
        yield server


def test_requests_are_counted_by_route_method_and_status(fresh):
    for body in (SHAPING, SHAPING, {}):
        fresh.post("/v1/shaping-rounds", json=body)

    series = _series(fresh.get("/metrics").text)

    route = {"route": "/v1/shaping-rounds", "method": "POST"}
    assert _value(series, "hat_requests_total", **route, status="200") == 2
    assert _value(series, "hat_requests_total", **route, status="422") == 1
    assert _value(series, "hat_refusals_total", problem="invalid-request") == 1
    assert _value(series, "hat_request_seconds_count", route="/v1/shaping-rounds") == 3


def test_every_refusal_has_a_count_from_the_start(fresh):
    series = _series(fresh.get("/metrics").text)

    assert ("hat_refusals_total", frozenset({("problem", "rate-limited")})) in series


def test_no_caller_makes_the_counters_grow(fresh):
    fresh.get("/nothing")
    fresh.open("/v1/gauges", method="ODD")
    fresh.get("/problems/nothing")
    before = set(_series(fresh.get("/metrics").text)) | set(_series(fresh.get("/metrics").text))

    for number in range(30):
        fresh.get(f"/nothing/{number}")
        fresh.get(f"/problems/{number}?{number}")
        fresh.open("/v1/gauges", method=f"ODD{number}")

    assert set(_series(fresh.get("/metrics").text)) == before


def test_two_applications_of_one_process_count_apart(fresh):
    other = create_app(read_configuration({})).test_client()
    other.post("/v1/shaping-rounds", json=SHAPING)

    series = _series(fresh.get("/metrics").text)

    assert _value(series, "hat_request_seconds_count", route="/v1/shaping-rounds") == 0


def _answered(server: Server) -> float:
    series = _series(server.get("/metrics")[1])
    return _value(series, "hat_requests_total", route="/v1/shaping-rounds", method="POST", status="200")


def test_all_workers_count_together_and_those_that_died_are_remembered(server):
    for _ in range(20):
        assert server.get("/v1/shaping-rounds", SHAPING)[0] == 200
    assert _answered(server) == 20

    for pid in server.worker_pids:
        os.kill(pid, signal.SIGKILL)
    time.sleep(0.5)
    server.wait_until_ready()
    server.get("/v1/shaping-rounds", SHAPING)

    assert _answered(server) == 21


def test_a_reload_keeps_the_counts_and_a_stop_leaves_no_folder(server, tmp_path):
    server.get("/v1/shaping-rounds", SHAPING)
    old = set(server.worker_pids)
    server.tell(signal.SIGHUP)
    while old & set(server.worker_pids):
        time.sleep(0.05)
    server.get("/v1/shaping-rounds", SHAPING)
    assert _answered(server) == 2
    assert len(list(tmp_path.glob("hat-metrics-*"))) == 1

    assert server.stop() == 0

    assert list(tmp_path.glob("hat-metrics-*")) == []
