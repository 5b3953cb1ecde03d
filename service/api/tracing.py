"""Spans of requests for an OpenTelemetry collector: off unless one is named, and installed as an extra."""

from functools import cached_property
from time import time_ns
from typing import TYPE_CHECKING

from flask import request

from service.api.watching import Observation
from service.configuration import RULES_VERSION

if TYPE_CHECKING:
    from opentelemetry.sdk.trace import SpanProcessor
    from opentelemetry.trace import Tracer

__all__ = ["RequestTracer"]

_NS_PER_MS = 1_000_000
#: How long the collector may take for a bundle of spans; no request waits for it. [s]
_PATIENCE_S = 2


class RequestTracer:
    """Tells a collector of every request, as the child of the span that its caller named (W3C Trace Context).

    A span has what the log has: the template of the route, never the address.
    """

    def __init__(self, endpoint: str) -> None:
        self._endpoint = endpoint

    def observe(self, observation: Observation) -> None:
        """Tell of a request that has just been answered."""
        from opentelemetry.trace import SpanKind, Status, StatusCode
        from opentelemetry.trace.propagation.tracecontext import TraceContextTextMapPropagator

        ended_ns = time_ns()
        span = self._tracer.start_span(
            f"{observation.method} {observation.route}",
            context=TraceContextTextMapPropagator().extract(request.headers),
            kind=SpanKind.SERVER,
            start_time=ended_ns - round(observation.milliseconds * _NS_PER_MS),
            attributes={
                "http.request.method": observation.method,
                "http.route": observation.route,
                "http.response.status_code": observation.status,
                "http.response.body.size": observation.byte_count,
                "hat.problem": observation.problem or "",
                "hat.request_id": observation.request_id,
                "hat.work_units": observation.work_units,
            },
        )
        if observation.status >= 500:
            span.set_status(Status(StatusCode.ERROR))
        span.end(ended_ns)

    @cached_property
    def _tracer(self) -> "Tracer":
        """Return what makes spans; made by the worker itself, since a thread sends them."""
        from opentelemetry.sdk.resources import Resource
        from opentelemetry.sdk.trace import TracerProvider

        resource = Resource.create({"service.name": "hat-pattern-math", "service.version": RULES_VERSION})
        provider = TracerProvider(resource=resource)
        provider.add_span_processor(self._sender())
        return provider.get_tracer("service")

    def _sender(self) -> "SpanProcessor":
        from opentelemetry.exporter.otlp.proto.http.trace_exporter import OTLPSpanExporter
        from opentelemetry.sdk.trace.export import BatchSpanProcessor

        address = f"{self._endpoint.rstrip('/')}/v1/traces"
        return BatchSpanProcessor(OTLPSpanExporter(endpoint=address, timeout=_PATIENCE_S))
