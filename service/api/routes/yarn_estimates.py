"""Yarn for a piece of work."""

from flask import Response, current_app

from service.api.answers.yarn_estimates import yarn_estimate_to_json
from service.api.operations import Resource, answer
from service.api.reading import read
from service.api.schemas.yarn_estimates import YarnEstimateAnswer, YarnEstimateRequest
from service.api.state import tables_of

__all__ = ["yarn_estimates"]

yarn_estimates = Resource("yarn-estimates", "Yarn")


@yarn_estimates.calculation(
    "/v1/yarn-estimates",
    request=YarnEstimateRequest,
    answer=YarnEstimateAnswer,
    problems=(
        "choose-one",
        "colour-unmatched",
        "hat-out-of-bounds",
        "round-beyond-end",
        "rounds-needed",
        "strand-colours-unequal",
        "yarn-underdetermined",
    ),
)
def estimate_yarn() -> Response:
    """Estimate the yarn of a piece of work and what to buy.

    The best information at hand decides: a weighed swatch in the same stitches, one in another texture,
    gauge and tex, or the weight category alone. The interval says how sure it is.
    Coloured work is bought colour by colour, leftovers first; checkpoints say whether the yarn lasts.
    """
    return answer(yarn_estimate_to_json(read(YarnEstimateRequest), tables_of(current_app)))
