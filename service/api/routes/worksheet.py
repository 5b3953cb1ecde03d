"""The worksheet for a person: a form, a plan, its sheet and its drawings, all carried by their links."""

from flask import Blueprint, Response, abort, current_app, request

from service.api.answers.worksheets import (
    Overlooked,
    refused_page,
    worksheet_drawing,
    worksheet_page,
    worksheet_sheet,
)
from service.api.drawing_forms import DRAWING_FORMS, drawing_response
from service.api.reading import BodyRefused
from service.api.sheet_forms import SHEET_FORMS, sheet_response
from service.api.state import tables_of
from service.domain.errors import PatternMathError
from service.drawings.drawing import DRAWING_KINDS
from service.pages.worksheet_page import worksheet_html

__all__ = ["worksheet"]

worksheet = Blueprint("worksheet", __name__)

#: Bytes that the query of a link can have.
LONGEST_LINK = 8192

_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; form-action 'self'; "
    "frame-ancestors 'none'; base-uri 'none'"
)
_SHEET_FORMS = dict(zip(("md", "html", "pdf"), SHEET_FORMS, strict=True))


@worksheet.before_request
def refuse_long_links() -> Response | None:
    """Refuse a link that is longer than a filled form can make it."""
    if len(request.query_string) <= LONGEST_LINK:
        return None
    words = f"This link is longer than {LONGEST_LINK} bytes. Fill in the form again."
    return _page(worksheet_html({}, {"": words}, tables_of(current_app)), status=414)


@worksheet.after_request
def keep_out_of_indexes(response: Response) -> Response:
    """Ask search engines to leave all but the empty form alone; a link may carry a head of somebody."""
    if request.query_string or request.path != "/":
        response.headers["X-Robots-Tag"] = "noindex"
    return response


@worksheet.get("/")
def show_worksheet() -> Response:
    """Show the form, or the plan of a filled one."""
    page = worksheet_page(request.args, tables_of(current_app))
    return _page(page.html, status=page.status)


@worksheet.get("/worksheet/pattern.<form>")
def show_sheet(form: str) -> Response:
    """Return the sheet of a filled form."""
    if form not in _SHEET_FORMS:
        abort(404)
    return sheet_response(worksheet_sheet(request.args, tables_of(current_app)), _SHEET_FORMS[form])


@worksheet.get("/worksheet/<kind>.svg")
def show_drawing(kind: str) -> Response:
    """Return a drawing of a filled form."""
    if kind not in DRAWING_KINDS:
        abort(404)
    return drawing_response(worksheet_drawing(request.args, kind, tables_of(current_app)), DRAWING_FORMS[0])


@worksheet.errorhandler(BodyRefused)
@worksheet.errorhandler(Overlooked)
@worksheet.errorhandler(PatternMathError)
def show_what_is_wrong(error: Exception) -> Response:
    """Show whoever follows a link that cannot be made the form, which says why."""
    page = refused_page(request.args, error, tables_of(current_app))
    return _page(page.html, status=page.status)


def _page(html: str, *, status: int) -> Response:
    response = Response(html, status=status, content_type="text/html; charset=utf-8")
    response.headers["Content-Security-Policy"] = _POLICY
    return response
