"""From the order of a hat to its sheet."""

from typing import Any

from service.api.orders_hats import hat_order_of
from service.api.work import count_work
from service.domain.hats import plan_hat
from service.domain.tables import ReferenceTables
from service.domain.work_units import plan_work, written_work
from service.patterns.proofs import prove
from service.sheets.pattern_sheets import build_pattern_sheet
from service.sheets.sheet import Sheet

__all__ = ["pattern_sheet_of"]


def pattern_sheet_of(values: dict[str, Any], tables: ReferenceTables) -> Sheet:
    """Return the sheet of the hat that a request asks for, planned and proved."""
    plan = plan_hat(hat_order_of(values, tables), tables)
    count_work(plan_work(plan) + written_work(plan))
    return build_pattern_sheet(
        plan,
        prove(plan),
        tables=tables,
        terms_id=values["terms"],
        title=values.get("title"),
        hook_mm=values.get("hook_mm"),
        has_working=values["show_working"],
    )
