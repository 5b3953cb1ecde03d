"""Figures of whole hats, worked out beside the plan: rounds that fill a depth, yarn of other counts."""

from typing import Any

import pytest

from service.domain.errors import HatOutOfBounds
from service.domain.gauge import Gauge
from service.domain.hat_orders import BrimOrder, CrownWishes
from service.domain.hat_rounds import RoundManner
from service.domain.hats import plan_hat
from service.domain.rounding import half_up
from service.domain.texture import convert_gauge
from tests.orders import TABLES, WORSTED, hat_order

RIB, PLAIN = TABLES.fabric_by_id["post-rib-1x1"], TABLES.fabric_by_id["plain-sc"]


@pytest.mark.parametrize("depth_mm", range(80, 100))
def test_a_headband_is_all_body(depth_mm: float) -> None:
    plan = plan_hat(
        hat_order(fabric="plain-sc", brim=None, size={"style": "headband", "depth_mm": depth_mm}), TABLES
    )

    # 11.5 rounds to 10 cm.
    assert plan.layout.body_round_count == half_up(depth_mm / (100 / 11.5))


@pytest.mark.parametrize(("fabric", "fewest"), [(RIB, 2), (PLAIN, 1)])
def test_a_rib_has_at_least_two_rounds_however_low_it_was_asked_for(fabric: Any, fewest: int) -> None:
    plan = plan_hat(hat_order(fabric="plain-dc", brim=BrimOrder(fabric=fabric, height_mm=1.0)), TABLES)

    assert plan.layout.brim_round_count == fewest


def test_a_crown_of_a_weave_keeps_the_rounds_it_was_given_for_want_of_depth() -> None:
    # The usual crown is too deep here, so that the fewest rounds are taken.
    plan = plan_hat(hat_order(fabric="basket-weave-4x4", brim=None, size={"depth_mm": 60}), TABLES)
    usual = plan_hat(hat_order(fabric="basket-weave-4x4", brim=None, size={"depth_mm": 220}), TABLES)

    assert plan.crown is not None
    assert usual.crown is not None
    assert len(plan.crown.rounds) < len(usual.crown.rounds)
    assert abs(plan.depth_mm - 60) <= plan.gauges.body.round_height_mm / 2


@pytest.mark.parametrize("worked", ["from_brim", "from_crown"])
def test_an_edging_is_the_last_round_and_called_so(worked: Any) -> None:
    last = plan_hat(hat_order(has_edging=True, worked=worked), TABLES).rounds[-1]

    assert (last.section, last.kind) == ("edging", "edging")


@pytest.mark.parametrize("brim", [None, "post-rib-1x1"])
def test_other_counts_take_more_yarn_in_proportion_to_the_stitches_of_each_part(brim: str | None) -> None:
    plan = plan_hat(hat_order(fabric="cable-4x4", brim=brim, yarn=WORSTED), TABLES)

    assert plan.yarn.estimate is not None
    parts = plan.yarn.estimate.parts
    upper_m = sum(part.length_m for part in parts if part.section in ("body", "crown"))
    lower_m = sum(part.length_m for part in parts if part.section not in ("body", "crown"))
    assert plan.alternatives
    for other in plan.alternatives:
        upper = other.fit.count.stitch_count / plan.counts.body - 1
        lower = upper
        if other.fit.brim is not None and plan.counts.brim is not None:
            lower = other.fit.brim.count.stitch_count / plan.counts.brim - 1
        assert other.yarn_difference_m == pytest.approx(upper_m * upper + lower_m * lower)


@pytest.mark.parametrize(
    ("wishes", "leans"),
    [
        ({}, True),
        ({"manner": RoundManner(is_joined=False)}, False),
        ({"crown": CrownWishes(is_scattered=True)}, False),
        ({"fabric": "plain-dc"}, False),
        ({"size": {"style": "headband"}}, False),
    ],
)
def test_the_seam_leans_under_stacked_decreases_of_joined_single_crochet(
    wishes: dict[str, Any], leans: bool
) -> None:
    plan = plan_hat(hat_order(**{"fabric": "plain-sc", "brim": None, **wishes}), TABLES)

    assert ("seam_leans" in {notice.code for notice in plan.notices}) is leans


@pytest.mark.parametrize("yarn", [None, WORSTED])
def test_a_hat_takes_the_time_of_its_maker(yarn: Any) -> None:
    usual = plan_hat(hat_order(yarn=yarn), TABLES).yarn.time
    slow = plan_hat(hat_order(yarn=yarn, pace_units_per_minute=6.0), TABLES).yarn.time

    # Half of the usual 12.
    assert slow.pace_units_per_minute == 6.0
    assert slow.hours == pytest.approx(2 * usual.hours)
    assert slow.assumptions == ()


def test_a_converted_gauge_is_that_of_the_fabric_it_is_wanted_for() -> None:
    gauge = Gauge(
        stitch_width_mm=6, round_height_mm=7, width_error=0.03, height_error=0.03, fabric_id="plain-sc"
    )

    assert convert_gauge(gauge, measured=PLAIN, wanted=RIB, tables=TABLES).fabric_id == "post-rib-1x1"
    assert convert_gauge(gauge, measured=PLAIN, wanted=PLAIN, tables=TABLES).fabric_id == "plain-sc"


def test_too_many_stitches_are_refused_by_that_name_with_their_count() -> None:
    fine = hat_order(fabric="plain-sc", brim=None, stitches_per_10cm=110, rounds_per_10cm=140)

    with pytest.raises(HatOutOfBounds, match=r"would have \d+ stitches; .* at most 60000\.") as refusal:
        plan_hat(fine, TABLES)

    assert (refusal.value.what, refusal.value.limit) == ("stitches", 60_000)
    assert refusal.value.count > 60_000
