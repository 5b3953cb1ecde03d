"""Crowns to be planned."""

from flask import Response, current_app

from service.api.answers.crowns import crown_schedule_to_json
from service.api.operations import CROWN_PROBLEMS, Resource, answer
from service.api.reading import read
from service.api.schemas.crowns import CrownScheduleAnswer, CrownScheduleRequest
from service.api.state import tables_of

__all__ = ["crown_schedules"]

crown_schedules = Resource("crown-schedules", "Shaping")


@crown_schedules.calculation(
    "/v1/crown-schedules",
    request=CrownScheduleRequest,
    answer=CrownScheduleAnswer,
    problems=CROWN_PROBLEMS,
)
def schedule_crown() -> Response:
    """Plan a crown round by round.

    Plain crowns follow their shape in sections or with scattered changes; a textured crown keeps its columns
    and is the exact best of all that do.
    """
    return answer(crown_schedule_to_json(read(CrownScheduleRequest), tables_of(current_app)))
