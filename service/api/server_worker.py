"""The server's worker: what it refuses before the application sees it is told like everything else."""

from time import perf_counter
from typing import Any, cast

from flask import Flask
from gunicorn import util
from gunicorn.http import errors
from gunicorn.workers.sync import SyncWorker
from werkzeug.http import HTTP_STATUS_CODES

from service.api.encoding import json_bytes
from service.api.headers import usable_request_id
from service.api.log_lines import fault_to_json
from service.api.metrics import metrics_of
from service.api.watching import UNREADABLE, Observation, log_request, told_method

__all__ = ["HatWorker"]

Json = dict[str, Any]

_UNREADABLE = "The request or its headers could not be read. Send well-formed HTTP."
_DETAILS: dict[type[BaseException], tuple[int, str]] = {
    errors.LimitRequestLine: (414, "The address has more than 8 KiB. Send the request as a POST."),
    errors.LimitRequestHeaders: (
        431,
        "Headers are too many or too long. Send 100 at most, of 8 KiB each.",
    ),
    errors.UnsupportedTransferCoding: (501, "Send the body as it is, or in chunks and in no other coding."),
    errors.ExpectationFailed: (417, "Nothing but 100-continue can be expected."),
}


class HatWorker(SyncWorker):
    """gunicorn's worker, which answers, logs and counts its own refusals as the application does."""

    _begun_s = 0.0

    def handle(self, listener: Any, client: Any, addr: Any) -> None:
        """Answer a connection."""
        self._begun_s = perf_counter()
        super().handle(listener, client, addr)

    def handle_request(self, listener: Any, req: Any, client: Any, addr: Any) -> bool:
        """Answer a request, unless others could read it otherwise than we do."""
        _refuse_what_is_ambiguous(req)
        return super().handle_request(listener, req, client, addr)

    def handle_error(self, req: Any, client: Any, addr: Any, exc: BaseException) -> None:
        """Answer a request that cannot be read with a problem, which repeats nothing of it."""
        status, detail = _status_of(req, exc)
        sent = dict(req.headers).get("X-REQUEST-ID", "") if req is not None else ""
        request_id = usable_request_id(sent)
        fault = {"request_id": request_id, "fault": fault_to_json(exc)}
        log = self.log.error if status == 500 else self.log.warning
        log("unreadable request", extra={"fields": fault})
        body = json_bytes(_problem(status, detail))
        observation = Observation(
            request_id=request_id,
            method=told_method(None if req is None else req.method),
            route=UNREADABLE,
            status=status,
            milliseconds=round(1000 * (perf_counter() - self._begun_s), 3),
            byte_count=len(body),
            problem="internal-error" if status == 500 else None,
            work_units=0,
            key=None,
        )
        log_request(observation)
        metrics_of(cast(Flask, self.wsgi)).observe(observation)
        _send(client, status, request_id, body)


def _refuse_what_is_ambiguous(req: Any) -> None:
    """Refuse a coding that is never undone here, and a request that names no host (RFC 9112, 3.2 and 6.1)."""
    codings = [value.lower() for name, value in req.headers if name == "TRANSFER-ENCODING"]
    if codings not in ([], ["chunked"]):
        raise errors.UnsupportedTransferCoding("")
    if req.version >= (1, 1) and not any(name == "HOST" for name, _ in req.headers):
        raise errors.InvalidHeader("HOST")


def _status_of(req: Any, exc: BaseException) -> tuple[int, str]:
    """Return the status that a fault has, and what would fit.

    The time limit ends a worker by ``SystemExit``; the application answers that itself, so that here it is
    the head of a request that did not arrive in time.
    """
    if isinstance(exc, SystemExit) and req is None:
        return 408, "The request did not arrive in time. Send it at once."
    is_callers = isinstance(exc, errors.ParseException) and not isinstance(exc, errors.ConfigurationProblem)
    if not is_callers:
        return 500, "The service failed; the fault is ours. Try again, or report the X-Request-Id."
    return _DETAILS.get(type(exc), (400, _UNREADABLE))


def _problem(status: int, detail: str) -> Json:
    """Return a problem document (RFC 9457); where its type says no more than the status, it is blank."""
    if status == 500:
        return {
            "type": "/problems/internal-error",
            "title": "The service failed",
            "status": status,
            "detail": detail,
        }
    return {"type": "about:blank", "title": HTTP_STATUS_CODES[status], "status": status, "detail": detail}


def _send(client: Any, status: int, request_id: str, body: bytes) -> None:
    """Send an answer as far as the caller takes it at once: nobody waits for one who broke off."""
    head = (
        f"HTTP/1.1 {status} {HTTP_STATUS_CODES[status]}\r\n"
        "Connection: close\r\n"
        "Content-Type: application/problem+json\r\n"
        f"Content-Length: {len(body)}\r\n"
        "Cache-Control: no-store\r\n"
        "X-Content-Type-Options: nosniff\r\n"
        f"X-Request-Id: {request_id}\r\n\r\n"
    )
    try:
        util.write_nonblock(client, head.encode("ascii") + body)
    except OSError:
        return
