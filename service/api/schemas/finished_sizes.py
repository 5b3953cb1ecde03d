"""The request and the answer of a finished size."""

from typing import Any

from marshmallow import fields

from service.api.fields import AnswerSchema, Enumeration, StrictNumber
from service.api.schemas.choices import head_field
from service.api.schemas.common import CalculationAnswer, CalculationRequest

__all__ = ["FinishedSizeAnswer", "FinishedSizeRequest", "Interval", "Size", "SizeWishes"]


class SizeWishes(CalculationRequest):
    """How a hat is to sit; shared with whole plans."""

    fit = Enumeration(
        component="FitName",
        values=("close", "standard", "relaxed"),
        metadata={
            "description": "How tight: grip -13, -8 or -3 percent. "
            "Give this or `ease_cm`, not both; neither: standard."
        },
    )
    ease_cm = StrictNumber(
        low=-30,
        high=30,
        metadata={
            "description": "Finished minus head circumference, in cm; negative is tight. "
            "Give this or `fit`, not both.",
            "examples": [-2.5],
        },
    )
    style = Enumeration(
        component="StyleName",
        values=("beanie", "cuffed", "slouch", "headband"),
        load_default="beanie",
        metadata={"description": "The kind of hat."},
    )
    covers = Enumeration(
        component="CoversName",
        values=("top_of_ear", "mid_ear", "bottom_of_ear"),
        metadata={
            "description": "How far down it reaches. Give this or `depth_cm`, not both; "
            "neither: bottom of ear (headband: middle)."
        },
    )
    depth_cm = StrictNumber(
        low=3,
        high=60,
        metadata={
            "description": "Depth along the fabric from the centre of the crown to the edge, in cm "
            "(headband: its height). Give this or `covers`, not both.",
            "examples": [21],
        },
    )
    cuff_cm = StrictNumber(
        low=1,
        high=20,
        metadata={"description": "Height of a brim folded up once, in cm; adds to the depth."},
    )
    fabric_thickness_mm = StrictNumber(
        low=0.2,
        high=40,
        metadata={"description": "Thickness of the fabric, in mm; without it, a prior by fabric."},
    )


class FinishedSizeRequest(SizeWishes):
    """A head and how the hat is to sit on it."""

    head = head_field(required=True)


class Interval(AnswerSchema):
    """From low to high."""

    low = fields.Float(required=True, metadata={"description": "The lower end."})
    high = fields.Float(required=True, metadata={"description": "The upper end."})


class HatSize(AnswerSchema):
    """The hat size of a head in four systems."""

    us = fields.String(required=True, metadata={"description": "US size: inches over pi, to eighths."})
    uk = fields.String(required=True, metadata={"description": "UK size: an eighth less than US."})
    metric_cm = fields.Integer(required=True, metadata={"description": "Metric size: the head, in whole cm."})
    french = fields.Float(
        required=True,
        allow_none=True,
        metadata={"description": "French size: (cm - 47) / 2; null for heads below 48 cm."},
    )


def _cm(description: str, **rest: Any) -> fields.Float:
    return fields.Float(required=True, metadata={"description": f"{description}, in cm."}, **rest)


class Size(AnswerSchema):
    """The finished size of a hat."""

    head_circumference_cm = _cm("Head circumference")
    grip_percent = fields.Float(
        required=True,
        metadata={"description": "Inner circumference over head, minus 1, in percent."},
    )
    ease_cm = _cm("Finished minus head circumference")
    ease_percent = fields.Float(
        required=True, metadata={"description": "Ease in percent of the head circumference."}
    )
    finished_circumference_cm = _cm("Circumference of the relaxed band, measured flat")
    inner_circumference_cm = _cm("Circumference the hat offers inside")
    body_circumference_cm = _cm("Circumference of the single fabric above the band; a slouch is wider there")
    fabric_thickness_mm = fields.Float(
        required=True, metadata={"description": "Thickness of the fabric that was reckoned with, in mm."}
    )
    cuff_cm = _cm("Height of the brim folded up, 0 without a fold")
    depth_cm = _cm("Depth along the fabric, centre of the crown to the edge as worked, cuff included")
    depth_range_cm = fields.Nested(
        Interval, required=True, metadata={"description": "Depths that still sit well, in cm."}
    )
    fits_head_cm = fields.Nested(
        Interval, required=True, metadata={"description": "Heads that it sits well on, in cm."}
    )
    hat_size = fields.Nested(
        HatSize, required=True, metadata={"description": "The head's size in four systems."}
    )
    outgrown_at_age_months = fields.Integer(
        required=True,
        allow_none=True,
        metadata={
            "description": "The first month at which the average child has outgrown it; null without an "
            "age, or if growth ends before that."
        },
    )


class FinishedSizeAnswer(Size, CalculationAnswer):
    """How large the hat is to be."""
