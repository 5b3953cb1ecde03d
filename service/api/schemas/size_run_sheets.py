"""The request of the sheet of a size run."""

from service.api.fields import FreeText
from service.api.schemas.size_runs import SizeRunRequest

__all__ = ["SizeRunSheetRequest"]


class SizeRunSheetRequest(SizeRunRequest):
    """A design in several sizes, to be written up as a sheet."""

    title = FreeText(
        metadata={
            "description": "The title of the sheet, in any script. Without it, or if it is blank, the sheet "
            "is named after its fabric.",
            "examples": ["The harbour hat"],
        }
    )
