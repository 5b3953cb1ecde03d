"""How each role is drawn: black and grey alone, told apart by width, dash and fill.

Convention: widths follow the groups of technical drawings (ISO 128, from memory): outlines twice as wide as
dimensions; axes and folds dashed. Greys are far enough apart to survive a photocopy.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from service.drawings.pictures import Role

__all__ = ["FONT_FAMILY", "INKS", "TEXT_INKS", "Ink", "TextInk"]

FONT_FAMILY = "Source Sans Pro, Helvetica, Arial, sans-serif"


@dataclass(frozen=True, slots=True)
class Ink:
    """A line and a filling, as greys from 0 (black) to 255 (white); ``None`` is left out.

    Neighbours that are crisp meet without a seam.
    """

    line_grey: int | None = None
    width_mm: float = 0.0
    fill_grey: int | None = None
    dash_mm: tuple[float, ...] = ()
    is_crisp: bool = False


@dataclass(frozen=True, slots=True)
class TextInk:
    """How words are set."""

    grey: int
    is_bold: bool = False


#: Greys of a shaded body, from the light to the dark.
_TONES: Mapping[Role, int] = MappingProxyType(
    {
        "tone_1": 253,
        "tone_2": 245,
        "tone_3": 236,
        "tone_4": 227,
        "tone_5": 217,
        "tone_6": 206,
        "tone_7": 195,
        "tone_8": 183,
        "tone_9": 170,
        "tone_10": 157,
        "tone_11": 143,
        "tone_12": 128,
    }
)


INKS: Mapping[Role, Ink] = MappingProxyType(
    {
        "outline": Ink(0, 0.5),
        "part": Ink(60, 0.25, 255),
        "fold": Ink(0, 0.35, None, (2.5, 1.2)),
        "axis": Ink(60, 0.2, None, (5.0, 1.0, 0.6, 1.0)),
        "hidden": Ink(90, 0.25, None, (1.2, 0.9)),
        "dimension": Ink(0, 0.2),
        "arrow": Ink(None, 0.0, 0),
        "leader": Ink(60, 0.15),
        "guide": Ink(150, 0.15),
        "grid": Ink(205, 0.15),
        "band": Ink(None, 0.0, 240),
        "inner_band": Ink(None, 0.0, 218),
        "stitch": Ink(0, 0.35),
        "stitch_solid": Ink(None, 0.0, 0),
        "repeat": Ink(0, 0.3, None, (1.6, 0.8)),
        "repeat_area": Ink(None, 0.0, 236),
        "column_edge": Ink(20, 0.2),
        **{role: Ink(fill_grey=grey, is_crisp=True) for role, grey in _TONES.items()},
        "target": Ink(60, 0.45, None, (2.2, 1.2)),
        "worked": Ink(0, 0.55),
        "target_point": Ink(60, 0.35, 255),
        "worked_point": Ink(0, 0.2, 0),
    }
)

TEXT_INKS: Mapping[Role, TextInk] = MappingProxyType(
    {"heading": TextInk(0, is_bold=True), "label": TextInk(0), "note": TextInk(60)}
)
