"""The request and the answer of a size run."""

from marshmallow import fields

from service.api.fields import AnswerSchema, StrictList, StrictNested, StrictSchema
from service.api.schemas.answer_fields import (
    count_field,
    count_list_field,
    nested_field,
    nested_list_field,
    number_field,
    text_field,
    text_list_field,
)
from service.api.schemas.choices import fabric_field, head_field
from service.api.schemas.common import CalculationAnswer
from service.api.schemas.finished_sizes import Size
from service.api.schemas.hat_plans import Abbreviation, ColouredHatWishes, HatCounts, Hours, Proof
from service.api.schemas.yarn_estimates import YarnNeeded

__all__ = ["SizeRunAnswer", "SizeRunRequest"]

LARGEST_RUN = 24
MOST_FABRICS = 12


class SizeRunRequest(StrictSchema):
    """One design and the heads it is to be made for."""

    heads = StrictList(
        head_field(),
        low=2,
        high=LARGEST_RUN,
        required=True,
        metadata={
            "description": "The heads, in any order; the sizes of the answer go from the smallest up.",
            "examples": [
                [{"circumference_cm": 53}, {"circumference_cm": 56}, {"circumference_cm": 59}],
                [{"size_id": "10-years"}, {"size_id": "adult-m"}],
            ],
        },
    )
    design = StrictNested(
        ColouredHatWishes,
        required=True,
        metadata={"description": "A plan's request without its head. Its terms are those of the text."},
    )
    fabrics = StrictList(
        fabric_field("A fabric to compare the design in."),
        low=1,
        high=MOST_FABRICS,
        metadata={
            "description": "Fabrics to compare: which of them grades most evenly over these heads. "
            "The gauge stays that of the design's fabric and is converted.",
            "examples": [[{"fabric_id": "cable-2x2"}, {"fabric_id": "cable-4x4"}]],
        },
    )


class RunHead(AnswerSchema):
    """The head of a size, as it was sent; what was not said is null."""

    circumference_cm = number_field("Circumference: measured, of the size, or expected at the age, in cm.")
    size_id = text_field("The size it was chosen by.", allow_none=True)
    age_months = number_field("The age it was chosen by.", allow_none=True)
    sex = text_field("Whose curve was read.", allow_none=True)


class RunCrown(AnswerSchema):
    """The crown of a size."""

    stitch_counts = count_list_field("Stitches of each crown round, in working order.")
    shape_error = number_field("How far the crown strays from its shape, one number.")
    verdict = text_field("What it does, in one word.")


class RunSize(AnswerSchema):
    """One size, as the plan of its head alone has it, without its rounds."""

    number = count_field("The size, from 1, smallest first.")
    head = nested_field(RunHead, "The head it is for.")
    counts = nested_field(HatCounts, "The stitch counts.")
    size = nested_field(Size, "The finished size aimed at.")
    crown = nested_field(RunCrown, "The crown; null for a headband.", allow_none=True)
    yarn = nested_field(YarnNeeded, "The yarn to buy; null where no yarn was given.", allow_none=True)
    hours = nested_field(Hours, "How long the work takes.")
    fit_probability = number_field("How likely the hat fits, 0 to 1, gauge errors included.")
    proof = nested_field(Proof, "That the text, read for this size, agrees with its plan, round by round.")


class RunMeasurements(AnswerSchema):
    """What a size measures when it is finished, laid flat and not stretched."""

    size = count_field("The size, from 1.")
    head_circumference_cm = number_field("The head it is for, in cm.")
    finished_circumference_cm = number_field("Circumference of the body, in cm.")
    brim_circumference_cm = number_field(
        "Circumference of the brim, in cm; null without one.", allow_none=True
    )
    finished_depth_cm = number_field("Depth along the fabric, a folded brim laid out, in cm.")
    brim_height_cm = number_field("Height of the brim, in cm; 0 without one.")
    crown_height_cm = number_field(
        "Height of the crown along the fabric, in cm; null without.", allow_none=True
    )


class PoorFit(AnswerSchema):
    """A size whose chance to fit is under 80 percent, and what would cure it."""

    size = count_field("The size, from 1.")
    fit_probability = number_field("How likely it fits, 0 to 1.")
    exact_stitches_per_10cm = number_field(
        "The gauge at which its count meets the size exactly; null where the measurements are so unsure that "
        "no gauge would do.",
        allow_none=True,
    )
    largest_stitch_multiple = count_field(
        "Any repeat of at most so many stitches would fit; null where none would.", allow_none=True
    )


class FabricProblem(AnswerSchema):
    """Why a fabric makes no hat, as a problem document (RFC 9457); a type may add members of its own."""

    type = text_field("The problem type, and the address of its page.")
    title = text_field("The problem type in words.")
    status = count_field("The HTTP status that it has where it is about a whole request.")
    detail = text_field("What is wrong, and what to do.")


class FabricGrade(AnswerSchema):
    """How evenly a fabric grades over the heads."""

    position = count_field("Its place among the `fabrics` sent, from 0.")
    fabric_id = text_field("Its id; null for a fabric of one's own.", allow_none=True)
    stitch_multiple = count_field("Stitches of one repeat.")
    lowest_fit_probability = number_field("The chance to fit of the size that fits worst, 0 to 1.")
    mean_fit_probability = number_field("The mean chance to fit over all sizes.")
    size = count_field("The size that fits worst, from 1.")
    problem = nested_field(
        FabricProblem,
        "Why the fabric makes no hat for that size, or for none at all; its lowest chance is then 0. "
        "Null where it makes one.",
        allow_none=True,
    )


class SizeRunAnswer(CalculationAnswer):
    """A design in several sizes: the sizes, one pattern for all of them, and how well they fit."""

    sizes = nested_list_field(RunSize, "The sizes, smallest first.")
    text = text_field(
        "One pattern for all sizes, in standard written form: `Ch 64 (72, 80)`, one number where all sizes "
        "agree. Rounds stand side by side from the crown's end; a line for some sizes says so, as "
        "`(sizes 1–3 only)`, and has numbers for those alone."
    )
    legend = text_list_field("How to read the pattern, in sentences.")
    abbreviations = nested_list_field(Abbreviation, "The abbreviations used.")
    measurements = nested_list_field(
        RunMeasurements, "The table of finished measurements, a row for each size."
    )
    shared_counts = fields.List(
        fields.List(fields.Integer()),
        required=True,
        metadata={"description": "Sizes, from 1, that come out with the same counts, group by group."},
    )
    poor_fits = nested_list_field(PoorFit, "Sizes that are unlikely to fit.")
    fabric_ranking = nested_list_field(
        FabricGrade, "The `fabrics`, the one that grades most evenly first; empty where none were sent."
    )
