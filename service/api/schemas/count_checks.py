"""The request and the answer of a count check."""

from service.api.fields import AnswerSchema, LinesOfText, StrictInteger
from service.api.schemas.answer_fields import count_field, nested_field, nested_list_field, text_field
from service.api.schemas.common import CalculationAnswer, CalculationRequest, terms
from service.notation.count_checks import MOST_SIZES
from service.notation.faults import FAULT_CODES
from service.notation.work_budgets import MOST_WORK

__all__ = ["CountCheckAnswer", "CountCheckRequest"]


class CountCheckRequest(CalculationRequest):
    """A pattern to count."""

    text = LinesOfText(
        required=True,
        metadata={
            "description": "The pattern, a line for each round. At most 64 KB in UTF-8, 400 rounds, "
            f"{MOST_SIZES} sizes and {MOST_WORK:,} work units. To read a line costs 300 units, 25 more for "
            "each word and 5 for each figure and mark; equal rounds are read once. To count it costs, for "
            "each size, 100 units and 5 for each word. What is beyond is a fault `too_long`, "
            "`too_many_rounds` or `sizes_differ` at its place. A count alone on a line is that of the round "
            "above it.",
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


class CountFault(AnswerSchema):
    """What is wrong with a line, and where."""

    line = count_field("Line of the text, from 1.")
    column = count_field("Column of the line, from 1.")
    code = text_field(
        "What is wrong. "
        + " ".join(f"`{code}`: {told[0].lower()}{told[1:]}" for code, told in FAULT_CODES.items())
    )
    detail = text_field("The fault in words.")


class CountRepair(AnswerSchema):
    """The smallest change of one number that makes the line right."""

    line = count_field("Line of the text, from 1.")
    column = count_field("Column where the number begins, from 1.")
    written_count = count_field("The number as it is written.")
    right_count = count_field("The number that makes the line right.")


class SizeCount(AnswerSchema):
    """What a line counts for one size of several."""

    consumed_stitch_count = count_field("Stitches it uses up; null where not counted.", allow_none=True)
    stitch_count = count_field("Stitches it makes; null where not counted.", allow_none=True)
    declared_stitch_count = count_field("Stitches it declares; null for none.", allow_none=True)


class CheckedRound(AnswerSchema):
    """An instruction line, counted."""

    line = count_field("Line of the text, from 1.")
    round = count_field("Number of its first round; null for a foundation and a closing.", allow_none=True)
    last_round = count_field("Number of its last round, the first one's for a single round.", allow_none=True)
    consumed_stitch_count = count_field(
        "Stitches of the round before that it uses up; null where it could not be counted.", allow_none=True
    )
    stitch_count = count_field("Stitches it makes; null where it could not be counted.", allow_none=True)
    declared_stitch_count = count_field(
        "Stitches it says it makes; null where it does not say.", allow_none=True
    )
    verdict = text_field(
        "`agrees`; `undeclared`: counted, but something has nothing to be compared with; `disagrees`: a "
        "count or the kind of a stitch is wrong, or stitches are left over or missing; `not_understood`. A "
        "fault `misnumbered` alone leaves the verdict as it is, since a text for one of several sizes "
        "leaves out rounds."
    )
    faults = nested_list_field(CountFault, "What is wrong with it, and where.")
    repair = nested_field(
        CountRepair,
        "One number to change; null where none or more than one would be needed.",
        allow_none=True,
    )
    sizes = nested_list_field(SizeCount, "Its counts for each size where several are given, else empty.")


class CountCheckAnswer(CalculationAnswer):
    """Every instruction line of a pattern, counted."""

    verdict = text_field(
        "The worst of the lines: `agrees`, `undeclared` (nothing to compare with), `disagrees` (a count or "
        "the kind of a stitch is wrong, or stitches are left over or missing) or `not_understood`. A "
        "foundation without a count makes no text `undeclared`."
    )
    rounds = nested_list_field(CheckedRound, "One entry for each instruction line, in the order of the text.")
