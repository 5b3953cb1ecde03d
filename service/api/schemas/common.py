"""What many requests and answers share: switches, notices, assumptions, working, steps."""

from typing import Any

from marshmallow import fields

from service.api.fields import AnswerSchema, Enumeration, StrictBoolean, StrictSchema

__all__ = [
    "Assumption",
    "CalculationAnswer",
    "CalculationRequest",
    "Notice",
    "Step",
    "Working",
    "terms",
]


def terms() -> Enumeration:
    """Return the switch between US and UK terms."""
    return Enumeration(
        component="TermsName",
        values=("us", "uk"),
        load_default="us",
        metadata={"description": "The terms of written text: US or UK stitch names."},
    )


class CalculationRequest(StrictSchema):
    """What every calculation takes."""

    show_working = StrictBoolean(
        load_default=False,
        metadata={"description": "Whether the answer lists each figure with its formula and source."},
    )


class Notice(AnswerSchema):
    """Something the maker should know."""

    code = fields.String(required=True, metadata={"description": "What it is about. More codes may come."})
    severity = fields.String(required=True, metadata={"description": "`info`, `caution` or `warning`."})
    text = fields.String(required=True, metadata={"description": "The notice in words."})


class Assumption(AnswerSchema):
    """A value that stands in for a measurement nobody gave."""

    name = fields.String(required=True, metadata={"description": "What was supposed."})
    value = fields.Raw(
        required=True, metadata={"description": "A number or a word.", "type": ["number", "string"]}
    )
    unit = fields.String(required=True, metadata={"description": "Its unit, empty for words and ratios."})
    confidence = fields.String(
        required=True,
        metadata={
            "description": "`H` published data or geometry, `M` several weak sources, `L` one or a judgement."
        },
    )
    source = fields.String(required=True, metadata={"description": "Where the value comes from."})


class Working(AnswerSchema):
    """One line of the reckoning."""

    name = fields.String(required=True, metadata={"description": "The figure."})
    formula = fields.String(required=True, metadata={"description": "How it was reached."})
    value = fields.Float(required=True, metadata={"description": "Its value."})
    unit = fields.String(required=True, metadata={"description": "Its unit, empty for ratios and counts."})
    source = fields.String(required=True, metadata={"description": "Where the formula comes from."})


class CalculationAnswer(AnswerSchema):
    """What every answer carries beside its result."""

    notices = fields.List(
        fields.Nested(Notice), required=True, metadata={"description": "What the maker should know."}
    )
    assumptions = fields.List(
        fields.Nested(Assumption),
        required=True,
        metadata={"description": "What was supposed for want of a measurement."},
    )
    rules_version = fields.String(
        required=True, metadata={"description": "The rules that computed this, `YYYY.N`."}
    )
    working = fields.List(
        fields.Nested(Working),
        metadata={"description": "How the figures were reached; there when `show_working` is true."},
    )


class Step(AnswerSchema):
    """One thing the hook does; `op` says which, and which other members are there."""

    op = fields.String(
        required=True,
        metadata={"description": "`work`, `into_one`, `together`, `cross`, `skip`, `chain` or `repeat`."},
    )
    stitch = fields.String(metadata={"description": "Stitch code (work, cross)."})
    stitches = fields.List(
        fields.String(), metadata={"description": "Stitch codes, in order (into_one, together)."}
    )
    count = fields.Integer(metadata={"description": "How many stitches or chains (work, skip, chain)."})
    counts_as_stitch_count = fields.Integer(
        metadata={"description": "How many stitches of the round the chain stands for (chain)."}
    )
    over = fields.Integer(metadata={"description": "How many stitches cross over as many (cross)."})
    lean = fields.String(metadata={"description": "`left` or `right` (cross)."})
    times = fields.Integer(metadata={"description": "How often (repeat)."})
    steps: fields.Field[Any] = fields.List(
        fields.Nested(lambda: Step()), metadata={"description": "What is repeated (repeat)."}
    )
