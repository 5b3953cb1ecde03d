"""What to buy for a class."""

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any

from flask import Response, current_app

from service.api.answers.shopping_lists import shopping_list_to_csv, shopping_list_to_json
from service.api.made_documents import table_response
from service.api.negotiation import negotiated
from service.api.operations import HAT_PROBLEMS, Resource, answer
from service.api.reading import read
from service.api.routes.class_kits import CLASS_BODY_LIMITS
from service.api.schemas.class_kits import ClassKitRequest
from service.api.schemas.shopping_lists import ShoppingListAnswer
from service.api.state import tables_of

__all__ = ["shopping_lists"]


def _table(body: Mapping[str, Any]) -> Response:
    return table_response(shopping_list_to_csv(body), name="shopping-list")


_MAKERS: Mapping[str, Callable[[Mapping[str, Any]], Response]] = MappingProxyType(
    {"application/json": answer, "text/csv": _table}
)

shopping_lists = Resource("shopping-lists", "Classes")


@shopping_lists.calculation(
    "/v1/shopping-lists",
    request=ClassKitRequest,
    answer=ShoppingListAnswer,
    problems=(*HAT_PROBLEMS, "work-budget-exceeded", "not-acceptable"),
    media_types=tuple(_MAKERS),
)
def make_shopping_list() -> Response:
    """List what to buy for a class: balls of each yarn, hooks and notions.

    The request of class kits. `Accept` chooses JSON or a table as CSV; without it the answer is JSON. The
    table has a row for each row of the lists, named `yarn`, `hook`, `notion`, `left_out` or `notice` in its
    first column; its other columns are the members of those rows. A text that a spreadsheet could take for a
    formula begins with an apostrophe. What is to be bought does not hang on the order of the participants;
    those without a kit are named in `left_out`, and nothing on the list is for them.
    """
    media_type = negotiated(tuple(_MAKERS))
    body = shopping_list_to_json(read(ClassKitRequest, body_limits=CLASS_BODY_LIMITS), tables_of(current_app))
    return _MAKERS[media_type](body)
