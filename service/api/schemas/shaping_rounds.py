"""The request and the answer of an evenly shaped round."""

from marshmallow import fields

from service.api.fields import Enumeration, StrictInteger
from service.api.schemas.choices import base_stitch
from service.api.schemas.common import CalculationAnswer, CalculationRequest, Step, terms

__all__ = ["ShapingRoundAnswer", "ShapingRoundRequest"]


class ShapingRoundRequest(CalculationRequest):
    """A round that goes evenly from one stitch count to another."""

    from_stitch_count = StrictInteger(
        low=1,
        high=2000,
        required=True,
        metadata={"description": "Stitches of the round before.", "examples": [80]},
    )
    to_stitch_count = StrictInteger(
        low=1,
        high=2000,
        required=True,
        metadata={
            "description": "Stitches to make: from half the round before, rounded up, to twice as many.",
            "examples": [100],
        },
    )
    stitch = base_stitch("The stitch that is worked.", load_default="sc")
    phase = Enumeration(
        component="ShapingPhase",
        values=("aligned", "staggered"),
        load_default="aligned",
        metadata={
            "description": "Where the first change stands: at the start of the round, or half a gap along."
        },
    )
    terms = terms()


class ShapingRoundAnswer(CalculationAnswer):
    """The round: where its changes stand, in words and as steps."""

    from_stitch_count = fields.Integer(
        required=True, metadata={"description": "Stitches of the round before."}
    )
    to_stitch_count = fields.Integer(required=True, metadata={"description": "Stitches the round makes."})
    changes = fields.List(
        fields.Integer(),
        required=True,
        metadata={
            "description": "Places of the increases or decreases, from 0, in the round before; "
            "a decrease is named by the first stitch of its pair."
        },
    )
    runs = fields.List(
        fields.Integer(),
        required=True,
        metadata={"description": "Unchanged stitches before the first change, then after each change."},
    )
    uniform = fields.Boolean(
        required=True, metadata={"description": "Whether every change is followed by the same run."}
    )
    text = fields.String(required=True, metadata={"description": "The round in written form."})
    steps = fields.List(
        fields.Nested(Step), required=True, metadata={"description": "The round as steps, in standard form."}
    )
