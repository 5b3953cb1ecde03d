"""The server's own log, as JSON lines: it would tell addresses and what was sent, which nobody is to keep."""

from typing import Any

from gunicorn.glogging import Logger

from service.api.log_lines import JsonLines

__all__ = ["ServerLog"]


class ServerLog(Logger):
    """gunicorn's log as JSON lines on the standard error, without the values of requests."""

    def setup(self, cfg: Any) -> None:
        """Set up the log, and write every record as JSON."""
        super().setup(cfg)
        for handler in self.error_log.handlers:
            handler.setFormatter(JsonLines())

    def exception(self, msg: object, *args: object, **kwargs: Any) -> None:
        """Write a failure and where it happened, without the address that was asked for."""
        super().exception(str(msg).partition(" %")[0])
