"""The request and the answer of a count check."""

from typing import Any

from marshmallow import fields

from service.api.fields import AnswerSchema, LinesOfText, StrictInteger
from service.api.schemas.common import CalculationAnswer, CalculationRequest, terms

__all__ = ["CountCheckAnswer", "CountCheckRequest"]


class CountCheckRequest(CalculationRequest):
    """A pattern to count."""

    text = LinesOfText(
        required=True,
        metadata={
            "description": "The pattern, a line for each round. At most 64 KB in UTF-8 and 400 rounds.",
            "examples": ["Rnd 1: 6 sc in magic ring. (6)\nRnd 2: 2 sc in each st around. (12)"],
        },
    )
    terms = terms()
    start_stitch_count = StrictInteger(
        low=1,
        high=4000,
        metadata={
            "description": "Stitches that the first line finds, where the text begins in the middle "
            "of the work; without it, the text begins with its foundation.",
            "examples": [80],
        },
    )


def _count(description: str, **rest: Any) -> fields.Integer:
    return fields.Integer(required=True, metadata={"description": description}, **rest)


def _text(description: str, **rest: Any) -> fields.String:
    return fields.String(required=True, metadata={"description": description}, **rest)


class CountFault(AnswerSchema):
    """What is wrong with a line, and where."""

    line = _count("Line of the text, from 1.")
    column = _count("Column of the line, from 1.")
    code = _text("What is wrong: `count_differs`, `left_over`, `run_out`, `unknown_word` and more.")
    detail = _text("The fault in words.")


class CountRepair(AnswerSchema):
    """The smallest change of one number that makes the line right."""

    line = _count("Line of the text, from 1.")
    column = _count("Column where the number begins, from 1.")
    written_count = _count("The number as it is written.")
    right_count = _count("The number that makes the line right.")


class SizeCount(AnswerSchema):
    """What a line counts for one size of several."""

    consumed_stitch_count = _count("Stitches it uses up; null where not counted.", allow_none=True)
    stitch_count = _count("Stitches it makes; null where not counted.", allow_none=True)
    declared_stitch_count = _count("Stitches it declares; null for none.", allow_none=True)


class CheckedRound(AnswerSchema):
    """An instruction line, counted."""

    line = _count("Line of the text, from 1.")
    round = _count("Number of its first round; null for a foundation and a closing.", allow_none=True)
    last_round = _count("Number of its last round, the first one's for a single round.", allow_none=True)
    consumed_stitch_count = _count(
        "Stitches of the round before that it uses up; null where it could not be counted.", allow_none=True
    )
    stitch_count = _count("Stitches it makes; null where it could not be counted.", allow_none=True)
    declared_stitch_count = _count("Stitches it says it makes; null where it does not say.", allow_none=True)
    verdict = _text("`agrees`, `undeclared`, `disagrees` or `not_understood`.")
    faults = fields.List(
        fields.Nested(CountFault),
        required=True,
        metadata={"description": "What is wrong with it, and where."},
    )
    repair = fields.Nested(
        CountRepair,
        required=True,
        allow_none=True,
        metadata={"description": "One number to change; null where none or more than one would be needed."},
    )
    sizes = fields.List(
        fields.Nested(SizeCount),
        required=True,
        metadata={"description": "Its counts for each size where several are given, else empty."},
    )


class CountCheckAnswer(CalculationAnswer):
    """Every instruction line of a pattern, counted."""

    verdict = _text(
        "The worst of the lines: `agrees`, `undeclared` (nothing to compare with), `disagrees` (a count is "
        "wrong, or stitches are left over or missing) or `not_understood`."
    )
    rounds = fields.List(
        fields.Nested(CheckedRound),
        required=True,
        metadata={"description": "One entry for each instruction line, in the order of the text."},
    )
