"""Requests of classes, for the tests of every answer that is made from one."""

from typing import Any

DESIGN: dict[str, Any] = {
    "gauge": {"stitches_per_10cm": 18.5, "rounds_per_10cm": 11.5},
    "fabric": {"fabric_id": "cable-2x2"},
}
WORSTED = {"weight_category": 4, "ball": {"mass_g": 50, "length_m": 85}}
YARNS = [{"name": "Harbour wool", "colour": "sand", **WORSTED}, {"name": "Fine wool", "tex": 400}]

#: Texts that a spreadsheet or a page might take for something else.
HOSTILE = (
    "=HYPERLINK(1)",
    " +1",
    "-2+3",
    "@SUM(A1)",
    "＝1+1",
    "'=1",
    '"=1',
    "<script>alert(1)</script>",
    '</li></ul><img src=x onerror="a">',
    "a, \"b\"; 'c'",
    "صوف أزرق",
    "&amp; <b>",
)


def person(number: int, head_cm: Any = 56, **options: Any) -> dict[str, Any]:
    return {"reference": f"seat-{number}", "head": {"circumference_cm": head_cm}, **options}


def class_order(people: Any, *, design: dict[str, Any] | None = None, **rest: Any) -> dict[str, Any]:
    return {"participants": people, "design": {**DESIGN, **(design or {})}, **rest}
