"""Colours of a piece of work as a request names them, and the yarn that was weighed in the middle of it."""

from service.api.fields import (
    Choice,
    FreeText,
    StrictInteger,
    StrictList,
    StrictNested,
    StrictNumber,
    StrictSchema,
)
from service.api.schemas.choices import StrandRequest

__all__ = ["checkpoints_field", "colouring_field"]

MOST_STRANDS = 8
MOST_STRIPES = 60
MOST_COLOURS = 24
MOST_LEFTOVERS = 50
MOST_CHECKPOINTS = 50


def _colours(description: str, *, required: bool = True) -> StrictList:
    return StrictList(
        FreeText(),
        low=1,
        high=MOST_STRANDS,
        required=required,
        metadata={
            "description": f"{description}: one name for all strands, or one for each strand.",
            "examples": [["red"], ["navy"]],
        },
    )


class LeftoversByLength(StrictSchema):
    """Leftovers of earlier work that were measured."""

    lengths_m = StrictList(
        StrictNumber(low=0, high=20000),
        low=1,
        high=MOST_LEFTOVERS,
        required=True,
        metadata={"description": "The length of each piece, in m.", "examples": [[22.5, 14]]},
    )


class LeftoversByMass(StrictSchema):
    """Leftovers of earlier work that were weighed."""

    masses_g = StrictList(
        StrictNumber(low=0, high=5000),
        low=1,
        high=MOST_LEFTOVERS,
        required=True,
        metadata={"description": "The mass of each piece, in g.", "examples": [[18], [11.5, 7]]},
    )


class ColourYarnRequest(StrictSchema):
    """Where the yarn of one colour comes from."""

    colour = FreeText(
        required=True,
        metadata={"description": "A colour of the colouring, letter for letter.", "examples": ["red"]},
    )
    yarn = StrictNested(
        StrandRequest,
        metadata={"description": "Its own yarn with its own ball; without it, the yarn of the whole."},
    )
    leftovers = Choice(
        component="Leftovers",
        variants={"lengths_m": LeftoversByLength, "masses_g": LeftoversByMass},
        metadata={
            "description": "Pieces of it that are at hand. They are used before new balls, the longest "
            "first, each less 0.3 m for a join.",
            "component_description": "Leftovers of earlier work, piece by piece: measured or weighed.",
        },
    )


def _colour_yarns() -> StrictList:
    return StrictList(
        StrictNested(ColourYarnRequest),
        low=1,
        high=MOST_COLOURS,
        metadata={
            "description": "Colours that have a yarn or leftovers of their own, each at most once.",
            "examples": [[{"colour": "red", "leftovers": {"masses_g": [18]}}]],
        },
    )


class StripeRequest(StrictSchema):
    """So many rounds in the same colours."""

    colours = _colours("Colours of the stripe")
    round_count = StrictInteger(
        low=1, high=400, required=True, metadata={"description": "Its rounds.", "examples": [2]}
    )


class ColouringByStripes(StrictSchema):
    """Stripes of whole rounds, again and again from the first round to the last."""

    stripes = StrictList(
        StrictNested(StripeRequest),
        low=1,
        high=MOST_STRIPES,
        required=True,
        metadata={
            "description": "The stripes of one repeat, in working order.",
            "examples": [[{"colours": ["red"], "round_count": 2}, {"colours": ["navy"], "round_count": 2}]],
        },
    )
    colour_yarns = _colour_yarns()


class SectionColoursRequest(StrictSchema):
    """Colours by section; every section that is left out has those of the ground."""

    brim = _colours("Colours of the brim", required=False)
    joining = _colours("Colours of the joining round", required=False)
    body = _colours("Colours of the body", required=False)
    crown = _colours("Colours of the crown", required=False)
    edging = _colours("Colours of the edging", required=False)


class ColouringBySection(StrictSchema):
    """A ground, and sections in colours of their own."""

    section_colours = StrictNested(
        SectionColoursRequest,
        required=True,
        metadata={"description": "The sections that are not in the ground's colours."},
    )
    ground = _colours("Colours of all other sections")
    colour_yarns = _colour_yarns()


class ColouringThroughout(StrictSchema):
    """The same colours from the first stitch to the last."""

    colours = _colours("Colours of all stitches")
    colour_yarns = _colour_yarns()


def colouring_field(description: str, examples: list[object]) -> Choice:
    """Return the field for the colours of a piece of work."""
    return Choice(
        component="Colouring",
        variants={
            "stripes": ColouringByStripes,
            "section_colours": ColouringBySection,
            "colours": ColouringThroughout,
        },
        metadata={
            "description": description,
            "component_description": "The colours of a piece of work: stripes of rounds, a colour for each "
            "section, or the same throughout.",
            "examples": examples,
        },
    )


class CheckpointRequest(StrictSchema):
    """The yarn that was left after a round."""

    round = StrictInteger(
        low=0,
        high=400,
        required=True,
        metadata={
            "description": "The last finished round, from 1; 0 before the first stitch.",
            "examples": [0],
        },
    )
    mass_left_g = StrictNumber(
        low=0,
        high=20000,
        required=True,
        metadata={"description": "All yarn that is left, unopened balls too, in g.", "examples": [60]},
    )
    mass_used_g = StrictNumber(
        low=0,
        high=20000,
        metadata={
            "description": "What the work took so far, in g, where it was weighed: it corrects the rest.",
            "examples": [45],
        },
    )
    colour = FreeText(metadata={"description": "The colour that was weighed, where there are several."})


def checkpoints_field(description: str) -> StrictList:
    """Return the field for yarn that was weighed in the middle of the work."""
    return StrictList(
        StrictNested(CheckpointRequest),
        low=1,
        high=MOST_CHECKPOINTS,
        metadata={
            "description": f"{description} Where there are several colours, each is weighed by itself and "
            "named in `colour`.",
            "examples": [[{"round": 0, "mass_left_g": 150}], [{"round": 1, "mass_left_g": 80}]],
        },
    )
