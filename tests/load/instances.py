"""Instances of the service as an operator runs them, each a process group of its own that can be killed."""

import os
import signal
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

__all__ = ["Instance", "nginx_before", "wait_for"]

ROOT = Path(__file__).parents[2]


class Instance:
    """One gunicorn with its workers on a loopback port."""

    def __init__(
        self, port: int, folder: Path, *, worker_count: int = 1, application: str = "service.wsgi:app"
    ) -> None:
        self.port = port
        self._application = application
        self._log = folder / f"instance-{port}.log"
        self._environment = {
            **os.environ,
            "BIND": f"127.0.0.1:{port}",
            "WORKERS": str(worker_count),
            "TRUSTED_PROXY_COUNT": "1",
            "PYTHONPATH": str(ROOT),
        }
        self.start()

    def start(self) -> None:
        """Start it, and wait until it is ready."""
        with self._log.open("ab") as log:
            self._process = subprocess.Popen(
                [sys.executable, "-m", "gunicorn", "--config", "docker/gunicorn.conf.py", self._application],
                cwd=ROOT,
                env=self._environment,
                stdout=log,
                stderr=log,
                start_new_session=True,
            )
        wait_for(f"http://127.0.0.1:{self.port}/health/ready")

    def kill(self) -> None:
        """Kill master and workers at once, as a machine that loses its power."""
        os.killpg(self._process.pid, signal.SIGKILL)
        self._process.wait()

    def reload(self) -> None:
        """Let the master replace its workers."""
        self._process.send_signal(signal.SIGHUP)

    def stop(self) -> int:
        """Ask it to stop; return its exit code."""
        self._process.send_signal(signal.SIGTERM)
        return self._process.wait(timeout=30)

    def workers(self) -> tuple[int, ...]:
        """Return the process ids of the workers."""
        with suppress(FileNotFoundError):
            children = Path(f"/proc/{self._process.pid}/task/{self._process.pid}/children").read_text()
            return tuple(map(int, children.split()))
        return ()


def wait_for(url: str, *, seconds: float = 20.0) -> None:
    """Wait until an address answers 200."""
    end = time.monotonic() + seconds
    while True:
        try:
            with urllib.request.urlopen(url, timeout=1):
                return
        except OSError:
            if time.monotonic() > end:
                raise
            time.sleep(0.05)


@contextmanager
def nginx_before(ports: tuple[int, ...], *, listen_port: int) -> Iterator[str]:
    """Run nginx with the project's own configuration before instances; yield its address."""
    text = (ROOT / "docker" / "nginx.conf").read_text()
    for number, port in enumerate(ports, start=1):
        text = text.replace(f"server hats-{number}:8080", f"server 127.0.0.1:{port}")
    with tempfile.TemporaryDirectory() as folder:
        text = text.replace("listen 8000 ", f"listen 127.0.0.1:{listen_port} ").replace("/tmp/", f"{folder}/")
        configuration = Path(folder) / "nginx.conf"
        configuration.write_text(text)
        command = ["nginx", "-p", folder, "-c", str(configuration), "-g", "daemon off;"]
        process = subprocess.Popen(command, stderr=subprocess.DEVNULL)
        try:
            wait_for(f"http://127.0.0.1:{listen_port}/health/live")
            yield f"http://127.0.0.1:{listen_port}"
        finally:
            process.terminate()
            process.wait(timeout=10)
