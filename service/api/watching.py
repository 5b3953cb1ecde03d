"""Watch every request from its arrival to its answer, and tell observers what is worth keeping."""

import logging
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from time import perf_counter

from flask import Flask, Response, g, request

from service.api.callers import key_in_log
from service.api.headers import request_id
from service.api.log_lines import fault_to_json
from service.api.problems import ProblemResponse
from service.api.work import work_of

__all__ = [
    "UNMATCHED",
    "UNREADABLE",
    "Observation",
    "log_fault",
    "log_request",
    "told_method",
    "watch_requests",
]

#: The route of an address where nothing is.
UNMATCHED = "unmatched"

#: The route of a request that the server could not read.
UNREADABLE = "unreadable"

#: The methods that are told apart.
_METHODS = frozenset({"GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS"})
_BODILESS = frozenset({204, 304})
_LOG = logging.getLogger("service")


@dataclass(frozen=True, slots=True)
class Observation:
    """What is kept of a request: nothing that its sender chose but a request id of a bounded shape.

    ``route`` is the template, never the address. ``problem`` is the type of a refusal;
    ``key`` tells the operator's keys apart.
    """

    request_id: str
    method: str
    route: str
    status: int
    milliseconds: float
    byte_count: int
    problem: str | None
    work_units: int
    key: str | None


Observer = Callable[[Observation], None]


def watch_requests(app: Flask, observers: Sequence[Observer]) -> None:
    """Let observers hear of every answer of the application, once it is what the client gets.

    What runs after a request runs in reverse: this is to be called before others add to the answer.
    """

    @app.before_request
    def begin() -> None:
        g.begun_s = perf_counter()

    @app.after_request
    def tell(response: Response) -> Response:
        observation = _observed(response)
        for observe in observers:
            observe(observation)
        return response


def log_request(observation: Observation) -> None:
    """Write the log line of a request."""
    # dataclasses.asdict copies every value, which costs more than the line itself.
    fields = {name: getattr(observation, name) for name in Observation.__slots__}
    _LOG.info("request", extra={"fields": fields})


def log_fault(error: BaseException | None) -> None:
    """Write where a request failed, without the words of the exception."""
    fault = None if error is None else fault_to_json(error)
    _LOG.error("fault", extra={"fields": {"request_id": request_id(), "fault": fault}})


def told_method(method: str | None) -> str:
    """Return a method as it is told: a client may send any word.

    Examples
    --------
    >>> told_method("POST"), told_method("S3CRET"), told_method(None)
    ('POST', 'other', 'other')
    """
    return method if method in _METHODS else "other"


def _observed(response: Response) -> Observation:
    return Observation(
        request_id=request_id(),
        method=told_method(request.method),
        route=UNMATCHED if request.url_rule is None else request.url_rule.rule,
        status=response.status_code,
        milliseconds=round(1000 * (perf_counter() - g.begun_s), 3),
        byte_count=_byte_count(response),
        problem=response.slug if isinstance(response, ProblemResponse) else None,
        work_units=work_of(response),
        key=key_in_log(),
    )


def _byte_count(response: Response) -> int:
    if request.method == "HEAD" or response.status_code in _BODILESS:
        return 0
    return response.calculate_content_length() or 0
