"""Spans for a collector: off unless one is named, with nothing that was sent, and in nobody's way."""

import subprocess
import sys
import threading
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest
from opentelemetry.proto.collector.trace.v1.trace_service_pb2 import ExportTraceServiceRequest
from opentelemetry.proto.trace.v1.trace_pb2 import Span

from tests.servers import running_server

SECRET = "s3cret-value"
TRACE_ID, PARENT_ID = "0af7651916cd43dd8448eb211c80319c", "b7ad6b7169203331"
SHAPING = {"from_stitch_count": 80, "to_stitch_count": 100}


class Collector:
    """A collector on this machine, and the spans that it was sent."""

    def __init__(self) -> None:
        self.bodies: list[bytes] = []
        collector = self

        class Handler(BaseHTTPRequestHandler):
            def do_POST(self) -> None:
                body = self.rfile.read(int(self.headers["Content-Length"]))
                if self.path == "/v1/traces":
                    collector.bodies.append(body)
                self.send_response(200)
                self.end_headers()

            def log_message(self, *_: object) -> None:
                pass

        self._server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        self.address = f"http://127.0.0.1:{self._server.server_port}"
        self._thread = threading.Thread(target=self._server.serve_forever)
        self._thread.start()

    @property
    def spans(self) -> list[Span]:
        return [
            span
            for body in self.bodies
            for resource in ExportTraceServiceRequest.FromString(body).resource_spans
            for scope in resource.scope_spans
            for span in scope.spans
        ]

    def stop(self) -> None:
        self._server.shutdown()
        self._thread.join()
        self._server.server_close()


@pytest.fixture
def collector() -> Iterator[Collector]:
    collector = Collector()
    yield collector
    collector.stop()


def test_every_request_is_a_span_of_its_callers_trace(collector: Collector, tmp_path: Path) -> None:
    headers = {"traceparent": f"00-{TRACE_ID}-{PARENT_ID}-01", "X-API-Key": SECRET}
    with running_server(tmp_path, OTEL_EXPORTER_OTLP_ENDPOINT=collector.address) as server:
        assert server.get(f"/v1/shaping-rounds?{SECRET}", {**SHAPING}, headers)[0] == 200
        assert server.stop() == 0

    (span,) = [span for span in collector.spans if span.name == "POST /v1/shaping-rounds"]
    attributes = {each.key: each.value for each in span.attributes}
    assert (span.trace_id.hex(), span.parent_span_id.hex()) == (TRACE_ID, PARENT_ID)
    assert attributes["http.route"].string_value == "/v1/shaping-rounds"
    assert attributes["http.response.status_code"].int_value == 200
    assert 0 < span.end_time_unix_nano - span.start_time_unix_nano < 10**10
    assert SECRET.encode() not in b"".join(collector.bodies)


def test_a_collector_that_is_not_there_is_in_nobodys_way(tmp_path: Path) -> None:
    with running_server(tmp_path, OTEL_EXPORTER_OTLP_ENDPOINT="http://127.0.0.1:1") as server:
        statuses = [server.get("/v1/shaping-rounds", SHAPING)[0] for _ in range(5)]

        assert statuses == [200] * 5
        assert all(line["event"] for line in server.lines)


def test_without_a_collector_the_library_is_not_even_loaded() -> None:
    program = (
        "import sys; from service.application import create_app; "
        "create_app().test_client().get('/health/live'); print('opentelemetry.exporter' in sys.modules)"
    )

    printed = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)

    assert printed.stdout == "False\n"
