"""The service with one more address that answers a constant: what everything else is measured beside."""

from flask import Response

from service.application import create_app
from tests.bench.calculations import CONSTANT_BODY

__all__ = ["app"]

app = create_app()
app.add_url_rule(
    "/constant",
    "constant",
    lambda: Response(CONSTANT_BODY, content_type="application/json"),
    methods=["POST"],
)
