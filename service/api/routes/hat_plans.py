"""Whole hats."""

from flask import Response, current_app

from service.api.answers.hat_plans import hat_plan_to_json
from service.api.operations import HAT_PROBLEMS, Resource, answer
from service.api.reading import read
from service.api.schemas.hat_plans import HatPlanAnswer, HatPlanRequest
from service.api.state import tables_of

__all__ = ["hat_plans"]

hat_plans = Resource("hat-plans", "Plans")


@hat_plans.calculation(
    "/v1/hat-plans",
    request=HatPlanRequest,
    answer=HatPlanAnswer,
    problems=(*HAT_PROBLEMS, "round-beyond-end"),
)
def plan_hat() -> Response:
    """Plan a whole hat, round by round.

    A head, a swatch and a fabric become counts, rounds in words and as steps, a crown that closes, and the
    yarn to buy, colour by colour; with what was supposed and what to know.
    """
    return answer(hat_plan_to_json(read(HatPlanRequest), tables_of(current_app)))
