"""Patterns for several sizes, to print."""

from flask import Response, current_app

from service.api.answers.size_run_sheets import size_run_sheet_of
from service.api.negotiation import negotiated
from service.api.operations import HAT_PROBLEMS, Resource
from service.api.reading import read
from service.api.schemas.size_run_sheets import SizeRunSheetRequest
from service.api.sheet_forms import SHEET_FORMS, sheet_response
from service.api.state import tables_of

__all__ = ["size_run_sheets"]

size_run_sheets = Resource("size-run-sheets", "Patterns")


@size_run_sheets.calculation(
    "/v1/size-run-sheets",
    request=SizeRunSheetRequest,
    answer=None,
    problems=(*HAT_PROBLEMS, "work-budget-exceeded", "not-acceptable"),
    media_types=SHEET_FORMS,
)
def make_size_run_sheet() -> Response:
    """Make a pattern for several sizes to print.

    The request of a size run, and a title. `Accept` chooses Markdown, one HTML page without outside assets,
    or a tagged PDF; without it the answer is Markdown. A table and a drawing of all sizes nested show what
    each measures; every round was proved for every size. The same request gives the same bytes.
    """
    media_type = negotiated(SHEET_FORMS)
    return sheet_response(size_run_sheet_of(read(SizeRunSheetRequest), tables_of(current_app)), media_type)
