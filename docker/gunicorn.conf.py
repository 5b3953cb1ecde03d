"""How the service runs: a few sync workers, short time limits, nothing written but to /tmp."""

import os

bind = os.environ.get("BIND", "0.0.0.0:8080")
workers = int(os.environ.get("WORKERS", "2"))
worker_class = "sync"
# The application is loaded once and shared by the workers until they change a page of it.
preload_app = True
timeout = 5
graceful_timeout = 5
# A shared worksheet link carries a whole request in its line.
limit_request_line = 8190
limit_request_fields = 50
worker_tmp_dir = "/dev/shm" if os.path.isdir("/dev/shm") else None
accesslog = None
errorlog = "-"
# Nothing may be written beside /tmp, and nobody talks to the master.
control_socket_disable = True


def when_ready(server: object) -> None:
    """Build the grammar of the written language once, before the workers fork and share it."""
    from service.notation.reader import grammar

    grammar()
