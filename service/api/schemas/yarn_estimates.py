"""The request and the answer of a yarn estimate."""

from typing import Any

from marshmallow import fields

from service.api.fields import AnswerSchema, Counts, StrictBoolean, StrictInteger, StrictList, StrictNested
from service.api.schemas.answer_fields import (
    count_field,
    count_list_field,
    nested_field,
    nested_list_field,
    number_field,
    text_field,
)
from service.api.schemas.choices import (
    STITCH_CODE,
    base_stitch,
    gauge_field,
    stitch_counts_field,
    swatch_field,
    yarn_field,
)
from service.api.schemas.colourings import checkpoints_field, colouring_field
from service.api.schemas.common import CalculationAnswer, CalculationRequest, Notice
from service.api.schemas.steps import WorkedRound

__all__ = [
    "LowMedianHigh",
    "YarnEstimateAnswer",
    "YarnEstimateRequest",
    "YarnNeeded",
    "certainty",
    "stitch_weights",
    "yarn_checkpoints",
]


def certainty() -> StrictInteger:
    """Return the field for how sure the bought yarn is to be enough."""
    return StrictInteger(
        low=90,
        high=99,
        allowed=(90, 95, 99),
        component="CertaintyPercent",
        load_default=95,
        metadata={"description": "How sure the bought yarn is to be enough, in percent."},
    )


def stitch_weights() -> Counts:
    """Return the field for a maker's own stitch weights."""
    return Counts(
        component="StitchWeights",
        pattern=STITCH_CODE,
        low=0.05,
        high=50,
        max_members=100,
        whole=False,
        metadata={"description": "The maker's own stitch weights, in sc units, by stitch code."},
    )


class YarnEstimateRequest(CalculationRequest):
    """A piece of work, a yarn, and what is known about both."""

    yarn = yarn_field(required=True)
    stitch_counts = stitch_counts_field(
        "Every stitch of the work by its code, chains and joins too. Give this or `rounds`, not both."
    )
    rounds = StrictList(
        StrictNested(WorkedRound),
        low=1,
        high=400,
        metadata={
            "description": "The work round by round. Give this or `stitch_counts`, not both.",
            "examples": [
                [
                    {
                        "steps": [{"op": "work", "stitch": "sc", "count": 80}],
                        "join": "sl_st",
                        "repeat_count": 30,
                    }
                ]
            ],
        },
    )
    stitch = base_stitch("The stitch that the gauge was measured in.", load_default="sc")
    swatch = swatch_field()
    gauge = gauge_field("Gauge of the work, where no swatch was weighed.")
    stitch_weights = stitch_weights()
    certainty_percent = certainty()
    gathers_crown = StrictBoolean(
        load_default=True,
        metadata={"description": "Whether a length is kept to draw the crown shut."},
    )
    has_edging = StrictBoolean(
        load_default=False,
        metadata={"description": "Whether an edging is worked with ends of its own."},
    )
    colour_change_count = StrictInteger(
        low=0,
        high=400,
        load_default=0,
        metadata={
            "description": "How often the colour changes: each change leaves ends to weave in. "
            "Give this or `colouring`, which counts the changes, not both."
        },
    )
    colouring = colouring_field(
        "The colours of the work. Stripes and sections need `rounds`.",
        [
            {"colours": ["grey"], "colour_yarns": [{"colour": "grey", "leftovers": {"masses_g": [18]}}]},
            {"colours": ["grey"]},
        ],
    )
    checkpoints = checkpoints_field("Whether the yarn that is left after a round lasts. Needs `rounds`.")


class LowMedianHigh(AnswerSchema):
    """Nine times in ten between low and high; half the time below the median."""

    low = number_field("Below this one time in twenty.")
    median = number_field("As often above as below.")
    high = number_field("Above this one time in twenty.")


class YarnPurchase(AnswerSchema):
    """What to buy, with ends, joins, gathering and a kept swatch."""

    certainty_percent = count_field("How sure this is enough, in percent.")
    ball_count = count_field("Balls of one dye lot; null where no ball is known.", allow_none=True)
    length_m = number_field("Length needed to be that sure, in m; of one strand, all strands added.")
    mass_g = number_field("Mass needed to be that sure, in g.")
    leftover_m = number_field("Left even if that length is used, in m; null without balls.", allow_none=True)
    from_leftovers_m = number_field("What leftovers of earlier work give of that length, in m.")


class ColourYarnNeeded(AnswerSchema):
    """Yarn of one colour, all its strands added up."""

    colour = text_field("The colour by its name.")
    worked_rounds = count_list_field(
        "The rounds that are worked in it, alone or beside others, as the text numbers them."
    )
    length_m = nested_field(LowMedianHigh, "Yarn of it in the work alone, in m.")
    mass_g = nested_field(LowMedianHigh, "Yarn of it in the work alone, in g.")
    buy = nested_field(YarnPurchase, "What to buy of it for the asked certainty.")
    buy_by_certainty = nested_list_field(YarnPurchase, "What to buy of it to be 90, 95 and 99 percent sure.")
    end_count = count_field("Its ends to weave in, those of joins and leftovers included.")
    notices = nested_list_field(Notice, "What to know about its balls.")


class YarnNeeded(AnswerSchema):
    """Yarn for a piece of work."""

    tier = count_field(
        "What it rests on: 1 a swatch in the same stitches, 2 a swatch in another "
        "texture, 3 gauge and tex, 4 the weight category alone."
    )
    sc_units = number_field("The work in single crochets at the maker's tension.")
    length_m = nested_field(LowMedianHigh, "Yarn in the work alone, in m.")
    mass_g = nested_field(LowMedianHigh, "Yarn in the work alone, in g.")
    buy = nested_field(YarnPurchase, "What to buy for the asked certainty.")
    buy_by_certainty = nested_list_field(YarnPurchase, "What to buy to be 90, 95 and 99 percent sure.")
    colours = nested_list_field(
        ColourYarnNeeded,
        "The yarn of each colour, in the order in which they are first worked; "
        "empty without `colouring`. What to buy in all is their sum.",
    )
    colour_change_count = count_field("How often the colours change from one round to the next.")
    end_count = count_field(
        "Ends to weave in: of the work, of changes of colour, of leftovers and new balls."
    )


class YarnCheckpoint(AnswerSchema):
    """Whether the yarn that was left after a round lasts."""

    round = count_field("The round, as it was sent.")
    colour = text_field("The colour, as it was sent, or null.", allow_none=True)
    remaining_g = nested_field(LowMedianHigh, "What the stitches after it take, in g.")
    reserve_g = number_field("What is kept back for ends, joins and gathering, in g.")
    lasts_probability = number_field("How likely the yarn lasts to the end, 0 to 1.")
    lasts_to_round = count_field("The last round that is reached with the asked certainty.")
    missing_g = number_field("What would have to be bought to finish with that certainty, in g.")


def yarn_checkpoints() -> fields.List[Any]:
    """Return the field for what was asked at checkpoints."""
    return nested_list_field(YarnCheckpoint, "The checkpoints, in the order sent; empty where none were.")


class YarnEstimateAnswer(YarnNeeded, CalculationAnswer):
    """How much yarn the work takes, and what to buy."""

    checkpoints = yarn_checkpoints()
