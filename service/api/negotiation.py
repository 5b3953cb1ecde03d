"""Choose the form of an answer by what the client accepts (RFC 9110, section 12.5.1)."""

from collections.abc import Iterable, Sequence

from flask import Response, after_this_request, request

from service.api.problems import Problem
from service.api.reading import BodyRefused

__all__ = ["best_media_type", "negotiated"]

#: A media range and how much it is wanted, 0 to 1.
Accepted = tuple[str, float]


def negotiated(available: Sequence[str]) -> str:
    """Return the media type to answer the current request with; the answer varies by ``Accept``.

    Raises
    ------
    BodyRefused
        With ``not-acceptable`` if the client wants none of them.
    """
    after_this_request(_vary_by_accept)
    chosen = best_media_type(request.accept_mimetypes, available)
    if chosen is None:
        detail = f"This answer is made as {', '.join(available)}. Name one of them in Accept."
        raise BodyRefused(Problem("not-acceptable", detail, {"available": list(available)}))
    return chosen


def _vary_by_accept(response: Response) -> Response:
    response.vary.add("Accept")
    return response


def best_media_type(accepted: Iterable[Accepted], available: Sequence[str]) -> str | None:
    """Return the type that is wanted most, ``None`` if none is wanted; of equals, the one listed first.

    The most specific range that covers a type says how much it is wanted: ``text/html;q=0`` beats ``*/*``.
    Other parameters than q tell nothing apart here.

    Examples
    --------
    >>> offered = ("text/markdown", "text/html", "application/pdf")
    >>> best_media_type([], offered), best_media_type([("*/*", 1)], offered)
    ('text/markdown', 'text/markdown')
    >>> best_media_type([("text/html", 0.5), ("application/*", 0.9)], offered)
    'application/pdf'
    >>> best_media_type([("*/*", 1), ("text/markdown", 0)], offered)
    'text/html'
    >>> best_media_type([("image/png", 1)], offered)
    """
    ranges = [(each.partition(";")[0].strip().lower(), quality) for each, quality in accepted]
    if not ranges:
        return available[0]
    best = max(available, key=lambda media_type: _quality(media_type, ranges))
    return best if _quality(best, ranges) > 0 else None


def _quality(media_type: str, ranges: Sequence[Accepted]) -> float:
    """Return how much a type is wanted, by the most specific range that covers it."""
    kind = media_type.partition("/")[0]
    for covering in (media_type, f"{kind}/*", "*/*"):
        found = [quality for name, quality in ranges if name == covering]
        if found:
            return max(found)
    return 0.0
