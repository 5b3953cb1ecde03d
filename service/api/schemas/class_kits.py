"""The request and the answer of a class: one design, many people, a kit for each."""

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
from service.api.schemas.answer_fields import (
    count_field,
    nested_field,
    nested_list_field,
    number_field,
    text_field,
    text_list_field,
)
from service.api.schemas.choices import YarnRequest, head_field
from service.api.schemas.common import Assumption, CalculationAnswer
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
        metadata={
            "description": "`close`, `standard` or `relaxed`, instead of the design's `fit` or `ease_cm`; "
            "without it, as the design has it.",
            "examples": ["relaxed"],
        }
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


class KitBeforehand(AnswerSchema):
    """What to work at home, so that the rest can be finished in the class."""

    to_round = count_field("The last round to work beforehand, from 1.")
    section = text_field("The part it belongs to: `brim`, `joining`, `body`, `crown` or `edging`.")
    hours = number_field("How long that takes, in hours.")
    text = text_field("The same in words.")


class KitPlan(AnswerSchema):
    """The plan of one participant, without its rounds."""

    terms = text_field("`us` or `uk`, as the participant reads patterns.")
    handedness = text_field("`right` or `left`.")
    counts = nested_field(HatCounts, "The stitch counts.")
    size = nested_field(Size, "The finished size aimed at.")
    finished_circumference_cm = number_field("What the body measures with these counts, in cm.")
    finished_depth_cm = number_field("Depth along the fabric, in cm, a folded brim included.")
    fit_probability = number_field("How likely the hat fits, 0 to 1, gauge errors included.")
    yarn_choice = count_field("The place of its yarn among the `yarns`; null without yarn.", allow_none=True)
    yarn = nested_field(YarnNeeded, "The yarn of this kit; null where no yarn is known.", allow_none=True)
    hours = nested_field(Hours, "How long the work takes.")
    fits_class = fields.Boolean(
        required=True,
        allow_none=True,
        metadata={"description": "Whether it can be made in `class_hours`; null without them."},
    )
    beforehand = nested_field(
        KitBeforehand, "What to work beforehand; null where the hat fits the class.", allow_none=True
    )
    notice_codes = text_list_field("Which notices are about this kit; their texts stand in `notices`.")


class KitFault(AnswerSchema):
    """A value of a participant that cannot be used."""

    pointer = text_field("Where it stands in the request (RFC 6901).")
    code = text_field("What is wrong with it.")
    detail = text_field("The same in words.")


class KitProblem(AnswerSchema):
    """Why there is no kit, as a problem document (RFC 9457); a type may add members of its own."""

    type = text_field("The problem type, and the address of its page.")
    title = text_field("The problem type in words.")
    status = count_field("The HTTP status that it has where it is about a whole request.")
    detail = text_field("What is wrong, and what to do.")
    errors = fields.List(
        fields.Nested(KitFault),
        metadata={"description": "Values that cannot be used, for `invalid-request`."},
    )


class ClassKit(AnswerSchema):
    """The kit of one participant."""

    number = count_field("Its place in the order sent, from 1.")
    reference = text_field("The participant's reference; null where it was refused.", allow_none=True)
    plan = nested_field(KitPlan, "The plan; null where there is a problem.", allow_none=True)
    problem = nested_field(KitProblem, "Why there is no plan; null where there is one.", allow_none=True)


class ClassYarnBalls(AnswerSchema):
    """Balls of one yarn for the whole class."""

    by_kit = count_field("Balls if everybody gets whole ones.")
    pooled = count_field("Balls if the yarn is wound off from one heap.")
    spare = count_field("Balls to have beside: what makes the pool 99 percent sure, at least one.")
    one_lot = count_field("Balls to ask for in one dye lot: by kit, and the spare ones.")


class ClassYarnTotal(AnswerSchema):
    """What the class takes of one yarn."""

    position = count_field("Its place among the `yarns`, from 0.")
    name = text_field("Its name; null for the design's own yarn.", allow_none=True)
    colour = text_field("Its colour; null where none was said.", allow_none=True)
    kit_count = count_field("Kits that are made of it.")
    length_m = number_field("Length that all kits need, extras included, in m.")
    mass_g = number_field("Mass that all kits need, extras included, in g.")
    balls = nested_field(ClassYarnBalls, "Balls to buy; null where no ball is known.", allow_none=True)


class ClassHook(AnswerSchema):
    """Hooks to have at hand."""

    low_mm = number_field(
        "The smallest that usually goes with the yarn, in mm; null where none is.", allow_none=True
    )
    high_mm = number_field("The largest, in mm; null where there is no end.", allow_none=True)
    kit_count = count_field("How many people need one.")
    text = text_field("The same in words.")


class ClassNotion(AnswerSchema):
    """Something else to have at hand."""

    name = text_field("What it is. More may come.")
    count = count_field("How many.")
    text = text_field("The same in words.")


class ClassSize(AnswerSchema):
    """How many hats there are of one size."""

    metric_cm = count_field("The head in whole cm.")
    us = text_field("US hat size of that head.")
    uk = text_field("UK hat size of that head.")
    kit_count = count_field("How many kits.")


class ClassTotals(AnswerSchema):
    """Sums over the kits that have a plan."""

    kit_count = count_field("Kits with a plan.")
    problem_count = count_field("Participants without one.")
    distinct_plan_count = count_field("Plans that differ.")
    hours = number_field("Hours of all kits.")
    length_m = number_field("Yarn of all kits, in m; null without yarn.", allow_none=True)
    mass_g = number_field("Yarn of all kits, in g; null without yarn.", allow_none=True)
    ball_count = count_field(
        "Balls of all kits, whole ones for everybody; null without balls.", allow_none=True
    )
    fits_class_count = count_field(
        "Hats that can be made in the class alone; null without `class_hours`.", allow_none=True
    )


class ClassAssumption(Assumption):
    """A value that stands in for a measurement nobody gave, and the kits it was supposed for."""

    kit_numbers = fields.List(
        fields.Integer(),
        required=True,
        allow_none=True,
        metadata={"description": "The `number` of each kit it was supposed for; null where for all."},
    )


class ClassKitAnswer(CalculationAnswer):
    """A kit for every participant, and what the organizer needs for all of them."""

    kits = nested_list_field(ClassKit, "The kits, in the order sent.")
    yarns = nested_list_field(ClassYarnTotal, "What the class takes of each yarn, in the order sent.")
    hooks = nested_list_field(
        ClassHook, "Hooks to have at hand, each once, thinnest first, in the terms of the design."
    )
    notions = nested_list_field(ClassNotion, "What else to have at hand.")
    size_histogram = nested_list_field(ClassSize, "How many hats there are of each size, smallest first.")
    totals = nested_field(ClassTotals, "Sums over all kits.")
    assumptions = nested_list_field(ClassAssumption, "What was supposed for want of a measurement, by name.")
