"""Requests and answers of crowns: schedules and reviews."""

from typing import Any

from marshmallow import fields

from service.api.fields import (
    AnswerSchema,
    Enumeration,
    StrictInteger,
    StrictList,
    StrictNumber,
    StrictSchema,
)
from service.api.schemas.choices import base_stitch, fabric_field, gauge_field
from service.api.schemas.common import CalculationAnswer, CalculationRequest, Step, terms

__all__ = [
    "CrownReviewAnswer",
    "CrownReviewRequest",
    "CrownScheduleAnswer",
    "CrownScheduleRequest",
    "CrownWishes",
    "crown_shape",
    "worked",
]


def crown_shape(**rest: Any) -> Enumeration:
    """Return the field for the shape of a crown."""
    return Enumeration(
        component="CrownShapeName",
        values=("rounded", "gathered", "flat", "tapered"),
        **rest,
    )


def worked() -> Enumeration:
    """Return the switch for the direction of work."""
    return Enumeration(
        component="WorkedName",
        values=("from_brim", "from_crown"),
        load_default="from_brim",
        metadata={"description": "Whether the hat is worked up from the brim or down from the crown."},
    )


class CrownWishes(StrictSchema):
    """How a crown is to be; shared with whole plans."""

    section_count = StrictInteger(
        low=1,
        high=200,
        metadata={
            "description": "Sections of a plain crown. Give this or a textured `fabric`, not both; "
            "without it, the trade's number for the gauge."
        },
    )
    decrease_placement = Enumeration(
        component="DecreasePlacementName",
        values=("sections", "scattered"),
        load_default="sections",
        metadata={
            "description": "Plain crowns: decreases above each other in sections, or spread over the round."
        },
    )
    crown_round_count = StrictInteger(
        low=1,
        high=200,
        metadata={
            "description": "Rounds of the crown. Give this or `crown_depth_cm`, not both.",
            "examples": [8],
        },
    )
    crown_depth_cm = StrictNumber(
        low=0.5,
        high=60,
        metadata={
            "description": "Length of the crown along the fabric, in cm. "
            "Give this or `crown_round_count`, not both.",
            "examples": [7],
        },
    )
    closing_stitch_count_min = StrictInteger(
        low=1,
        high=200,
        metadata={"description": "Fewest stitches to draw shut; without it, 5 (from the crown: 6 to begin)."},
    )
    closing_stitch_count_max = StrictInteger(
        low=1,
        high=200,
        metadata={"description": "Most stitches to draw shut; without it, 8 for sc and hdc, 12 for taller."},
    )
    settle_round_count = StrictInteger(
        low=0,
        high=20,
        load_default=1,
        metadata={"description": "Rounds worked on a cable between two narrowings."},
    )
    crown_group_count = StrictInteger(
        low=1,
        high=5,
        metadata={
            "description": "Neighbouring repeats that narrow on different rounds; must divide the repeats. "
            "Without it, chosen by their number."
        },
    )


class CrownScheduleRequest(CrownWishes, CalculationRequest):
    """A crown to be planned."""

    start_stitch_count = StrictInteger(
        low=4,
        high=2000,
        required=True,
        metadata={
            "description": "Stitches at the wide edge, whichever way it is worked.",
            "examples": [88],
        },
    )
    gauge = gauge_field("Gauge of the crown's fabric.", required=True)
    stitch = base_stitch("The stitch of a plain crown; a fabric's own stitch beats it.", load_default="sc")
    crown_shape = crown_shape(
        load_default="rounded",
        metadata={"description": "The shape: a dome, a dome started late, a disc, or a cone."},
    )
    fabric = fabric_field("The fabric whose columns the crown keeps; without it, a plain crown.")
    worked = worked()
    terms = terms()


class CrownColumn(AnswerSchema):
    """A column after a round."""

    face = fields.String(required=True, metadata={"description": "`front`, `back` or `flat`."})
    width = fields.Integer(required=True, metadata={"description": "Stitches in the column."})
    over = fields.Integer(
        required=True,
        allow_none=True,
        metadata={"description": "Stitches that cross over as many in this round; null if none."},
    )
    action = fields.String(required=True, metadata={"description": "What the round did to the column."})


class CrownFullness(AnswerSchema):
    """How a round compares with its target."""

    round = fields.Integer(required=True, metadata={"description": "Round, from 1, in working order."})
    stitch_count = fields.Integer(required=True, metadata={"description": "Stitches the round makes."})
    target_circumference_cm = fields.Float(
        required=True, metadata={"description": "Circumference of the shape at this height, in cm."}
    )
    fabric_circumference_cm = fields.Float(
        required=True, metadata={"description": "Circumference of the stitches, in cm."}
    )
    fullness = fields.Float(required=True, metadata={"description": "Fabric over target."})


class CrownRound(CrownFullness):
    """A round of the crown."""

    consumed_stitch_count = fields.Integer(
        required=True, metadata={"description": "Stitches of the round before that it uses up."}
    )
    kind = fields.String(
        required=True, metadata={"description": "`plain`, `pattern`, `cross`, `increase` or `decrease`."}
    )
    columns = fields.List(
        fields.Nested(CrownColumn),
        required=True,
        metadata={"description": "The columns of one crown repeat after the round; empty for plain crowns."},
    )
    steps = fields.List(
        fields.Nested(Step), required=True, metadata={"description": "The round as steps, in standard form."}
    )
    text = fields.String(required=True, metadata={"description": "The round in written form."})


class CrownDiagnosis(AnswerSchema):
    """Something a round does to the shape."""

    round = fields.Integer(
        required=True,
        allow_none=True,
        metadata={"description": "The round it is about; null for the whole crown."},
    )
    code = fields.String(required=True, metadata={"description": "What it is. More codes may come."})
    text = fields.String(required=True, metadata={"description": "The same in words, with figures."})


_VERDICTS = (
    "`smooth`, `soft`, `gathers`, `cups`, `ruffles`, `pouches`, `closes_too_early` or `does_not_close`."
)


class CrownScheduleAnswer(CalculationAnswer):
    """A crown, round by round."""

    rounds = fields.List(
        fields.Nested(CrownRound),
        required=True,
        metadata={"description": "Exactly the worked rounds, in working order."},
    )
    closing_stitch_count = fields.Integer(
        required=True,
        metadata={"description": "Stitches drawn shut (from the crown: of the first round)."},
    )
    depth_cm = fields.Float(required=True, metadata={"description": "Length along the fabric, in cm."})
    cost = fields.Float(
        required=True,
        metadata={"description": "Sum over the rounds of the squared log of fullness; what is minimised."},
    )
    shape_error = fields.Float(
        required=True, metadata={"description": "How far the crown strays from its shape, one number."}
    )
    verdict = fields.String(required=True, metadata={"description": _VERDICTS})
    diagnosis = fields.List(
        fields.Nested(CrownDiagnosis), required=True, metadata={"description": "Round by round, in words."}
    )


class CrownReviewRequest(CalculationRequest):
    """A crown that somebody wrote, to be looked over."""

    stitch_counts = StrictList(
        StrictInteger(low=1, high=2000),
        low=1,
        high=200,
        required=True,
        metadata={
            "description": "Stitches of each crown round, in working order.",
            "examples": [[60, 60, 60, 40, 40, 30, 10, 5]],
        },
    )
    gauge = gauge_field("Gauge of the crown's fabric.", required=True)
    start_stitch_count = StrictInteger(
        low=4,
        high=2000,
        required=True,
        metadata={"description": "Stitches at the wide edge, whichever way it is worked."},
    )
    fabric = fabric_field("The fabric of the crown; without it, plain.")
    stitch = base_stitch("The stitch of a plain crown.", load_default="sc")
    crown_shape = crown_shape(
        load_default="rounded", metadata={"description": "The shape it is meant to have."}
    )
    worked = worked()
    terms = terms()


class ReviewedRound(CrownFullness):
    """A round of a crown under review."""

    curvature_per_cm2 = fields.Float(
        required=True,
        allow_none=True,
        metadata={
            "description": "Curvature of the counts, per square cm; null for the first and last round."
        },
    )


class ProposedCrown(AnswerSchema):
    """A crown of as many rounds that the service would plan."""

    stitch_counts = fields.List(
        fields.Integer(), required=True, metadata={"description": "Stitches of each round."}
    )
    shape_error = fields.Float(required=True, metadata={"description": "Its shape error."})
    verdict = fields.String(required=True, metadata={"description": _VERDICTS})


class CrownReviewAnswer(CalculationAnswer):
    """What a crown does."""

    rounds = fields.List(
        fields.Nested(ReviewedRound), required=True, metadata={"description": "Round by round."}
    )
    shape_error = fields.Float(
        required=True, metadata={"description": "How far the crown strays from its shape, one number."}
    )
    verdict = fields.String(required=True, metadata={"description": _VERDICTS})
    accepted = fields.Boolean(
        required=True,
        metadata={"description": "Whether it is smooth or soft, or gathers where it is meant to."},
    )
    diagnosis = fields.List(
        fields.Nested(CrownDiagnosis), required=True, metadata={"description": "Round by round, in words."}
    )
    proposed = fields.Nested(
        ProposedCrown,
        required=True,
        allow_none=True,
        metadata={"description": "A schedule of as many rounds; null if none closes in them."},
    )
