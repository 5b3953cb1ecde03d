"""The words of a sheet beside its rounds, as data: headings, labels, sentences, and what figures are called.

No other module of sheets holds words. Another language is another set of these tables.
"""

from collections.abc import Mapping
from types import MappingProxyType

__all__ = ["COLUMNS", "FIGURES", "HEADINGS", "LABELS", "SENTENCES", "UNITS"]

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
        "sizes": "Sizes",
        "size_colours": "Yarn of each colour",
        "size_schematic": "All sizes laid flat",
    }
)

#: The heads of tables.
COLUMNS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "measurements": ("Measurement", "Finished size"),
        "abbreviations": ("Abbreviation", "Meaning"),
        "sources": ("What was supposed", "Value", "Source"),
        "working": ("Figure", "Value", "Formula", "Source"),
        "sizes": ("Size", "Head", "Circumference", "Brim", "Depth", "Yarn"),
        "size_colours": ("Size", "Colour", "Yarn", "Balls", "Rounds"),
    }
)

#: What stands before a figure or a material, and the names of things.
LABELS: Mapping[str, str] = MappingProxyType(
    {
        "fits_head": "To fit a head of",
        "circumference": "Circumference",
        "brim_circumference": "Circumference of the brim",
        "height": "Height",
        "depth": "Depth, centre of crown to edge",
        "folded_depth": "Depth with the brim folded up",
        "hat_size": "Hat size",
        "yarn": "Yarn:",
        "headband": "headband",
        "hat": "hat",
        "textured": "Textured",
        "body_fabric": "the body's stitch pattern",
        "brim_fabric": "the brim's stitch pattern",
        "nothing": "–",
    }
)

SENTENCES: Mapping[str, str] = MappingProxyType(
    {
        "subtitle_us": "A crochet pattern in US terms",
        "subtitle_uk": "A crochet pattern in UK terms",
        "gauge": "{stitches:g} sts and {rounds:g} rnds to 10 cm (4 in) in {fabric}.",
        "check_gauge": "Work a swatch first: a different {gauge} makes a different size.",
        "about": "about {amount}",
        "any_yarn": "A yarn that gets the {gauge}.",
        "brim": "Brim: ",
        "body": "Body: ",
        "hat_size": "US {us}, UK {uk}, metric {metric}",
        "yarn_weight": "{name} weight ({number})",
        "yarn_balls": "balls of {mass} and {length}",
        "whose_yarn": "{amount} {kind}.",
        "title": "{fabric} {piece}",
        "title_lacks_letters": (
            "The font of this document lacks characters of the title. The HTML sheet shows the title in full."
        ),
        "special_stitches": "These are not on the usual lists of abbreviations:",
        "chart_of_too_many": (
            "There is no chart of this crown: it would have {count} symbols, more than a page can hold. "
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
        "proved_for_sizes": (
            "Each round was read back from these words for every size, in US and in UK terms, "
            "and makes the stitches it says."
        ),
    }
)

#: How figures are told that have no unit of both systems.
UNITS: Mapping[str, str] = MappingProxyType(
    {
        "percent": "{figure} %",
        "per_10cm": "{figure} to 10 cm (4 in)",
        "sc_unit": "{figure} units",
        "tex": "{figure} tex",
    }
)

#: What figures are called that a size rests on, and those of the reckoning.
FIGURES: Mapping[str, str] = MappingProxyType(
    {
        "adult_depth_from_mm": "Smallest head with an adult's depth",
        "ball_count": "Balls to buy",
        "band_high_mm": "Largest circumference that fits",
        "band_low_mm": "Smallest circumference that fits",
        "body_round_count": "Rounds of the body",
        "brim_height_ratio": "Height of the brim over the head circumference",
        "brim_mm": "Height of the brim",
        "child_depth_ratio": "Depth over the head circumference, for children",
        "child_depth_until_mm": "Largest head with a child's depth",
        "circumference_mm": "Circumference",
        "crown_to_ear_fixed_mm": "Crown to ear: the part that no head changes",
        "crown_to_ear_mm": "Crown to ear",
        "crown_to_ear_slope": "Crown to ear: the part of the head circumference",
        "depth_mm": "Depth",
        "depth_on_head_mm": "Depth on the head",
        "dome_arc_ratio": "Top of the head over the head circumference",
        "ear_bottom_offset_mm": "From the middle of the ear to its bottom",
        "ear_full_size_mm": "Smallest head with full-grown ears",
        "ear_middle_offset_mm": "From the middle of the ear",
        "ear_offset_mm": "From the middle of the ear to the edge",
        "ear_top_offset_mm": "From the middle of the ear to its top",
        "error_percent": "Error of gauge and head together",
        "exact_stitches_per_10cm": "Stitches at which the count would be exact",
        "extras": "Yarn for ends, joins and gathering",
        "fabric_depth_mm": "Depth of the fabric",
        "fabric_thickness_mm": "Thickness of the fabric",
        "finished_circumference_mm": "Finished circumference",
        "fit_probability": "Chance of a good fit",
        "grip_percent": "Inside against the head",
        "head_circumference_mm": "Head circumference",
        "headband_height_ratio": "Height of a headband over the head circumference",
        "height_error_percent": "Error of the gauge in height",
        "inner_circumference_mm": "Inner circumference",
        "joining_mm": "Height of the joining round",
        "layers": "Layers of fabric",
        "length": "Yarn in the work",
        "length_to_buy": "Yarn to buy",
        "mass": "Yarn in the work, by weight",
        "round_height_ratio": "Height of a round over that in the swatch",
        "slouch_extra_depth_mm": "Extra depth of a slouch",
        "slouch_width_ratio": "Width of a slouch over that of its brim",
        "stitch_count": "Stitches around",
        "stitch_width_ratio": "Width of a stitch over that in the swatch",
        "strand_tex": "Thickness of the yarn",
        "stretch_shortening": "Shortening when stretched in width",
        "swatch_units": "Units of yarn in the swatch",
        "target_circumference_mm": "Circumference to aim at",
        "thickness_allowance_mm": "Allowance for the thickness of the fabric",
        "unit_length": "Yarn in a unit",
        "unit_mass": "Yarn in a unit, by weight",
        "width_error_percent": "Error of the gauge in width",
        "work_units": "Units of yarn in the work",
    }
)
