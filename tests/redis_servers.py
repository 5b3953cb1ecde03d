"""A real Redis, from Debian's package, on a port of this machine's choosing."""

import os
import shutil
import socket
import subprocess
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from tests.servers import free_port

PROGRAM = "redis-server"
#: How long it may take to answer. [s]
PATIENCE_S = 10


class RedisServer:
    """A Redis that can be stopped and started again."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self.port = free_port()
        self.url = f"redis://127.0.0.1:{self.port}/0"

    def start(self) -> None:
        options = ("--port", str(self.port), "--bind", "127.0.0.1", "--save", "", "--dir", str(self._folder))
        self.process = subprocess.Popen([PROGRAM, *options], stdout=subprocess.DEVNULL)
        deadline = time.monotonic() + PATIENCE_S
        while time.monotonic() < deadline:
            try:
                socket.create_connection(("127.0.0.1", self.port), timeout=1).close()
                return
            except OSError:
                time.sleep(0.02)
        raise AssertionError("redis-server does not answer")

    def stop(self) -> None:
        self.process.terminate()
        self.process.wait(PATIENCE_S)


@contextmanager
def running_redis(folder: Path) -> Iterator[RedisServer]:
    """Give a Redis, and end it; where there is none the test is skipped, unless one is required."""
    if shutil.which(PROGRAM) is None:
        assert "REQUIRE_REDIS" not in os.environ, "a Redis is required, and there is no redis-server"
        pytest.skip("there is no redis-server on this machine")
    server = RedisServer(folder)
    server.start()
    try:
        yield server
    finally:
        if server.process.poll() is None:
            server.stop()
