"""Gauges measured on a swatch."""

from flask import Response, current_app

from service.api.answers.gauges import gauge_to_json
from service.api.operations import Resource, answer
from service.api.reading import read
from service.api.schemas.gauges import GaugeAnswer, GaugeMeasurementRequest
from service.api.state import tables_of

__all__ = ["gauges"]

gauges = Resource("gauges", "Sizing")


@gauges.calculation("/v1/gauges", request=GaugeMeasurementRequest, answer=GaugeAnswer)
def measure_gauge() -> Response:
    """Measure a gauge from the readings of a swatch.

    Wide readings count for more than narrow ones; the errors say how well the swatch foretells the hat.
    """
    return answer(gauge_to_json(read(GaugeMeasurementRequest), tables_of(current_app)))
