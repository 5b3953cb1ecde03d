"""The fields of the worksheet as data: what each is called, what it measures, and what stands in it first."""

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import get_args

from service.domain.fabrics import Fabric
from service.domain.tables import HeadSize, HookSize, ReferenceTables, YarnWeight
from service.domain.yarns import FibreKind
from service.pages.form_fields import Field, Option
from service.pages.own_columns import COLUMN_FIELDS, OWN_FABRIC_FIELDS
from service.patterns.lengths import both_systems

__all__ = [
    "EXAMPLE",
    "FIELDS",
    "FOLDED",
    "LONGEST_ENTRY",
    "options_of",
    "typed_entries",
]

#: Characters that one entry of the form can have.
LONGEST_ENTRY = 120

_ON = (Option("yes", "Yes"),)
_OWN_FABRIC = Option("own", "One of my own", "column by column, below")

_BEFORE = (
    Field(
        name="title",
        label="Name of the hat",
        help_words="It stands above the pattern. Without one, the hat is named after its stitch pattern.",
    ),
    Field(
        name="units",
        label="Measure in",
        first="cm",
        options=(
            Option("cm", "Centimetres", "gauge over 10 cm, yarn in metres"),
            Option("in", "Inches", "gauge over 4 in, yarn in yards; fractions are welcome, as 22 1/2"),
        ),
    ),
    Field(
        name="head_by",
        label="What you know of the head",
        first="size",
        options=(
            Option("size", "A size"),
            Option("tape", "Its measurement"),
            Option("age", "A child’s age"),
        ),
    ),
    Field(name="size", label="Size", first="adult-m"),
    Field(
        name="head",
        label="Around the head",
        measure="length",
        help_words="The tape lies level, above ears and brows, snug and not tight.",
    ),
    Field(name="age", label="Age", measure="age"),
    Field(
        name="sex",
        label="Growth curve",
        options=(Option("", "Both, the mean"), Option("female", "Girls"), Option("male", "Boys")),
    ),
    Field(
        name="style",
        label="Kind of hat",
        first="beanie",
        options=(
            Option("beanie", "Beanie"),
            Option("cuffed", "Beanie with a cuff, brim folded up"),
            Option("slouch", "Slouch"),
            Option("headband", "Headband"),
        ),
    ),
    Field(
        name="fit",
        label="Fit",
        options=(
            Option("close", "Close, for wind and sport"),
            Option("", "Standard"),
            Option("relaxed", "Relaxed"),
        ),
    ),
    Field(
        name="covers",
        label="Reaches down to",
        options=(
            Option("", "The usual for its kind"),
            Option("top_of_ear", "Top of the ear"),
            Option("mid_ear", "Middle of the ear"),
            Option("bottom_of_ear", "Bottom of the ear"),
        ),
    ),
    Field(
        name="stitches",
        label="Stitches",
        measure="gauge",
        help_words="Count across the middle of a washed swatch; halves count.",
    ),
    Field(name="rounds", label="Rounds", measure="gauge", help_words="Count upward, in the same place."),
    Field(
        name="measured_in",
        label="The swatch is in",
        help_words="A gauge from another stitch pattern is converted, which is less sure.",
    ),
    Field(name="washed", label="Washed and dried as the hat will be", options=_ON),
    Field(name="fabric", label="Stitch pattern of the body", first="cable-2x2"),
)

_AFTER = (
    Field(name="brim", label="Brim"),
    Field(
        name="brim_height",
        label="Height of the brim",
        measure="length",
        help_words="Leave it empty for 8 % of the head.",
    ),
    Field(
        name="brim_round_count",
        label="Rounds of the brim",
        measure="count",
        help_words="Give it instead of the height.",
    ),
    Field(
        name="weight",
        label="Weight of the yarn",
        help_words="With a yarn, the plan says how much to buy.",
    ),
    Field(name="ball_mass", label="One ball weighs", measure="mass"),
    Field(
        name="ball_length", label="One ball holds", measure="yarn_length", help_words="Both are on the band."
    ),
    Field(
        name="fibre",
        label="Fibre",
        options=(Option("", "Not known"), *(Option(each, each.capitalize()) for each in get_args(FibreKind))),
    ),
    Field(
        name="strands",
        label="Strands held together",
        measure="count",
        help_words="Leave it empty for one.",
    ),
    Field(
        name="tex",
        label="Tex of one strand",
        measure="tex",
        help_words="Grams to 1000 m, where you know it; it counts before the band of the ball.",
    ),
    Field(
        name="swatch_mass",
        label="The swatch weighs",
        measure="mass",
        help_words="A weighed swatch is the best ground for the yarn to buy.",
    ),
    Field(
        name="swatch_stitches",
        label="Stitches of that swatch",
        help_words="All of them by US abbreviation, the chain too, as 21 ch, 360 fpdc, 38 sl_st.",
    ),
    Field(name="hook", label="Hook of the swatch"),
    Field(
        name="ease",
        label="Ease",
        measure="length",
        help_words="Finished hat minus head; −2.5 is 2.5 smaller than the head. Give it instead of the fit.",
    ),
    Field(
        name="depth",
        label="Depth",
        measure="length",
        help_words="From the centre of the crown to the edge. Give it instead of how far the hat reaches.",
    ),
    Field(name="cuff", label="Height of the cuff", measure="length"),
    Field(
        name="brim_stitches",
        label="Stitches of a swatch of the brim",
        measure="gauge",
        help_words="Leave both empty if you did not make one.",
    ),
    Field(name="brim_rounds", label="Rounds of a swatch of the brim", measure="gauge"),
    Field(
        name="crown",
        label="Shape of the crown",
        options=(
            Option("", "What suits the hat"),
            Option("rounded", "Rounded, a dome"),
            Option("gathered", "Gathered, a dome begun late"),
            Option("flat", "Flat, as a beret"),
            Option("tapered", "Tapered, a cone"),
        ),
    ),
    Field(
        name="crown_rounds",
        label="Rounds of the crown",
        measure="count",
        help_words="Leave it empty for as many as the crown is tall.",
    ),
    Field(
        name="crown_depth",
        label="Depth of the crown",
        measure="length",
        help_words="Along the fabric. Give it instead of the rounds.",
    ),
    Field(
        name="placement",
        label="Decreases of a plain crown",
        first="sections",
        options=(
            Option("sections", "Above each other, in sections"),
            Option("scattered", "Spread over each round"),
        ),
    ),
    Field(
        name="sections",
        label="Sections of a plain crown",
        measure="count",
        help_words="Leave it empty for the usual of the stitch, as 6 in single crochet.",
    ),
    Field(
        name="worked",
        label="Direction",
        first="from_brim",
        options=(Option("from_brim", "From the brim up"), Option("from_crown", "From the crown down")),
    ),
    Field(
        name="round_style",
        label="Rounds are worked",
        first="joined",
        options=(
            Option("joined", "Joined with a slip stitch"),
            Option("spiral", "In a spiral (plain single or half double crochet only)"),
        ),
    ),
    Field(name="start_chain", label="The chain that begins a round stands for its first stitch", options=_ON),
    Field(
        name="hand",
        label="Hook in the",
        first="right",
        options=(Option("right", "Right hand"), Option("left", "Left hand; cables lean the other way")),
    ),
    Field(
        name="edging",
        label="Edging",
        first="none",
        options=(Option("none", "None"), Option("reverse_sc", "Reverse single crochet along the brim")),
    ),
    Field(
        name="terms",
        label="Terms",
        first="us",
        options=(Option("us", "US: single crochet is sc"), Option("uk", "UK: single crochet is dc")),
    ),
    Field(name="working", label="Show how each figure was reached", options=_ON),
)

_COLUMNS = tuple(field for column in COLUMN_FIELDS for field in column)

FIELDS: Mapping[str, Field] = MappingProxyType(
    {field.name: field for field in (*_BEFORE, *OWN_FABRIC_FIELDS, *_COLUMNS, *_AFTER)}
)

#: What a first hat can do without, folded away in parts; a part is open where something in it was typed.
FOLDED: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "size": ("ease", "depth", "cuff"),
        "brim": ("brim_height", "brim_round_count", "brim_stitches", "brim_rounds"),
        "yarn": ("strands", "tex", "swatch_mass", "swatch_stitches"),
        "crown": ("crown", "crown_rounds", "crown_depth", "placement", "sections"),
        "work": ("worked", "round_style", "start_chain", "edging", "hand", "terms", "working"),
    }
)

#: A filled form to look at: a scenario of our own.
EXAMPLE: Mapping[str, str] = MappingProxyType(
    {
        "title": "The harbour hat",
        "size": "adult-m",
        "stitches": "18.5",
        "rounds": "11.5",
        "washed": "yes",
        "fabric": "cable-2x2",
        "brim": "post-rib-1x1",
        "weight": "4",
        "ball_mass": "100",
        "ball_length": "180",
        "fibre": "merino",
        "hook": "5.5",
    }
)


def typed_entries(sent: Mapping[str, str]) -> dict[str, str]:
    """Return what was typed or chosen and says more than the empty form; unknown names are left aside.

    Links gain members on their way through other programs, and those are none of our business.

    Examples
    --------
    >>> typed_entries({"stitches": " 17 ", "worked": "from_brim", "depth": "", "via": "letter"})
    {'stitches': '17'}
    """
    trimmed = {name: sent[name].strip() for name in FIELDS if name in sent}
    return {name: text for name, text in trimmed.items() if text != FIELDS[name].first and text}


def options_of(name: str, tables: ReferenceTables) -> tuple[Option, ...]:
    """Return the answers of a list, from the published tables where they have them."""
    listed: Mapping[str, Callable[[], tuple[Option, ...]]] = {
        "size": lambda: tuple(map(_size_option, tables.head_sizes)),
        "fabric": lambda: (*_fabric_options(tables), _OWN_FABRIC),
        "measured_in": lambda: (Option("", "The stitch pattern of the body"), *_fabric_options(tables)),
        "brim": lambda: (
            Option("", "The usual for this hat"),
            Option("none", "None"),
            *_fabric_options(tables),
        ),
        "weight": lambda: (Option("", "Not known"), *map(_weight_option, tables.yarn_weights)),
        "hook": lambda: (Option("", "Not known"), *map(_hook_option, tables.hook_sizes)),
    }
    return listed.get(name, lambda: FIELDS[name].options)()


def _size_option(row: HeadSize) -> Option:
    return Option(row.size_id, f"{row.name}: {both_systems(row.mean_mm)}")


def _fabric_options(tables: ReferenceTables) -> tuple[Option, ...]:
    return tuple(Option(row.fabric_id, row.name, _repeat_words(row.fabric)) for row in tables.fabrics)


def _repeat_words(fabric: Fabric) -> str:
    """Return the repeat of a fabric in words.

    Examples
    --------
    >>> from service.domain.fabrics import Column
    >>> _repeat_words(Fabric("dc", (Column("front", 1), Column("back", 1))))
    'repeat of 2 stitches'
    """
    width, height = fabric.stitch_multiple, fabric.round_repeat_count
    if width == 1:
        return "any count of stitches"
    return f"repeat of {width} stitches" + ("" if height == 1 else f" and {height} rounds")


def _weight_option(row: YarnWeight) -> Option:
    return Option(str(row.weight_category), f"{row.weight_category}: {row.name}")


def _hook_option(row: HookSize) -> Option:
    names = [f"US {row.us}" if row.us else "", f"old UK {row.uk}" if row.uk else ""]
    sizes = ", ".join(filter(None, names))
    return Option(f"{row.diameter_mm:g}", f"{row.diameter_mm:g} mm" + (f" ({sizes})" if sizes else ""))
