"""The hat of the examples in the documentation, so that each of them is short and still runs by itself."""

from service.domain.gauge import give_gauge
from service.domain.hat_orders import HatOrder, MeasuredGauge
from service.domain.heads import measured_head
from service.domain.sizing import SizeOrder
from service.reference.load import load_reference_tables

__all__ = ["plain_hat_order"]


def plain_hat_order(*, head_mm: float = 570) -> HatOrder:
    """Return the order of a plain hat of single crochet without a brim, 16 stitches and 18 rounds to 10 cm.

    Parameters
    ----------
    head_mm
        Circumference of the head. [mm, 200 to 750]

    Examples
    --------
    >>> plain_hat_order().size.head.circumference_mm
    570
    """
    tables = load_reference_tables()
    plain = tables.fabric_by_id["plain-sc"]
    given = give_gauge(
        stitches_per_10cm=16,
        rounds_per_10cm=18,
        fabric_id=None,
        width_error=None,
        height_error=None,
        washed=True,
        tables=tables,
    )
    return HatOrder(
        size=SizeOrder(head=measured_head(head_mm, tables=tables), fabric=plain),
        gauge=MeasuredGauge(given=given, measured_in=plain),
        fabric=plain,
        brim=None,
    )
