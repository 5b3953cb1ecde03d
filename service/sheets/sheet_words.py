"""The words of a sheet beside its rounds, as data: headings, notes, and what figures are called."""

from collections.abc import Mapping
from types import MappingProxyType

__all__ = ["COLUMNS", "FIGURES", "HEADINGS", "SENTENCES"]

HEADINGS: Mapping[str, str] = MappingProxyType(
    {
        "measurements": "Finished measurements",
        "materials": "Materials",
        "abbreviations": "Abbreviations",
        "special_stitches": "Special stitches",
        "notes": "Notes",
        "cautions": "Cautions",
        "pattern": "Pattern",
        "sources": "Where the size comes from",
        "working": "How the figures were reached",
        "foundation": "Foundation",
        "schematic": "Schematic",
        "crown_chart": "Crown chart",
    }
)

#: The heads of tables.
COLUMNS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "measurements": ("Measurement", "Finished size"),
        "abbreviations": ("Abbreviation", "Meaning"),
        "sources": ("What was supposed", "Value", "Source"),
        "working": ("Figure", "Value", "Formula", "Source"),
    }
)

SENTENCES: Mapping[str, str] = MappingProxyType(
    {
        "subtitle_us": "A crochet pattern in US terms",
        "subtitle_uk": "A crochet pattern in UK terms",
        "gauge": "{stitches:g} sts and {rounds:g} rnds to 10 cm (4 in) in {fabric}.",
        "check_gauge": "Work a swatch first: another {gauge} makes another size.",
        "any_yarn": "A yarn that gets the {gauge}.",
        "brim": "Brim: ",
        "body": "Body: ",
        "special_stitches": "These are not on the usual lists of abbreviations:",
        "chart_of_too_many": (
            "There is no chart of this crown: it would have {count} symbols, more than anyone can read. "
            "The rounds above are complete without it."
        ),
        "chart_too_wide": (
            "There is no chart of this crown: in the smallest print that can be read it would be {width} "
            "wide and {height} high, more than a page. The rounds above are complete without it."
        ),
        "proved": (
            "Each of the {count} rounds was read back from these words, in US and in UK terms, "
            "and makes the stitches it says."
        ),
    }
)

#: What figures are called that a size rests on; others go by their own names.
FIGURES: Mapping[str, str] = MappingProxyType(
    {
        "head_circumference_mm": "Head circumference",
        "grip_percent": "Inside of the hat against the head",
        "fabric_thickness_mm": "Thickness of the fabric",
        "crown_to_ear_slope": "Crown to ear, for each centimetre of head",
        "ear_top_offset_mm": "From the middle of the ear to its top",
        "ear_middle_offset_mm": "To the middle of the ear",
        "ear_bottom_offset_mm": "To the bottom of the ear",
        "stretch_shortening": "Shortening when stretched in width",
        "brim_height_ratio": "Brim height for each centimetre of head",
    }
)
