"""From a written pattern to its counts."""

from typing import Any

from service.api.answers.common import report_to_json
from service.api.work import count_work
from service.domain.report import Working
from service.notation.checked_rounds import CheckedRound, CountCheck, SizeCount
from service.notation.faults import Fault
from service.notation.repairs import Repair
from service.notation.terms import TERMS
from service.patterns.pattern_checks import check_pattern

__all__ = ["count_check_to_json"]

Json = dict[str, Any]


def count_check_to_json(order: Json) -> Json:
    """Return the answer to a pattern that is to be counted."""
    check = check_pattern(
        order["text"], terms=TERMS[order["terms"]], start_stitch_count=order.get("start_stitch_count")
    )
    count_work(check.work_units)
    return {
        "verdict": check.verdict,
        "rounds": [_round_to_json(each) for each in check.rounds],
        **report_to_json(working=_working(check) if order["show_working"] else None),
    }


def _round_to_json(checked: CheckedRound) -> Json:
    return {
        "line": checked.line,
        "round": checked.round,
        "last_round": checked.last_round,
        "consumed_stitch_count": checked.consumed_stitch_count,
        "stitch_count": checked.stitch_count,
        "declared_stitch_count": checked.declared_stitch_count,
        "verdict": checked.verdict,
        "faults": [_fault_to_json(fault) for fault in checked.faults],
        "repair": None if checked.repair is None else _repair_to_json(checked.repair),
        "sizes": [_size_to_json(size) for size in checked.by_size],
    }


def _fault_to_json(fault: Fault) -> Json:
    return {"line": fault.line, "column": fault.column, "code": fault.code, "detail": fault.detail}


def _repair_to_json(repair: Repair) -> Json:
    return {
        "line": repair.line,
        "column": repair.column,
        "written_count": repair.written_count,
        "right_count": repair.right_count,
    }


def _size_to_json(size: SizeCount) -> Json:
    return {
        "consumed_stitch_count": size.consumed_stitch_count,
        "stitch_count": size.stitch_count,
        "declared_stitch_count": size.declared_stitch_count,
    }


def _working(check: CountCheck) -> list[Working]:
    """Return what each counted line makes of what it finds."""
    return [
        Working(
            name=f"line_{checked.line}_stitch_count",
            formula=f"the stitches worked into {checked.consumed_stitch_count} of the round before, "
            "repeats multiplied",
            value=checked.stitch_count,
            unit="stitch",
            source="arithmetic",
        )
        for checked in check.rounds
        if checked.stitch_count is not None
    ]
