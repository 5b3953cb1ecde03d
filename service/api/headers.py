"""Headers that every response carries."""

import re
import secrets
from collections.abc import Sequence

from flask import Flask, Response, g, request

from service.configuration import RULES_VERSION

__all__ = ["answer_browsers", "request_id", "set_common_headers", "usable_request_id"]

#: What a page may send, and what it may read beside the body.
_SENT_HEADERS = "Content-Type, If-None-Match, X-API-Key, X-Request-Id"
_READ_HEADERS = "Content-Disposition, ETag, Retry-After, Rules-Version, Work-Units, X-Request-Id"
#: How long a browser may keep the answer to its question. [s]
_KEPT_S = 3600

#: What browsers are told of every answer; a page of ours may say otherwise of its own policy and keeping.
_PROTECTING = tuple(
    (name.lower(), (name, value))
    for name, value in (
        ("Cache-Control", "no-store"),
        ("Content-Security-Policy", "default-src 'none'; frame-ancestors 'none'"),
        ("Cross-Origin-Opener-Policy", "same-origin"),
        ("Cross-Origin-Resource-Policy", "same-origin"),
        ("Permissions-Policy", "camera=(), geolocation=(), microphone=(), payment=(), usb=()"),
        ("Referrer-Policy", "no-referrer"),
        ("X-Content-Type-Options", "nosniff"),
    )
)

_REQUEST_ID = re.compile(r"[A-Za-z0-9._-]{1,64}")


def set_common_headers(app: Flask) -> None:
    """Let each response of the application name its rules, its request and how to keep it."""

    @app.after_request
    def add(response: Response) -> Response:
        # Each look-up walks all headers, so they are walked once.
        present = {name.lower() for name, _ in response.headers}
        common = [("Rules-Version", RULES_VERSION), ("X-Request-Id", request_id())]
        missing = [header for name, header in _PROTECTING if name not in present]
        response.headers.extend(common + missing)
        return response


def answer_browsers(app: Flask, allowed_origins: Sequence[str]) -> None:
    """Let pages of the allowed origins call the application from a browser; of others, browsers keep it.

    Without an allowed origin nothing is said, so that a browser lets no page of another site read an answer.
    Nothing rests on cookies, so none are asked for.

    Notes
    -----
    Cross-origin resource sharing (Fetch standard, "CORS protocol").
    """
    if not allowed_origins:
        return

    @app.after_request
    def add(response: Response) -> Response:
        origin = request.headers.get("Origin", "")
        allows_any = "*" in allowed_origins
        if not allows_any:
            response.vary.add("Origin")
        if not origin or not (allows_any or origin in allowed_origins):
            return response
        response.headers["Access-Control-Allow-Origin"] = "*" if allows_any else origin
        if _asks_first() and "Allow" in response.headers:
            response.headers["Access-Control-Allow-Methods"] = response.headers["Allow"]
            response.headers["Access-Control-Allow-Headers"] = _SENT_HEADERS
            response.headers["Access-Control-Max-Age"] = str(_KEPT_S)
        else:
            response.headers["Access-Control-Expose-Headers"] = _READ_HEADERS
        return response


def _asks_first() -> bool:
    return request.method == "OPTIONS" and "Access-Control-Request-Method" in request.headers


def request_id() -> str:
    """Return the id of the current request: the one that was sent if it is usable, else one of its own."""
    if "request_id" not in g:
        g.request_id = usable_request_id(request.headers.get("X-Request-Id", ""))
    known: str = g.request_id
    return known


def usable_request_id(sent: str) -> str:
    """Return the id that was sent if it has a form that can be told, else a new one.

    Examples
    --------
    >>> usable_request_id("order-7"), len(usable_request_id("order 7"))
    ('order-7', 16)
    """
    return sent if _REQUEST_ID.fullmatch(sent) else secrets.token_hex(8)
