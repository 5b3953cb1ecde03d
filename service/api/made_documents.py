"""Answers that are documents: what a page and a table carry beside their text."""

from flask import Response

__all__ = ["page_response", "table_response"]


def page_response(page: str, *, style_policy: str) -> Response:
    """Return a page of HTML that may use its own style and nothing else."""
    response = Response(page, content_type="text/html; charset=utf-8")
    response.headers["Content-Security-Policy"] = (
        f"default-src 'none'; style-src {style_policy}; frame-ancestors 'none'; "
        "base-uri 'none'; form-action 'none'"
    )
    return response


def table_response(table: str, *, name: str) -> Response:
    """Return a table as CSV to be kept under a name."""
    response = Response(table, content_type="text/csv; charset=utf-8; header=present")
    response.headers["Content-Disposition"] = f'attachment; filename="{name}.csv"'
    return response
