"""Turn every failure into a problem document, once, at the boundary."""

from typing import cast

from flask import Flask, Response, request
from werkzeug.exceptions import HTTPException, InternalServerError

from service.api.problems import Problem, problem_from_domain, problem_response
from service.api.reading import BodyRefused, hat_pointer
from service.domain.errors import PatternMathError

__all__ = ["TimeLimitReached", "handle_failures"]

#: What the framework itself may raise, as problems.
_HTTP_PROBLEMS = {
    400: Problem("malformed-json", "The request could not be read."),
    404: Problem("not-found", "Nothing is here. Every address stands in /openapi.json."),
    405: Problem("method-not-allowed", "Use one of the methods named in the Allow header."),
    415: Problem("unsupported-media-type", "Send the body as application/json in UTF-8."),
}
_FAILED = Problem(
    "internal-error", "The service failed; the fault is ours. Try again, or report the X-Request-Id."
)

_TOO_LONG = Problem(
    "internal-error",
    "The request took longer than the service may spend on one; the fault is ours. Ask for less, or report "
    "the X-Request-Id.",
)


class TimeLimitReached(Exception):
    """The server ended the work on a request that took too long."""


def handle_failures(app: Flask) -> None:
    """Let the application answer every failure with a problem document."""
    app.register_error_handler(PatternMathError, _refused_by_the_mathematics)
    app.register_error_handler(BodyRefused, _refused_body)
    app.register_error_handler(HTTPException, _refused_by_http)
    app.register_error_handler(500, _failed)


def _refused_by_the_mathematics(error: PatternMathError) -> Response:
    return problem_response(problem_from_domain(error, hat_pointer=hat_pointer()))


def _refused_body(error: BodyRefused) -> Response:
    return problem_response(error.problem)


def _refused_by_http(error: HTTPException) -> Response:
    if error.code is not None and error.code < 400:
        return cast(Response, error.get_response(request.environ))
    response = problem_response(_http_problem(error.code or 500))
    # The exception's own headers say more than we can: Allow on 405, for one.
    for name, value in error.get_response(request.environ).headers.items():
        if name not in ("Content-Type", "Content-Length"):
            response.headers[name] = value
    return response


def _http_problem(code: int) -> Problem:
    """Return the problem for a status of the framework's own; a request it cannot read is the caller's."""
    if code == 413:
        return Problem(
            "body-too-large",
            "The body is too large. Send a smaller one.",
            {"limit_bytes": request.max_content_length or 0},
        )
    unreadable = _HTTP_PROBLEMS[400] if code < 500 else _FAILED
    return _HTTP_PROBLEMS.get(code, unreadable)


def _failed(error: InternalServerError) -> Response:
    took_too_long = isinstance(error.original_exception, TimeLimitReached)
    return problem_response(_TOO_LONG if took_too_long else _FAILED)
