"""What the service says about itself: health, the document, and a page for each problem type."""

import json
from importlib.resources import files
from typing import Any

import yaml
from flask import Blueprint, Response, abort, current_app

from service.api.document import document_folder
from service.api.encoding import json_bytes
from service.api.problems import PROBLEM_TYPES, Problem, problem_response
from service.api.state import is_draining, is_loaded
from service.pages.problem_pages import problem_index_html, problem_page_html

__all__ = ["document_yaml", "service_pages"]

service_pages = Blueprint("service_pages", __name__)

_PAGE_POLICY = "default-src 'none'; style-src 'self'; img-src 'self'; frame-ancestors 'none'; base-uri 'none'"
_STATIC_FILES = {
    "hat.svg": "image/svg+xml",
    "leaflet.css": "text/css",
    "reference.js": "text/javascript",
    "worksheet.js": "text/javascript",
}


@service_pages.get("/health/live")
def live() -> Response:
    """Answer as long as the process does."""
    return Response(json_bytes({"status": "live"}), content_type="application/json")


@service_pages.get("/health/ready")
def ready() -> Response:
    """Answer once the tables are loaded and until a stop is asked for."""
    if not is_loaded(current_app):
        return problem_response(Problem("not-ready", "The tables are not loaded yet. Try again in a moment."))
    if is_draining(current_app):
        return problem_response(Problem("not-ready", "This instance is about to stop. Ask another one."))
    return Response(json_bytes({"status": "ready"}), content_type="application/json")


@service_pages.get("/openapi.json")
def document_as_json() -> Response:
    """Return the document that the code makes, as JSON."""
    return Response(json_bytes(_document()), content_type="application/json")


@service_pages.get("/openapi.yaml")
def document_as_yaml() -> Response:
    """Return the document that the code makes, as YAML."""
    return Response(document_yaml(_document()), content_type="application/yaml")


def _document() -> dict[str, Any]:
    document: dict[str, Any] = current_app.extensions["document"]()
    return document


def document_yaml(document: dict[str, Any]) -> str:
    """Return a document as YAML, members in their own order, without anchors."""
    plain = json.loads(json.dumps(document))
    text: str = yaml.dump(plain, sort_keys=False, allow_unicode=True, width=110, Dumper=_PlainDumper)
    return text


class _PlainDumper(yaml.SafeDumper):
    """Write every value out in full."""

    def ignore_aliases(self, data: object) -> bool:
        """Tell that nothing is written as an alias."""
        return True


@service_pages.get("/problems/")
def problem_index() -> Response:
    """List all problem types."""
    titles = {slug: kind.title for slug, kind in PROBLEM_TYPES.items()}
    return _page(problem_index_html(titles, [kind.status for kind in PROBLEM_TYPES.values()]))


@service_pages.get("/problems/<slug>")
def problem_page(slug: str) -> Response:
    """Show one problem type: its cause and its remedy."""
    kind = PROBLEM_TYPES.get(slug)
    if kind is None:
        abort(404)
    text = (document_folder() / "problems" / f"{kind.slug}.md").read_text(encoding="utf-8")
    return _page(problem_page_html(slug=kind.slug, status=kind.status, title=kind.title, text=text))


@service_pages.get("/static/<name>")
def static_file(name: str) -> Response:
    """Return a style sheet, a script or the picture of the pages."""
    if name not in _STATIC_FILES:
        abort(404)
    text = (files("service.pages") / "static" / name).read_text(encoding="utf-8")
    response = Response(text, content_type=f"{_STATIC_FILES[name]}; charset=utf-8")
    response.headers["Cache-Control"] = "public, max-age=3600"
    return response


def _page(html: str) -> Response:
    response = Response(html, content_type="text/html; charset=utf-8")
    response.headers["Content-Security-Policy"] = _PAGE_POLICY
    return response
