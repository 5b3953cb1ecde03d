"""The request and the answer of a whole hat."""

from marshmallow import fields

from service.api.fields import (
    AnswerSchema,
    Enumeration,
    StrictBoolean,
    StrictInteger,
    StrictNested,
    StrictNumber,
    StrictSchema,
)
from service.api.schemas.answer_fields import (
    count_field,
    count_list_field,
    nested_field,
    nested_list_field,
    number_field,
    text_field,
    text_list_field,
)
from service.api.schemas.choices import (
    fabric_field,
    fabric_id_field,
    gauge_field,
    head_field,
    swatch_field,
    yarn_field,
)
from service.api.schemas.colourings import checkpoints_field, colouring_field
from service.api.schemas.common import CalculationAnswer, Step, terms
from service.api.schemas.crowns import (
    CrownColumn,
    CrownDiagnosis,
    CrownFullness,
    CrownWishes,
    crown_shape,
    worked,
)
from service.api.schemas.finished_sizes import Interval, Size, SizeWishes
from service.api.schemas.yarn_estimates import YarnNeeded, certainty, stitch_weights, yarn_checkpoints

__all__ = [
    "Abbreviation",
    "ColouredHatWishes",
    "HatCounts",
    "HatPlanAnswer",
    "HatPlanRequest",
    "HatRound",
    "HatWishes",
    "Hours",
    "Proof",
]


class BrimRequest(StrictSchema):
    """A brim: its fabric and how tall it is."""

    fabric_id = fabric_id_field("The brim's fabric, a row of `/v1/fabrics`.", required=True)
    round_count = StrictInteger(
        low=1,
        high=100,
        metadata={
            "description": "Rounds of the brim; under a post rib the plain first round is not counted. "
            "Give this or `height_cm`, not both.",
            "examples": [5],
        },
    )
    height_cm = StrictNumber(
        low=0.5,
        high=40,
        metadata={
            "description": "Height of the whole brim, in cm. Give this or `round_count`, not both; "
            "neither: 8 percent of the head.",
            "examples": [4],
        },
    )


class HatWishes(SizeWishes, CrownWishes):
    """Everything about a hat of one colour but the head it is for."""

    gauge = gauge_field("Gauge of the body, or of the fabric that it names.", required=True)
    fabric = fabric_field("The fabric of the body.", required=True)
    brim_gauge = gauge_field("Gauge of the brim; without it, the body's, converted.")
    brim = StrictNested(
        BrimRequest,
        allow_none=True,
        metadata={
            "description": "The brim; null for none. Without it: a post rib under a textured body "
            "and under a slouch, none under a plain one."
        },
    )
    crown_shape = crown_shape(
        metadata={
            "description": "The crown's shape. Without it: gathered for cables from the brim, flat for plain "
            "hats from the crown and for slouches, else rounded."
        },
    )
    worked = worked()
    round_style = Enumeration(
        component="RoundStyleName",
        values=("joined", "spiral"),
        load_default="joined",
        metadata={"description": "Rounds joined with a slip stitch, or a spiral (plain sc or hdc only)."},
    )
    start_chain_counts = StrictBoolean(
        load_default=False,
        metadata={
            "description": "Whether the starting chain stands for the first stitch, where that is plain."
        },
    )
    handedness = Enumeration(
        component="HandednessName",
        values=("right", "left"),
        load_default="right",
        metadata={"description": "The hand that holds the hook; a left-hander's crossings mirror."},
    )
    edging = Enumeration(
        component="EdgingName",
        values=("none", "reverse_sc"),
        load_default="none",
        metadata={"description": "A last round along the brim's edge."},
    )
    yarn = yarn_field()
    swatch = swatch_field()
    stitch_weights = stitch_weights()
    certainty_percent = certainty()
    hook_mm = StrictNumber(low=0.4, high=40, metadata={"description": "The hook of the swatch, in mm."})
    pace_units_per_minute = StrictNumber(
        low=0.5, high=120, metadata={"description": "Single crochets the maker works in a minute."}
    )
    terms = terms()


class ColouredHatWishes(HatWishes):
    """Everything about a hat but the head it is for."""

    colouring = colouring_field(
        "The colours of the hat; needs `yarn`.",
        [
            {
                "stripes": [
                    {"colours": ["red"], "round_count": 2},
                    {"colours": ["navy"], "round_count": 2},
                ],
                "colour_yarns": [{"colour": "navy", "leftovers": {"lengths_m": [22.5]}}],
            },
            {"section_colours": {"brim": ["navy"]}, "ground": ["red"]},
        ],
    )


class HatPlanRequest(ColouredHatWishes):
    """A head, a swatch and wishes: everything a hat needs."""

    head = head_field(required=True)
    checkpoints = checkpoints_field(
        "Whether the yarn that is left after a round lasts; needs `yarn`. Drawings, sheets and revisions "
        "take a plan's request as it is and leave this out."
    )


class PlanGauge(AnswerSchema):
    """The gauges that the plan reckons with."""

    stitches_per_10cm = number_field("Stitches to 10 cm in the body.")
    rounds_per_10cm = number_field("Rounds to 10 cm in the body.")
    brim_stitches_per_10cm = number_field("Stitches to 10 cm in the brim; null without one.", allow_none=True)
    brim_rounds_per_10cm = number_field("Rounds to 10 cm in the brim; null without one.", allow_none=True)
    plain_round_height_mm = number_field("Height of a plain round between textured ones, in mm.")
    width_error_percent = number_field("One standard error of the body's width, in percent.")


class HatCounts(AnswerSchema):
    """The stitch counts that make the hat."""

    foundation = count_field("Chains of the foundation; 0 from the crown.")
    brim = count_field("Stitches of the brim; null without one.", allow_none=True)
    body = count_field("Stitches of the body.")
    repeats = count_field("Whole repeats of the body's fabric.")


class HatSection(AnswerSchema):
    """A part of the hat."""

    name = text_field("`brim`, `joining`, `body`, `crown` or `edging`.")
    round_count = count_field("Its worked rounds.")
    height_cm = number_field("Its height along the fabric, in cm.")


class RoundStart(AnswerSchema):
    """The chain a round begins with."""

    chain_count = count_field("Chains.")
    counts_as_stitch = fields.Boolean(
        required=True, metadata={"description": "Whether it stands for the first stitch."}
    )


class HatRound(AnswerSchema):
    """A worked round."""

    round = count_field("Its number, from 1, in working order.")
    section = text_field("The part it belongs to.")
    kind = text_field("`plain`, `rib`, `joining`, `pattern`, `cross`, `increase`, `decrease` or `edging`.")
    worked_into = text_field("`ring`, `foundation`, `previous_round` or `foundation_edge`.")
    consumed_stitch_count = count_field("Stitches it uses up of what it is worked into.")
    stitch_count = count_field("Stitches it makes.")
    start = nested_field(RoundStart, "The starting chain; null in a spiral.", allow_none=True)
    steps = nested_list_field(Step, "The round as steps, in standard form.")
    join = text_field("`sl_st`, or null in a spiral.", allow_none=True)
    text = text_field("The round in written form.")
    height_cm = number_field("Height it adds along the fabric, in cm.")
    yarn_m = number_field("Yarn it takes, in m; null without a yarn.", allow_none=True)
    cumulative_yarn_m = number_field(
        "Yarn up to and with this round, the foundation included, in m; null without a yarn.", allow_none=True
    )


class PlanCrownRound(CrownFullness):
    """A crown round compared with its target."""

    columns = nested_list_field(
        CrownColumn, "The columns of one crown repeat after the round; empty for plain crowns."
    )


class PlanCrown(AnswerSchema):
    """The crown of the hat."""

    crown_shape = text_field("The shape it was planned for.")
    stitch_counts = count_list_field("Stitches of each round, in working order.")
    closing_stitch_count = count_field("Stitches drawn shut (from the crown: of the first round).")
    depth_cm = number_field("Length along the fabric, in cm.")
    cost = number_field("Sum over the rounds of the squared log of fullness.")
    shape_error = number_field("How far it strays from its shape, one number.")
    verdict = text_field("What it does, in one word.")
    rounds = nested_list_field(PlanCrownRound, "Round by round.")
    diagnosis = nested_list_field(CrownDiagnosis, "Round by round, in words.")


class Foundation(AnswerSchema):
    """What the first round is worked into."""

    stitch_count = count_field("Chains; 0 for a ring.")
    text = text_field("The foundation in written form.")
    yarn_m = number_field("Yarn it takes, in m; null without a yarn.", allow_none=True)


class Hours(AnswerSchema):
    """How long the work takes."""

    hours = number_field("Hours at the hook, in all.")
    sc_units = number_field("The work in single crochets.")
    pace_units_per_minute = number_field("Single crochets a minute that were reckoned with.")


class Material(AnswerSchema):
    """Something to have at hand."""

    name = text_field("What it is. More may come.")
    text = text_field("What to get, in words.")


class Abbreviation(AnswerSchema):
    """An abbreviation of the written rounds."""

    abbreviation = text_field("As it stands in the rounds.")
    meaning = text_field("What it means.")


class Alternative(AnswerSchema):
    """Another count that holds whole repeats, and what it would cost."""

    stitch_count = count_field("Stitches of the body.")
    repeat_count = count_field("Whole repeats.")
    brim_stitch_count = count_field("Stitches of the brim; null without one.", allow_none=True)
    finished_circumference_cm = number_field("What it measures, in cm.")
    fit_probability = number_field("How likely it fits, 0 to 1.")
    yarn_difference_m = number_field("Yarn beside the plan's, in m; null without a yarn.", allow_none=True)
    why = text_field("When to choose it.")


class Proof(AnswerSchema):
    """That the written rounds say what the steps say; a plan that cannot be proved is never sent."""

    verdict = text_field(
        "`agrees`: every written round, read back, is the round of the plan, stitch by stitch."
    )
    terms = text_list_field("The terms in which the pattern was written and read back.")
    round_count = count_field("Rounds that were read back in each of the terms.")
    checker_version = text_field("The rules by which they were read and counted.")


class HatPlanAnswer(CalculationAnswer):
    """A whole hat, round by round."""

    size = nested_field(Size, "The finished size aimed at.")
    gauge = nested_field(PlanGauge, "The gauges reckoned with.")
    counts = nested_field(HatCounts, "The stitch counts.")
    finished_circumference_cm = number_field("What the body measures with these counts, in cm.")
    finished_depth_cm = number_field(
        "Depth along the fabric with these rounds, in cm, a folded brim included."
    )
    fit_probability = number_field("How likely the hat fits, 0 to 1, gauge errors included.")
    fits_head_cm = nested_field(Interval, "Heads that the hat with these counts fits comfortably, in cm.")
    sections = nested_list_field(HatSection, "The parts, in working order.")
    foundation = nested_field(Foundation, "What the first round is worked into.")
    rounds = nested_list_field(HatRound, "Each worked round once, in working order.")
    crown = nested_field(PlanCrown, "The crown; null for a headband.", allow_none=True)
    notes = text_list_field("How the hat is worked, in general; holds for every round.")
    finishing = text_list_field("What is done after the last round, in order.")
    yarn = nested_field(YarnNeeded, "The yarn to buy; null where no yarn was given.", allow_none=True)
    checkpoints = yarn_checkpoints()
    hours = nested_field(Hours, "How long the work takes.")
    materials = nested_list_field(Material, "What to have at hand.")
    abbreviations = nested_list_field(Abbreviation, "The abbreviations used in the rounds.")
    alternatives = nested_list_field(Alternative, "Other workable counts.")
    proof = nested_field(Proof, "That the written rounds were read back and agree with the steps.")
