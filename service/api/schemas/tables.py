"""The rows of the reference tables."""

from typing import Any

from marshmallow import Schema, fields

from service.api.fields import AnswerSchema
from service.api.schemas.answer_fields import count_field, number_field, text_field

__all__ = ["FabricTable", "HeadSizeTable", "HookSizeTable", "StitchTable", "YarnWeightTable"]


def _rows(schema: type[Schema]) -> fields.List[Any]:
    return fields.List(fields.Nested(schema), required=True, metadata={"description": "The rows."})


class TableRow(AnswerSchema):
    """What every row has."""

    source = text_field("Where the figures of the row come from.")


class Table(AnswerSchema):
    """A table: all its rows."""

    next = fields.Raw(
        required=True,
        metadata={"description": "Always null: a table comes whole.", "type": "null"},
    )


class HeadSizeRow(TableRow):
    """A measured head that a size stands for."""

    size_id = text_field("The size, to be sent as `head.size_id`.")
    name = text_field("The size in words.")
    circumference_cm = number_field("Mean head circumference, in cm.")
    circumference_sd_cm = number_field("Standard deviation of the heads that choose this size, in cm.")
    age_months = number_field("The age the row stands for, in months; null for adults.", allow_none=True)


class HeadSizeTable(Table):
    """Measured heads by size."""

    items = _rows(HeadSizeRow)


class YarnWeightRow(TableRow):
    """A category of yarn weight."""

    weight_category = count_field("The category, to be sent as `yarn.weight_category`.")
    name = text_field("The category in words.")
    gauge_stitch = text_field("The stitch that the gauge counts.")
    stitches_per_10cm_low = number_field("Fewest stitches to 10 cm; null where open.", allow_none=True)
    stitches_per_10cm_high = number_field("Most stitches to 10 cm.")
    hook_low_mm = number_field("Thinnest hook, in mm.")
    hook_high_mm = number_field("Thickest hook, in mm; null where open.", allow_none=True)
    hook_us = text_field("The hooks in US sizes.")
    wraps_per_inch_low = number_field("Fewest wraps to the inch.")
    wraps_per_inch_high = number_field("Most wraps to the inch; null where open.", allow_none=True)
    tex = number_field("Middle of the category: grams per 1000 m.")
    fabric_g_per_m2 = number_field("Mass of plain fabric, in g per square metre.")
    confidence = text_field("`H`, `M` or `L`: how sure tex and mass are.")


class YarnWeightTable(Table):
    """Yarn weight categories."""

    items = _rows(YarnWeightRow)


class HookSizeRow(TableRow):
    """A crochet hook."""

    diameter_mm = number_field("Diameter of the shank, in mm.")
    us = text_field("US size; null where there is none.", allow_none=True)
    uk = text_field("Old UK size; null where there is none.", allow_none=True)


class HookSizeTable(Table):
    """Crochet hooks."""

    items = _rows(HookSizeRow)


class StitchRow(TableRow):
    """A stitch."""

    code = text_field("The stitch code, a key of `stitch_counts`.")
    us_abbreviation = text_field("Abbreviation in US terms.")
    us_name = text_field("Name in US terms.")
    uk_abbreviation = text_field("Abbreviation in UK terms.")
    uk_name = text_field("Name in UK terms.")
    consumed_stitch_count = count_field("Stitches of the round before that it uses up.")
    made_stitch_count = count_field("Stitches that it makes.")
    turning_chain_count = count_field("Chains that reach its height.")
    relative_height = number_field("Height over that of a single crochet.")
    sc_units = number_field("Yarn, in that of a single crochet.")
    sc_units_sd = number_field("Standard deviation of the yarn.")


class StitchTable(Table):
    """Stitches with their names, counts and yarn."""

    items = _rows(StitchRow)


class FabricColumnCrossing(AnswerSchema):
    """How a column crosses."""

    over = count_field("Stitches that cross over as many.")
    lean = text_field("`left` or `right`.")
    round = count_field("The round of the vertical repeat on which it crosses.")


class FabricColumn(AnswerSchema):
    """A column of a fabric."""

    face = text_field("`front`, `back` or `flat`.")
    width = count_field("Stitches in the column.")
    crossing = fields.Nested(
        FabricColumnCrossing,
        required=True,
        allow_none=True,
        metadata={"description": "How it crosses; null where it does not."},
    )


class FabricRow(TableRow):
    """A fabric the service knows by name."""

    fabric_id = text_field("The fabric, to be sent as `fabric.fabric_id`.")
    name = text_field("The fabric in words.")
    stitch = text_field("Its base stitch.")
    stitch_multiple = count_field("Stitches of one repeat.")
    columns = fields.List(
        fields.Nested(FabricColumn),
        required=True,
        metadata={"description": "The columns of one repeat, as they are worked."},
    )
    round_repeat_count = count_field("Rounds of one vertical repeat.")
    flip_round_count = count_field(
        "Rounds after which front and back change places; null where they never do.", allow_none=True
    )
    width_ratio = number_field("Prior: width of its stitches over the same stitch plain.")
    height_ratio = number_field("Prior: height of its rounds over the same stitch plain.")
    thickness_mm = number_field("Prior: its thickness in worsted yarn, in mm.")


class FabricTable(Table):
    """Fabrics the service knows by name."""

    items = _rows(FabricRow)
