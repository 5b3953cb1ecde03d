"""The forms a sheet is answered in, and what each form's answer carries."""

from collections.abc import Callable, Mapping
from types import MappingProxyType

from flask import Response

from service.api.made_documents import page_response
from service.api.work import count_work
from service.domain.work_units import PDF_WORK
from service.sheets.html_sheets import sheet_html, style_policy
from service.sheets.markdown_sheets import sheet_markdown
from service.sheets.pdf_sheets import sheet_pdf
from service.sheets.sheet import Sheet

__all__ = ["SHEET_FORMS", "sheet_response"]


def _markdown(sheet: Sheet) -> Response:
    return Response(sheet_markdown(sheet), content_type="text/markdown; charset=utf-8")


def _html(sheet: Sheet) -> Response:
    return page_response(sheet_html(sheet), style_policy=style_policy())


def _pdf(sheet: Sheet) -> Response:
    count_work(PDF_WORK)
    response = Response(sheet_pdf(sheet), content_type="application/pdf")
    response.headers["Content-Disposition"] = 'inline; filename="pattern.pdf"'
    return response


_MAKERS: Mapping[str, Callable[[Sheet], Response]] = MappingProxyType(
    {"text/markdown": _markdown, "text/html": _html, "application/pdf": _pdf}
)

#: The media types on offer; the first is for who does not say.
SHEET_FORMS = tuple(_MAKERS)


def sheet_response(sheet: Sheet, media_type: str) -> Response:
    """Return a sheet in one of the forms on offer."""
    return _MAKERS[media_type](sheet)
