"""Requests a second over real HTTP, beside a constant answer of 5.5 KB: ``python -m tests.bench.throughput``.

Needs wrk. One gunicorn answers everything; each example is measured between two measurements of the
constant, since a machine's speed drifts. Prints the ratio, and the target where there is one.
"""

import argparse
import json
import re
import subprocess
import tempfile
from pathlib import Path
from statistics import median

from service.api.document import examples_of
from service.api.routes import RESOURCES
from tests.load.instances import Instance

PORT = 18130
SCRIPT = (
    'wrk.method = "{method}"\nwrk.headers["Content-Type"] = "application/json"\nwrk.body = [==[{body}]==]\n'
)
#: What each answer should reach, as a share of the constant's requests.
TARGETS = {
    "head-sizes": 0.8,
    "yarn-weights": 0.8,
    "hook-sizes": 0.8,
    "stitches": 0.8,
    "fabrics": 0.8,
    "gauges": 0.5,
    "finished-sizes": 0.5,
    "repeat-fits": 0.5,
    "shaping-rounds": 0.5,
    "crown-schedules": 0.25,
    "crown-reviews": 0.25,
    "hat-plans": 0.08,
}


def rate(path: str, method: str, body: str, seconds: float, folder: Path) -> float:
    """Return the requests a second of one request sent over and over."""
    script = folder / "request.lua"
    script.write_text(SCRIPT.format(method=method, body=body))
    ran = subprocess.run(
        ["wrk", "-t1", "-c4", f"-d{seconds}s", "-s", str(script), f"http://127.0.0.1:{PORT}{path}"],
        capture_output=True,
        text=True,
        check=True,
    )
    assert "Non-2xx" not in ran.stdout, (path, ran.stdout)
    return float(re.findall(r"Requests/sec:\s+([\d.]+)", ran.stdout)[0])


def requests() -> list[tuple[str, str, str, str]]:
    """Return every request to measure: its label, path, method and body."""
    found = []
    for resource in RESOURCES:
        for operation in resource.operations:
            if operation.method == "get":
                found.append((operation.noun, operation.path, "GET", ""))
                continue
            for case, example in examples_of(operation.noun).items():
                label = f"{operation.noun}.{case}"
                found.append((label, operation.path, "POST", json.dumps(example["request"])))
    return found


def main() -> None:
    """Measure each request and print a line of it."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--seconds", type=int, default=2)
    options.add_argument("--repeats", type=int, default=3)
    options.add_argument("--only", default="")
    asked = options.parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        instance = Instance(PORT, folder, worker_count=2, application="tests.bench.constant_app:app")
        try:
            for label, path, method, body in requests():
                if label.startswith(asked.only):
                    _measure(label, path, method, body, asked, folder)
        finally:
            instance.stop()


def _measure(label: str, path: str, method: str, body: str, asked: argparse.Namespace, folder: Path) -> None:
    ratios, rates = [], []
    for _ in range(asked.repeats):
        before = rate("/constant", "POST", "{}", asked.seconds, folder)
        ours = rate(path, method, body, asked.seconds, folder)
        after = rate("/constant", "POST", "{}", asked.seconds, folder)
        ratios.append(2 * ours / (before + after))
        rates.append(ours)
    target = TARGETS.get(label.partition(".")[0])
    wanted = "" if target is None else f"  wanted {target}"
    print(f"{label:52} {median(rates):8.0f}/s  ratio {median(ratios):.3f}{wanted}", flush=True)


if __name__ == "__main__":
    main()
