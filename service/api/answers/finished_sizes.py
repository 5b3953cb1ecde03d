"""From a head and a wish to the size of a hat."""

from typing import Any

from service.api.answers.common import cm, report_to_json
from service.api.orders import head_of, size_order_of
from service.domain.hat_sizes import HatSize
from service.domain.rounding import printed
from service.domain.sizing import FinishedSize, finish_size
from service.domain.tables import ReferenceTables

__all__ = ["finished_size_answer_to_json", "finished_size_to_json"]

Json = dict[str, Any]


def finished_size_answer_to_json(order: Json, tables: ReferenceTables) -> Json:
    """Return the answer to the order of a finished size."""
    size = finish_size(size_order_of(order, head=head_of(order["head"], tables)), tables)
    return {
        **finished_size_to_json(size),
        **report_to_json(
            notices=size.notices,
            assumptions=size.assumptions,
            working=size.working if order["show_working"] else None,
        ),
    }


def finished_size_to_json(size: FinishedSize) -> Json:
    """Return a finished size without its report."""
    return {
        "head_circumference_cm": cm(size.head.circumference_mm),
        "grip_percent": printed(100 * size.grip, 1),
        "ease_cm": cm(size.ease_mm),
        "ease_percent": printed(100 * size.ease, 1),
        "finished_circumference_cm": cm(size.finished_circumference_mm),
        "inner_circumference_cm": cm(size.inner_circumference_mm),
        "body_circumference_cm": cm(size.body_circumference_mm),
        "fabric_thickness_mm": printed(size.thickness_mm, 2),
        "cuff_cm": cm(size.cuff_mm),
        "depth_cm": cm(size.depth_mm),
        "depth_range_cm": _interval_to_json(size.depth_low_mm, size.depth_high_mm),
        "fits_head_cm": _interval_to_json(size.fits_head.low_mm, size.fits_head.high_mm),
        "hat_size": _hat_size_to_json(size.hat_size),
        "outgrown_at_age_months": size.outgrown_at_age_months,
    }


def _interval_to_json(low_mm: float, high_mm: float) -> Json:
    return {"low": cm(low_mm), "high": cm(high_mm)}


def _hat_size_to_json(size: HatSize) -> Json:
    return {"us": size.us, "uk": size.uk, "metric_cm": size.metric_cm, "french": size.french}
