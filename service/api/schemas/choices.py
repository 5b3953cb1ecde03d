"""The choices that requests share: a head, a fabric, a gauge, a yarn, a swatch.

Each is the same component everywhere, so that a client has one type for it.
"""

from typing import Any, get_args

from service.api.fields import (
    Choice,
    Counts,
    Enumeration,
    StrictBoolean,
    StrictInteger,
    StrictList,
    StrictNested,
    StrictNumber,
    StrictSchema,
)
from service.domain.yarns import FibreKind

__all__ = [
    "FABRIC_IDS",
    "SIZE_IDS",
    "STITCH_CODE",
    "GaugeRequest",
    "StrandRequest",
    "SwatchRequest",
    "YarnRequest",
    "base_stitch",
    "fabric_field",
    "fabric_id_field",
    "gauge_field",
    "head_field",
    "stitch_counts_field",
    "swatch_field",
    "yarn_field",
]

SIZE_IDS = (
    "preterm-28-weeks",
    "preterm-32-weeks",
    "preterm-36-weeks",
    "newborn",
    "1-month",
    "3-months",
    "6-months",
    "12-months",
    "24-months",
    "36-months",
    "6-years",
    "10-years",
    "14-years",
    "adult-xs",
    "adult-s",
    "adult-m",
    "adult-l",
    "adult-xl",
    "adult-xxl",
)

FABRIC_IDS = (
    "plain-sc",
    "plain-hdc",
    "plain-dc",
    "post-rib-1x1",
    "post-rib-2x2",
    "cable-1x1",
    "cable-2x2",
    "cable-3x3",
    "cable-4x4",
    "basket-weave-4x4",
    "cable-and-twist",
    "mirrored-cables-2x2",
)

#: A stitch code, as ECMAScript and Python read it alike.
STITCH_CODE = "ch|sl_st|rev_sc|(fp|bp|fl|bl)?(sc|hdc|dc|tr|dtr)([2-8]tog)?"


def base_stitch(description: str, **rest: Any) -> Enumeration:
    """Return a field for one of the basic stitches."""
    return Enumeration(
        component="BaseStitchName",
        values=("sc", "hdc", "dc", "tr", "dtr"),
        metadata={"description": description},
        **rest,
    )


def fabric_id_field(description: str, **rest: Any) -> Enumeration:
    """Return a field for one of the fabrics that the service knows by name."""
    return Enumeration(component="FabricId", values=FABRIC_IDS, metadata={"description": description}, **rest)


class HeadByCircumference(StrictSchema):
    """A head that was measured with a tape."""

    circumference_cm = StrictNumber(
        low=20,
        high=75,
        required=True,
        metadata={
            "description": "Head circumference above ears and brows, in cm.",
            "examples": [53, 57, 44],
        },
    )


class HeadBySize(StrictSchema):
    """A head by the size it stands for in the table of head sizes."""

    size_id = Enumeration(
        component="HeadSizeId",
        values=SIZE_IDS,
        required=True,
        metadata={"description": "A row of `/v1/head-sizes`.", "examples": ["adult-m"]},
    )


class HeadByAge(StrictSchema):
    """A head by the age of a child, from published growth curves."""

    age_months = StrictNumber(
        low=0,
        high=216,
        required=True,
        metadata={"description": "Age in months.", "examples": [12]},
    )
    sex = Enumeration(
        component="SexName",
        values=("female", "male"),
        metadata={"description": "Which curve to read; without it, the mean of both."},
    )


def head_field(**rest: Any) -> Choice:
    """Return the field for a head: measured, by size, or by age."""
    return Choice(
        component="Head",
        variants={
            "circumference_cm": HeadByCircumference,
            "size_id": HeadBySize,
            "age_months": HeadByAge,
        },
        metadata={
            "description": "The head to fit.",
            "component_description": "A head: measured, by size, or by age.",
        },
        **rest,
    )


class CrossingRequest(StrictSchema):
    """How a column crosses: half of it over the other half."""

    over = StrictInteger(
        low=1,
        high=8,
        required=True,
        metadata={"description": "Stitches that cross over as many; the column is twice as wide."},
    )
    lean = Enumeration(
        component="LeanName",
        values=("left", "right"),
        required=True,
        metadata={
            "description": "Where the crossing leans, seen from the right side by a right-hander: "
            "the skipped stitches are worked behind (right) or in front (left)."
        },
    )
    round = StrictInteger(
        low=1,
        high=64,
        load_default=1,
        metadata={"description": "The round of the vertical repeat on which it crosses."},
    )
    stitch = base_stitch("The stitch that crosses; without it, the shortest that reaches.")


class ColumnRequest(StrictSchema):
    """A run of neighbouring stitches of one face; a crossed one is a cable."""

    face = Enumeration(
        component="FaceName",
        values=("front", "back", "flat"),
        required=True,
        metadata={"description": "Front post, back post, or plain stitches."},
    )
    width = StrictInteger(low=1, high=16, required=True, metadata={"description": "Stitches in the column."})
    crossing = StrictNested(
        CrossingRequest, metadata={"description": "How the column crosses; left out where it does not."}
    )


class FabricById(StrictSchema):
    """A fabric that the service knows by name."""

    fabric_id = fabric_id_field("A row of `/v1/fabrics`.", required=True)


class FabricByColumns(StrictSchema):
    """A fabric of one's own, column by column."""

    stitch = base_stitch("The stitch of the fabric.", required=True)
    columns = StrictList(
        StrictNested(ColumnRequest),
        low=1,
        high=12,
        required=True,
        metadata={
            "description": "The columns of one repeat, as they are worked; at most 64 stitches.",
            "examples": [
                [
                    {"face": "back", "width": 2},
                    {"face": "front", "width": 6, "crossing": {"over": 3, "lean": "right"}},
                ],
                [{"face": "front", "width": 2}, {"face": "back", "width": 1}],
            ],
        },
    )
    round_repeat_count = StrictInteger(
        low=1,
        high=64,
        load_default=1,
        metadata={"description": "Rounds of one vertical repeat.", "examples": [4]},
    )
    flip_round_count = StrictInteger(
        low=1,
        high=32,
        metadata={"description": "Rounds after which front and back change places, as in a basket weave."},
    )


def fabric_field(description: str, **rest: Any) -> Choice:
    """Return the field for a fabric: by name, or column by column."""
    return Choice(
        component="Fabric",
        variants={"fabric_id": FabricById, "columns": FabricByColumns},
        metadata={
            "description": description,
            "component_description": "A fabric: by name, or column by column.",
        },
        **rest,
    )


class GaugeRequest(StrictSchema):
    """Stitches and rounds to 10 cm, as measured on a swatch or computed by `/v1/gauges`."""

    stitches_per_10cm = StrictNumber(
        low=0.5,
        high=120,
        required=True,
        metadata={"description": "Stitches to 10 cm of width.", "examples": [16, 18.5, 22]},
    )
    rounds_per_10cm = StrictNumber(
        low=0.5,
        high=150,
        required=True,
        metadata={"description": "Rounds to 10 cm of height.", "examples": [14.5, 11, 20]},
    )
    fabric_id = fabric_id_field("What it was measured in; without it, the fabric that is asked for.")
    width_error_percent = StrictNumber(
        low=0.1,
        high=50,
        metadata={"description": "One standard error of the width, in percent, as `/v1/gauges` answers."},
    )
    height_error_percent = StrictNumber(
        low=0.1, high=50, metadata={"description": "One standard error of the height, in percent."}
    )
    washed = StrictBoolean(
        metadata={"description": "Whether the swatch was washed as the hat will be before measuring."}
    )


def gauge_field(description: str, **rest: Any) -> StrictNested:
    """Return the field for a gauge."""
    return StrictNested(GaugeRequest, metadata={"description": description}, **rest)


class BallRequest(StrictSchema):
    """What the band of a ball says."""

    mass_g = StrictNumber(
        low=1, high=5000, required=True, metadata={"description": "Mass of one ball, in g."}
    )
    length_m = StrictNumber(
        low=1, high=20000, required=True, metadata={"description": "Length of one ball, in m."}
    )


class StrandRequest(StrictSchema):
    """A strand of yarn by its tex, its ball or its weight category; at least one of the three."""

    weight_category = StrictInteger(
        low=0,
        high=7,
        metadata={"description": "Weight category, a row of `/v1/yarn-weights`.", "examples": [4]},
    )
    tex = StrictNumber(
        low=5,
        high=20000,
        metadata={"description": "Grams per 1000 m of one strand; beats the ball, which beats the category."},
    )
    ball = StrictNested(BallRequest, metadata={"description": "The ball that is sold."})
    fibre = Enumeration(
        component="FibreName",
        values=get_args(FibreKind),
        metadata={"description": "The main fibre."},
    )
    fibre_diameter_um = StrictNumber(
        low=5, high=100, metadata={"description": "Mean fibre diameter, in micrometres."}
    )


class YarnRequest(StrandRequest):
    """A yarn by its tex, its ball or its weight category; at least one of the three."""

    strand_count = StrictInteger(
        low=1, high=8, load_default=1, metadata={"description": "Strands held together."}
    )


def yarn_field(**rest: Any) -> StrictNested:
    """Return the field for a yarn."""
    examples = [{"weight_category": 4, "ball": {"mass_g": 50, "length_m": 80}}, {"tex": 560, "fibre": "wool"}]
    return StrictNested(YarnRequest, metadata={"description": "The yarn.", "examples": examples}, **rest)


def stitch_counts_field(description: str, **rest: Any) -> Counts:
    """Return the field for how many stitches of each code there are."""
    return Counts(
        component="StitchCounts",
        pattern=STITCH_CODE,
        low=1,
        high=60000,
        max_members=100,
        metadata={"description": description},
        **rest,
    )


class SwatchRequest(StrictSchema):
    """A swatch that was counted and weighed."""

    mass_g = StrictNumber(
        low=0.1, high=2000, required=True, metadata={"description": "Mass of the swatch, in g."}
    )
    stitch_counts = stitch_counts_field("Every stitch of the swatch by its code, chains too.", required=True)
    unravelled = StrictBoolean(
        load_default=False,
        metadata={"description": "Whether the swatch is unravelled and its yarn used again."},
    )


def swatch_field(**rest: Any) -> StrictNested:
    """Return the field for a weighed swatch."""
    return StrictNested(
        SwatchRequest, metadata={"description": "A weighed swatch; the best ground for an estimate."}, **rest
    )
