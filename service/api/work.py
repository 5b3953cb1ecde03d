"""How much work the current request was: the same in the header, the log line, the metric and the span."""

from flask import Flask, Response, g, has_request_context, request

from service.domain.work_units import LEAST_WORK

__all__ = ["WORK_HEADER", "count_work", "tell_work", "work_of"]

WORK_HEADER = "Work-Units"


def count_work(work_units: int) -> None:
    """Add to the work of the current request; outside of a request nobody asks."""
    if has_request_context():
        g.work_units = _counted() + work_units


def work_of(response: Response) -> int:
    """Return the work of the current request: 0 where nothing was calculated. [units]

    Whatever was calculated costs the reading and the answering too. A page or a refusal may have cost work.
    """
    counted = _counted()
    return LEAST_WORK + counted if counted or _answers_a_calculation(response) else 0


def tell_work(app: Flask) -> None:
    """Let every answer of a calculation say what it cost."""

    @app.after_request
    def add(response: Response) -> Response:
        if _answers_a_calculation(response):
            response.headers[WORK_HEADER] = str(work_of(response))
        return response


def _counted() -> int:
    counted: int = g.get("work_units", 0)
    return counted


def _answers_a_calculation(response: Response) -> bool:
    return request.method == "POST" and response.status_code == 200
