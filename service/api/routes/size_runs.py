"""One design in several sizes."""

from flask import Response, current_app

from service.api.answers.size_runs import size_run_to_json
from service.api.operations import HAT_PROBLEMS, Resource, answer
from service.api.reading import read
from service.api.schemas.size_runs import SizeRunAnswer, SizeRunRequest
from service.api.state import tables_of

__all__ = ["size_runs"]

size_runs = Resource("size-runs", "Plans")


@size_runs.calculation(
    "/v1/size-runs",
    request=SizeRunRequest,
    answer=SizeRunAnswer,
    problems=(*HAT_PROBLEMS, "work-budget-exceeded"),
)
def plan_size_run() -> Response:
    """Plan one design for several heads, with one pattern for all sizes.

    Every size is the plan that its head would get alone. The pattern gives a number for each size, is read
    back for every one of them and agrees with its plan. The answer tells which sizes share counts, which
    are unlikely to fit and what would cure that, and which of several fabrics grades most evenly.
    """
    return answer(size_run_to_json(read(SizeRunRequest), tables_of(current_app)))
