"""The request and the answer of fitting stitch counts to whole repeats."""

from marshmallow import fields

from service.api.fields import AnswerSchema, StrictInteger, StrictNested, StrictNumber, StrictSchema
from service.api.schemas.choices import gauge_field
from service.api.schemas.common import CalculationAnswer, CalculationRequest, Step, terms

__all__ = ["RepeatFitAnswer", "RepeatFitRequest"]


class BrimFitRequest(StrictSchema):
    """A brim to be chosen together with the body."""

    gauge = gauge_field("Gauge of the brim's fabric.", required=True)
    stitch_multiple = StrictInteger(
        low=1, high=64, required=True, metadata={"description": "Stitches of one repeat of the brim."}
    )
    target_circumference_cm = StrictNumber(
        low=1,
        high=200,
        metadata={"description": "What the brim is to measure, in cm; without it, the body's target."},
    )


class FitBandRequest(StrictSchema):
    """Circumferences that still fit."""

    low = StrictNumber(low=1, high=200, required=True, metadata={"description": "Smallest that fits, in cm."})
    high = StrictNumber(low=1, high=200, required=True, metadata={"description": "Largest that fits, in cm."})


class RepeatFitRequest(CalculationRequest):
    """A circumference to reach with whole repeats."""

    target_circumference_cm = StrictNumber(
        low=1,
        high=200,
        required=True,
        metadata={"description": "What the hat is to measure, in cm.", "examples": [53.7]},
    )
    gauge = gauge_field("Gauge of the fabric.", required=True)
    stitch_multiple = StrictInteger(
        low=1,
        high=64,
        required=True,
        metadata={"description": "Stitches of one repeat.", "examples": [8]},
    )
    extra_stitch_count = StrictInteger(
        low=0,
        high=64,
        load_default=0,
        metadata={"description": "Stitches beyond whole repeats, for work in rows; 0 in the round."},
    )
    tolerance_cm = StrictNumber(
        low=0,
        high=50,
        metadata={"description": "How far off still counts as right, in cm; without it, the fit band."},
    )
    fit_band_cm = StrictNested(
        FitBandRequest,
        metadata={
            "description": "Circumferences that fit; without it, those within 5.4 percent of the target."
        },
    )
    limit = StrictInteger(
        low=1, high=20, load_default=5, metadata={"description": "How many candidates at most."}
    )
    brim = StrictNested(BrimFitRequest, metadata={"description": "A brim to choose with the body."})
    terms = terms()


class JoiningRound(AnswerSchema):
    """The round that joins brim and body."""

    uniform = fields.Boolean(
        required=True, metadata={"description": "Whether every change is followed by the same run."}
    )
    change_count = fields.Integer(required=True, metadata={"description": "Increases or decreases."})
    text = fields.String(required=True, metadata={"description": "The round in written form, in dc."})
    steps = fields.List(
        fields.Nested(Step), required=True, metadata={"description": "The round as steps, in dc."}
    )


class BrimFit(AnswerSchema):
    """The brim of a candidate."""

    stitch_count = fields.Integer(required=True, metadata={"description": "Stitches of the brim."})
    repeat_count = fields.Integer(required=True, metadata={"description": "Whole repeats of the brim."})
    circumference_cm = fields.Float(required=True, metadata={"description": "What it measures, in cm."})
    fit_probability = fields.Float(required=True, metadata={"description": "How likely it fits, 0 to 1."})
    joining_round = fields.Nested(
        JoiningRound, required=True, metadata={"description": "From the brim to the body."}
    )


class RepeatFitCandidate(AnswerSchema):
    """A stitch count that holds whole repeats."""

    stitch_count = fields.Integer(required=True, metadata={"description": "Stitches of the round."})
    repeat_count = fields.Integer(required=True, metadata={"description": "Whole repeats."})
    circumference_cm = fields.Float(required=True, metadata={"description": "What they measure, in cm."})
    difference_cm = fields.Float(required=True, metadata={"description": "That minus the target, in cm."})
    within_tolerance = fields.Boolean(
        required=True, metadata={"description": "Whether the difference is within the tolerance."}
    )
    fit_probability = fields.Float(
        required=True, metadata={"description": "How likely the hat fits, 0 to 1, gauge errors included."}
    )
    exact_stitches_per_10cm = fields.Float(
        required=True, metadata={"description": "The gauge at which this count meets the target exactly."}
    )
    brim = fields.Nested(
        BrimFit,
        required=True,
        allow_none=True,
        metadata={
            "description": "The brim that goes with it; null where none was asked for, or none near its "
            "target joins in one round."
        },
    )


class NeighbourCount(AnswerSchema):
    """A count one repeat away from the best."""

    stitch_count = fields.Integer(required=True, metadata={"description": "Stitches of the round."})
    repeat_count = fields.Integer(required=True, metadata={"description": "Whole repeats."})
    circumference_cm = fields.Float(required=True, metadata={"description": "What they measure, in cm."})
    exact_stitches_per_10cm = fields.Float(
        required=True, metadata={"description": "The gauge at which this count meets the target exactly."}
    )


class RepeatFitAnswer(CalculationAnswer):
    """Counts that hold whole repeats, best first."""

    candidates = fields.List(
        fields.Nested(RepeatFitCandidate), required=True, metadata={"description": "Best first; never empty."}
    )
    neighbours = fields.List(
        fields.Nested(NeighbourCount),
        required=True,
        metadata={"description": "The counts one repeat fewer and one more than the best, where they exist."},
    )
