"""Evenly shaped rounds."""

from flask import Response

from service.api.answers.shaping_rounds import shaping_round_to_json
from service.api.operations import Resource, answer
from service.api.reading import read
from service.api.schemas.shaping_rounds import ShapingRoundAnswer, ShapingRoundRequest

__all__ = ["shaping_rounds"]

shaping_rounds = Resource("shaping-rounds", "Shaping")


@shaping_rounds.calculation(
    "/v1/shaping-rounds",
    request=ShapingRoundRequest,
    answer=ShapingRoundAnswer,
    problems=("shaping-out-of-reach",),
)
def shape_round() -> Response:
    """Spread the increases or decreases of one round evenly.

    Gaps between neighbouring changes differ by at most one stitch.
    """
    return answer(shaping_round_to_json(read(ShapingRoundRequest)))
