"""The sentences of notices: what a maker reads for each code, as one table.

The figures in braces come with the notice. Cautions about people are worded once, here.
A sentence that reads otherwise for some figures stands beside the code with points and words.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from service.domain.report import Notice
from service.patterns.lengths import counted, measured

__all__ = ["NOTICE_CODES", "SEVERITIES", "Severity", "notice_sentence", "notice_severity"]

Severity = Literal["info", "caution", "warning"]

#: The most serious first.
SEVERITIES: tuple[Severity, ...] = ("warning", "caution", "info")


@dataclass(frozen=True, slots=True)
class _Entry:
    severity: Severity
    sentence: str


_TABLE: Mapping[str, _Entry] = MappingProxyType(
    {
        "sleep": _Entry(
            "warning",
            "Take the {piece} off a sleeping baby, and indoors. "
            "Overheating and a covered face are dangerous.",
        ),
        "small_parts": _Entry(
            "warning",
            "Leave off buttons, beads and pompoms, or sew them through and pull-test them: "
            "small parts can choke.",
        ),
        "cords": _Entry("warning", "No ties, drawstrings or long chin cords on a young child's {piece}."),
        "selling": _Entry(
            "info", "If you sell {piece}s for children, check the product rules of your country."
        ),
        "fibre": _Entry("caution", "Coarse wool can itch; try the yarn on the forehead or inner arm first."),
        "hands": _Entry("info", "Take regular breaks, stretch, and vary the work."),
        "wash_swatch": _Entry(
            "caution",
            "Wash and dry the swatch as the finished piece will be, and only then measure it: "
            "washing can change it by several percent.",
        ),
        "gauge_uncertain": _Entry(
            "caution",
            "This gauge is known only to about {width_error_percent:.1f} %. "
            "Measure a wider swatch in three places for a surer fit.",
        ),
        "leave_edges_out": _Entry(
            "info",
            "Leave out {stitches} and {rounds} at each edge when you measure: edges are wider than the rest.",
        ),
        "measure_more_places": _Entry(
            "info",
            "Measure in {places}: that brings the error down to {width_error_percent:.1f} %.",
        ),
        "make_wider_swatch": _Entry(
            "info",
            "Count over at least {stitches}: that brings the error down to {width_error_percent:.1f} %.",
        ),
        "readings_disagree": _Entry(
            "warning",
            "The readings differ by {spread_percent:.0f} %, more than chance explains. "
            "Measure again; one of them may be a slip.",
        ),
        "changed_in_wash": _Entry(
            "info",
            "Washing changed the width by {width_percent:+.1f} % and the height by {height_percent:+.1f} %.",
        ),
        "swatch_fabric": _Entry(
            "caution",
            "Not every part is worked in the fabric of the swatch, and the gauge of the others is reckoned "
            "by rule of thumb. To be sure, swatch each fabric.",
        ),
        "thickness_assumed": _Entry(
            "info",
            "The fabric is taken to be {thickness} thick. "
            "To be sure, fold a swatch in two and measure it: half of that is the thickness.",
        ),
        "depth_child_rule": _Entry(
            "info",
            "For a head this small, the depth of {depth} is only a rule of thumb. "
            "Where you can, measure from the top of the head to the bottom of the ear.",
        ),
        "repeat_forces_size": _Entry(
            "caution",
            "A repeat of {stitch_multiple} stitches lets the size change only in wide steps: "
            "half a repeat is {half_repeat}, and the best count comes out {difference} {side} the target. "
            "To come closer, choose a fabric with a smaller repeat, or another hook.",
        ),
        "repeat_forces_size.exact": _Entry(
            "caution",
            "A repeat of {stitch_multiple} stitches lets the size change only in wide steps: "
            "half a repeat is {half_repeat}. This time a count meets the target; "
            "at another gauge it may not.",
        ),
        "repeat_forces_size.one_stitch": _Entry(
            "caution",
            "A stitch of this gauge is so wide that the size changes only in wide steps: half a stitch is "
            "{half_repeat}, and the best count comes out {difference} {side} the target. "
            "To come closer, choose another hook or a finer yarn.",
        ),
        "repeat_forces_size.one_stitch.exact": _Entry(
            "caution",
            "A stitch of this gauge is so wide that the size changes only in wide steps: half a stitch is "
            "{half_repeat}. This time a count meets the target; at another gauge it may not.",
        ),
        "fit_unlikely": _Entry(
            "caution",
            "The chance that the best count fits is {fit_percent} %. "
            "At {exact_stitches_per_10cm:.1f} stitches to 10 cm (4 in) it would meet the size exactly: "
            "try another hook and measure again, or choose a smaller repeat.",
        ),
        "fit_uncertain": _Entry(
            "caution",
            "The chance of a good fit is {fit_percent} %, and no stitch count would make it more than "
            "{best_percent} %, because head and gauge are known too roughly. "
            "Measure the head with a tape, and the swatch in three places.",
        ),
        "headband_has_no_crown": _Entry(
            "caution", "A headband has no crown: what was asked for one is not used."
        ),
        "scattered_not_used": _Entry(
            "caution",
            "A crown of columns keeps its decreases in them: scattered decreases are for plain crowns, "
            "and the wish is not used.",
        ),
        "swatch_not_used": _Entry(
            "caution",
            "The weighed swatch is not used: without a yarn no estimate is made. Say what yarn it is.",
        ),
        "crosses_every_round": _Entry(
            "caution",
            "The cable crosses {over} over {over} stitches on every round, which is hard to work and pulls "
            "the fabric in. Cables so wide usually cross once in {rounds}: "
            "give the rounds from one crossing to the next.",
        ),
        "weave_never_turns": _Entry(
            "caution",
            "The body has only {rounds}, and this fabric changes its faces after {flip_rounds}: "
            "the weave does not show. Make the whole deeper, or the brim or the crown shorter.",
        ),
        "lead_in_rounds": _Entry(
            "info",
            "Beyond its whole vertical repeats the body has {rounds} without crossings, "
            "to bring it to its depth.",
        ),
        "crown_gathers": _Entry(
            "caution",
            "The crown has few rounds to narrow in, so its fabric gathers in soft folds. "
            "Give it more rounds for a smoother one.",
        ),
        "crown_pouches": _Entry(
            "warning",
            "The crown strays so far from the shape asked for that it stands off in a pouch. "
            "Change its number of rounds, or choose a fabric with a smaller repeat.",
        ),
        "needs_blocking": _Entry(
            "info",
            "In some rounds the crown is a little wider or narrower than its shape. "
            "Wet the hat and let it dry over something round, the size of the head.",
        ),
        "too_many_to_close": _Entry(
            "caution",
            "Drawing {stitches} shut in this yarn leaves a knob about {plug} wide; "
            "up to 1.5 cm (⅝ in) lies flat. Narrow the crown once more before closing it.",
        ),
        "seam_leans": _Entry(
            "info",
            "In joined rounds of short stitches the join leans by about half a stitch each round, and "
            "increases or decreases that stand in line lean with it. "
            "Put the join at the back, and find your place by counting rather than by the line.",
        ),
        "sizes_share_counts": _Entry(
            "caution",
            "These sizes come out with the same stitch counts, since a whole repeat is wider than the step "
            "between them. Choose a fabric with a smaller repeat to tell them apart.",
        ),
        "left_handed": _Entry(
            "info",
            "Worked left-handed, these words give the mirror image: rounds run the other way, "
            "and so do the leans of cables.",
        ),
        "yarn_figures_disagree": _Entry(
            "caution",
            "The figures for the yarn do not agree: its {basis} makes it {tex:.0f} tex, "
            "its {other_basis} {other_tex:.0f} tex. The first is used.",
        ),
        "yarn_estimate_rough": _Entry(
            "caution",
            "The yarn is estimated without a weighed swatch of these stitches: "
            "it may take anything from {low} to {high}. Weigh a swatch for a better figure.",
        ),
        "swatch_mass_unlikely": _Entry(
            "warning",
            "A swatch of these stitches in this yarn should weigh from {low} to {high}, "
            "not {mass}. Check the scale and the counts.",
        ),
        "weighing_unlikely": _Entry(
            "warning",
            "Up to round {round} the work should have taken from {low} to {high}, not {mass}. "
            "Weigh again: what is said of the yarn that is left follows this figure.",
        ),
        "last_ball_tight": _Entry(
            "caution",
            "If the work takes all the yarn that is allowed for, only {leftover} of the last ball is left. "
            "Buy one more to be safe.",
        ),
        "colours_not_worked": _Entry(
            "caution",
            "Colours that were named and are never worked: {colour_count}. "
            "The work has too few rounds for their stripe, or not the section that they are for.",
        ),
        "colour_weighs_otherwise": _Entry(
            "caution",
            "This yarn has {tex:.0f} tex, the yarn of the whole {main_tex:.0f}: it works up to another "
            "gauge, so that its rounds pull in or ruffle. Swatch the colours together.",
        ),
        "colours_reckoned_together": _Entry(
            "caution",
            "The yarn that is left was weighed as one, and the hat has {colour_count} colours: "
            "one of them can run out sooner. Weigh each by itself, as a checkpoint of the plan.",
        ),
        "rip_back_as_planned": _Entry(
            "info",
            "Worked again from round {from_round} on, the hat comes out as it was planned: "
            "nothing that was measured speaks for another one with the rounds before it.",
        ),
        "rip_back_further": _Entry(
            "caution",
            "Worked again from round {from_round} on, the hat comes out as it was planned. "
            "One that is likelier to come out well parts from it at round {other_from_round}: "
            "rip back to before that.",
        ),
        "one_dye_lot": _Entry("info", "Buy all the yarn in one dye lot: another lot may differ in colour."),
        "crossing_pulls_in": _Entry(
            "caution",
            "Crossing {over} over {over} reaches further than even the tallest of its stitches: "
            "the cable pulls in. Work those stitches loosely, or cross fewer.",
        ),
    }
)

#: What stands on which side of what it should be.
_SIDES: Mapping[bool, str] = MappingProxyType({True: "above", False: "below"})
#: A difference that is told as none. [mm]
_NO_DIFFERENCE_MM = 0.5
_UNITS = ("mm", "m", "g")

NOTICE_CODES = tuple(code for code in _TABLE if "." not in code)


def notice_severity(notice: Notice) -> Severity:
    """Return how serious a notice is: ``info``, ``caution`` or ``warning``."""
    return _TABLE[notice.code].severity


def notice_sentence(notice: Notice) -> str:
    """Return a notice in words, with its figures in both systems.

    A figure goes by its name without the unit, a count by its noun: ``thickness_mm`` is ``{thickness}``,
    ``round_count`` is ``{rounds}``. A headband is called one where the notice knows of it.

    Examples
    --------
    >>> notice_sentence(Notice("hands"))
    'Take regular breaks, stretch, and vary the work.'
    >>> notice_sentence(Notice("thickness_assumed", {"thickness_mm": 3.0}))[:45]
    'The fabric is taken to be 3 mm (⅛ in) thick. '
    >>> notice_sentence(Notice("cords", {"style": "headband"}))
    "No ties, drawstrings or long chin cords on a young child's headband."
    """
    piece = "headband" if notice.values.get("style") == "headband" else "hat"
    words = {**notice.values, "piece": piece, **dict(_figures(notice.values))}
    return _TABLE[_wording(notice)].sentence.format_map(words)


def _wording(notice: Notice) -> str:
    """Return the key of the sentence that suits the figures."""
    words = [notice.code]
    if notice.values.get("stitch_multiple") == 1:
        words.append("one_stitch")
    if abs(float(notice.values.get("difference_mm", _NO_DIFFERENCE_MM))) < _NO_DIFFERENCE_MM:
        words.append("exact")
    return ".".join(words)


def _figures(values: Mapping[str, int | float | str]) -> Iterator[tuple[str, str]]:
    """Yield lengths, masses and counts as they are read."""
    for name, value in values.items():
        stem, _, unit = name.rpartition("_")
        if unit in _UNITS:
            yield stem, measured(abs(float(value)), unit)
        elif unit == "count":
            yield _plural(stem), counted(int(value), stem.rpartition("_")[2])
    if "difference_mm" in values:
        yield "side", _SIDES[float(values["difference_mm"]) > 0]


def _plural(noun: str) -> str:
    return counted(0, noun).removeprefix("0 ")
