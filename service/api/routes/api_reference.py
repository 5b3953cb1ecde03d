"""The API reference page: the library's own page on our document, all of it served from here."""

from importlib.util import find_spec
from pathlib import Path

from flask import Blueprint, Response, abort

from service.pages.templating import render

__all__ = ["api_reference"]

api_reference = Blueprint("api_reference", __name__)

#: The library sets styles of single elements by script, which the policy allows, and draws arrows as data.
_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
    "form-action 'none'; frame-ancestors 'none'; base-uri 'none'"
)
#: The files of the library that the page needs.
_ASSETS = {"swagger-ui.css": "text/css", "swagger-ui-bundle.js": "text/javascript"}


@api_reference.get("/docs")
def show_reference() -> Response:
    """Show every operation, each with an example that can be sent."""
    response = Response(render("reference.html"), content_type="text/html; charset=utf-8")
    response.headers["Content-Security-Policy"] = _POLICY
    return response


@api_reference.get("/docs/<name>")
def show_asset(name: str) -> Response:
    """Return a file of the library."""
    if name not in _ASSETS:
        abort(404)
    text = (_library_folder() / name).read_bytes()
    response = Response(text, content_type=f"{_ASSETS[name]}; charset=utf-8")
    response.headers["Cache-Control"] = "public, max-age=3600"
    return response


def _library_folder() -> Path:
    """Return where the library's files lie; they are found without importing it."""
    found = find_spec("flask_swagger_ui")
    assert found is not None
    assert found.origin is not None
    return Path(found.origin).parent / "dist"
