"""Measure every calculation in-process, beside a constant answer of the same run.

``python -m tests.bench.calculations`` prints medians and ratios; it judges nothing, since machines differ.
"""

import io
import json
import resource
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from statistics import median
from typing import Any

from flask import Response

from service.api.document import examples_of
from service.api.routes import RESOURCES
from service.application import create_app
from service.configuration import read_configuration

CONSTANT_BODY = json.dumps({"text": "x" * (5500 - 12)}).encode()
ROUNDS = 200
SECONDS_EACH = 2.0


def _call(app: Any, path: str, body: bytes) -> Callable[[], int]:
    """Return a call of the application with one request, over WSGI, without a network."""

    def call() -> int:
        environ = {
            "REQUEST_METHOD": "POST",
            "PATH_INFO": path,
            "SERVER_NAME": "localhost",
            "SERVER_PORT": "80",
            "SERVER_PROTOCOL": "HTTP/1.1",
            "wsgi.url_scheme": "http",
            "wsgi.input": io.BytesIO(body),
            "wsgi.errors": sys.stderr,
            "CONTENT_TYPE": "application/json",
            "CONTENT_LENGTH": str(len(body)),
        }
        status: list[str] = []
        parts = app(environ, lambda line, headers, exc_info=None: status.append(line))
        size = sum(map(len, parts))
        assert status[0].startswith("200"), (path, status[0])
        return size

    return call


def _median_ms(call: Callable[[], int], constant: Callable[[], int]) -> tuple[float, float]:
    """Return the median of a call and of the constant answer, taken in turns."""
    for warm in (call, constant):
        warm()
    ours: list[float] = []
    theirs: list[float] = []
    end = time.perf_counter() + SECONDS_EACH
    while len(ours) < ROUNDS and time.perf_counter() < end:
        for function, times in ((call, ours), (constant, theirs)):
            begin = time.perf_counter()
            function()
            times.append(time.perf_counter() - begin)
    return 1000 * median(ours), 1000 * median(theirs)


def _import_seconds() -> float:
    begin = time.perf_counter()
    subprocess.run([sys.executable, "-c", "import service.wsgi"], check=True)
    bare = time.perf_counter()
    subprocess.run([sys.executable, "-c", "pass"], check=True)
    return (bare - begin) - (time.perf_counter() - bare)


def _many_heads() -> Iterator[tuple[str, str, dict[str, Any]]]:
    """Yield requests of many heads: a label, the path and the body."""
    run = examples_of("size-runs")["eight-heads"]["request"]
    ten = [{"circumference_cm": 44 + 2 * number} for number in range(10)]
    yield "size-runs of ten heads", "/v1/size-runs", {"heads": ten, "design": run["design"]}
    kits = examples_of("class-kits")["ten-seats"]["request"]
    for count, distinct in ((100, 9), (500, 500)):
        people = [
            {
                "reference": f"seat-{number}",
                "head": {"circumference_cm": 50 + 12 * (number % distinct) / distinct},
            }
            for number in range(count)
        ]
        label = f"class-kits of {count}, {distinct} heads"
        yield label, "/v1/class-kits", {**kits, "participants": people}


def main() -> None:
    """Print a line for each example of each operation."""
    app = create_app(read_configuration({}))
    app.add_url_rule(
        "/constant",
        "constant",
        lambda: Response(CONSTANT_BODY, content_type="application/json"),
        methods=["POST"],
    )
    constant = _call(app, "/constant", b"{}")
    print(f"{'example':58} {'ms':>8} {'constant ms':>12} {'ratio':>7} {'bytes':>7}")
    for resource_ in RESOURCES:
        for operation in resource_.operations:
            if operation.method != "post":
                continue
            for case, example in examples_of(operation.noun).items():
                call = _call(app, operation.path, json.dumps(example["request"]).encode())
                ours, theirs = _median_ms(call, constant)
                label = f"{operation.noun}.{case}"
                print(f"{label:58} {ours:8.3f} {theirs:12.3f} {ours / theirs:7.1f} {call():7}")
    for label, path, body in _many_heads():
        call = _call(app, path, json.dumps(body).encode())
        ours, theirs = _median_ms(call, constant)
        print(f"{label:58} {ours:8.3f} {theirs:12.3f} {ours / theirs:7.1f} {call():7}")
    print(f"import of service.wsgi: {_import_seconds():.2f} s")
    print(f"resident memory: {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")


if __name__ == "__main__":
    main()
