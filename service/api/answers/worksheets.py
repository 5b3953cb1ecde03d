"""From a filled worksheet to its page: the plan, or the form with what is wrong beside its fields."""

from collections.abc import Mapping
from dataclasses import dataclass

from marshmallow import Schema

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
from service.pages.form_rules import overlooked
from service.pages.plan_page import PlanWishes, plan_html
from service.pages.worksheet_fields import FIELDS, typed_entries
from service.pages.worksheet_page import worksheet_html
from service.patterns.proofs import prove
from service.sheets.sheet import Sheet

__all__ = [
    "Overlooked",
    "WorksheetPage",
    "refused_page",
    "worksheet_drawing",
    "worksheet_page",
    "worksheet_sheet",
]

Sent = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class WorksheetPage:
    """A page and the status that goes with it."""

    html: str
    status: int = 200


def worksheet_page(sent: Sent, tables: ReferenceTables) -> WorksheetPage:
    """Return the empty form, the form to be changed, the plan, or the form with its faults."""
    entries = typed_entries(sent)
    if "edit" in sent or not any(name in FIELDS for name in sent if name != "units"):
        # A link may choose the units of an empty form.
        return WorksheetPage(worksheet_html(entries, {}, tables))
    try:
        return WorksheetPage(_plan_page(entries, tables))
    except (BodyRefused, PatternMathError, Overlooked) as error:
        return refused_page(sent, error, tables)


class Overlooked(Exception):
    """A request could be made of the form, and somebody most likely meant another."""


def refused_page(sent: Sent, error: Exception, tables: ReferenceTables) -> WorksheetPage:
    """Return the form with what is wrong beside its fields, and what was typed kept."""
    entries = typed_entries(sent)
    complaints = overlooked(entries)
    match error:
        case BodyRefused():
            complaints = {**complaints_of(error.problem.extension["errors"], entries), **complaints}
        case PatternMathError():
            complaints = complaints or refusals_of(error, entries)
    return WorksheetPage(worksheet_html(entries, complaints, tables), status=422)


def _plan_page(entries: Sent, tables: ReferenceTables) -> str:
    values = _values(entries, PatternSheetRequest)
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
    return pattern_sheet_of(_values(typed_entries(sent), PatternSheetRequest), tables)


def worksheet_drawing(sent: Sent, kind: str, tables: ReferenceTables) -> Picture:
    """Return a drawing of the hat that a filled form asks for."""
    return picture_of(_values(typed_entries(sent), DrawingRequest, kind=kind), tables)


def _values(entries: Sent, schema: type[Schema], **more: str) -> Body:
    """Return the request of a filled form, held to its document.

    Raises
    ------
    Overlooked
        If it keeps to the document and leaves something open that a person should say.
    """
    values = parse(schema, {**request_of(entries), **more})
    if overlooked(entries):
        raise Overlooked
    return values
