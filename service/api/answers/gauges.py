"""From the readings of a swatch to its gauge."""

from collections.abc import Mapping, Sequence
from typing import Any

from service.api.answers.common import report_to_json
from service.domain.gauge_readings import GaugeOrder, GaugeReading, GaugeReport, measure_gauge
from service.domain.report import Notice
from service.domain.rounding import printed
from service.domain.tables import ReferenceTables
from service.patterns.notices import notice_sentence

__all__ = ["gauge_to_json"]

Json = dict[str, Any]

#: Advice that is also a notice of the answer.
_ALSO_NOTICES = ("wash_swatch", "gauge_uncertain")


def gauge_to_json(order: Json, tables: ReferenceTables) -> Json:
    """Return the answer to the readings of a swatch."""
    report = measure_gauge(_order_of(order), tables)
    gauge = report.gauge
    width_change, height_change = _changes_in_wash(report.advice)
    return {
        "stitches_per_10cm": printed(gauge.stitches_per_10cm, 3),
        "rounds_per_10cm": printed(gauge.rounds_per_10cm, 3),
        "stitch_width_mm": printed(gauge.stitch_width_mm, 2),
        "round_height_mm": printed(gauge.round_height_mm, 2),
        "width_error_percent": printed(100 * gauge.width_error, 1),
        "height_error_percent": printed(100 * gauge.height_error, 1),
        "wash_width_change_percent": width_change,
        "wash_height_change_percent": height_change,
        "advice": [notice_sentence(notice) for notice in report.advice],
        **report_to_json(
            notices=_notices(report),
            assumptions=report.assumptions,
            working=report.working if order["show_working"] else None,
        ),
    }


def _order_of(order: Json) -> GaugeOrder:
    return GaugeOrder(
        readings=_readings_of(order["readings"]),
        washed=order["washed"],
        evenness=order.get("evenness"),
        after_wash_readings=_readings_of(order.get("after_wash_readings", ())),
    )


def _readings_of(readings: Sequence[Mapping[str, float]]) -> tuple[GaugeReading, ...]:
    return tuple(
        GaugeReading(
            stitch_count=reading["stitch_count"],
            width_mm=10 * reading["width_cm"],
            round_count=reading["round_count"],
            height_mm=10 * reading["height_cm"],
        )
        for reading in readings
    )


def _notices(report: GaugeReport) -> list[Notice]:
    return [notice for notice in report.advice if notice.code in _ALSO_NOTICES]


def _changes_in_wash(advice: Sequence[Notice]) -> tuple[float | None, float | None]:
    for notice in advice:
        if notice.code == "changed_in_wash":
            return (
                printed(float(notice.values["width_percent"]), 1),
                printed(float(notice.values["height_percent"]), 1),
            )
    return None, None
