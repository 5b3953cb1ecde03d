"""Drawings of hats."""

from flask import Response, current_app

from service.api.answers.drawings import picture_of
from service.api.drawing_forms import DRAWING_FORMS, MOST_SYMBOLS_BY_FORM, available_forms, drawing_response
from service.api.negotiation import negotiated
from service.api.operations import HAT_PROBLEMS, Resource
from service.api.reading import read
from service.api.schemas.drawings import DrawingRequest
from service.api.state import tables_of

__all__ = ["drawings"]

drawings = Resource("drawings", "Patterns")


@drawings.calculation(
    "/v1/drawings",
    request=DrawingRequest,
    answer=None,
    problems=(*HAT_PROBLEMS, "drawing-too-large", "nothing-to-draw", "not-acceptable"),
    media_types=DRAWING_FORMS,
)
def draw_hat() -> Response:
    """Draw a hat from its plan.

    The request of a hat plan, and what to draw of it. `Accept` chooses SVG, the usual answer, or a PNG where
    the service is installed with its `png` extra: 1200 pixels on its longer side, down to 600 where there is
    much to paint. A chart holds at most 8,000 symbols as SVG and 2,000 as PNG. An SVG has a title and a
    description in words, keeps its text as text, and brings no style, script or outside reference.
    The same request gives the same bytes.
    """
    media_type = negotiated(available_forms())
    picture = picture_of(
        read(DrawingRequest), tables_of(current_app), most_symbols=MOST_SYMBOLS_BY_FORM[media_type]
    )
    return drawing_response(picture, media_type)
