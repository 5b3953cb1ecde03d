"""The request and the answer of a gauge measured on a swatch."""

from marshmallow import fields

from service.api.fields import (
    Enumeration,
    StrictBoolean,
    StrictList,
    StrictNested,
    StrictNumber,
    StrictSchema,
)
from service.api.schemas.common import CalculationAnswer, CalculationRequest

__all__ = ["GaugeAnswer", "GaugeMeasurementRequest", "evenness"]


def evenness() -> Enumeration:
    """Return the field for how alike a maker's stitches are; without it, the answer says what it supposed."""
    return Enumeration(
        component="EvennessName",
        values=("steady", "typical", "beginner"),
        metadata={"description": "How alike the maker's stitches are; without it, typical is supposed."},
    )


class GaugeReading(StrictSchema):
    """Stitches and rounds counted over a measured stretch of the swatch."""

    stitch_count = StrictNumber(
        low=1,
        high=2000,
        required=True,
        metadata={"description": "Stitches across, to a fraction of one.", "examples": [20]},
    )
    width_cm = StrictNumber(
        low=0.5,
        high=200,
        required=True,
        metadata={"description": "Width of those stitches, in cm, two stitches away from the edges."},
    )
    round_count = StrictNumber(
        low=1,
        high=2000,
        required=True,
        metadata={"description": "Rounds or rows up, to a fraction of one.", "examples": [12]},
    )
    height_cm = StrictNumber(
        low=0.5,
        high=200,
        required=True,
        metadata={"description": "Height of those rounds, in cm, a round away from the edges."},
    )


class GaugeMeasurementRequest(CalculationRequest):
    """Readings of a swatch in one or more places."""

    readings = StrictList(
        StrictNested(GaugeReading),
        low=1,
        high=20,
        required=True,
        metadata={
            "description": "Readings in independent places of the swatch.",
            "examples": [[{"stitch_count": 20, "width_cm": 14, "round_count": 14, "height_cm": 10}]],
        },
    )
    after_wash_readings = StrictList(
        StrictNested(GaugeReading),
        low=1,
        high=20,
        metadata={"description": "Readings after washing; they rule, and the change is reported."},
    )
    washed = StrictBoolean(
        load_default=False,
        metadata={"description": "Whether the swatch was washed as the hat will be before `readings`."},
    )
    evenness = evenness()


class GaugeAnswer(CalculationAnswer):
    """A gauge with its errors."""

    stitches_per_10cm = fields.Float(required=True, metadata={"description": "Stitches to 10 cm."})
    rounds_per_10cm = fields.Float(required=True, metadata={"description": "Rounds to 10 cm."})
    stitch_width_mm = fields.Float(required=True, metadata={"description": "Width of a stitch, in mm."})
    round_height_mm = fields.Float(required=True, metadata={"description": "Height of a round, in mm."})
    width_error_percent = fields.Float(
        required=True,
        metadata={"description": "One standard error of the hat's width from this swatch, in percent."},
    )
    height_error_percent = fields.Float(
        required=True,
        metadata={"description": "One standard error of the hat's height from this swatch, in percent."},
    )
    wash_width_change_percent = fields.Float(
        required=True,
        allow_none=True,
        metadata={"description": "How much wider washing made it, in percent; null if that was not read."},
    )
    wash_height_change_percent = fields.Float(
        required=True,
        allow_none=True,
        metadata={"description": "How much taller washing made it, in percent; null if that was not read."},
    )
    advice = fields.List(
        fields.String(), required=True, metadata={"description": "What would make the gauge surer."}
    )
