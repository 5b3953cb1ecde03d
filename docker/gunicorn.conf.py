"""How the service runs: a few sync workers, short time limits, nothing written but to /tmp."""

import os
import sys

from service.configuration import ConfigurationRefused, read_configuration

try:
    settings = read_configuration(os.environ)
except ConfigurationRefused as refusal:
    print(f"The service does not start. {refusal}", file=sys.stderr)
    raise SystemExit(1) from None

bind = settings.bind
workers = settings.worker_count
worker_class = "sync"
# The application is loaded once and shared by the workers until they change a page of it.
preload_app = True
timeout = settings.time_limit_s
graceful_timeout = settings.time_limit_s
# A shared worksheet link carries a whole request in its line.
limit_request_line = 8190
limit_request_fields = 50
limit_request_field_size = 8190
worker_tmp_dir = "/dev/shm" if os.path.isdir("/dev/shm") else None
# The application writes a line a request; the server would tell addresses.
accesslog = None
logger_class = "service.api.server_log.ServerLog"
errorlog = "-"
# Nothing may be written beside /tmp, and nobody talks to the master.
control_socket_disable = True


def when_ready(server: object) -> None:
    """Build the grammar of the written language once, before the workers fork and share it."""
    from service.notation.reader import grammar

    grammar()
