"""The request and the answer of a class: one design, many people, a kit for each."""

from typing import Any

from marshmallow import fields

from service.api.fields import (
    AnswerSchema,
    Choice,
    Enumeration,
    FreeText,
    StrictInteger,
    StrictList,
    StrictNested,
    StrictNumber,
    StrictSchema,
    StrictString,
)
from service.api.schemas.choices import YarnRequest, head_field
from service.api.schemas.common import CalculationAnswer
from service.api.schemas.finished_sizes import Size
from service.api.schemas.gauges import evenness
from service.api.schemas.hat_plans import HatCounts, HatWishes, Hours
from service.api.schemas.yarn_estimates import YarnNeeded
from service.api.typed_fields import TypedInteger, TypedNumber, TypedString

__all__ = ["REFERENCE", "ClassKitAnswer", "ClassKitRequest", "ParticipantValues"]

LARGEST_CLASS = 500
MOST_YARNS = 20

#: What a reference may look like: opaque, neither a name with spaces nor an address.
REFERENCE = "[A-Za-z0-9][A-Za-z0-9._-]{0,63}"


class ParticipantHeadByCircumference(StrictSchema):
    """A participant's head, measured with a tape."""

    circumference_cm = TypedNumber(
        required=True,
        metadata={"description": "Head circumference, in cm; 20 to 75 can be planned.", "examples": [56, 58]},
    )


class ParticipantHeadBySize(StrictSchema):
    """A participant's head, by a size."""

    size_id = TypedString(
        required=True, metadata={"description": "A row of `/v1/head-sizes`.", "examples": ["adult-m"]}
    )


class ParticipantHeadByAge(StrictSchema):
    """A participant's head, by age."""

    age_months = TypedNumber(
        required=True, metadata={"description": "Age in months; 0 to 216 can be planned.", "examples": [120]}
    )
    sex = TypedString(
        metadata={"description": "`female` or `male`; without it, the mean of both.", "examples": ["female"]}
    )


class ParticipantRequest(StrictSchema):
    """Somebody who takes part. Values have no bounds here: one that cannot work is that kit's `problem`."""

    reference = TypedString(
        required=True,
        metadata={
            "description": "Your own mark for the participant, such as a seat or an order number, never a "
            f"name or an address: `^{REFERENCE}$`. One that is refused is not sent back.",
            "examples": ["seat-7", "order.1042", "K12"],
        },
    )
    head = Choice(
        component="ParticipantHead",
        variants={
            "circumference_cm": ParticipantHeadByCircumference,
            "size_id": ParticipantHeadBySize,
            "age_months": ParticipantHeadByAge,
        },
        required=True,
        metadata={
            "description": "The head to fit.",
            "component_description": "A participant's head: measured, by size, or by age.",
        },
    )
    fit = TypedString(
        metadata={"description": "`close`, `standard` or `relaxed`; without it, as the design has it."}
        | {"examples": ["relaxed"]}
    )
    terms = TypedString(
        metadata={"description": "`us` or `uk`; without it, as the design has it.", "examples": ["uk"]}
    )
    evenness = TypedString(
        metadata={
            "description": "`steady`, `typical` or `beginner`: how sure the hat comes out as planned.",
            "examples": ["beginner"],
        }
    )
    handedness = TypedString(
        metadata={"description": "`right` or `left`; without it, as the design has it.", "examples": ["left"]}
    )
    yarn_choice = TypedInteger(
        metadata={
            "description": "The place of a yarn among the `yarns`, from 0; without it, the first.",
            "examples": [0],
        }
    )


class ParticipantValues(StrictSchema):
    """A participant's values with their bounds: what a kit can be made for."""

    reference = StrictString(pattern=REFERENCE, max_length=64, required=True)
    head = head_field(required=True)
    fit = Enumeration(component="FitName", values=("close", "standard", "relaxed"))
    terms = Enumeration(component="TermsName", values=("us", "uk"))
    evenness = evenness()
    handedness = Enumeration(component="HandednessName", values=("right", "left"))
    yarn_choice = StrictInteger(low=0, high=MOST_YARNS - 1)


class ClassYarnRequest(YarnRequest):
    """A yarn that the class can choose, by the name and the colour that stand on lists and labels."""

    name = FreeText(
        required=True, metadata={"description": "What the yarn is called.", "examples": ["Harbour wool"]}
    )
    colour = FreeText(metadata={"description": "Its colour.", "examples": ["slate blue"]})


class ClassKitRequest(StrictSchema):
    """One design and the people who are to make it."""

    participants = StrictList(
        StrictNested(ParticipantRequest),
        low=1,
        high=LARGEST_CLASS,
        required=True,
        metadata={
            "description": "Who takes part. The kits of the answer stand in the same order.",
            "examples": [
                [
                    {"reference": "seat-1", "head": {"circumference_cm": 56}},
                    {"reference": "seat-2", "head": {"size_id": "adult-l"}, "fit": "relaxed"},
                ]
            ],
        },
    )
    design = StrictNested(
        HatWishes,
        required=True,
        metadata={"description": "A plan's request without its head; it holds for everybody."},
    )
    yarns = StrictList(
        StrictNested(ClassYarnRequest),
        low=1,
        high=MOST_YARNS,
        metadata={
            "description": "The yarns to choose from. Give these or the design's `yarn`, not both.",
            "examples": [
                [
                    {
                        "name": "Harbour wool",
                        "colour": "slate blue",
                        "weight_category": 4,
                        "ball": {"mass_g": 50, "length_m": 85},
                    }
                ]
            ],
        },
    )
    class_hours = StrictNumber(
        low=0.1,
        high=500,
        metadata={
            "description": "Hours of the class. With it, each kit says whether its hat can be made in them, "
            "and what to work beforehand if not.",
            "examples": [3],
        },
    )
    pace_units_per_minute = StrictNumber(
        low=0.5,
        high=120,
        metadata={
            "description": "Single crochets that these people work in a minute; beats the design's pace.",
            "examples": [10],
        },
    )


def _count(description: str, **rest: Any) -> fields.Integer:
    return fields.Integer(required=True, metadata={"description": description}, **rest)


def _number(description: str, **rest: Any) -> fields.Float:
    return fields.Float(required=True, metadata={"description": description}, **rest)


def _text(description: str, **rest: Any) -> fields.String:
    return fields.String(required=True, metadata={"description": description}, **rest)


def _nested(schema: type[AnswerSchema], description: str, **rest: Any) -> fields.Nested:
    return fields.Nested(schema, required=True, metadata={"description": description}, **rest)


def _rows(schema: type[AnswerSchema], description: str) -> fields.List[Any]:
    return fields.List(fields.Nested(schema), required=True, metadata={"description": description})


class KitBeforehand(AnswerSchema):
    """What to work at home, so that the rest can be finished in the class."""

    to_round = _count("The last round to work beforehand, from 1.")
    section = _text("The part it belongs to: `brim`, `joining`, `body`, `crown` or `edging`.")
    hours = _number("How long that takes, in hours.")
    text = _text("The same in words.")


class KitPlan(AnswerSchema):
    """The plan of one participant, without its rounds."""

    terms = _text("`us` or `uk`, as the participant reads patterns.")
    handedness = _text("`right` or `left`.")
    counts = _nested(HatCounts, "The stitch counts.")
    size = _nested(Size, "The finished size aimed at.")
    finished_circumference_cm = _number("What the body measures with these counts, in cm.")
    finished_depth_cm = _number("Depth along the fabric, in cm, a folded brim included.")
    fit_probability = _number("How likely the hat fits, 0 to 1, gauge errors included.")
    yarn_choice = _count("The place of its yarn among the `yarns`; null without yarn.", allow_none=True)
    yarn = _nested(YarnNeeded, "The yarn of this kit; null where no yarn is known.", allow_none=True)
    hours = _nested(Hours, "How long the work takes.")
    fits_class = fields.Boolean(
        required=True,
        allow_none=True,
        metadata={"description": "Whether it can be made in `class_hours`; null without them."},
    )
    beforehand = _nested(
        KitBeforehand, "What to work beforehand; null where the hat fits the class.", allow_none=True
    )
    notice_codes = fields.List(
        fields.String(),
        required=True,
        metadata={"description": "Which notices are about this kit; their texts stand in `notices`."},
    )


class KitFault(AnswerSchema):
    """A value of a participant that cannot be used."""

    pointer = _text("Where it stands in the request (RFC 6901).")
    code = _text("What is wrong with it.")
    detail = _text("The same in words.")


class KitProblem(AnswerSchema):
    """Why there is no kit, as a problem document (RFC 9457); a type may add members of its own."""

    type = _text("The problem type, and the address of its page.")
    title = _text("The problem type in words.")
    status = _count("The HTTP status that it has where it is about a whole request.")
    detail = _text("What is wrong, and what to do.")
    errors = fields.List(
        fields.Nested(KitFault),
        metadata={"description": "Values that cannot be used, for `invalid-request`."},
    )


class ClassKit(AnswerSchema):
    """The kit of one participant."""

    number = _count("Its place in the order sent, from 1.")
    reference = _text("The participant's reference; null where it was refused.", allow_none=True)
    plan = _nested(KitPlan, "The plan; null where there is a problem.", allow_none=True)
    problem = _nested(KitProblem, "Why there is no plan; null where there is one.", allow_none=True)


class ClassYarnBalls(AnswerSchema):
    """Balls of one yarn for the whole class."""

    by_kit = _count("Balls if everybody gets whole ones.")
    pooled = _count("Balls if the yarn is wound off from one heap.")
    spare = _count("Balls to have beside: what makes the pool 99 percent sure, at least one.")
    one_lot = _count("Balls to ask for in one dye lot: by kit, and the spare ones.")


class ClassYarnTotal(AnswerSchema):
    """What the class takes of one yarn."""

    position = _count("Its place among the `yarns`, from 0.")
    name = _text("Its name; null for the design's own yarn.", allow_none=True)
    colour = _text("Its colour; null where none was said.", allow_none=True)
    kit_count = _count("Kits that are made of it.")
    length_m = _number("Length that all kits need, extras included, in m.")
    mass_g = _number("Mass that all kits need, extras included, in g.")
    balls = _nested(ClassYarnBalls, "Balls to buy; null where no ball is known.", allow_none=True)


class ClassHook(AnswerSchema):
    """Hooks to have at hand."""

    low_mm = _number(
        "The smallest that usually goes with the yarn, in mm; null where none is.", allow_none=True
    )
    high_mm = _number("The largest, in mm; null where there is no end.", allow_none=True)
    kit_count = _count("How many people need one.")
    text = _text("The same in words.")


class ClassNotion(AnswerSchema):
    """Something else to have at hand."""

    name = _text("What it is. More may come.")
    count = _count("How many.")
    text = _text("The same in words.")


class ClassSize(AnswerSchema):
    """How many hats there are of one size."""

    metric_cm = _count("The head in whole cm.")
    us = _text("US hat size of that head.")
    uk = _text("UK hat size of that head.")
    kit_count = _count("How many kits.")


class ClassTotals(AnswerSchema):
    """Sums over the kits that have a plan."""

    kit_count = _count("Kits with a plan.")
    problem_count = _count("Participants without one.")
    distinct_plan_count = _count("Plans that differ.")
    hours = _number("Hours of all kits.")
    length_m = _number("Yarn of all kits, in m; null without yarn.", allow_none=True)
    mass_g = _number("Yarn of all kits, in g; null without yarn.", allow_none=True)
    ball_count = _count("Balls of all kits, whole ones for everybody; null without balls.", allow_none=True)
    fits_class_count = _count(
        "Hats that can be made in the class alone; null without `class_hours`.", allow_none=True
    )


class ClassKitAnswer(CalculationAnswer):
    """A kit for every participant, and what the organizer needs for all of them."""

    kits = _rows(ClassKit, "The kits, in the order sent.")
    yarns = _rows(ClassYarnTotal, "What the class takes of each yarn, in the order sent.")
    hooks = _rows(ClassHook, "Hooks to have at hand.")
    notions = _rows(ClassNotion, "What else to have at hand.")
    size_histogram = _rows(ClassSize, "How many hats there are of each size, smallest first.")
    totals = _nested(ClassTotals, "Sums over all kits.")
