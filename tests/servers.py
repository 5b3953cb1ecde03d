"""The service as it runs: gunicorn with its configuration, on a port of this machine's choosing."""

import json
import os
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from service.configuration import SETTINGS

ROOT = Path(__file__).resolve().parents[1]
COMMAND = (sys.executable, "-m", "gunicorn", "--config", "docker/gunicorn.conf.py")
#: How long a server may take to start, and to stop. [s]
PATIENCE_S = 30


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


class Server:
    """A running server and what it wrote."""

    def __init__(self, folder: Path, settings: dict[str, str], app: str = "service.wsgi:app") -> None:
        self.port = free_port()
        self._paths = (folder / "stdout", folder / "stderr")
        known = {setting.name for setting in SETTINGS}
        environment = {name: text for name, text in os.environ.items() if name not in known}
        with self._paths[0].open("wb") as out, self._paths[1].open("wb") as err:
            self.process = subprocess.Popen(
                (*COMMAND, app),
                cwd=ROOT,
                env={**environment, "BIND": f"127.0.0.1:{self.port}", **settings},
                stdout=out,
                stderr=err,
            )

    @property
    def output(self) -> str:
        return self._paths[0].read_text(encoding="utf-8")

    @property
    def errors(self) -> str:
        return self._paths[1].read_text(encoding="utf-8")

    @property
    def lines(self) -> list[dict[str, Any]]:
        return [json.loads(line) for line in self.output.splitlines()]

    @property
    def worker_pids(self) -> list[int]:
        children = Path(f"/proc/{self.process.pid}/task/{self.process.pid}/children")
        return [int(pid) for pid in children.read_text(encoding="ascii").split()]

    def connect(self, timeout_s: float = 10) -> socket.socket:
        return socket.create_connection(("127.0.0.1", self.port), timeout=timeout_s)

    def exchange(self, sent: bytes, timeout_s: float = 10) -> bytes:
        """Return what comes back for these bytes, up to the end of the connection."""
        with self.connect(timeout_s) as connection:
            connection.sendall(sent)
            return read_to_the_end(connection)

    def get(self, path: str, body: Any = None, headers: dict[str, str] | None = None) -> tuple[int, Any]:
        """Return the status of a request and its answer as text; with a body it is a POST."""
        data = None if body is None else json.dumps(body).encode()
        request = urllib.request.Request(f"http://127.0.0.1:{self.port}{path}", data, headers or {})
        request.add_header("Content-Type", "application/json")
        try:
            with urllib.request.urlopen(request, timeout=10) as answer:
                return answer.status, answer.read().decode()
        except urllib.error.HTTPError as refusal:
            return refusal.code, refusal.read().decode()

    def wait_until_ready(self) -> None:
        deadline = time.monotonic() + PATIENCE_S
        while time.monotonic() < deadline:
            assert self.process.poll() is None, self.errors
            try:
                if self.get("/health/ready")[0] == 200:
                    return
            except OSError:
                time.sleep(0.05)
        raise AssertionError(self.errors)

    def tell(self, what: signal.Signals) -> None:
        self.process.send_signal(what)

    def stop(self) -> int:
        """Return the exit status of a server that is asked to stop."""
        self.tell(signal.SIGTERM)
        return self.process.wait(PATIENCE_S)


def read_to_the_end(connection: socket.socket) -> bytes:
    received = b""
    try:
        while part := connection.recv(65536):
            received += part
    except ConnectionResetError:
        pass
    return received


@contextmanager
def running_server(folder: Path, app: str = "service.wsgi:app", **settings: str) -> Iterator[Server]:
    """Give a server that is ready, and end it."""
    server = Server(folder, {"DRAIN_S": "0", **settings}, app)
    try:
        server.wait_until_ready()
        yield server
    finally:
        if server.process.poll() is None:
            server.tell(signal.SIGQUIT)
            server.process.wait(PATIENCE_S)
