"""Log lines as JSON, one an event, which name places in the code and never what a request held."""

import logging
import sys
import traceback
from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any

from service.api.encoding import json_bytes

__all__ = ["JsonLines", "fault_to_json", "write_log_lines"]

#: Frames of a fault that are told, the innermost.
_MOST_FRAMES = 30


class JsonLines(logging.Formatter):
    """Write a record as one line of JSON: time, level, event, and the members in its ``fields``.

    Of an exception it tells types and places: its words may hold what was sent.
    """

    def format(self, record: logging.LogRecord) -> str:
        """Return the line."""
        fields: dict[str, Any] = getattr(record, "fields", {})
        if record.exc_info and record.exc_info[1]:
            fields = {**fields, "fault": fault_to_json(record.exc_info[1])}
        line = {
            "time": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname.lower(),
            "event": record.getMessage(),
            **fields,
        }
        return json_bytes(line).decode()


def fault_to_json(error: BaseException) -> dict[str, Any]:
    """Return the types of an exception and of those that led to it, and where it was raised.

    Examples
    --------
    >>> fault_to_json(ValueError("a secret"))
    {'types': ['ValueError'], 'frames': []}
    """
    frames = traceback.extract_tb(error.__traceback__)[-_MOST_FRAMES:]
    return {
        "types": [type(each).__name__ for each in _with_causes(error)],
        "frames": [f"{_place(frame.filename)}:{frame.lineno} in {frame.name}" for frame in frames],
    }


def _with_causes(error: BaseException) -> Iterator[BaseException]:
    """Yield an exception and what led to it, each once."""
    seen: set[int] = set()
    following: BaseException | None = error
    while following is not None and id(following) not in seen:
        seen.add(id(following))
        yield following
        following = following.__cause__ or following.__context__


def _place(filename: str) -> str:
    """Return a file as it is imported, without where this machine keeps it."""
    for folder in ("/site-packages/", "/service/"):
        _, found, rest = filename.rpartition(folder)
        if found:
            return rest if folder == "/site-packages/" else f"service/{rest}"
    return filename.rpartition("/")[2]


def write_log_lines() -> None:
    """Let the service's own events, and trouble with its traces, go to the standard output."""
    handler = logging.StreamHandler(sys.stdout)
    handler.setFormatter(JsonLines())
    for name, level in (("service", logging.INFO), ("opentelemetry", logging.WARNING)):
        logger = logging.getLogger(name)
        logger.handlers = [handler]
        logger.setLevel(level)
        logger.propagate = False
