"""The server's own log, as JSON lines: it would tell addresses and what was sent, which nobody is to keep."""

import sys
from typing import Any

from gunicorn.glogging import Logger

from service.api.log_lines import JsonLines

__all__ = ["ServerLog"]

#: How the server begins a warning that goes on with the caller's address and what was wrong with the request.
_TELLS_REQUEST = "Invalid request from ip="


class ServerLog(Logger):
    """gunicorn's log as JSON lines on the standard error, without the values of requests."""

    def setup(self, cfg: Any) -> None:
        """Set up the log, and write every record as JSON."""
        super().setup(cfg)
        for handler in self.error_log.handlers:
            handler.setFormatter(JsonLines())

    def warning(self, msg: object, *args: object, **kwargs: Any) -> None:
        """Write a warning; of a request that cannot be read, only which fault it has."""
        if not str(msg).startswith(_TELLS_REQUEST):
            super().warning(msg, *args, **kwargs)
            return
        fault = getattr(sys.exc_info()[0], "__name__", "unknown")
        super().warning("unreadable request", extra={"fields": {"fault": fault}})

    def exception(self, msg: object, *args: object, **kwargs: Any) -> None:
        """Write a failure and where it happened, without the address that was asked for."""
        super().exception(str(msg).partition(" %")[0])
