"""From the order of a drawing to its picture."""

from typing import Any

from service.api.orders_hats import hat_order_of
from service.api.work import count_work
from service.domain.hats import plan_hat
from service.domain.tables import ReferenceTables
from service.domain.work_units import marks_work, plan_work
from service.drawings.chart_repeats import MOST_SYMBOLS
from service.drawings.drawing import DrawingOrder, draw
from service.drawings.pictures import Picture, mark_count

__all__ = ["picture_of"]


def picture_of(
    values: dict[str, Any], tables: ReferenceTables, *, most_symbols: int = MOST_SYMBOLS
) -> Picture:
    """Return the picture that a request asks for."""
    order = DrawingOrder(
        kind=values["kind"],
        extent=values["extent"],
        title=values.get("title"),
        terms_id=values["terms"],
        most_symbols=most_symbols,
    )
    plan = plan_hat(hat_order_of(values, tables), tables)
    picture = draw(plan, order)
    count_work(plan_work(plan))
    count_work(marks_work(mark_count(picture.marks)))
    return picture
