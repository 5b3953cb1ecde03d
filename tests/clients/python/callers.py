"""The three callers, written against the generated client: a web shop, a class organizer and a mobile app."""

import sys
from collections.abc import Callable

from hat_pattern_math_client import Client
from hat_pattern_math_client.api.classes import make_shopping_list, plan_class
from hat_pattern_math_client.api.patterns import draw_hat
from hat_pattern_math_client.api.plans import plan_hat, revise_hat
from hat_pattern_math_client.models import (
    BallRequest,
    BaseStitchName,
    BrimRequest,
    CertaintyPercent,
    ClassKitAnswer,
    ClassKitRequest,
    ClassYarnRequest,
    ColumnRequest,
    CrossingRequest,
    CrownCannotCloseProblem,
    DrawingKindName,
    DrawingRequest,
    FabricByColumns,
    FabricById,
    FabricId,
    FaceName,
    FibreName,
    GaugeRequest,
    HatPlanAnswer,
    HatPlanRequest,
    HatRevisionAnswer,
    HatRevisionRequest,
    HatWishes,
    HeadByCircumference,
    HeadBySize,
    HeadSizeId,
    HookStateRequest,
    LeanName,
    ParticipantHeadByCircumference,
    ParticipantRequest,
    ShoppingListAnswer,
    Step,
    YarnRequest,
)

GAUGE = GaugeRequest(stitches_per_10cm=18.5, rounds_per_10cm=11.5, washed=True)
BALL = BallRequest(mass_g=50, length_m=85)
CABLES = FabricByColumns(
    stitch=BaseStitchName.DC,
    columns=[
        ColumnRequest(face=FaceName.BACK, width=2),
        ColumnRequest(face=FaceName.FRONT, width=4, crossing=CrossingRequest(over=2, lean=LeanName.RIGHT)),
    ],
    round_repeat_count=4,
)


def order() -> HatPlanRequest:
    """Return the hat that is asked for."""
    return HatPlanRequest(
        head=HeadByCircumference(circumference_cm=57.5),
        gauge=GAUGE,
        fabric=CABLES,
        brim=BrimRequest(fabric_id=FabricId.POST_RIB_1X1, round_count=5),
        yarn=YarnRequest(weight_category=4, ball=BALL, fibre=FibreName.WOOL),
        certainty_percent=CertaintyPercent.PERCENT_95,
        show_working=True,
    )


def planned(service: Client, hat: HatPlanRequest) -> HatPlanAnswer:
    """Return the plan of a hat, which must be there."""
    plan = plan_hat.sync(client=service, body=hat)
    assert isinstance(plan, HatPlanAnswer), plan
    return plan


def stitches_made(step: Step) -> int:
    """Return how many stitches a step makes; repeats hold steps again."""
    match step.op:
        case "repeat":
            return (step.times or 0) * sum(map(stitches_made, step.steps or []))
        case "into_one":
            return len(step.stitches or [])
        case "together":
            return 1
        case "cross":
            return 2 * (step.over or 0)
        case "chain":
            return step.counts_as_stitch_count or 0
        case "skip":
            return 0
        case _:
            return step.count or 0


def plan_a_hat(service: Client) -> None:
    """Read counts, rounds, steps, yarn and working with their types."""
    plan = planned(service, order())

    circumference: float = plan.finished_circumference_cm
    brim: int | None = plan.counts.brim
    assert circumference > 45
    assert brim is not None
    assert plan.yarn is not None
    assert plan.yarn.buy.ball_count
    for worked in plan.rounds:
        chain = 1 if worked.start and worked.start.counts_as_stitch else 0
        assert chain + sum(map(stitches_made, worked.steps)) == worked.stitch_count, worked.text
    values: list[float | str] = [each.value for each in plan.assumptions]
    formulas: list[str] = [line.formula for line in plan.working or []]
    assert values
    assert formulas


def plan_a_hat_without_a_brim(service: Client) -> None:
    """Send null where the document allows it."""
    hat = order()
    hat.head, hat.brim = HeadBySize(size_id=HeadSizeId.YEARS_10), None

    plan = planned(service, hat)

    assert plan.counts.brim is None


def take_a_refusal(service: Client) -> None:
    """Ask for a crown that cannot close, and do what the refusal says."""
    hurried = order()
    hurried.crown_round_count = 2

    problem = plan_hat.sync(client=service, body=hurried)

    assert isinstance(problem, CrownCannotCloseProblem), problem
    hurried.crown_round_count = problem.smallest_round_count
    crown = planned(service, hurried).crown
    assert crown is not None
    assert len(crown.stitch_counts) == problem.smallest_round_count


def draw_the_hat(service: Client) -> None:
    """Get a drawing as text."""
    drawing = draw_hat.sync(
        client=service,
        body=DrawingRequest(
            kind=DrawingKindName.HAT_VIEW,
            head=HeadBySize(size_id=HeadSizeId.ADULT_M),
            gauge=GAUGE,
            fabric=CABLES,
        ),
    )

    assert isinstance(drawing, str), drawing
    assert "<svg" in drawing


def run_a_class(service: Client) -> None:
    """Make thirty kits, one of which was typed in the wrong unit."""
    heads = [54.0 + seat % 8 for seat in range(29)] + [5.7]
    signup = ClassKitRequest(
        participants=[
            ParticipantRequest(
                reference=f"seat-{seat}",
                head=ParticipantHeadByCircumference(circumference_cm=head),
                yarn_choice=seat % 2,
            )
            for seat, head in enumerate(heads, start=1)
        ],
        design=HatWishes(gauge=GAUGE, fabric=FabricById(fabric_id=FabricId.CABLE_2X2)),
        yarns=[
            ClassYarnRequest(name="Harbour wool", colour=colour, weight_category=4, ball=BALL)
            for colour in ("slate blue", "sand")
        ],
        class_hours=3,
    )

    answer = plan_class.sync(client=service, body=signup)
    shopping = make_shopping_list.sync(client=service, body=signup)

    assert isinstance(answer, ClassKitAnswer), answer
    assert len(answer.kits) == 30
    assert answer.totals.problem_count == 1
    refused = answer.kits[-1].problem
    assert refused is not None
    assert refused.errors
    assert refused.errors[0].pointer == "/participants/29/head/circumference_cm"
    balls = [each.balls for each in answer.yarns if each.balls is not None]
    by_kit_count = sum(each.by_kit for each in balls)
    assert 0 < sum(each.pooled for each in balls) <= by_kit_count
    assert isinstance(shopping, ShoppingListAnswer), shopping
    assert sum(each.by_kit_ball_count or 0 for each in shopping.yarns) == by_kit_count
    assert [each.reference for each in shopping.left_out] == ["seat-30"]


def revise_a_hat(service: Client) -> None:
    """Measure a hat on the hook and read the ways on."""
    answer = revise_hat.sync(
        client=service,
        body=HatRevisionRequest(
            plan=order(), state=HookStateRequest(round_=9, circumference_cm=58, mass_left_g=92)
        ),
    )

    assert isinstance(answer, HatRevisionAnswer), answer
    best = answer.options[0]
    assert any(option.action == "go_on" for option in answer.options)
    assert best.yarn is not None
    assert 0 <= best.yarn.lasts_probability <= 1
    assert best.rounds[0].round_ == best.from_round
    assert answer.gauge_as_worked.stitches_per_10cm < GAUGE.stitches_per_10cm


CHECKS: dict[str, Callable[[Client], None]] = {
    "a shop plans a hat": plan_a_hat,
    "a shop plans a hat without a brim": plan_a_hat_without_a_brim,
    "a shop takes a refusal": take_a_refusal,
    "a shop draws a hat": draw_the_hat,
    "an organizer runs a class of 30": run_a_class,
    "a maker revises a hat": revise_a_hat,
}


def main() -> int:
    """Run every check against the service whose address is given; say what failed."""
    failed_count = 0
    with Client(base_url=sys.argv[1]) as service:
        for name, check in CHECKS.items():
            try:
                check(service)
            except Exception as error:
                failed_count += 1
                print(f"failed: Python, {name}: {error!r}")
            else:
                print(f"passed: Python, {name}")
    return 1 if failed_count else 0


if __name__ == "__main__":
    sys.exit(main())
