"""Hostile callers on real sockets: they are cut off, and others go on being answered.

Two sync workers stand alone here. Silent connections never reach them; those that fall silent are ended after
a second, and the server listens two more for the rest of what they send; one that drips holds a worker until
its time limit. As many of them as there are workers keep others waiting that long: in front of the service
nginx reads requests whole before it hands them on, so that slow callers wait there.
"""

import json
import socket
import time
from collections.abc import Iterator
from contextlib import ExitStack

import pytest

from tests.servers import Server, read_to_the_end, running_server

SHAPING = json.dumps({"from_stitch_count": 80, "to_stitch_count": 100}).encode()
HEAD = b"POST /v1/shaping-rounds HTTP/1.1\r\nHost: a\r\nContent-Type: application/json\r\n"
WHOLE = HEAD + b"Content-Length: %d\r\n\r\n" % len(SHAPING) + SHAPING
CHUNKED = HEAD + b"Transfer-Encoding: chunked\r\n\r\n"
IN_CHUNKS = b"%x\r\n" % len(SHAPING) + SHAPING + b"\r\n0\r\n\r\n"
TIME_LIMIT_S = 2
#: How long others may have to wait at most. [s]
PATIENCE_S = 10


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    folder = tmp_path_factory.mktemp("sockets")
    with running_server(folder, TIME_LIMIT_S=str(TIME_LIMIT_S), WORKERS="2") as server:
        yield server


def _status(answer: bytes) -> int:
    return int(answer.split(b" ", 2)[1]) if answer else 0


def _others_are_answered(server: Server) -> bool:
    begun = time.monotonic()
    answers = [server.exchange(WHOLE, PATIENCE_S) for _ in range(4)]
    return {_status(answer) for answer in answers} == {200} and time.monotonic() - begun < PATIENCE_S


def test_a_whole_request_is_answered(server: Server) -> None:
    assert _status(server.exchange(WHOLE)) == 200


@pytest.mark.parametrize("count", [1, 300])
def test_connections_that_say_nothing_cost_nobody_anything(server: Server, count: int) -> None:
    with ExitStack() as stack:
        for _ in range(count):
            stack.enter_context(server.connect())
        begun = time.monotonic()

        assert _status(server.exchange(WHOLE)) == 200
        assert time.monotonic() - begun < 2


@pytest.mark.parametrize(
    "sent",
    [b"POST /v1/sh", HEAD, WHOLE[:-5], CHUNKED, CHUNKED + b'5\r\n{"fro'],
    ids=["half a line", "half a head", "half a body", "no chunk", "half a chunk"],
)
def test_callers_who_fall_silent_are_ended_and_others_answered(server: Server, sent: bytes) -> None:
    with ExitStack() as stack:
        silent = [stack.enter_context(server.connect()) for _ in range(4)]
        for connection in silent:
            connection.sendall(sent)

        assert _others_are_answered(server)
        answers = [read_to_the_end(connection) for connection in silent]

    assert {_status(answer) for answer in answers} <= {0, 400}


def test_a_caller_who_drips_holds_one_worker_until_its_time_limit(server: Server) -> None:
    begun = time.monotonic()
    with server.connect() as connection:
        connection.sendall(b"POST /v1/shaping-rounds HTTP/1.1\r\n")
        try:
            while time.monotonic() - begun < 5 * TIME_LIMIT_S:
                connection.sendall(b"X")
                time.sleep(0.2)
                if time.monotonic() - begun < TIME_LIMIT_S:
                    assert _status(server.exchange(WHOLE, PATIENCE_S)) == 200
        except (BrokenPipeError, ConnectionResetError):
            pass

    assert time.monotonic() - begun < 4 * TIME_LIMIT_S
    assert _others_are_answered(server)
    assert len(server.worker_pids) == 2


def test_a_caller_who_drips_a_body_is_told_so(server: Server) -> None:
    begun, dripped = time.monotonic(), b""
    with server.connect(timeout_s=0.2) as connection:
        connection.sendall(HEAD + b"X-Request-Id: drip-1\r\nContent-Length: 1000\r\n\r\n")
        while not dripped and time.monotonic() - begun < 5 * TIME_LIMIT_S:
            connection.sendall(b" ")
            try:
                dripped = connection.recv(65536)
            except TimeoutError:
                continue
        connection.settimeout(PATIENCE_S)
        dripped += read_to_the_end(connection)

    assert _status(dripped) == 400
    assert b"did not arrive in time" in dripped
    (line,) = [line for line in server.lines if line.get("request_id") == "drip-1"]
    assert (line["route"], line["status"]) == ("/v1/shaping-rounds", 400)


def test_a_caller_who_never_takes_the_answer_is_ended(server: Server) -> None:
    with ExitStack() as stack:
        for _ in range(4):
            connection = socket.socket()
            stack.enter_context(connection)
            connection.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 2048)
            connection.connect(("127.0.0.1", server.port))
            connection.sendall(b"GET /docs/swagger-ui-bundle.js HTTP/1.1\r\nHost: a\r\n\r\n")

        assert _others_are_answered(server)


@pytest.mark.parametrize(
    ("sent", "status"),
    [
        (HEAD + b"Content-Length: 5\r\n\r\n" + SHAPING, 400),
        (HEAD + b"Content-Length: -1\r\n\r\n" + SHAPING, 400),
        (HEAD + b"Content-Length: 1e3\r\n\r\n" + SHAPING, 400),
        (HEAD + b"Content-Length: 45\r\nContent-Length: 46\r\n\r\n" + SHAPING, 400),
        (HEAD + b"Content-Length: %d\r\nTransfer-Encoding: chunked\r\n\r\n" % len(SHAPING) + SHAPING, 400),
        (HEAD + b"Content-Length: 999999999\r\n\r\n" + SHAPING, 413),
        (HEAD + b"Transfer-Encoding: gzip\r\n\r\n" + SHAPING, 400),
        (HEAD + b"Transfer-Encoding: gzip, chunked\r\n\r\n" + IN_CHUNKS, 501),
        (HEAD + b"Transfer-Encoding: identity, chunked\r\n\r\n" + IN_CHUNKS, 501),
        (HEAD + b"Transfer-Encoding: Chunked\r\n\r\n" + IN_CHUNKS, 200),
        (CHUNKED + b"1\r\n \r\n" * 9_000 + IN_CHUNKS, 200),
        (CHUNKED + b"1\r\n \r\n" * 12_000 + IN_CHUNKS, 400),
        (CHUNKED + b"1\r\n \r\n" * 1_000_000, 400),
        (WHOLE.replace(b"Host: a\r\n", b""), 400),
        (WHOLE.replace(b"Host: a\r\n", b"").replace(b"1.1", b"1.0"), 200),
        (WHOLE.replace(b"Host: a\r\n", b"Host: a\r\nExpect: tea\r\n"), 417),
        (CHUNKED + b"zz\r\n" + SHAPING, 400),
        (CHUNKED + b"-5\r\n" + SHAPING, 400),
        (CHUNKED + b"5\r\n" + SHAPING + b"\r\n0\r\n\r\n", 400),
        (CHUNKED + b"%x\r\n" % len(SHAPING) + SHAPING + b"\r\n0\r\n\r\n", 200),
        (CHUNKED + b"fffffffffffffff\r\n" + SHAPING, 400),
        (CHUNKED + b"8000\r\n" + b" " * 0x8000 + b"\r\n" + (b"8000\r\n" + b" " * 0x8000 + b"\r\n") * 8, 413),
        (b"GET /?" + b"x" * 8300 + b" HTTP/1.1\r\n\r\n", 414),
        (b"GET / HTTP/1.1\r\nHost: a\r\n" + b"X-A: b\r\n" * 120 + b"\r\n", 431),
        (b"GET / HTTP/1.1\r\nHost: a\r\nX-A: " + b"b" * 9000 + b"\r\n\r\n", 431),
        (b"GET / HTTP/1.1\r\nHost: a\r\nX-A: " + b"b" * 2_000_000, 431),
        (b"GET / HTTP/1.1\r\nHost : a\r\n\r\n", 400),
        (b"GET / HTTP/1.1\r\nHost: a\r\nX\x00: a\r\n\r\n", 400),
        (b"GET / HTTP/9.9\r\nHost: a\r\n\r\n", 400),
        (b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03" + b"\x00" * 100 + b"\r\n\r\n", 400),
        (bytes(range(256)) * 8 + b"\r\n\r\n", 400),
    ],
    ids=[
        "length too small", "length below zero", "length in e", "two lengths", "length and chunks",
        "length too large", "unknown coding", "gzip in chunks", "identity in chunks", "large C",
        "many small chunks", "too many small chunks", "small chunks without end", "no host",
        "no host of old", "expecting tea", "chunk of zz", "chunk below zero", "chunk too small",
        "right chunks", "chunk of an exabyte", "chunks without end", "long line", "120 headers",
        "long header", "header without end", "space in a name", "zero byte", "version 9.9", "TLS", "noise",
    ],
)  # fmt: skip
def test_a_request_that_is_wrongly_framed_is_refused(server: Server, sent: bytes, status: int) -> None:
    with server.connect() as connection:
        try:
            connection.sendall(sent)
            connection.shutdown(socket.SHUT_WR)
        except OSError:
            pass
        answer = read_to_the_end(connection)

    # An answer may be lost where the server stops reading what is still being sent.
    assert _status(answer) == status or (not answer and len(sent) > 100_000)
    assert _status(server.exchange(WHOLE)) == 200


def test_garbage_behind_a_request_is_never_taken_for_another(server: Server) -> None:
    answer = server.exchange(WHOLE + b"GET /health/live HTTP/1.1\r\nHost: a\r\n\r\n" + b"\x00" * 500)

    assert answer.count(b"HTTP/1.1 ") == 1
    assert _status(answer) == 200


def test_none_of_all_this_is_taken_for_a_fault_of_ours(server: Server) -> None:
    server.exchange(CHUNKED + b"zz\r\n")

    assert [line for line in server.lines if line["event"] == "fault"] == []
