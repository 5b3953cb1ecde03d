"""Hats on the hook."""

from flask import Response, current_app

from service.api.answers.hat_revisions import hat_revision_to_json
from service.api.operations import HAT_PROBLEMS, Resource, answer
from service.api.reading import read
from service.api.schemas.hat_revisions import HatRevisionAnswer, HatRevisionRequest
from service.api.state import tables_of

__all__ = ["hat_revisions"]

hat_revisions = Resource("hat-revisions", "Plans")


@hat_revisions.calculation(
    "/v1/hat-revisions",
    request=HatRevisionRequest,
    answer=HatRevisionAnswer,
    problems=(*HAT_PROBLEMS, "state-contradicts-plan"),
)
def revise_hat() -> Response:
    """Plan the rest of a hat anew, from what is on the hook.

    The measured work corrects the gauge of the swatch, each weighted by how well it is known. Going on,
    adjusting what is not yet worked (more or fewer changes in the joining round, another length of body,
    another crown) and ripping back, no further than is needed, are ranked by how likely the hat comes out
    well; ways that gain nothing are left out. With the yarn that is left, each way says whether it lasts, and
    what to shorten if not. Work that cannot be this plan's is refused with the round where it departs.
    """
    return answer(hat_revision_to_json(read(HatRevisionRequest), tables_of(current_app)))
