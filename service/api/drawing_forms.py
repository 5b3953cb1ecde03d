"""The forms a drawing is answered in."""

from collections.abc import Callable, Mapping
from types import MappingProxyType

from flask import Response

from service.api.work import count_work
from service.domain.work_units import PNG_WORK
from service.drawings.chart_repeats import MOST_SYMBOLS
from service.drawings.pictures import Picture
from service.drawings.png import MOST_SYMBOLS_PAINTED, png_is_available, render_png
from service.drawings.svg import render_svg

__all__ = ["DRAWING_FORMS", "MOST_SYMBOLS_BY_FORM", "available_forms", "drawing_response"]


def _svg(picture: Picture) -> Response:
    response = Response(render_svg(picture), content_type="image/svg+xml; charset=utf-8")
    response.headers["Content-Security-Policy"] = "default-src 'none'"
    return response


def _png(picture: Picture) -> Response:
    count_work(PNG_WORK)
    return Response(render_png(picture), content_type="image/png")


_MAKERS: Mapping[str, Callable[[Picture], Response]] = MappingProxyType(
    {"image/svg+xml": _svg, "image/png": _png}
)

#: The media types of the document; the first is for who does not say.
DRAWING_FORMS = tuple(_MAKERS)


#: The most symbols that a chart may hold, by its form.
MOST_SYMBOLS_BY_FORM: Mapping[str, int] = MappingProxyType(
    {"image/svg+xml": MOST_SYMBOLS, "image/png": MOST_SYMBOLS_PAINTED}
)


def available_forms() -> tuple[str, ...]:
    """Return the media types that this installation makes."""
    return DRAWING_FORMS if png_is_available() else DRAWING_FORMS[:1]


def drawing_response(picture: Picture, media_type: str) -> Response:
    """Return a drawing in one of the forms."""
    return _MAKERS[media_type](picture)
