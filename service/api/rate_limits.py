"""How many requests a caller may send, counted in this process or in a Redis that all instances share."""

import logging
from collections.abc import Callable
from functools import cached_property
from math import ceil
from time import monotonic, time

from limits import RateLimitItemPerSecond
from limits.errors import StorageError
from limits.storage import MemoryStorage, RedisStorage, Storage
from limits.strategies import FixedWindowRateLimiter
from redis import ConnectionPool
from redis.backoff import NoBackoff
from redis.retry import Retry

from service.api.log_lines import fault_to_json
from service.configuration import RateLimit

__all__ = ["RateLimiter"]

#: How long a Redis may take, and how long it is left alone after it took longer. [s]
_PATIENCE_S = 0.1
_LEFT_ALONE_S = 1.0
_LOG = logging.getLogger("service")


class RateLimiter:
    """Counts the requests of each caller in windows of a fixed length.

    Convention: a fixed window keeps one number a caller, whatever the limit, and says exactly when it ends;
    around its end a caller may send up to twice the limit. A caller is let through uncounted while the Redis
    does not answer: a shop had better sell hats than count them. ``on_uncounted`` hears of each.
    """

    def __init__(self, limit: RateLimit, storage: str, on_uncounted: Callable[[], None]) -> None:
        self._item = RateLimitItemPerSecond(limit.request_count, limit.period_s, namespace="hat")
        self._storage = storage
        self._on_uncounted = on_uncounted
        self._alone_until_s = 0.0
        self._is_counting = True

    def wait_s(self, caller: str) -> int:
        """Count a request and return after how many seconds the caller may send it: 0, it may now."""
        if monotonic() < self._alone_until_s:
            self._on_uncounted()
            return 0
        try:
            wait_s = self._counted_wait_s(caller)
        except StorageError as error:
            self._leave_alone(error)
            return 0
        self._tell_state(None)
        return wait_s

    def _counted_wait_s(self, caller: str) -> int:
        if self._windows.hit(self._item, caller):
            return 0
        ends_s = self._windows.get_window_stats(self._item, caller).reset_time
        return max(1, ceil(ends_s - time()))

    @cached_property
    def _windows(self) -> FixedWindowRateLimiter:
        """Return where requests are counted; made by the worker itself, since it may hold a thread."""
        return FixedWindowRateLimiter(_redis(self._storage) if self._storage else MemoryStorage())

    def _leave_alone(self, error: StorageError) -> None:
        self._alone_until_s = monotonic() + _LEFT_ALONE_S
        self._on_uncounted()
        self._tell_state(error)

    def _tell_state(self, error: StorageError | None) -> None:
        """Tell the operator once that requests are no longer counted, and once that they are again."""
        if self._is_counting == (error is None):
            return
        self._is_counting = error is None
        if error is None:
            _LOG.warning("rate limit storage answers again")
        else:
            fields = {"fault": fault_to_json(error)}
            _LOG.error(
                "rate limit storage does not answer; requests are let through uncounted",
                extra={"fields": fields},
            )


def _redis(url: str) -> Storage:
    pool = ConnectionPool.from_url(
        url,
        socket_timeout=_PATIENCE_S,
        socket_connect_timeout=_PATIENCE_S,
        # The library would wait for seconds between attempts; a request cannot.
        retry=Retry(NoBackoff(), 0),
    )
    return RedisStorage(url, connection_pool=pool, wrap_exceptions=True)
