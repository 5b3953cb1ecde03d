"""From a shaping order to its answer."""

from typing import Any

from service.api.answers.common import report_to_json, steps_to_json
from service.domain.report import Working
from service.domain.shaping_rounds import ShapingRound, plan_shaping_round
from service.notation.terms import TERMS
from service.notation.writer import write_steps

__all__ = ["shaping_round_to_json"]


def shaping_round_to_json(order: dict[str, Any]) -> dict[str, Any]:
    """Return the answer to a shaping order."""
    planned = plan_shaping_round(
        from_stitch_count=order["from_stitch_count"],
        to_stitch_count=order["to_stitch_count"],
        stitch=order["stitch"],
        staggered=order["phase"] == "staggered",
    )
    return {
        "from_stitch_count": planned.from_stitch_count,
        "to_stitch_count": planned.to_stitch_count,
        "changes": list(planned.changes),
        "runs": list(planned.runs),
        "uniform": planned.is_uniform,
        "text": write_steps(planned.steps, terms=TERMS[order["terms"]]),
        "steps": steps_to_json(planned.steps),
        **report_to_json(working=_working(planned) if order["show_working"] else None),
    }


def _working(planned: ShapingRound) -> list[Working]:
    return [
        Working(
            name="change_count",
            formula="|to − from|",
            value=len(planned.changes),
            unit="stitch",
            source="arithmetic",
        ),
        Working(
            name="mean_gap",
            formula="from / changes; change j stands at floor((j + phase) · from / changes)",
            value=planned.from_stitch_count / max(1, len(planned.changes)),
            unit="stitch",
            source="Euclidean rhythm (Bresenham 1965)",
        ),
    ]
