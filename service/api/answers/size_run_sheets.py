"""From the order of a size run to its sheet."""

from typing import Any

from service.api.answers.size_runs import size_run_order_of
from service.api.work import count_work
from service.domain.size_runs import plan_size_run
from service.domain.tables import ReferenceTables
from service.patterns.size_run_proofs import prove_size_run
from service.sheets.sheet import Sheet
from service.sheets.size_run_sheets import build_size_run_sheet

__all__ = ["size_run_sheet_of"]


def size_run_sheet_of(values: dict[str, Any], tables: ReferenceTables) -> Sheet:
    """Return the sheet of the size run that a request asks for, planned and proved."""
    run = plan_size_run(size_run_order_of(values, tables), tables)
    count_work(run.work_units)
    return build_size_run_sheet(
        run,
        prove_size_run(run.plans),
        tables=tables,
        terms_id=values["design"]["terms"],
        title=values.get("title"),
        hook_mm=values["design"].get("hook_mm"),
    )
