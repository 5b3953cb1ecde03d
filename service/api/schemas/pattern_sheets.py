"""The request of a pattern sheet."""

from service.api.fields import FreeText
from service.api.schemas.hat_plans import HatPlanRequest

__all__ = ["PatternSheetRequest"]


class PatternSheetRequest(HatPlanRequest):
    """A hat to be planned and written up as a sheet."""

    title = FreeText(
        metadata={
            "description": "The title of the sheet, in any script. Without it, or if it is blank, the sheet "
            "is named after its fabric.",
            "examples": ["The harbour hat"],
        }
    )
