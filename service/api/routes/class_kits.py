"""One design for the people of a class."""

from flask import Response, current_app

from service.api.answers.class_kits import class_kits_to_json
from service.api.operations import HAT_PROBLEMS, Resource, answer
from service.api.reading import read
from service.api.schemas.class_kits import ClassKitAnswer, ClassKitRequest
from service.api.state import tables_of

__all__ = ["CLASS_BODY_LIMITS", "class_kits"]

#: A class of 500 is longer than other requests may be: four times the usual limit.
CLASS_BODY_LIMITS = 4

class_kits = Resource("class-kits", "Classes")


@class_kits.calculation(
    "/v1/class-kits",
    request=ClassKitRequest,
    answer=ClassKitAnswer,
    problems=(*HAT_PROBLEMS, "work-budget-exceeded"),
)
def plan_class() -> Response:
    """Plan one design for the people of a class: a kit for each, and the sums of all.

    The kits come in the order sent. Somebody whose hat cannot be made, or whose values cannot be used, has a
    `problem` in place of a plan, and all others have their kits. Equal heads with equal options are planned
    once; rounds in words and proofs are left to the plan of a single hat. No personal data are wanted:
    a `reference` that could be an e-mail address or a name is refused and not sent back.
    """
    values = read(ClassKitRequest, body_limits=CLASS_BODY_LIMITS)
    return answer(class_kits_to_json(values, tables_of(current_app)))
