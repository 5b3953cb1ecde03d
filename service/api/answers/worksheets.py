"""From a filled worksheet to its page: the plan, or the form with what is wrong beside its fields."""

from collections.abc import Mapping
from dataclasses import dataclass

from service.api.answers.drawings import picture_of
from service.api.answers.pattern_sheets import pattern_sheet_of
from service.api.orders_hats import hat_order_of
from service.api.reading import Body, BodyRefused, parse
from service.api.schemas.drawings import DrawingRequest
from service.api.schemas.pattern_sheets import PatternSheetRequest
from service.api.work import count_work
from service.api.worksheet_forms import complaints_of, refusals_of, request_of
from service.domain.errors import PatternMathError
from service.domain.hats import plan_hat
from service.domain.tables import ReferenceTables
from service.domain.work_units import plan_work, written_work
from service.drawings.pictures import Picture
from service.pages.plan_page import PlanWishes, plan_html
from service.pages.worksheet_fields import FIELDS, typed_entries
from service.pages.worksheet_page import worksheet_html
from service.patterns.proofs import prove
from service.sheets.sheet import Sheet

__all__ = ["WorksheetPage", "worksheet_drawing", "worksheet_page", "worksheet_sheet"]

Sent = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class WorksheetPage:
    """A page and the status that goes with it."""

    html: str
    status: int = 200


def worksheet_page(sent: Sent, tables: ReferenceTables) -> WorksheetPage:
    """Return the empty form, the form to be changed, the plan, or the form with its faults."""
    entries = typed_entries(sent)
    if "edit" in sent or not any(name in FIELDS for name in sent):
        return WorksheetPage(worksheet_html(entries, {}, tables))
    try:
        return WorksheetPage(_plan_page(entries, tables))
    except BodyRefused as refused:
        complaints = complaints_of(refused.problem.extension["errors"], entries)
    except PatternMathError as error:
        complaints = refusals_of(error)
    return WorksheetPage(worksheet_html(entries, complaints, tables), status=422)


def _plan_page(entries: Sent, tables: ReferenceTables) -> str:
    values = parse(PatternSheetRequest, request_of(entries))
    plan = plan_hat(hat_order_of(values, tables), tables)
    count_work(plan_work(plan) + written_work(plan))
    return plan_html(plan, prove(plan), _wishes(values), entries, tables)


def _wishes(values: Body) -> PlanWishes:
    return PlanWishes(
        terms_id=values["terms"],
        title=values.get("title"),
        hook_mm=values.get("hook_mm"),
        has_working=values["show_working"],
    )


def worksheet_sheet(sent: Sent, tables: ReferenceTables) -> Sheet:
    """Return the sheet of the hat that a filled form asks for."""
    return pattern_sheet_of(parse(PatternSheetRequest, request_of(typed_entries(sent))), tables)


def worksheet_drawing(sent: Sent, kind: str, tables: ReferenceTables) -> Picture:
    """Return a drawing of the hat that a filled form asks for."""
    request = {**request_of(typed_entries(sent)), "kind": kind}
    return picture_of(parse(DrawingRequest, request), tables)
