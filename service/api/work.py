"""How much work the current request was, for the header that tells its caller."""

from flask import Flask, Response, g, has_request_context, request

from service.domain.work_units import LEAST_WORK

__all__ = ["WORK_HEADER", "count_work", "tell_work", "work_so_far"]

WORK_HEADER = "Work-Units"


def count_work(work_units: int) -> None:
    """Add to the work of the current request; outside of a request nobody asks."""
    if has_request_context():
        g.work_units = work_so_far() + work_units


def work_so_far() -> int:
    """Return the work of the current request beyond reading and answering it. [units]"""
    known: int = g.get("work_units", 0)
    return known


def tell_work(app: Flask) -> None:
    """Let every answer of a calculation say what it cost."""

    @app.after_request
    def add(response: Response) -> Response:
        if request.method == "POST" and response.status_code == 200:
            response.headers[WORK_HEADER] = str(LEAST_WORK + work_so_far())
        return response
