"""Load two instances behind nginx while they are killed and reloaded: ``make load``.

Needs nginx and wrk. Mixed requests, all of which the service answers, are sent for a minute. Meanwhile
instances are killed with ``kill -9`` six times and started again, and reloaded twice.
Prints what came of it; a request that failed, or a worker that kept growing, ends it with 1.
"""

import argparse
import json
import os
import random
import re
import subprocess
import sys
import tempfile
import threading
import time
import urllib.request
from pathlib import Path

from service.api.document import examples_of
from service.api.routes import RESOURCES
from tests.load.instances import ROOT, Instance, nginx_before

#: How often each operation is called, as a shop and an app with their readers would; others once.
WEIGHTS = {"hat-plans": 6, "repeat-fits": 3, "finished-sizes": 3, "gauges": 2, "count-checks": 2}
#: A worker may grow by this much after its first ten seconds.
MOST_GROWTH = 0.10
SETTLED_S = 10
PORTS, LISTEN_PORT = (18101, 18102), 18100


def request_lines() -> list[str]:
    """Return the requests of the examples that are answered with 200: method, path and body."""
    lines = []
    for resource in RESOURCES:
        for operation in resource.operations:
            if operation.method == "get":
                lines.append(f"GET\t{operation.path}\t")
                continue
            for example in examples_of(operation.noun).values():
                if example.get("status", 200) == 200:
                    line = f"POST\t{operation.path}\t{json.dumps(example['request'])}"
                    lines += [line] * WEIGHTS.get(operation.noun, 1)
    return lines


def answered(address: str, lines: list[str]) -> list[str]:
    """Return those requests that are answered with 200."""
    good = []
    for line in lines:
        method, path, body = line.split("\t")
        request = urllib.request.Request(
            address + path,
            data=body.encode() or None,
            method=method,
            headers={"Content-Type": "application/json"},
        )
        try:
            with urllib.request.urlopen(request, timeout=5):
                good.append(line)
        except urllib.error.HTTPError as refused:
            print(f"left out: {path} answers {refused.code}")
    return good


class Memory(threading.Thread):
    """Watches how much memory each worker holds, second by second."""

    def __init__(self, instances: list[Instance]) -> None:
        super().__init__(daemon=True)
        self._instances = instances
        self._ended = threading.Event()
        self.held: dict[int, list[tuple[float, int]]] = {}

    def run(self) -> None:
        """Watch until told to end."""
        while not self._ended.wait(1.0):
            for instance in self._instances:
                for worker in instance.workers():
                    self._note(worker)

    def _note(self, worker: int) -> None:
        try:
            pages = int(Path(f"/proc/{worker}/statm").read_text().split()[1])
        except (FileNotFoundError, ProcessLookupError):
            return
        kibibytes = pages * os.sysconf("SC_PAGE_SIZE") // 1024
        self.held.setdefault(worker, []).append((time.monotonic(), kibibytes))

    def end(self) -> None:
        """Stop watching."""
        self._ended.set()
        self.join()

    def growths(self) -> dict[int, tuple[int, int]]:
        """Return what each worker that is still there held after its first seconds, and at the end."""
        alive = {worker for instance in self._instances for worker in instance.workers()}
        found = {}
        for worker in alive & set(self.held):
            notes = self.held[worker]
            settled = [held for when, held in notes if when - notes[0][0] >= SETTLED_S]
            if settled:
                found[worker] = (settled[0], settled[-1])
        return found


def disturb(instances: list[Instance], seconds: float, *, kills: int, reloads: int) -> None:
    """Kill and reload instances in turns; a killed one is started again at once.

    The deeds are spread evenly over the first two thirds, so that workers can settle after them.
    """
    deeds = ["kill"] * kills + ["reload"] * reloads
    random.Random(7).shuffle(deeds)
    begin, pause_s = time.monotonic(), seconds * 2 / 3 / max(1, len(deeds))
    for number, deed in enumerate(deeds):
        time.sleep(max(0.0, begin + pause_s * (number + 0.5) - time.monotonic()))
        instance = instances[number % len(instances)]
        if deed == "kill":
            instance.kill()
            instance.start()
        else:
            instance.reload()


def load(address: str, lines: list[str], *, seconds: int, connections: int) -> dict[str, float]:
    """Send the requests with wrk; return its figures."""
    with tempfile.NamedTemporaryFile("w", suffix=".tsv") as file:
        file.write("\n".join(lines))
        file.flush()
        sender = ["wrk", "-t2", f"-c{connections}", f"-d{seconds}s", "--timeout", "10s"]
        ran = subprocess.run(
            [*sender, "-s", str(ROOT / "tests" / "load" / "mix.lua"), address],
            env={**os.environ, "LOAD_REQUESTS": file.name},
            capture_output=True,
            text=True,
            check=True,
        )
    return {name: float(value) for name, value in re.findall(r"(\w+)=([\d.]+)", ran.stdout)}


def _options() -> argparse.Namespace:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--seconds", type=int, default=60)
    options.add_argument("--connections", type=int, default=16)
    options.add_argument("--kills", type=int, default=6)
    options.add_argument("--reloads", type=int, default=2)
    return options.parse_args()


def _disturbed_load(
    instances: list[Instance], asked: argparse.Namespace
) -> tuple[dict[str, float], dict[int, tuple[int, int]]]:
    """Load the instances while they are disturbed; return the figures and how the workers grew."""
    with nginx_before(PORTS, listen_port=LISTEN_PORT) as address:
        lines = answered(address, request_lines())
        print(f"{len(set(lines))} different requests, {asked.kills} kills, {asked.reloads} reloads")
        memory = Memory(instances)
        memory.start()
        deeds = {"kills": asked.kills, "reloads": asked.reloads}
        disturber = threading.Thread(target=disturb, args=(instances, asked.seconds), kwargs=deeds)
        disturber.start()
        figures = load(address, lines, seconds=asked.seconds, connections=asked.connections)
        disturber.join()
        growths = memory.growths()
        memory.end()
    return figures, growths


def main() -> int:
    """Run the load and say what came of it."""
    asked = _options()
    with tempfile.TemporaryDirectory() as folder:
        instances = [Instance(port, Path(folder)) for port in PORTS]
        try:
            figures, growths = _disturbed_load(instances, asked)
        finally:
            codes = [instance.stop() for instance in instances]
    failures = {name: figures[name] for name in ("connect", "read", "write", "timeout", "status")}
    failed = sum(failures.values())
    kinds = ", ".join(f"{name} {count:.0f}" for name, count in failures.items())
    print(f"{figures['requests']:.0f} requests in {figures['seconds']:.0f} s, {failed:.0f} failed ({kinds})")
    quantiles = (f"{name} {figures[f'{name}_ms']:.0f}" for name in ("p50", "p95", "p99", "max"))
    print(f"milliseconds: {', '.join(quantiles)}")
    for worker, (settled, ended) in sorted(growths.items()):
        growth = f"{ended / settled - 1:+.1%}"
        print(f"worker {worker}: {settled} KiB after {SETTLED_S} s, {ended} KiB at the end ({growth})")
    print(f"exit codes: {codes}")
    grew = any(ended > settled * (1 + MOST_GROWTH) for settled, ended in growths.values())
    return int(failed > 0 or grew or any(codes))


if __name__ == "__main__":
    sys.exit(main())
