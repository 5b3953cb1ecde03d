"""The request and the answer of a whole hat."""

from typing import Any

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


def _count(description: str, **rest: Any) -> fields.Integer:
    return fields.Integer(required=True, metadata={"description": description}, **rest)


def _number(description: str, **rest: Any) -> fields.Float:
    return fields.Float(required=True, metadata={"description": description}, **rest)


def _text(description: str, **rest: Any) -> fields.String:
    return fields.String(required=True, metadata={"description": description}, **rest)


def _texts(description: str) -> fields.List[Any]:
    return fields.List(fields.String(), required=True, metadata={"description": description})


class PlanGauge(AnswerSchema):
    """The gauges that the plan reckons with."""

    stitches_per_10cm = _number("Stitches to 10 cm in the body.")
    rounds_per_10cm = _number("Rounds to 10 cm in the body.")
    brim_stitches_per_10cm = _number("Stitches to 10 cm in the brim; null without one.", allow_none=True)
    brim_rounds_per_10cm = _number("Rounds to 10 cm in the brim; null without one.", allow_none=True)
    plain_round_height_mm = _number("Height of a plain round between textured ones, in mm.")
    width_error_percent = _number("One standard error of the body's width, in percent.")


class HatCounts(AnswerSchema):
    """The stitch counts that make the hat."""

    foundation = _count("Chains of the foundation; 0 from the crown.")
    brim = _count("Stitches of the brim; null without one.", allow_none=True)
    body = _count("Stitches of the body.")
    repeats = _count("Whole repeats of the body's fabric.")


class HatSection(AnswerSchema):
    """A part of the hat."""

    name = _text("`brim`, `joining`, `body`, `crown` or `edging`.")
    round_count = _count("Its worked rounds.")
    height_cm = _number("Its height along the fabric, in cm.")


class RoundStart(AnswerSchema):
    """The chain a round begins with."""

    chain_count = _count("Chains.")
    counts_as_stitch = fields.Boolean(
        required=True, metadata={"description": "Whether it stands for the first stitch."}
    )


class HatRound(AnswerSchema):
    """A worked round."""

    round = _count("Its number, from 1, in working order.")
    section = _text("The part it belongs to.")
    kind = _text("`plain`, `rib`, `joining`, `pattern`, `cross`, `increase`, `decrease` or `edging`.")
    worked_into = _text("`ring`, `foundation`, `previous_round` or `foundation_edge`.")
    consumed_stitch_count = _count("Stitches it uses up of what it is worked into.")
    stitch_count = _count("Stitches it makes.")
    start = fields.Nested(
        RoundStart,
        required=True,
        allow_none=True,
        metadata={"description": "The starting chain; null in a spiral."},
    )
    steps = fields.List(
        fields.Nested(Step), required=True, metadata={"description": "The round as steps, in standard form."}
    )
    join = _text("`sl_st`, or null in a spiral.", allow_none=True)
    text = _text("The round in written form.")
    height_cm = _number("Height it adds along the fabric, in cm.")
    yarn_m = _number("Yarn it takes, in m; null without a yarn.", allow_none=True)
    cumulative_yarn_m = _number(
        "Yarn up to and with this round, the foundation included, in m; null without a yarn.", allow_none=True
    )


class PlanCrownRound(CrownFullness):
    """A crown round compared with its target."""

    columns = fields.List(
        fields.Nested(CrownColumn),
        required=True,
        metadata={"description": "The columns of one crown repeat after the round; empty for plain crowns."},
    )


class PlanCrown(AnswerSchema):
    """The crown of the hat."""

    crown_shape = _text("The shape it was planned for.")
    stitch_counts = fields.List(
        fields.Integer(), required=True, metadata={"description": "Stitches of each round, in working order."}
    )
    closing_stitch_count = _count("Stitches drawn shut (from the crown: of the first round).")
    depth_cm = _number("Length along the fabric, in cm.")
    cost = _number("Sum over the rounds of the squared log of fullness.")
    shape_error = _number("How far it strays from its shape, one number.")
    verdict = _text("What it does, in one word.")
    rounds = fields.List(
        fields.Nested(PlanCrownRound), required=True, metadata={"description": "Round by round."}
    )
    diagnosis = fields.List(
        fields.Nested(CrownDiagnosis), required=True, metadata={"description": "Round by round, in words."}
    )


class Foundation(AnswerSchema):
    """What the first round is worked into."""

    stitch_count = _count("Chains; 0 for a ring.")
    text = _text("The foundation in written form.")
    yarn_m = _number("Yarn it takes, in m; null without a yarn.", allow_none=True)


class Hours(AnswerSchema):
    """How long the work takes."""

    hours = _number("Hours at the hook, in all.")
    sc_units = _number("The work in single crochets.")
    pace_units_per_minute = _number("Single crochets a minute that were reckoned with.")


class Material(AnswerSchema):
    """Something to have at hand."""

    name = _text("What it is. More may come.")
    text = _text("What to get, in words.")


class Abbreviation(AnswerSchema):
    """An abbreviation of the written rounds."""

    abbreviation = _text("As it stands in the rounds.")
    meaning = _text("What it means.")


class Alternative(AnswerSchema):
    """Another count that holds whole repeats, and what it would cost."""

    stitch_count = _count("Stitches of the body.")
    repeat_count = _count("Whole repeats.")
    brim_stitch_count = _count("Stitches of the brim; null without one.", allow_none=True)
    finished_circumference_cm = _number("What it measures, in cm.")
    fit_probability = _number("How likely it fits, 0 to 1.")
    yarn_difference_m = _number("Yarn beside the plan's, in m; null without a yarn.", allow_none=True)
    why = _text("When to choose it.")


class Proof(AnswerSchema):
    """That the written rounds say what the steps say; a plan that cannot be proved is never sent."""

    verdict = _text("`agrees`: every written round, read back, is the round of the plan, stitch by stitch.")
    terms = _texts("The terms in which the pattern was written and read back.")
    round_count = _count("Rounds that were read back in each of the terms.")
    checker_version = _text("The rules by which they were read and counted.")


class HatPlanAnswer(CalculationAnswer):
    """A whole hat, round by round."""

    size = fields.Nested(Size, required=True, metadata={"description": "The finished size aimed at."})
    gauge = fields.Nested(PlanGauge, required=True, metadata={"description": "The gauges reckoned with."})
    counts = fields.Nested(HatCounts, required=True, metadata={"description": "The stitch counts."})
    finished_circumference_cm = _number("What the body measures with these counts, in cm.")
    finished_depth_cm = _number("Depth along the fabric with these rounds, in cm, a folded brim included.")
    fit_probability = _number("How likely the hat fits, 0 to 1, gauge errors included.")
    fits_head_cm = fields.Nested(
        Interval,
        required=True,
        metadata={"description": "Heads that the hat with these counts fits comfortably, in cm."},
    )
    sections = fields.List(
        fields.Nested(HatSection), required=True, metadata={"description": "The parts, in working order."}
    )
    foundation = fields.Nested(
        Foundation, required=True, metadata={"description": "What the first round is worked into."}
    )
    rounds = fields.List(
        fields.Nested(HatRound),
        required=True,
        metadata={"description": "Each worked round once, in working order."},
    )
    crown = fields.Nested(
        PlanCrown,
        required=True,
        allow_none=True,
        metadata={"description": "The crown; null for a headband."},
    )
    notes = _texts("How the hat is worked, in general; holds for every round.")
    finishing = _texts("What is done after the last round, in order.")
    yarn = fields.Nested(
        YarnNeeded,
        required=True,
        allow_none=True,
        metadata={"description": "The yarn to buy; null where no yarn was given."},
    )
    checkpoints = yarn_checkpoints()
    hours = fields.Nested(Hours, required=True, metadata={"description": "How long the work takes."})
    materials = fields.List(
        fields.Nested(Material), required=True, metadata={"description": "What to have at hand."}
    )
    abbreviations = fields.List(
        fields.Nested(Abbreviation),
        required=True,
        metadata={"description": "The abbreviations used in the rounds."},
    )
    alternatives = fields.List(
        fields.Nested(Alternative), required=True, metadata={"description": "Other workable counts."}
    )
    proof = fields.Nested(
        Proof,
        required=True,
        metadata={"description": "That the written rounds were read back and agree with the steps."},
    )
