"""Stitch counts that hold whole repeats."""

from flask import Response, current_app

from service.api.answers.repeat_fits import repeat_fits_to_json
from service.api.operations import Resource, answer
from service.api.reading import read
from service.api.schemas.repeat_fits import RepeatFitAnswer, RepeatFitRequest
from service.api.state import tables_of

__all__ = ["repeat_fits"]

repeat_fits = Resource("repeat-fits", "Sizing")


@repeat_fits.calculation(
    "/v1/repeat-fits",
    request=RepeatFitRequest,
    answer=RepeatFitAnswer,
    problems=("fit-band-empty",),
)
def fit_repeats() -> Response:
    """Fit stitch counts to whole repeats.

    The likeliest to fit comes first. A brim is chosen with the body, so that one round joins them evenly.
    """
    return answer(repeat_fits_to_json(read(RepeatFitRequest), tables_of(current_app)))
