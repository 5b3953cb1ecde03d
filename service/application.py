"""Put the service together: registers, nothing more."""

import os
from collections.abc import Callable
from functools import cache
from typing import Any, NoReturn
from urllib.parse import urlsplit, urlunsplit

from flask import Flask, Request, Response
from flask.ctx import RequestContext
from werkzeug.middleware.proxy_fix import ProxyFix
from werkzeug.routing import RequestRedirect

from service.api.callers import guard
from service.api.document import build_document
from service.api.failures import TimeLimitReached, handle_failures
from service.api.headers import answer_browsers, set_common_headers
from service.api.metrics import Metrics, keep_metrics, metrics_page
from service.api.rate_limits import RateLimiter
from service.api.routes import RESOURCES, TAGS
from service.api.routes.api_reference import api_reference
from service.api.routes.service_pages import service_pages
from service.api.routes.worksheet import worksheet
from service.api.state import keep_draining, keep_tables
from service.api.tracing import RequestTracer
from service.api.watching import log_fault, log_request, watch_requests
from service.api.work import tell_work
from service.configuration import Configuration, read_configuration
from service.reference.load import load_reference_tables

__all__ = ["HatService", "create_app"]


class HatService(Flask):
    """The application: Flask, but OPTIONS answers 204, and the log holds no values of requests."""

    def make_default_options_response(self) -> Response:
        """Return the methods that the address takes, without a body."""
        response = super().make_default_options_response()
        response.status_code = 204
        del response.headers["Content-Type"]
        return response

    def full_dispatch_request(self) -> Response:
        """Return the answer; one that takes longer than the time limit is a failure like others.

        The server ends it by ``SystemExit`` and stops the worker once that is answered.
        """
        try:
            return super().full_dispatch_request()
        except SystemExit as end:
            raise TimeLimitReached().with_traceback(end.__traceback__) from None

    def request_context(self, environ: Any) -> RequestContext:
        """Return the context of a request, whose wish for another protocol is ignored (RFC 9110, 7.8)."""
        environ.pop("HTTP_UPGRADE", None)
        return super().request_context(environ)

    def raise_routing_exception(self, request: Request) -> NoReturn:
        """Raise what the addresses say of a request; a redirection names no host, the caller chose that."""
        if isinstance(request.routing_exception, RequestRedirect):
            asked = urlsplit(request.routing_exception.new_url)
            request.routing_exception.new_url = urlunsplit(asked._replace(scheme="", netloc=""))
        super().raise_routing_exception(request)

    def ensure_sync(self, func: Callable[..., Any]) -> Callable[..., Any]:
        """Return the function itself: none here is a coroutine, and asking each time is slow."""
        return func

    def log_exception(self, exc_info: Any) -> None:
        """Log where a request failed, in place of its address and the exception's words."""
        log_fault(exc_info[1])


def create_app(configuration: Configuration | None = None) -> HatService:
    """Return the application; without a configuration, the environment decides."""
    settings = configuration or read_configuration(os.environ)
    app = HatService("service", static_folder=None)
    app.config["MAX_CONTENT_LENGTH"] = settings.body_limit_bytes
    app.config["ASKS_FOR_KEYS"] = bool(settings.api_key_hashes)
    for resource in RESOURCES:
        app.register_blueprint(resource)
    for pages in (service_pages, metrics_page, worksheet, api_reference):
        app.register_blueprint(pages)
    operations = [operation for resource in RESOURCES for operation in resource.operations]
    app.extensions["document"] = cache(lambda: build_document(operations, TAGS))
    keep_draining(app)
    keep_tables(app, load_reference_tables())
    metrics = Metrics(settings.metrics_folder)
    keep_metrics(app, metrics)
    tracers = [RequestTracer(settings.trace_endpoint).observe] if settings.trace_endpoint else []
    watch_requests(app, [log_request, metrics.observe, *tracers])
    guard(app, settings, _limiter(settings, metrics))
    handle_failures(app)
    set_common_headers(app)
    tell_work(app)
    answer_browsers(app, settings.allowed_origins)
    if settings.trusted_proxy_count:
        app.wsgi_app = ProxyFix(app.wsgi_app, x_for=settings.trusted_proxy_count, x_proto=0, x_host=0)  # type: ignore[method-assign]
    return app


def _limiter(settings: Configuration, metrics: Metrics) -> RateLimiter | None:
    if settings.rate_limit is None:
        return None
    return RateLimiter(settings.rate_limit, settings.rate_limit_storage, metrics.count_uncounted)
