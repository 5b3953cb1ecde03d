"""The rows of the reference tables."""

from typing import Any

from marshmallow import Schema, fields

from service.api.fields import AnswerSchema

__all__ = ["FabricTable", "HeadSizeTable", "HookSizeTable", "StitchTable", "YarnWeightTable"]


def _text(description: str, **rest: Any) -> fields.String:
    return fields.String(required=True, metadata={"description": description}, **rest)


def _number(description: str, **rest: Any) -> fields.Float:
    return fields.Float(required=True, metadata={"description": description}, **rest)


def _count(description: str, **rest: Any) -> fields.Integer:
    return fields.Integer(required=True, metadata={"description": description}, **rest)


def _rows(schema: type[Schema]) -> fields.List[Any]:
    return fields.List(fields.Nested(schema), required=True, metadata={"description": "The rows."})


class TableRow(AnswerSchema):
    """What every row has."""

    source = _text("Where the figures of the row come from.")


class Table(AnswerSchema):
    """A table: all its rows."""

    next = fields.Raw(
        required=True,
        metadata={"description": "Always null: a table comes whole.", "type": "null"},
    )


class HeadSizeRow(TableRow):
    """A measured head that a size stands for."""

    size_id = _text("The size, to be sent as `head.size_id`.")
    name = _text("The size in words.")
    circumference_cm = _number("Mean head circumference, in cm.")
    circumference_sd_cm = _number("Standard deviation of the heads that choose this size, in cm.")
    age_months = _number("The age the row stands for, in months; null for adults.", allow_none=True)


class HeadSizeTable(Table):
    """Measured heads by size."""

    items = _rows(HeadSizeRow)


class YarnWeightRow(TableRow):
    """A category of yarn weight."""

    weight_category = _count("The category, to be sent as `yarn.weight_category`.")
    name = _text("The category in words.")
    gauge_stitch = _text("The stitch that the gauge counts.")
    stitches_per_10cm_low = _number("Fewest stitches to 10 cm; null where open.", allow_none=True)
    stitches_per_10cm_high = _number("Most stitches to 10 cm.")
    hook_low_mm = _number("Thinnest hook, in mm.")
    hook_high_mm = _number("Thickest hook, in mm; null where open.", allow_none=True)
    hook_us = _text("The hooks in US sizes.")
    wraps_per_inch_low = _number("Fewest wraps to the inch.")
    wraps_per_inch_high = _number("Most wraps to the inch; null where open.", allow_none=True)
    tex = _number("Middle of the category: grams per 1000 m.")
    fabric_g_per_m2 = _number("Mass of plain fabric, in g per square metre.")
    confidence = _text("`H`, `M` or `L`: how sure tex and mass are.")


class YarnWeightTable(Table):
    """Yarn weight categories."""

    items = _rows(YarnWeightRow)


class HookSizeRow(TableRow):
    """A crochet hook."""

    diameter_mm = _number("Diameter of the shank, in mm.")
    us = _text("US size; null where there is none.", allow_none=True)
    uk = _text("Old UK size; null where there is none.", allow_none=True)


class HookSizeTable(Table):
    """Crochet hooks."""

    items = _rows(HookSizeRow)


class StitchRow(TableRow):
    """A stitch."""

    code = _text("The stitch code, a key of `stitch_counts`.")
    us_abbreviation = _text("Abbreviation in US terms.")
    us_name = _text("Name in US terms.")
    uk_abbreviation = _text("Abbreviation in UK terms.")
    uk_name = _text("Name in UK terms.")
    consumed_stitch_count = _count("Stitches of the round before that it uses up.")
    made_stitch_count = _count("Stitches that it makes.")
    turning_chain_count = _count("Chains that reach its height.")
    relative_height = _number("Height over that of a single crochet.")
    sc_units = _number("Yarn, in that of a single crochet.")
    sc_units_sd = _number("Standard deviation of the yarn.")


class StitchTable(Table):
    """Stitches with their names, counts and yarn."""

    items = _rows(StitchRow)


class FabricColumnCrossing(AnswerSchema):
    """How a column crosses."""

    over = _count("Stitches that cross over as many.")
    lean = _text("`left` or `right`.")
    round = _count("The round of the vertical repeat on which it crosses.")


class FabricColumn(AnswerSchema):
    """A column of a fabric."""

    face = _text("`front`, `back` or `flat`.")
    width = _count("Stitches in the column.")
    crossing = fields.Nested(
        FabricColumnCrossing,
        required=True,
        allow_none=True,
        metadata={"description": "How it crosses; null where it does not."},
    )


class FabricRow(TableRow):
    """A fabric the service knows by name."""

    fabric_id = _text("The fabric, to be sent as `fabric.fabric_id`.")
    name = _text("The fabric in words.")
    stitch = _text("Its base stitch.")
    stitch_multiple = _count("Stitches of one repeat.")
    columns = fields.List(
        fields.Nested(FabricColumn),
        required=True,
        metadata={"description": "The columns of one repeat, as they are worked."},
    )
    round_repeat_count = _count("Rounds of one vertical repeat.")
    flip_round_count = _count(
        "Rounds after which front and back change places; null where they never do.", allow_none=True
    )
    width_ratio = _number("Prior: width of its stitches over the same stitch plain.")
    height_ratio = _number("Prior: height of its rounds over the same stitch plain.")
    thickness_mm = _number("Prior: its thickness in worsted yarn, in mm.")


class FabricTable(Table):
    """Fabrics the service knows by name."""

    items = _rows(FabricRow)
