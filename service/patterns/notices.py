"""The sentences of notices: what a maker reads for each code, as one table.

The figures in braces come with the notice. Cautions about people are worded once, here.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from service.domain.report import Notice

__all__ = ["NOTICE_CODES", "notice_sentence", "notice_severity"]

Severity = Literal["info", "caution", "warning"]


@dataclass(frozen=True, slots=True)
class _Entry:
    severity: Severity
    sentence: str


_TABLE: Mapping[str, _Entry] = MappingProxyType(
    {
        "sleep": _Entry(
            "warning",
            "Take the hat off a sleeping baby, and indoors. Overheating and a covered face are dangerous.",
        ),
        "small_parts": _Entry(
            "warning",
            "Leave off buttons, beads and pompoms, or sew them through and pull-test them: "
            "small parts can choke.",
        ),
        "cords": _Entry("warning", "No ties, drawstrings or long chin cords on a young child's hat."),
        "selling": _Entry("info", "If you sell hats for children, check the product rules of your country."),
        "fibre": _Entry("caution", "Coarse wool can itch; try the yarn on the forehead or inner arm first."),
        "hands": _Entry("info", "Take regular breaks, stretch, and vary the work."),
        "wash_swatch": _Entry(
            "caution",
            "Wash and dry the swatch as the hat will be, then measure: "
            "washing can change it by several percent.",
        ),
        "gauge_uncertain": _Entry(
            "caution",
            "This gauge is known to about {width_error_percent:.1f} %; "
            "a wider swatch measured in three places would make the fit surer.",
        ),
        "leave_edges_out": _Entry(
            "info",
            "Leave {stitch_count} stitches and {round_count} round out at each side when you measure: "
            "edges are wider than the rest.",
        ),
        "measure_more_places": _Entry(
            "info",
            "Measure in {place_count} places: the error comes down to {width_error_percent:.1f} %.",
        ),
        "make_wider_swatch": _Entry(
            "info",
            "Count over at least {stitch_count} stitches: "
            "the error comes down to {width_error_percent:.1f} %.",
        ),
        "readings_disagree": _Entry(
            "warning",
            "The readings differ by {spread_percent:.0f} %, more than chance explains. "
            "Measure again; one may be a slip.",
        ),
        "changed_in_wash": _Entry(
            "info",
            "Washing changed the width by {width_percent:+.1f} % and the height by {height_percent:+.1f} %.",
        ),
        "swatch_fabric": _Entry(
            "caution",
            "The swatch was made in another fabric than a part of the hat, "
            "which is reckoned by rule of thumb. Swatch each fabric of the hat to be sure.",
        ),
        "thickness_assumed": _Entry(
            "info",
            "The fabric is taken to be {thickness_mm:.1f} mm thick. "
            "To be sure, fold a swatch in two and measure it: half of that is the thickness.",
        ),
        "depth_child_rule": _Entry(
            "info",
            "For a head this small the depth of {depth_cm:.1f} cm rests on a rule of thumb. "
            "Measure from the middle of the crown to the bottom of the ear where you can.",
        ),
        "repeat_forces_size": _Entry(
            "caution",
            "A repeat of {stitch_multiple} stitches lets the size change only in wide steps: "
            "half a repeat is {half_repeat_cm:.1f} cm, and the best count is {difference_cm:+.1f} cm "
            "off the target. Choose a fabric with a smaller repeat, or another hook, to come closer.",
        ),
        "fit_unlikely": _Entry(
            "caution",
            "The chance that the best count fits is {fit_percent} %. "
            "At {exact_stitches_per_10cm:.1f} stitches to 10 cm it would meet the size exactly: "
            "try another hook and measure again, or choose a smaller repeat.",
        ),
        "fit_uncertain": _Entry(
            "caution",
            "The chance that the hat fits is {fit_percent} %, and no stitch count would make it more than "
            "{best_percent} %, since head and gauge are known too roughly. "
            "Measure the head with a tape, and the swatch in three places.",
        ),
        "headband_has_no_crown": _Entry(
            "info", "A headband has no crown: what was asked for one is not used."
        ),
        "weave_never_turns": _Entry(
            "caution",
            "The body has {round_count} rounds, and this fabric changes its faces only after "
            "{flip_round_count}: the weave does not show. "
            "Make the hat deeper, or the brim or the crown shorter.",
        ),
        "lead_in_rounds": _Entry(
            "info",
            "Straight rounds of the body beside its whole vertical repeats: {round_count}. "
            "They make the depth come out.",
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
            "The crown is a little wider or narrower than its shape on some rounds. "
            "Wet the hat and let it dry over something round, the size of the head.",
        ),
        "too_many_to_close": _Entry(
            "caution",
            "Drawing {stitch_count} stitches shut in this yarn leaves a knob about {plug_cm:.1f} cm wide; "
            "up to 1.5 cm lies flat. Narrow the crown once more before closing it.",
        ),
        "seam_leans": _Entry(
            "info",
            "In joined rounds of stitches this short the join leans about half a stitch each round, and "
            "increases or decreases that stand in line lean with it. "
            "Put the join at the back, and count rather than follow it.",
        ),
        "sizes_share_counts": _Entry(
            "caution",
            "These sizes come out with the same stitch counts, since a whole repeat is wider than the step "
            "between them. Choose a fabric with a smaller repeat to tell them apart.",
        ),
        "left_handed": _Entry(
            "info",
            "Worked left-handed, these words give the mirror image: rounds run the other way "
            "and cables lean the other way.",
        ),
        "yarn_figures_disagree": _Entry(
            "caution",
            "What is said of the yarn does not agree: {basis} makes {tex:.0f} tex, "
            "{other_basis} {other_tex:.0f}. The first is used.",
        ),
        "yarn_estimate_rough": _Entry(
            "caution",
            "The yarn is estimated without a weighed swatch of these stitches: "
            "it may take {low_m:.0f} to {high_m:.0f} m. Weigh a swatch for a better figure.",
        ),
        "swatch_mass_unlikely": _Entry(
            "warning",
            "A swatch of these stitches in this yarn should weigh {low_g:.1f} to {high_g:.1f} g, "
            "not {mass_g:.1f}. Check the scale and the counts.",
        ),
        "last_ball_tight": _Entry(
            "caution",
            "If the hat takes all that was reckoned with, only {leftover_m:.1f} m of the last ball is left. "
            "Buy one more to be safe.",
        ),
        "one_dye_lot": _Entry("info", "Buy all balls of one dye lot; another lot may differ in colour."),
        "crossing_pulls_in": _Entry(
            "caution",
            "Crossing {over} over {over} reaches further than even the tallest of its stitches: "
            "the cable pulls in. Work those stitches loosely, or cross fewer.",
        ),
    }
)

NOTICE_CODES = tuple(_TABLE)


def notice_severity(notice: Notice) -> str:
    """Return how serious a notice is: ``info``, ``caution`` or ``warning``."""
    return _TABLE[notice.code].severity


def notice_sentence(notice: Notice) -> str:
    """Return a notice in words, with its figures; a length in mm may be told in cm.

    Examples
    --------
    >>> notice_sentence(Notice("hands"))
    'Take regular breaks, stretch, and vary the work.'
    >>> notice_sentence(Notice("thickness_assumed", {"thickness_mm": 3.0}))[:40]
    'The fabric is taken to be 3.0 mm thick. '
    """
    lengths_cm = {
        f"{name.removesuffix('_mm')}_cm": float(value) / 10
        for name, value in notice.values.items()
        if name.endswith("_mm")
    }
    return _TABLE[notice.code].sentence.format_map({**notice.values, **lengths_cm})
