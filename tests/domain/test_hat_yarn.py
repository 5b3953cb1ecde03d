"""The yarn of a hat's rounds: each is reckoned with the stitch that makes its height."""

from math import sqrt

import pytest

from service.domain.fabrics import Column, Fabric
from service.domain.hat_orders import BrimOrder
from service.domain.hats import plan_hat
from service.domain.stitches import HEIGHT_RATIOS
from tests.orders import TABLES, WORSTED, hat_order

SC_RIB = Fabric("sc", (Column("front", 1), Column("back", 1)))


def test_the_plain_round_under_a_low_rib_is_reckoned_as_the_taller_stitch_it_is():
    plan = plan_hat(hat_order(fabric=SC_RIB, brim=None, yarn=WORSTED), TABLES)

    first = plan.yarn.estimate.parts[1]
    sc_height_mm = plan.rounds[0].height_mm / 1.4
    # Half double crochets at 1.45, a starting chain of one at 0.5 and a slip stitch at 0.6.
    units = 1.45 * plan.rounds[0].stitch_count + 0.5 + 0.6
    expected_mm = units * 7.5 * sqrt(plan.gauges.body.stitch_width_mm * sc_height_mm)
    assert 1000 * first.length_m == pytest.approx(expected_mm)


def test_a_joining_round_is_reckoned_as_the_stitch_it_is_worked_in():
    rib = BrimOrder(fabric=TABLES.fabric_by_id["post-rib-1x1"], round_count=3)
    order = hat_order(fabric="plain-sc", brim=rib, worked="from_crown", yarn=WORSTED)
    plan = plan_hat(order, TABLES)

    [(joining, part)] = [
        (worked, part)
        for worked, part in zip(plan.rounds, plan.yarn.estimate.parts, strict=True)
        if worked.section == "joining"
    ]
    sc_height_mm = joining.height_mm / HEIGHT_RATIOS["dc"]
    # Double crochets at 1.85, a starting chain of two at 0.5 each and a slip stitch at 0.6.
    units = 1.85 * joining.stitch_count + 2 * 0.5 + 0.6
    expected_mm = units * 7.5 * sqrt(plan.gauges.body.stitch_width_mm * sc_height_mm)
    assert joining.kind == "increase"
    assert 1000 * part.length_m == pytest.approx(expected_mm)
