"""Rounds of whole hats: what each is called, and how many the brim has."""

from dataclasses import replace
from typing import Any, get_args

import pytest

from service.domain.fabrics import Column, Crossing, Fabric
from service.domain.hat_orders import BrimOrder, HatOrder
from service.domain.hats import HatPlan, plan_hat
from service.domain.rounding import half_up
from service.domain.rounds import ColumnAction, Kind, Section
from service.domain.yarn_swatches import Swatch
from tests.orders import TABLES, WORSTED, hat_order

CABLE = Column("front", 4, Crossing(2, "right", round_in_repeat=2))
CABLED = Fabric("dc", (Column("back", 1), CABLE), round_repeat_count=4)


def kinds(plan: HatPlan, section: Section) -> list[str]:
    return [worked.kind for worked in plan.rounds if worked.section == section]


def test_a_cabled_brim_crosses_on_its_own_round_of_each_repeat() -> None:
    plan = plan_hat(hat_order(brim=BrimOrder(fabric=CABLED, round_count=7)), TABLES)

    assert kinds(plan, "brim") == ["plain", "rib", "cross", "rib", "rib", "rib", "cross", "rib"]


@pytest.mark.parametrize("worked", ["from_brim", "from_crown"])
def test_a_round_that_joins_equal_counts_neither_increases_nor_decreases(worked: Any) -> None:
    flat = Fabric("sc", (Column("flat", 1),), round_repeat_count=2)
    plan = plan_hat(
        hat_order(fabric="plain-sc", brim=BrimOrder(fabric=flat, round_count=3), worked=worked), TABLES
    )

    assert plan.counts.brim == plan.counts.body
    assert kinds(plan, "joining") == ["joining"]


@pytest.mark.parametrize("cuff_mm", [None, 30, 50])
def test_a_brim_that_is_folded_up_is_twice_its_cuff(cuff_mm: float | None) -> None:
    plan = plan_hat(hat_order(size={"style": "cuffed", "cuff_mm": cuff_mm}), TABLES)

    cuff_mm = 0.08 * 570 if cuff_mm is None else cuff_mm
    first_mm, round_mm = (
        plan.gauges.first_round_mm,
        plan.gauges.brim.round_height_mm if plan.gauges.brim else 0,
    )
    assert plan.layout.brim_round_count == half_up((2 * cuff_mm - first_mm) / round_mm)


@pytest.mark.parametrize("worked", ["from_brim", "from_crown"])
@pytest.mark.parametrize("fabric", ["cable-4x4", "basket-weave-4x4", "plain-sc", "post-rib-2x2"])
def test_rounds_and_columns_are_called_by_the_words_there_are_for_them(fabric: str, worked: Any) -> None:
    plan = plan_hat(hat_order(fabric=fabric, worked=worked, has_edging=True), TABLES)

    for each in plan.rounds:
        assert each.section in get_args(Section)
        assert each.kind in get_args(Kind)
    assert plan.crown is not None
    for row in plan.crown.rounds:
        assert all(column.action in get_args(ColumnAction) for column in row.columns)


def test_columns_widen_from_the_crown_where_they_narrow_from_the_brim() -> None:
    def actions(worked: Any) -> set[str]:
        plan = plan_hat(hat_order(fabric="cable-4x4", worked=worked), TABLES)
        assert plan.crown is not None
        return {column.action for row in plan.crown.rounds for column in row.columns}

    assert actions("from_brim") - actions("from_crown") == {"narrow", "merge"}
    assert actions("from_crown") - actions("from_brim") == {"widen", "born"}


def test_a_swatch_that_was_weighed_has_the_size_of_the_stitches_of_the_gauge() -> None:
    swatch = Swatch(mass_g=12.0, stitch_counts={"fpdc": 100, "bpdc": 100})
    order: HatOrder = replace(hat_order(yarn=WORSTED), swatch=swatch)

    plan = plan_hat(order, TABLES)

    assert plan.yarn.order is not None
    assert plan.yarn.estimate is not None
    weighed = plan.yarn.order.swatch
    assert weighed is not None
    assert weighed.size is not None
    assert replace(weighed, size=None) == swatch
    # 18.5 stitches and 11.5 rounds to 10 cm, measured in a fabric of double crochet.
    assert weighed.size.stitch_width_mm == pytest.approx(100 / 18.5)
    assert weighed.size.round_height_mm == pytest.approx(100 / 11.5)
    assert weighed.size.stitch == "dc"
    assert plan.yarn.estimate.tier.number <= 2
