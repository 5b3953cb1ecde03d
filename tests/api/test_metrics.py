"""Counters for Prometheus: right, bounded whatever callers send, and of all workers together."""

import errno
import os
import signal
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from flask.testing import FlaskClient
from prometheus_client.mmap_dict import MmapedDict, mmap_key
from prometheus_client.multiprocess import MultiProcessCollector
from prometheus_client.parser import text_string_to_metric_families

from service.api.metric_files import keep_counts_of_ended, undisturbed
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


def _kill_one_worker(server: Server) -> None:
    pid = server.worker_pids[0]
    os.kill(pid, signal.SIGKILL)
    deadline = time.monotonic() + 10
    while pid in server.worker_pids or len(server.worker_pids) < 2:
        assert time.monotonic() < deadline
        time.sleep(0.02)


def test_workers_that_die_again_and_again_leave_their_counts_and_no_files(server, tmp_path):
    (folder,) = tmp_path.glob("hat-metrics-*")
    for _ in range(15):
        assert server.get("/v1/shaping-rounds", SHAPING)[0] == 200
        _kill_one_worker(server)
        server.wait_until_ready()

    series = _series(server.get("/metrics")[1])

    assert _answered(server) == 15
    assert _value(series, "hat_request_seconds_count", route="/v1/shaping-rounds") == 15
    assert _value(series, "hat_request_seconds_bucket", route="/v1/shaping-rounds", le="+Inf") == 15
    # Of the master, of two workers, and of all that have ended: counters and histograms each.
    assert len(list(folder.glob("*.db"))) <= 8


def _counter_file(folder: Path, pid: int, value: float) -> None:
    counts = MmapedDict(str(folder / f"counter_{pid}.db"))
    counts.write_value(mmap_key("hat", "hat_total", ["route"], ["/"], "Hats."), value, 0)
    counts.close()


def _hats(folder: Path) -> list[float]:
    files = [str(path) for path in folder.glob("counter_*.db")]
    return [sample.value for metric in MultiProcessCollector.merge(files) for sample in metric.samples]


def test_while_somebody_reads_the_files_none_is_moved(tmp_path):
    for pid in (11, 12, 13):
        _counter_file(tmp_path, pid, pid)

    with undisturbed(tmp_path):
        assert not keep_counts_of_ended(tmp_path, [11, 12])
        assert len(list(tmp_path.glob("counter_*.db"))) == 3
    assert keep_counts_of_ended(tmp_path, [11, 12])
    assert keep_counts_of_ended(tmp_path, [12])

    assert sorted(path.name for path in tmp_path.glob("counter_*.db")) == [
        "counter_13.db",
        "counter_ended.db",
    ]
    assert _hats(tmp_path) == [36.0]


def test_a_file_that_was_cut_short_costs_no_others_counts(tmp_path):
    _counter_file(tmp_path, 11, 5)
    (tmp_path / "counter_12.db").write_bytes(b"")
    (tmp_path / "counter_13.db").write_bytes(b"\xff\x00\x00\x00" * 8)

    assert keep_counts_of_ended(tmp_path, [11, 12, 13])

    assert _hats(tmp_path) == [5.0]


def test_a_full_folder_loses_no_count(tmp_path, monkeypatch):
    def refuse(*_: object) -> int:
        raise OSError(errno.ENOSPC, "full")

    _counter_file(tmp_path, 11, 5)
    with monkeypatch.context() as full:
        full.setattr(Path, "write_bytes", refuse)
        assert not keep_counts_of_ended(tmp_path, [11])
    assert keep_counts_of_ended(tmp_path, [11])

    assert _hats(tmp_path) == [5.0]


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
