"""What the service counts of itself, for Prometheus: of one process, or of all workers together."""

from functools import cached_property
from pathlib import Path

from flask import Blueprint, Flask, Response, current_app
from prometheus_client import CollectorRegistry, Counter, Histogram, generate_latest
from prometheus_client.exposition import CONTENT_TYPE_PLAIN_0_0_4
from prometheus_client.multiprocess import MultiProcessCollector

from service.api.metric_files import undisturbed
from service.api.problems import PROBLEM_TYPES
from service.api.watching import Observation

__all__ = ["Metrics", "keep_metrics", "metrics_of", "metrics_page"]

#: Upper ends of the latency classes. [s]
_LATENCIES_S = (0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5)

_KEY = "metrics"

metrics_page = Blueprint("metrics_page", __name__)


class Metrics:
    """The counters of one application.

    Labels come from closed sets, route templates, methods, statuses and problem types, so that no caller can
    make them grow. ``folder`` is where several workers add up their counters; without one each process tells
    its own.
    """

    def __init__(self, folder: str) -> None:
        self._folder = folder
        self._registry = CollectorRegistry()
        self._requests = Counter(
            "hat_requests", "Requests answered.", ("route", "method", "status"), registry=self._registry
        )
        self._seconds = Histogram(
            "hat_request_seconds",
            "Time from a request's head to its answer.",
            ("route",),
            buckets=_LATENCIES_S,
            registry=self._registry,
        )
        self._refusals = Counter(
            "hat_refusals", "Requests answered with a problem.", ("problem",), registry=self._registry
        )
        self._work = Counter(
            "hat_work_units", "Work units that calculations cost.", ("route",), registry=self._registry
        )
        self._uncounted = Counter(
            "hat_uncounted_requests",
            "Requests let through because the storage of the rate limit did not answer.",
            registry=self._registry,
        )
        self._counters: dict[tuple[str, str, int], Counter] = {}
        self._histograms: dict[str, Histogram] = {}
        for slug in PROBLEM_TYPES:
            self._refusals.labels(slug)

    def observe(self, observation: Observation) -> None:
        """Count a request."""
        route = observation.route
        self._counted(route, observation.method, observation.status).inc()
        self._timed(route).observe(observation.milliseconds / 1000)
        if observation.work_units:
            self._work.labels(route).inc(observation.work_units)
        if observation.problem is not None:
            self._refusals.labels(observation.problem).inc()

    def _counted(self, route: str, method: str, status: int) -> Counter:
        """Return the counter of such requests; finding it by its labels is slow, so it is kept."""
        known = self._counters.get((route, method, status))
        if known is None:
            known = self._counters[route, method, status] = self._requests.labels(route, method, status)
        return known

    def _timed(self, route: str) -> Histogram:
        known = self._histograms.get(route)
        if known is None:
            known = self._histograms[route] = self._seconds.labels(route)
        return known

    def count_uncounted(self) -> None:
        """Count a request that was let through uncounted."""
        self._uncounted.inc()

    def written(self) -> bytes:
        """Return all counters in Prometheus' text format."""
        if not self._folder:
            return generate_latest(self._registry)
        with undisturbed(Path(self._folder)):
            return generate_latest(self._of_all_workers)

    @cached_property
    def _of_all_workers(self) -> CollectorRegistry:
        together = CollectorRegistry()
        MultiProcessCollector(together, self._folder)  # type: ignore[no-untyped-call]
        return together


def keep_metrics(app: Flask, metrics: Metrics) -> None:
    """Let the application hold its counters."""
    app.extensions[_KEY] = metrics


def metrics_of(app: Flask) -> Metrics:
    """Return the counters that the application holds."""
    metrics: Metrics = app.extensions[_KEY]
    return metrics


@metrics_page.get("/metrics")
def show_metrics() -> Response:
    """Tell the counters to Prometheus."""
    return Response(metrics_of(current_app).written(), content_type=CONTENT_TYPE_PLAIN_0_0_4)
