"""The request of a drawing."""

from service.api.fields import Enumeration, FreeText
from service.api.schemas.hat_plans import HatPlanRequest
from service.drawings.drawing import DRAWING_KINDS

__all__ = ["DrawingRequest"]


class DrawingRequest(HatPlanRequest):
    """A hat to be planned and drawn."""

    title = FreeText(
        metadata={
            "description": "The name of the hat, in any script; it stands above the drawing. "
            "Without it the kind of drawing stands there alone.",
            "examples": ["The harbour hat"],
        }
    )
    kind = Enumeration(
        component="DrawingKindName",
        values=DRAWING_KINDS,
        required=True,
        metadata={
            "description": "What to draw: `schematic` the hat laid flat and worn, with its measurements; "
            "`crown_chart` and `body_chart` stitch charts; `shaping_curve` the crown's circumferences beside "
            "those of its shape; `hat_view` the hat from the side and from above."
        },
    )
    extent = Enumeration(
        component="ChartExtentName",
        values=("one_repeat", "whole"),
        load_default="one_repeat",
        metadata={
            "description": "How much of it a chart shows; other drawings are always whole. A crown whose "
            "rounds have no common repeat is shown whole."
        },
    )
