"""Patterns to print."""

from flask import Response, current_app

from service.api.answers.pattern_sheets import pattern_sheet_of
from service.api.negotiation import negotiated
from service.api.operations import HAT_PROBLEMS, Resource
from service.api.reading import read
from service.api.schemas.pattern_sheets import PatternSheetRequest
from service.api.sheet_forms import SHEET_FORMS, sheet_response
from service.api.state import tables_of

__all__ = ["pattern_sheets"]

pattern_sheets = Resource("pattern-sheets", "Patterns")


@pattern_sheets.calculation(
    "/v1/pattern-sheets",
    request=PatternSheetRequest,
    answer=None,
    problems=(*HAT_PROBLEMS, "not-acceptable"),
    media_types=SHEET_FORMS,
)
def make_pattern_sheet() -> Response:
    """Make a pattern to print, as a published pattern is laid out.

    The request of a hat plan, and a title. `Accept` chooses Markdown, one HTML page without outside assets,
    or a tagged PDF; without it the answer is Markdown. Measurements stand in both systems, the terms are
    named, and every round was proved. The same request gives the same bytes.
    """
    media_type = negotiated(SHEET_FORMS)
    return sheet_response(pattern_sheet_of(read(PatternSheetRequest), tables_of(current_app)), media_type)
