"""Crowns that somebody wrote."""

from flask import Response, current_app

from service.api.answers.crowns import crown_review_to_json
from service.api.operations import CROWN_PROBLEMS, Resource, answer
from service.api.reading import read
from service.api.schemas.crowns import CrownReviewAnswer, CrownReviewRequest
from service.api.state import tables_of

__all__ = ["crown_reviews"]

crown_reviews = Resource("crown-reviews", "Shaping")


@crown_reviews.calculation(
    "/v1/crown-reviews",
    request=CrownReviewRequest,
    answer=CrownReviewAnswer,
    problems=CROWN_PROBLEMS,
)
def review_crown() -> Response:
    """Look over the stitch counts of a crown.

    Says round by round where it cups, ruffles or gathers, and proposes a crown of as many rounds.
    """
    return answer(crown_review_to_json(read(CrownReviewRequest), tables_of(current_app)))
