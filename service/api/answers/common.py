"""Members that every answer has, as plain values."""

from collections.abc import Iterable, Sequence
from typing import Any

from service.domain.report import Assumption, Notice, Working
from service.domain.rounding import printed
from service.domain.steps import Chain, Cross, IntoOne, Repeat, Skip, Step, Together, Work
from service.patterns.notices import notice_sentence, notice_severity

__all__ = [
    "assumption_order",
    "assumption_to_json",
    "cm",
    "notices_to_json",
    "report_to_json",
    "steps_to_json",
]

Json = dict[str, Any]

#: Decimals that a figure is printed with, by its unit; ratios and gauges keep four.
_DECIMALS = {"mm": 2, "cm": 2, "m": 1, "g": 1, "percent": 1, "sc_unit": 3}


def cm(length_mm: float) -> float:
    """Return a length as it is printed: in centimetres, two decimals."""
    return printed(length_mm / 10, 2)


def report_to_json(
    *,
    notices: Iterable[Notice] = (),
    assumptions: Iterable[Assumption] = (),
    working: Sequence[Working] | None = None,
) -> Json:
    """Return notices, assumptions and, where it was asked for, the working."""
    body: Json = {
        "notices": notices_to_json(notices),
        "assumptions": _once_each(map(assumption_to_json, assumptions)),
    }
    if working is not None:
        body["working"] = [_working_to_json(line) for line in working]
    return body


def notices_to_json(notices: Iterable[Notice]) -> list[Json]:
    """Return notices in words, once each."""
    return _once_each(map(_notice_to_json, notices))


def _once_each(entries: Iterable[Json]) -> list[Json]:
    """Return the entries without those that say what an earlier one said."""
    kept: dict[tuple[Any, ...], Json] = {}
    for entry in entries:
        kept.setdefault(tuple(entry.values()), entry)
    return list(kept.values())


def _notice_to_json(notice: Notice) -> Json:
    return {
        "code": notice.code,
        "severity": notice_severity(notice),
        "text": notice_sentence(notice),
    }


def assumption_order(assumption: Assumption) -> tuple[str, ...]:
    """Return where an assumption stands by name, so that the order of the participants does not tell."""
    value = str(assumption.value)
    return assumption.name, value, assumption.unit, assumption.confidence, assumption.source


def assumption_to_json(assumption: Assumption) -> Json:
    """Return what was supposed, with its figure as it is printed."""
    return {
        "name": assumption.name,
        "value": _figure(assumption.value, assumption.unit),
        "unit": assumption.unit,
        "confidence": assumption.confidence,
        "source": assumption.source,
    }


def _figure(value: float | str, unit: str) -> float | str:
    return printed(value, _DECIMALS.get(unit, 4)) if isinstance(value, float) else value


def _working_to_json(line: Working) -> Json:
    return {
        "name": line.name,
        "formula": line.formula,
        "value": _figure(line.value, line.unit),
        "unit": line.unit,
        "source": line.source,
    }


def steps_to_json(steps: Iterable[Step]) -> list[Json]:
    """Return steps as the document describes them."""
    return [_step_to_json(step) for step in steps]


def _step_to_json(step: Step) -> Json:
    match step:
        case Work(stitch, count):
            return {"op": "work", "stitch": stitch, "count": count}
        case IntoOne(stitches):
            return {"op": "into_one", "stitches": list(stitches)}
        case Together(stitches):
            return {"op": "together", "stitches": list(stitches)}
        case Cross(over, stitch, lean):
            return {"op": "cross", "over": over, "stitch": stitch, "lean": lean}
        case Skip(count):
            return {"op": "skip", "count": count}
        case Chain(count, counting):
            return {"op": "chain", "count": count, "counts_as_stitch_count": counting}
        case Repeat(times, inner):
            return {"op": "repeat", "times": times, "steps": steps_to_json(inner)}
