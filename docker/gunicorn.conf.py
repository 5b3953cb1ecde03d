"""How the service runs: a few sync workers, short time limits, nothing written but to /tmp."""

import gc
import os
import shutil
import signal
import socket
import struct
import sys
import tempfile
from pathlib import Path
from typing import Any

from service.configuration import ConfigurationRefused, read_configuration

try:
    settings = read_configuration(os.environ)
except ConfigurationRefused as refusal:
    print(f"The service does not start. {refusal}", file=sys.stderr)
    raise SystemExit(1) from None

#: How long a caller may send or take nothing while a worker waits for it. [s]
_LONGEST_SILENCE_S = 1
_OWN_FOLDER = "hat-metrics-"
# The workers add up their metrics in a folder; the library asks for it as it is imported.
if not settings.metrics_folder:
    os.environ["PROMETHEUS_MULTIPROC_DIR"] = tempfile.mkdtemp(prefix=_OWN_FOLDER)

bind = settings.bind
workers = settings.worker_count
worker_class = "service.api.server_worker.HatWorker"
# The application is loaded once and shared by the workers until they change a page of it.
preload_app = True
timeout = settings.time_limit_s
graceful_timeout = settings.time_limit_s
# A shared worksheet link carries a whole request in its line.
limit_request_line = 8190
limit_request_fields = 100
limit_request_field_size = 8190
worker_tmp_dir = "/dev/shm" if os.path.isdir("/dev/shm") else None
# The application writes a line a request; the server would tell addresses.
accesslog = None
logger_class = "service.api.server_log.ServerLog"
errorlog = "-"
# Nothing may be written beside /tmp, and nobody talks to the master.
control_socket_disable = True


def on_starting(server: object) -> None:
    """Let the lines of requests go to the standard output."""
    from service.api.log_lines import write_log_lines

    write_log_lines()


def when_ready(server: Any) -> None:
    """Build the grammar of the written language and read the fonts: the workers fork and share both."""
    from service.notation.reader import grammar
    from service.sheets.pdf_sheets import prepare_pdf

    if settings.rate_limit_storage and settings.rate_limit is None:
        server.log.warning("RATE_LIMIT_STORAGE is set but RATE_LIMIT is not: no caller is limited")
    grammar()
    prepare_pdf()
    # What is there now stays for good: the workers need not look through it for garbage (90 ms a time),
    # nor copy its pages by looking.
    gc.collect()
    gc.freeze()
    for listener in server.LISTENERS:
        _leave_out_slow_callers(listener.sock)
    _drain_before_stop(server)


def _leave_out_slow_callers(listener: socket.socket) -> None:
    """Let the kernel keep silent connections from the workers, and end those that fall silent.

    Accepted connections inherit the times of their listener (Linux, socket(7)); a connection that has sent
    nothing is not handed over at all (tcp(7)). A caller who drips is ended by the worker's time limit.
    """
    if sys.platform != "linux":
        return
    silence = struct.pack("ll", _LONGEST_SILENCE_S, 0)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_RCVTIMEO, silence)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_SNDTIMEO, silence)
    if listener.family in (socket.AF_INET, socket.AF_INET6):
        listener.setsockopt(socket.IPPROTO_TCP, socket.TCP_DEFER_ACCEPT, _LONGEST_SILENCE_S)


def _drain_before_stop(server: Any) -> None:
    """Let a stop be known for a while before the server listens no more.

    Whoever watches ``/health/ready`` sends requests elsewhere by then, so that none waits at a closed door.
    A second SIGTERM stops at once.
    """
    from service.api.state import begin_draining, is_draining

    app = server.app.wsgi()

    def stop(*_: object) -> None:
        server.signal(signal.SIGTERM, None)

    def drain(*_: object) -> None:
        if os.getpid() != server.pid:
            return
        if is_draining(app) or not settings.drain_s:
            stop()
            return
        begin_draining(app)
        signal.signal(signal.SIGALRM, stop)
        signal.setitimer(signal.ITIMER_REAL, settings.drain_s)

    signal.signal(signal.SIGTERM, drain)


#: Workers that have ended and whose counts still lie in files of their own.
_ended_pids: set[int] = set()


def child_exit(server: Any, worker: Any) -> None:
    """Keep what a worker counted, but not its files: workers may end for years and fill no folder."""
    from service.api.metric_files import keep_counts_of_ended

    _ended_pids.add(worker.pid)
    # A number may have been given to a new worker, which goes on with the file of the old one.
    if keep_counts_of_ended(Path(os.environ["PROMETHEUS_MULTIPROC_DIR"]), _ended_pids - set(server.WORKERS)):
        _ended_pids.clear()


def on_exit(server: Any) -> None:
    """Remove the folder of the metrics, unless a new master goes on with it or the operator gave it."""
    folder = os.environ["PROMETHEUS_MULTIPROC_DIR"]
    if os.path.basename(folder).startswith(_OWN_FOLDER) and not server.reexec_pid:
        shutil.rmtree(folder, ignore_errors=True)
