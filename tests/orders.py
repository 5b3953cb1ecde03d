"""Hats to plan in tests: an order from a few words, and strategies of orders that can be worked."""

from typing import Any

from hypothesis import strategies as st

from service.domain.fabrics import Column, Crossing, Fabric
from service.domain.gauge import give_gauge
from service.domain.hat_orders import BrimOrder, CrownWishes, HatOrder, MeasuredGauge
from service.domain.hat_rounds import RoundManner
from service.domain.heads import measured_head
from service.domain.sizing import SizeOrder
from service.domain.yarns import Yarn
from service.reference.load import load_reference_tables

TABLES = load_reference_tables()

CABLE_4X4_ON_10 = Fabric(
    "dc", (Column("back", 2), Column("front", 8, Crossing(4, "right"))), round_repeat_count=2
)
WORSTED = Yarn(weight_category=4, ball_mass_g=100, ball_length_m=170)


def measured(
    stitches_per_10cm: float, rounds_per_10cm: float, fabric: Fabric, error: float | None = None
) -> MeasuredGauge:
    given = give_gauge(
        stitches_per_10cm=stitches_per_10cm,
        rounds_per_10cm=rounds_per_10cm,
        fabric_id=None,
        width_error=error,
        height_error=error,
        washed=True,
        tables=TABLES,
    )
    return MeasuredGauge(given=given, measured_in=fabric)


def hat_order(
    *,
    head_mm: float = 570,
    fabric: Fabric | str = "cable-2x2",
    stitches_per_10cm: float = 18.5,
    rounds_per_10cm: float = 11.5,
    brim: BrimOrder | str | None = "post-rib-1x1",
    size: dict[str, Any] | None = None,
    **rest: Any,
) -> HatOrder:
    cloth = TABLES.fabric_by_id[fabric] if isinstance(fabric, str) else fabric
    edge = BrimOrder(fabric=TABLES.fabric_by_id[brim], is_default=True) if isinstance(brim, str) else brim
    return HatOrder(
        size=SizeOrder(head=measured_head(head_mm, tables=TABLES), fabric=cloth, **(size or {})),
        gauge=measured(stitches_per_10cm, rounds_per_10cm, cloth),
        fabric=cloth,
        brim=edge,
        **rest,
    )


#: Stitches and rounds to 10 cm that belong together, from bulky to fine.
GAUGES = st.tuples(st.floats(9, 34), st.floats(0.55, 1.1)).map(lambda pair: (pair[0], pair[0] * pair[1]))
FABRIC_IDS = st.sampled_from(sorted(TABLES.fabric_by_id))


@st.composite
def hat_orders(draw: st.DrawFn) -> HatOrder:
    """Return an order of a hat in any fabric, either way up."""
    stitches, rounds = draw(GAUGES)
    fabric = TABLES.fabric_by_id[draw(FABRIC_IDS)]
    brim = draw(st.sampled_from([None, "post-rib-1x1", "post-rib-2x2", "plain-sc"]))
    return hat_order(
        head_mm=draw(st.floats(300, 640)),
        fabric=fabric,
        stitches_per_10cm=stitches,
        rounds_per_10cm=rounds,
        brim=brim,
        size={"style": draw(st.sampled_from(["beanie", "cuffed", "slouch", "headband"]))},
        worked=draw(st.sampled_from(["from_brim", "from_crown"])),
        manner=RoundManner(start_chain_counts=draw(st.booleans())),
        has_edging=draw(st.booleans()),
        crown=CrownWishes(
            shape=draw(st.sampled_from([None, "rounded", "gathered", "flat", "tapered"])),
            is_scattered=draw(st.booleans()),
        ),
        yarn=draw(st.sampled_from([None, WORSTED])),
    )
