"""What the document says of headers and keys, the same for every operation."""

from typing import Any

from service.api.callers import KEY_HEADER
from service.configuration import RULES_VERSION

__all__ = ["CALLER_PROBLEMS", "COMMON_HEADERS", "HEADERS", "OPTIONAL_KEY", "SECURITY_SCHEMES", "headers_of"]

Json = dict[str, Any]

#: What a caller may be refused for whatever it asks, where the operator set keys or a limit.
CALLER_PROBLEMS = ("unauthorized", "rate-limited")

HEADERS: Json = {
    "RulesVersion": {
        "description": "The rules that computed the answer, `YYYY.N`.",
        "required": True,
        "schema": {"type": "string", "pattern": r"^\d{4}\.\d+$", "examples": [RULES_VERSION]},
    },
    "RequestId": {
        "description": "The request's `X-Request-Id` if it had a usable one, else a new one.",
        "required": True,
        "schema": {"type": "string", "pattern": "^[A-Za-z0-9._-]{1,64}$"},
    },
    "EntityTag": {
        "description": "Names this version of the table; send it as `If-None-Match`.",
        "required": True,
        "schema": {"type": "string"},
    },
    "WorkUnits": {
        "description": "What the calculation cost: moves of a crown search, or as much other work.",
        "required": True,
        "schema": {"type": "integer", "minimum": 1},
    },
    "Challenge": {
        "description": f"How a key is to be sent: in the header `{KEY_HEADER}`.",
        "required": True,
        "schema": {"type": "string"},
    },
    "RetryAfter": {
        "description": "Seconds after which the same request may be sent again.",
        "required": True,
        "schema": {"type": "integer", "minimum": 1},
    },
}
COMMON_HEADERS: Json = {
    "Rules-Version": {"$ref": "#/components/headers/RulesVersion"},
    "X-Request-Id": {"$ref": "#/components/headers/RequestId"},
}
_BY_STATUS: dict[int, Json] = {
    401: {"WWW-Authenticate": {"$ref": "#/components/headers/Challenge"}},
    429: {"Retry-After": {"$ref": "#/components/headers/RetryAfter"}},
}

SECURITY_SCHEMES: Json = {
    "ApiKey": {
        "type": "apiKey",
        "in": "header",
        "name": KEY_HEADER,
        "description": "A key from the operator, where the service was set up to ask for one.",
    }
}
#: A key or none: which of them is enough is the operator's choice.
OPTIONAL_KEY: list[Json] = [{}, {"ApiKey": []}]


def headers_of(status: int) -> Json:
    """Return the headers that an answer of this status has."""
    return {**COMMON_HEADERS, **_BY_STATUS.get(status, {})}
