"""Plans are proved by reading their own words; a plan that says otherwise is a defect."""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from service.domain.errors import PatternMathError
from service.domain.hat_orders import HatOrder
from service.domain.hat_rounds import RoundManner
from service.domain.hats import HatPlan, plan_hat
from service.domain.rounds import Start
from service.domain.steps import Work
from service.patterns.proofs import CHECKER_VERSION, PlanUnproved, Proof, prove, prove_together
from tests.orders import TABLES, hat_order, hat_orders


def _plan(**wishes: Any) -> HatPlan:
    return plan_hat(hat_order(**wishes), TABLES)


def _with_round(plan: HatPlan, number: int, **changes: Any) -> HatPlan:
    changed = [replace(worked, **changes) if worked.number == number else worked for worked in plan.rounds]
    return replace(plan, rounds=tuple(changed))


def test_a_proof_says_what_was_read() -> None:
    plan = _plan()

    proof = prove(plan)

    assert replace(proof, texts={}) == Proof("agrees", ("us", "uk"), len(plan.rounds), CHECKER_VERSION, {})
    assert [len(texts) for texts in proof.texts.values()] == [len(plan.rounds)] * 2


@pytest.mark.parametrize("fabric_id", sorted(TABLES.fabric_by_id))
@pytest.mark.parametrize("worked", ["from_brim", "from_crown"])
def test_every_fabric_is_proved_either_way_up(fabric_id: str, worked: str) -> None:
    plan = _plan(
        fabric=fabric_id, worked=worked, has_edging=True, manner=RoundManner(start_chain_counts=True)
    )

    assert prove(plan).round_count == len(plan.rounds)


def test_a_spiral_is_proved() -> None:
    plan = _plan(
        fabric="plain-sc",
        brim=None,
        stitches_per_10cm=16,
        rounds_per_10cm=18,
        manner=RoundManner(is_joined=False),
    )

    assert prove(plan).verdict == "agrees"


@settings(max_examples=40)
@given(order=hat_orders())
def test_any_hat_that_can_be_planned_is_proved(order: HatOrder) -> None:
    try:
        plan = plan_hat(order, TABLES)
    except PatternMathError:
        assume(False)
        raise

    assert prove(plan).round_count == len(plan.rounds)


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"stitch_count": 81}, "it makes 82 stitches"),
        ({"consumed_stitch_count": 81}, "it uses up 82 stitches"),
        ({"start": Start(3, True)}, "run out"),
        ({"worked_into": "foundation"}, "no ch|not there|chain|left over"),
        ({"steps": (Work("dc", 20),)}, "82"),
    ],
)
def test_a_round_that_says_otherwise_is_never_proved(changes: dict[str, Any], reason: str) -> None:
    plan = _with_round(_plan(), 3, **changes)

    with pytest.raises(PlanUnproved, match=reason):
        prove(plan)


def test_rounds_out_of_order_are_never_proved() -> None:
    plan = _plan()

    with pytest.raises(PlanUnproved):
        prove(replace(plan, rounds=(plan.rounds[1], plan.rounds[0], *plan.rounds[2:])))


def test_a_missing_round_is_found_where_the_counts_no_longer_meet() -> None:
    plan = _plan()
    joining = next(worked for worked in plan.rounds if worked.section == "joining")

    with pytest.raises(PlanUnproved) as defect:
        prove(replace(plan, rounds=tuple(worked for worked in plan.rounds if worked is not joining)))

    assert defect.value.terms_id == "us"
    assert defect.value.text.startswith(f"Rnd {joining.number + 1}:")


@given(more=st.integers(1, 9))
def test_a_foundation_of_another_count_is_never_proved(more: int) -> None:
    plan = _plan()

    with pytest.raises(PlanUnproved):
        prove(replace(plan, foundation_stitch_count=plan.foundation_stitch_count + more))


def test_hats_that_are_proved_together_have_the_proofs_they_have_alone() -> None:
    plan = plan_hat(hat_order(), TABLES)
    other = replace(plan, rounds=(*plan.rounds[:-1], replace(plan.rounds[-1], height_mm=1.0)))

    assert prove_together([plan, other]) == (prove(plan), prove(other))


def test_a_beginning_that_is_proved_already_does_not_prove_the_end() -> None:
    plan = plan_hat(hat_order(), TABLES)
    last = plan.rounds[-1]
    wrong = replace(plan, rounds=(*plan.rounds[:-1], replace(last, stitch_count=last.stitch_count + 1)))

    with pytest.raises(PlanUnproved):
        prove_together([plan, wrong])


def test_a_proof_is_an_error_of_the_service_and_not_of_the_request() -> None:
    assert not issubclass(PlanUnproved, PatternMathError)
