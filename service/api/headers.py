"""Headers that every response carries."""

import re
import secrets

from flask import Flask, Response, request

from service.configuration import RULES_VERSION

__all__ = ["set_common_headers"]

_REQUEST_ID = re.compile(r"[A-Za-z0-9._-]{1,64}")


def set_common_headers(app: Flask) -> None:
    """Let each response of the application name its rules, its request and how to keep it."""

    @app.after_request
    def add(response: Response) -> Response:
        response.headers["Rules-Version"] = RULES_VERSION
        response.headers["X-Request-Id"] = _request_id(request.headers.get("X-Request-Id", ""))
        response.headers["X-Content-Type-Options"] = "nosniff"
        response.headers["Referrer-Policy"] = "no-referrer"
        response.headers.setdefault("Cache-Control", "no-store")
        response.headers.setdefault("Content-Security-Policy", "default-src 'none'; frame-ancestors 'none'")
        return response


def _request_id(sent: str) -> str:
    return sent if _REQUEST_ID.fullmatch(sent) else secrets.token_hex(8)
