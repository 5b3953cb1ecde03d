"""The request and the answer of a yarn estimate."""

from typing import Any

from marshmallow import fields

from service.api.fields import AnswerSchema, Counts, StrictBoolean, StrictInteger, StrictList, StrictNested
from service.api.schemas.choices import (
    STITCH_CODE,
    base_stitch,
    gauge_field,
    stitch_counts_field,
    swatch_field,
    yarn_field,
)
from service.api.schemas.common import CalculationAnswer, CalculationRequest
from service.api.schemas.steps import WorkedRound

__all__ = [
    "LowMedianHigh",
    "YarnEstimateAnswer",
    "YarnEstimateRequest",
    "YarnNeeded",
    "certainty",
    "stitch_weights",
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
        metadata={"description": "How often the colour changes: each change leaves ends to weave in."},
    )


class LowMedianHigh(AnswerSchema):
    """Nine times in ten between low and high; half the time below the median."""

    low = fields.Float(required=True, metadata={"description": "Below this one time in twenty."})
    median = fields.Float(required=True, metadata={"description": "As often above as below."})
    high = fields.Float(required=True, metadata={"description": "Above this one time in twenty."})


def _number(description: str, **rest: Any) -> fields.Float:
    return fields.Float(required=True, metadata={"description": description}, **rest)


class YarnPurchase(AnswerSchema):
    """What to buy, with ends, joins, gathering and a kept swatch."""

    certainty_percent = fields.Integer(
        required=True, metadata={"description": "How sure this is enough, in percent."}
    )
    ball_count = fields.Integer(
        required=True,
        allow_none=True,
        metadata={"description": "Balls of one dye lot; null where no ball is known."},
    )
    length_m = _number("Length needed to be that sure, in m; of one strand, all strands added.")
    mass_g = _number("Mass needed to be that sure, in g.")
    leftover_m = _number("Left even if that length is used, in m; null without balls.", allow_none=True)


class YarnNeeded(AnswerSchema):
    """Yarn for a piece of work."""

    tier = fields.Integer(
        required=True,
        metadata={
            "description": "What it rests on: 1 a swatch in the same stitches, 2 a swatch in another "
            "texture, 3 gauge and tex, 4 the weight category alone."
        },
    )
    sc_units = _number("The work in single crochets at the maker's tension.")
    length_m = fields.Nested(
        LowMedianHigh, required=True, metadata={"description": "Yarn in the work alone, in m."}
    )
    mass_g = fields.Nested(
        LowMedianHigh, required=True, metadata={"description": "Yarn in the work alone, in g."}
    )
    buy = fields.Nested(
        YarnPurchase, required=True, metadata={"description": "What to buy for the asked certainty."}
    )
    buy_by_certainty = fields.List(
        fields.Nested(YarnPurchase),
        required=True,
        metadata={"description": "What to buy to be 90, 95 and 99 percent sure."},
    )


class YarnEstimateAnswer(YarnNeeded, CalculationAnswer):
    """How much yarn the work takes, and what to buy."""
