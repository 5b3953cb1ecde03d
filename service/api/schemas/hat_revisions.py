"""The request and the answer of a hat that is on the hook."""

from service.api.fields import AnswerSchema, StrictInteger, StrictNested, StrictNumber, StrictSchema
from service.api.schemas.answer_fields import (
    count_field,
    count_list_field,
    nested_field,
    nested_list_field,
    number_field,
    text_field,
    text_list_field,
)
from service.api.schemas.common import CalculationAnswer
from service.api.schemas.hat_plans import HatCounts, HatPlanRequest, HatRound, Proof
from service.api.schemas.yarn_estimates import LowMedianHigh

__all__ = ["HatRevisionAnswer", "HatRevisionRequest"]


class HookStateRequest(StrictSchema):
    """The work as it is now, after a finished round."""

    round = StrictInteger(
        low=1,
        high=400,
        required=True,
        metadata={"description": "The last finished round, in the plan's own numbers.", "examples": [7, 12]},
    )
    stitch_count = StrictInteger(
        low=1,
        high=2000,
        metadata={"description": "Stitches counted in it; they must be the plan's."},
    )
    circumference_cm = StrictNumber(
        low=1,
        high=300,
        metadata={
            "description": "The work measured all the way around at that round, not stretched, in cm.",
            "examples": [54],
        },
    )
    height_cm = StrictNumber(
        low=0.1,
        high=100,
        metadata={
            "description": "From where the work began to that round, along the fabric, in cm.",
            "examples": [8.5],
        },
    )
    mass_left_g = StrictNumber(
        low=0,
        high=20000,
        metadata={
            "description": "All yarn that is left, in g; the plan must have a `yarn`.",
            "examples": [60],
        },
    )
    rip_back_to_round = StrictInteger(
        low=0,
        high=399,
        metadata={
            "description": "The round that would be left if you ripped back, 0 for none: that is then one of "
            "the ways on. Without it, the round where ripping back can help is looked for."
        },
    )


class HatRevisionRequest(StrictSchema):
    """The plan that is being worked, and what is on the hook."""

    plan = StrictNested(
        HatPlanRequest, required=True, metadata={"description": "The request that the hat was planned with."}
    )
    state = StrictNested(
        HookStateRequest,
        required=True,
        metadata={
            "description": "What is on the hook.",
            "examples": [{"round": 3}, {"round": 6, "rip_back_to_round": 4}],
        },
    )


class WorkedGauge(AnswerSchema):
    """The gauge that the work shows, the swatch taken into account."""

    stitches_per_10cm = number_field("Stitches to 10 cm in the body.")
    rounds_per_10cm = number_field("Rounds to 10 cm in the body.")
    width_error_percent = number_field("One standard error of the body's width, in percent.")
    height_error_percent = number_field("One standard error of its height, in percent.")
    brim_stitches_per_10cm = number_field("Stitches to 10 cm in the brim; null without one.", allow_none=True)
    brim_rounds_per_10cm = number_field("Rounds to 10 cm in the brim; null without one.", allow_none=True)


class PlannedState(AnswerSchema):
    """What the plan has after the same round."""

    section = text_field("The part the round belongs to.")
    stitch_count = count_field("Its stitches.")
    circumference_cm = number_field("What the work measures around there, in cm.")
    height_cm = number_field("Its height up to there, in cm.")


class RevisionShortening(AnswerSchema):
    """What to shorten so that the yarn lasts."""

    section = text_field("`body`.")
    round_count = count_field("Rounds to leave out.")
    height_cm = number_field("By how much the hat is shallower then, in cm.")


class RevisionYarn(AnswerSchema):
    """Whether the yarn lasts this way."""

    lasts_probability = number_field("How likely it lasts to the end, 0 to 1, ends and gathering included.")
    lasts_to_round = count_field("The last round that is reached with the plan's `certainty_percent`.")
    remaining_g = nested_field(LowMedianHigh, "What the rounds still to work take, in g.")
    missing_g = number_field("What would have to be bought to finish with that certainty, in g.")
    shorten = nested_field(
        RevisionShortening,
        "What to shorten; null where the yarn lasts or no shorter body would do.",
        allow_none=True,
    )


class RevisionOption(AnswerSchema):
    """A way on."""

    action = text_field(
        "`go_on`: every round as planned. `adjust`: what is worked stays and the rest changes. `rip_back`: "
        "some of it is worked again. There is at most one of each."
    )
    from_round = count_field("The next round to work, from 1.")
    rip_back_round_count = count_field("Rounds to rip back before that; 0 for none.")
    counts = nested_field(HatCounts, "The stitch counts.")
    fit_probability = number_field("How likely the hat fits around the head, 0 to 1, at the gauge as worked.")
    depth_probability = number_field(
        "How likely its depth does, 0 to 1, at the gauge as worked. Ways on are ranked by the product "
        "of both, less 0.01 for adjusting and 0.05 for ripping back."
    )
    finished_circumference_cm = number_field("What the body measures at the gauge as worked, in cm.")
    finished_depth_cm = number_field("Depth along the fabric at the gauge as worked, in cm.")
    crown_shape_error = number_field(
        "How far the crown is from its shape at the gauge as worked, 0 for not at all; null where there is "
        "no crown, or none of so few rounds has that shape.",
        allow_none=True,
    )
    rounds = nested_list_field(HatRound, "The rounds from there to the end; empty where the hat is finished.")
    changed_rounds = count_list_field(
        "Those of them that the plan has otherwise or not at all, and rounds of the plan that fall away."
    )
    finishing = text_list_field("What is done after the last round.")
    yarn = nested_field(RevisionYarn, "Whether the yarn lasts; null without `mass_left_g`.", allow_none=True)
    proof = nested_field(Proof, "That the written hat, worked rounds and new ones, agrees with its steps.")
    why = text_field("When to choose it.")


class HatRevisionAnswer(CalculationAnswer):
    """What the work shows, and the ways on."""

    gauge_as_worked = nested_field(WorkedGauge, "The gauge that the work shows.")
    planned = nested_field(PlannedState, "What the plan has after the same round.")
    options = nested_list_field(RevisionOption, "The ways on, best first; going on is always one of them.")
