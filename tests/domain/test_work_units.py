"""What calculations weigh: a plan by its rounds, its differing steps and its crown."""

from service.domain.hats import plan_hat
from service.domain.work_units import (
    crown_rounds_work,
    marks_work,
    plan_work,
    written_work,
)
from tests.orders import TABLES, hat_order


def test_a_headband_weighs_its_rounds_and_the_steps_that_differ() -> None:
    plan = plan_hat(
        hat_order(fabric="plain-sc", brim=None, size={"style": "headband", "depth_mm": 100.0}), TABLES
    )

    # Equal rounds of one step each: 700 a round, 240 for the step they share, 3000 to find the plan.
    assert {worked.steps for worked in plan.rounds} == {plan.rounds[0].steps}
    assert written_work(plan) == 700 * len(plan.rounds) + 240
    assert plan_work(plan) == 3000 + written_work(plan)


def test_a_crown_adds_what_its_search_weighed() -> None:
    plan = plan_hat(hat_order(), TABLES)

    assert plan.crown is not None
    assert plan.crown.work_units > 0
    assert plan_work(plan) == 3000 + plan.crown.work_units + written_work(plan)


def test_more_of_anything_weighs_in_proportion() -> None:
    assert crown_rounds_work(40) == 4 * crown_rounds_work(10)
    assert marks_work(800) == 8 * marks_work(100)
