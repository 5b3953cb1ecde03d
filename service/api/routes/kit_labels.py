"""Labels for the kits of a class."""

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any

from flask import Response, current_app

from service.api.answers.kit_labels import kit_labels_to_csv, label_sheet_of
from service.api.made_documents import page_response, table_response
from service.api.negotiation import negotiated
from service.api.operations import HAT_PROBLEMS, Resource
from service.api.reading import read
from service.api.routes.class_kits import CLASS_BODY_LIMITS
from service.api.schemas.class_kits import ClassKitRequest
from service.api.state import tables_of
from service.domain.tables import ReferenceTables
from service.sheets.label_pages import label_page, label_style_policy

__all__ = ["kit_labels"]


def _page(values: dict[str, Any], tables: ReferenceTables) -> Response:
    return page_response(label_page(label_sheet_of(values, tables)), style_policy=label_style_policy())


def _table(values: dict[str, Any], tables: ReferenceTables) -> Response:
    return table_response(kit_labels_to_csv(values, tables), name="kit-labels")


_MAKERS: Mapping[str, Callable[[dict[str, Any], ReferenceTables], Response]] = MappingProxyType(
    {"text/html": _page, "text/csv": _table}
)

kit_labels = Resource("kit-labels", "Classes")


@kit_labels.calculation(
    "/v1/kit-labels",
    request=ClassKitRequest,
    answer=None,
    problems=(*HAT_PROBLEMS, "work-budget-exceeded", "not-acceptable"),
    media_types=tuple(_MAKERS),
)
def make_kit_labels() -> Response:
    """Make labels for the kits of a class, to print and cut.

    The request of class kits. `Accept` chooses one HTML page without outside assets, or a table as CSV;
    without it the answer is HTML. A label has the reference, the size in both systems, the yarn, the hook,
    the hours, what to work beforehand, and cautions that are about this one hat. The page names those without
    a kit apart, with the reason; the table has a row for everybody, and `problem` says why there is no kit.
    A text that a spreadsheet could take for a formula begins with an apostrophe.
    """
    media_type = negotiated(tuple(_MAKERS))
    values = read(ClassKitRequest, body_limits=CLASS_BODY_LIMITS)
    return _MAKERS[media_type](values, tables_of(current_app))
