"""Sizes of hats for heads."""

from flask import Response, current_app

from service.api.answers.finished_sizes import finished_size_answer_to_json
from service.api.operations import Resource, answer
from service.api.reading import read
from service.api.schemas.finished_sizes import FinishedSizeAnswer, FinishedSizeRequest
from service.api.state import tables_of

__all__ = ["finished_sizes"]

finished_sizes = Resource("finished-sizes", "Sizing")


@finished_sizes.calculation(
    "/v1/finished-sizes",
    request=FinishedSizeRequest,
    answer=FinishedSizeAnswer,
    problems=("choose-one", "no-room-for-head"),
)
def finish_size() -> Response:
    """Size a hat for a head.

    The fabric grips by its inner circumference, so a thick one is made wider than a thin one.
    """
    return answer(finished_size_answer_to_json(read(FinishedSizeRequest), tables_of(current_app)))
