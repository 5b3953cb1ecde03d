"""JSON bytes for answers: the same value always gives the same bytes."""

from typing import Any

import orjson

__all__ = ["json_bytes"]


def json_bytes(value: Any) -> bytes:
    """Return the value as compact JSON in UTF-8, members in the order they were put in."""
    return orjson.dumps(value)
