"""Published tables, each row with its source."""

from collections.abc import Callable
from typing import Any

from flask import Response, current_app, request

from service.api.answers.tables import (
    fabric_rows,
    head_size_rows,
    hook_size_rows,
    stitch_rows,
    yarn_weight_rows,
)
from service.api.encoding import json_bytes
from service.api.operations import Resource
from service.api.schemas.tables import (
    FabricTable,
    HeadSizeTable,
    HookSizeTable,
    StitchTable,
    YarnWeightTable,
)
from service.api.state import tables_of
from service.domain.tables import ReferenceTables

__all__ = ["reference_tables"]

reference_tables = Resource("tables", "Reference")


@reference_tables.table("/v1/head-sizes", answer=HeadSizeTable)
def list_head_sizes() -> Response:
    """List measured heads by size.

    These are heads, not hats: a hat is made smaller than the head it is for.
    """
    return _table(head_size_rows)


@reference_tables.table("/v1/yarn-weights", answer=YarnWeightTable)
def list_yarn_weights() -> Response:
    """List the yarn weight categories.

    The ranges touch and overlap: guidelines only, a measured gauge rules.
    """
    return _table(yarn_weight_rows)


@reference_tables.table("/v1/hook-sizes", answer=HookSizeTable)
def list_hook_sizes() -> Response:
    """List crochet hooks by their diameter.

    Letters vary by maker: millimetres are the key.
    """
    return _table(hook_size_rows)


@reference_tables.table("/v1/stitches", answer=StitchTable)
def list_stitches() -> Response:
    """List stitches with their names, counts and yarn."""
    return _table(stitch_rows)


@reference_tables.table("/v1/fabrics", answer=FabricTable)
def list_fabrics() -> Response:
    """List the fabrics that the service knows by name."""
    return _table(fabric_rows)


def _table(rows: Callable[[ReferenceTables], list[dict[str, Any]]]) -> Response:
    """Return a whole table with a strong entity tag, or 304 where the caller has it."""
    body = json_bytes({"items": rows(tables_of(current_app)), "next": None})
    response = Response(body, content_type="application/json")
    # What only callers with a key may have, no cache on the way may hand to others.
    reach = "private" if current_app.config["ASKS_FOR_KEYS"] else "public"
    response.headers["Cache-Control"] = f"{reach}, max-age=3600"
    response.add_etag()
    response.make_conditional(request)
    return response
