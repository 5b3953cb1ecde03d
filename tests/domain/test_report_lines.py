"""What answers say about themselves, word for word: the lines of the reckoning, and what was supposed."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

import pytest

from service.domain.class_yarns import ClassYarn, total_working, total_yarn
from service.domain.crown_orders import CrownOrder
from service.domain.crowns import plan_crown
from service.domain.fit import FitTarget
from service.domain.gauge import give_gauge
from service.domain.gauge_readings import GaugeOrder, GaugeReading, measure_gauge
from service.domain.hat_orders import BrimOrder
from service.domain.hats import plan_hat
from service.domain.heads import head_at_age, head_of_size, measured_head
from service.domain.repeat_fits import CountOrder, RepeatFitOrder, fit_repeats
from service.domain.report import Assumption, Working
from service.domain.sizing import FinishedSize, SizeOrder, finish_size
from service.domain.steps import Together, Work
from service.domain.texture import gauge_for_fabric
from service.domain.yarn_colourings import Colouring, ColourSource, Stripe, StripedColours
from service.domain.yarn_estimates import estimate_yarn
from service.domain.yarn_hours import working_time
from service.domain.yarn_orders import YarnOrder
from service.domain.yarn_swatches import Swatch
from service.domain.yarn_weights import WEIGHT_SOURCE
from service.domain.yarn_work import StitchSize, work_from_counts, work_from_steps
from service.domain.yarns import Yarn
from tests.orders import TABLES, WORSTED, hat_order, measured

PLAIN = TABLES.fabric_by_id["plain-sc"]
DOUBLE = StitchSize(stitch_width_mm=7.0, round_height_mm=12.6, stitch="dc")
SWATCH = Swatch(mass_g=9.60, stitch_counts={"sc": 360, "ch": 39})
WEIGHED = YarnOrder(yarn=Yarn(tex=560), work=(work_from_counts({"sc": 2670, "sc2tog": 83}),), swatch=SWATCH)
BY_GAUGE = YarnOrder(
    yarn=Yarn(tex=500, ball_mass_g=50),
    work=(work_from_steps([Work("dc", 100), Together(("dc", "dc"))], number=1, size=DOUBLE),),
)
BY_CATEGORY = YarnOrder(yarn=Yarn(weight_category=4), work=(work_from_counts({"fpdc": 400}),))
STRIPES = Colouring(
    StripedColours((Stripe(("red",), 1), Stripe(("blue",), 1))), (("red", ColourSource(leftovers_m=(2.0,))),)
)
STRIPED = YarnOrder(
    yarn=WORSTED,
    work=tuple(work_from_steps([Work("dc", 100)], number=number, size=DOUBLE) for number in (1, 2)),
    colouring=STRIPES,
)

PRACTICE = "common practice, no source"
JUDGEMENT = "judgement, no source"

#: Every unit a line may have; a ratio and a bare count have none.
UNITS = {"", "mm", "m", "g", "tex", "percent", "per_10cm", "round", "stitch", "ball", "sc_unit"}


def size(*, head_mm: float = 570, **wishes: Any) -> FinishedSize:
    wishes = {"head": measured_head(head_mm, tables=TABLES), "fabric": PLAIN, **wishes}
    return finish_size(SizeOrder(**wishes), TABLES)


def told(lines: Iterable[Working]) -> str:
    return "\n".join(f"{line.name} | {line.formula} | {line.unit} | {line.source}" for line in lines)


def near(value: float) -> Any:
    """Stand for a value in a line, but for the last digits of its reckoning."""
    return pytest.approx(value)


def read(text: str) -> str:
    return "\n".join(line.strip() for line in text.strip().splitlines())


BAND = """
    head_circumference_mm | the head | mm | measured with a tape
    grip_percent | grip of the chosen fit | percent | trade practice
    layers | 2 under a folded brim, else 1 |  | geometry
    thickness_allowance_mm | pi * thickness * layers | mm | geometry
    finished_circumference_mm | head * (1 + grip) + pi * thickness * layers | mm | geometry
    inner_circumference_mm | finished - allowance | mm | geometry
"""
EASE_BAND = """
    head_circumference_mm | the head | mm | measured with a tape
    grip_percent | (finished - pi * thickness * layers) / head - 1 | percent | trade practice
    layers | 2 under a folded brim, else 1 |  | geometry
    thickness_allowance_mm | pi * thickness * layers | mm | geometry
    finished_circumference_mm | head + ease | mm | geometry
    inner_circumference_mm | finished - allowance | mm | geometry
"""
SURVEY = "NIOSH head-and-face survey 2003, 3,996 adults (Zhuang & Bradtmiller 2005): half the coronal arc"
ARC = "59.6 + 0.2002 * head from 520 mm, 0.305 * head to 480 mm, blended between"
COVERING = f"""
    crown_to_ear_mm | {ARC} | mm | {SURVEY}
    ear_offset_mm | COVERS * min(1, head / 520) | mm | adult ear 62 mm long
    depth_on_head_mm | crown to ear + offset | mm | geometry
    depth_mm | dome + pi / 4 * thickness + (depth - dome) * (1 + 0.4 * stretch) + EXTRA | mm | geometry
    fabric_depth_mm | depth + cuff | mm | geometry
"""
HEADBAND = f"""
    depth_mm | 0.16 * head | mm | {PRACTICE}
    fabric_depth_mm | depth + cuff | mm | geometry
"""
ASKED = """
    depth_mm | as asked | mm | the order
    fabric_depth_mm | depth + cuff | mm | geometry
"""


@pytest.mark.parametrize(
    ("wishes", "lines"),
    [
        ({}, BAND + COVERING.replace("COVERS", "bottom_of_ear").replace("EXTRA", "0")),
        (
            {"style": "slouch", "covers": "mid_ear"},
            BAND + COVERING.replace("COVERS", "mid_ear").replace("EXTRA", "50"),
        ),
        ({"style": "headband", "ease_mm": -30}, EASE_BAND + HEADBAND),
        ({"depth_mm": 200, "cuff_mm": 40}, BAND + ASKED),
    ],
)
def test_a_size_tells_how_its_band_and_its_depth_were_reached(wishes: dict[str, Any], lines: str) -> None:
    assert told(size(**wishes).working) == read(lines.replace("\n\n", "\n"))


def test_a_gauge_tells_how_its_errors_were_reached() -> None:
    place = GaugeReading(stitch_count=20, width_mm=140, round_count=18, height_mm=113.4)

    report = measure_gauge(GaugeOrder(readings=(place,) * 2), TABLES)

    own = "Convention: our own error budget of a swatch"
    mean = "mean over readings, weighted by inverse variance"
    read_off = "sqrt(1 / sum(1 / s_i^2)), s_i^2 = (f/(sqrt(3) N))^2 + 2 (r/(sqrt(3) W))^2 + cv^2/N"
    total = "sqrt(s_reading^2 + s_drift^2 + s_wash^2)"
    assert told(report.working) == read(f"""
        places | readings used |  | {own}
        stitch_width_mm | {mean} | mm | {own}
        round_height_mm | {mean} | mm | {own}
        width_reading_error_percent | {read_off} | percent | {own}
        height_reading_error_percent | {read_off} | percent | {own}
        width_error_percent | {total} | percent | {own}
        height_error_percent | {total} | percent | {own}
    """)
    values = {line.name: line.value for line in report.working}
    assert values["places"] == 2
    assert values["stitch_width_mm"] == report.gauge.stitch_width_mm
    assert values["round_height_mm"] == report.gauge.round_height_mm
    assert values["width_error_percent"] == 100 * report.gauge.width_error
    assert values["height_error_percent"] == 100 * report.gauge.height_error
    # Drift 2.5 % and a wash still to come of 4 % stand between reading and total.
    for side in ("width", "height"):
        reading, error = values[f"{side}_reading_error_percent"], values[f"{side}_error_percent"]
        assert error**2 - reading**2 == pytest.approx(2.5**2 + 4**2)


def test_a_fit_tells_how_its_count_was_reached() -> None:
    band = FitTarget(target_mm=500, low_mm=473, high_mm=527, allowance_mm=10)
    order = CountOrder(stitch_width_mm=5.0, error=0.03, stitch_multiple=10, target=band)

    fits = fit_repeats(RepeatFitOrder(body=order), TABLES)

    own = "Convention: our own fit rule"
    normal = "Phi((high - mu) / (s mu)) - Phi((low - mu) / (s mu)), mu = circumference - allowance"
    assert told(fits.working) == read(f"""
        target_circumference_mm | asked or from the head | mm | the order
        band_low_mm | smallest circumference inside that fits | mm | {own}
        band_high_mm | largest circumference inside that fits | mm | {own}
        thickness_allowance_mm | pi * thickness * layers | mm | geometry
        error_percent | sqrt(gauge^2 + head^2) | percent | {own}
        stitch_count | multiple * repeats + extra | stitch | {own}
        circumference_mm | stitches * width | mm | geometry
        fit_probability | {normal} |  | {own}
        exact_stitches_per_10cm | 100 * stitches / target | per_10cm | geometry
    """)
    best = fits.candidates[0]
    assert [line.value for line in fits.working] == [
        500,
        473,
        527,
        10,
        3.0,
        best.count.stitch_count,
        best.count.circumference_mm,
        best.count.fit_probability,
        best.exact_stitches_per_10cm,
    ]


UNITS_LINES = f"""
    work_units | sum of r over every stitch, chain and join | sc_unit | {PRACTICE}
"""
SWATCH_LINES = """
    swatch_units | sum of r over the swatch | sc_unit | the weighed swatch
    unit_mass | swatch mass / swatch units | g | the weighed swatch
    unit_length | unit mass * 1e6 / tex | mm | the weighed swatch
"""
TOTAL_LINES = f"""
    mass | length * tex / 1000 | g | ISO 1144
    extras | ends + joins + gathering + swatch kept | m | {PRACTICE}
    length_to_buy | median * exp(z * sd) + extras | m | log-normal
"""
GAUGE_LINES = f"""
    unit_length | 7.5 * sqrt(w * h_sc) | mm | {PRACTICE}
    length | sum of strands * r * 7.5 * sqrt(w * h_sc) | m | {PRACTICE}
"""


@pytest.mark.parametrize(
    ("order", "lines"),
    [
        (
            WEIGHED,
            "strand_tex | as given | tex | ISO 1144\n"
            + UNITS_LINES
            + SWATCH_LINES
            + f"length | g per unit * units * 1000 / tex | m | {PRACTICE}\n"
            + TOTAL_LINES,
        ),
        (
            BY_GAUGE,
            "strand_tex | as given | tex | ISO 1144\n"
            + UNITS_LINES
            + GAUGE_LINES
            + TOTAL_LINES
            + "ball_count | ceil(mass / ball) |  | whole balls only\n",
        ),
        (
            BY_CATEGORY,
            "strand_tex | middle of the category | tex | ISO 1144\n"
            + UNITS_LINES
            + f"length | strands * 28 / sqrt(tex) * sum of texture * area | m | {PRACTICE}\n"
            + TOTAL_LINES,
        ),
        (
            replace(BY_GAUGE, yarn=WORSTED),
            "strand_tex | 1000 * g / m | tex | ISO 1144\n"
            + UNITS_LINES
            + GAUGE_LINES
            + TOTAL_LINES
            + "ball_count | ceil(length / ball) |  | whole balls only\n",
        ),
        (
            STRIPED,
            "strand_tex | 1000 * g / m | tex | ISO 1144\n"
            + UNITS_LINES
            + GAUGE_LINES
            + TOTAL_LINES
            + f"from_leftovers | longest first, each less 0.3 m for a join | m | {PRACTICE}\n"
            + "ball_count | sum over the colours of ceil((need - leftovers) / ball) |  | whole balls only\n",
        ),
    ],
    ids=["swatch", "gauge", "category", "ball", "colours"],
)
def test_an_estimate_tells_how_yarn_and_balls_were_reached(order: YarnOrder, lines: str) -> None:
    assert told(estimate_yarn(order).working) == read("\n".join(filter(None, lines.splitlines())))


def test_another_texture_than_the_swatch_is_reckoned_like_the_swatch() -> None:
    other = replace(WEIGHED, work=(work_from_counts({"fpdc": 400}),))

    working = estimate_yarn(other).working

    assert estimate_yarn(other).tier.number == 2
    assert told(working) == told(estimate_yarn(WEIGHED).working)


@pytest.mark.parametrize(
    ("yarn", "measure"), [(Yarn(tex=500, ball_mass_g=50), "mass"), (WORSTED, "length")], ids=str
)
def test_a_class_tells_how_each_sum_of_its_yarns_was_reached(yarn: Yarn, measure: str) -> None:
    total = total_yarn(ClassYarn(yarn=yarn), [estimate_yarn(replace(BY_GAUGE, yarn=yarn))] * 3)

    lines = total_working([total])

    reserve = "Convention: a reserve for slips"
    added = "Convention: the needs of single kits are added as they stand"
    assert told(lines) == read(f"""
        yarn_0.length | sum of the lengths of its kits | m | {added}
        yarn_0.mass | sum of the masses of its kits | g | {added}
        yarn_0.by_kit | sum of the balls of its kits | ball | {added}
        yarn_0.pooled | ceil(sum of the {measure}s of its kits / {measure} of a ball) | ball | {added}
        yarn_0.spare | max(pooled at 99 % certainty - pooled, min(1, pooled)) | ball | {reserve}
    """)
    assert [line.value for line in lines[:2]] == [total.length_m, total.mass_g]


def test_a_hat_tells_first_its_size_then_its_counts_its_rounds_and_its_yarn() -> None:
    plan = plan_hat(hat_order(yarn=WORSTED), TABLES)

    assert plan.yarn.estimate is not None
    before, after = len(plan.size.working) + len(plan.counts.working), len(plan.yarn.estimate.working)
    assert plan.working[:before] == (*plan.size.working, *plan.counts.working)
    assert plan.working[-after:] == plan.yarn.estimate.working
    rounds = "round((depth - brim - joining - edging - crown) / round height)"
    assert told(plan.working[before:-after]) == read(f"""
        brim_mm | rounds * their height | mm | geometry
        joining_mm | rounds * their height | mm | geometry
        body_round_count | {rounds} | round | geometry
    """)
    assert [line.value for line in plan.working[before:-after]] == [
        plan.layout.brim_mm,
        plan.layout.joining_mm,
        plan.layout.body_round_count,
    ]


@pytest.mark.parametrize(
    "yarn", [None, WORSTED, Yarn(weight_category=5), Yarn(tex=500, ball_mass_g=50)], ids=str
)
@pytest.mark.parametrize(
    "wishes",
    [
        {},
        {"size": {"style": "slouch"}, "worked": "from_crown"},
        {"size": {"style": "cuffed"}, "head_mm": 460},
        {"size": {"style": "headband"}, "brim": None},
        {"size": {"ease_mm": 20, "depth_mm": 210}, "fabric": "plain-sc", "brim": None, "has_edging": True},
    ],
)
def test_every_line_of_a_hat_has_a_name_a_known_unit_and_a_source(wishes: dict[str, Any], yarn: Any) -> None:
    plan = plan_hat(hat_order(yarn=yarn, **wishes), TABLES)

    supposed = [line.name for line in plan.assumptions]
    assert len(supposed) == len(set(supposed))
    lines: tuple[Working | Assumption, ...] = (*plan.working, *plan.assumptions)
    for line in lines:
        assert line.name
        assert line.unit in UNITS
        assert line.source
    assert all(line.confidence in ("H", "M", "L") for line in plan.assumptions)
    assert all(line.formula for line in plan.working)


EARS = ("ear_bottom_offset_mm", "dome_arc_ratio", "stretch_shortening")
ADULT = ("crown_to_ear_fixed_mm", "crown_to_ear_slope")
CHILD = ("child_depth_ratio", "child_depth_until_mm", "adult_depth_from_mm")


@pytest.mark.parametrize(
    ("wishes", "names"),
    [
        ({}, (*ADULT, *EARS)),
        ({"covers": "top_of_ear"}, (*ADULT, "ear_top_offset_mm", *EARS[1:])),
        # From 520 mm a head is an adult's in everything, to 480 mm a child's.
        ({"head_mm": 520}, (*ADULT, *EARS)),
        ({"head_mm": 519}, (*ADULT, *CHILD, "ear_full_size_mm", *EARS)),
        ({"head_mm": 480}, (*CHILD, "ear_full_size_mm", *EARS)),
        ({"style": "slouch"}, ("slouch_width_ratio", *ADULT, *EARS, "slouch_extra_depth_mm")),
        ({"style": "slouch", "depth_mm": 250}, ("slouch_width_ratio",)),
        ({"style": "cuffed"}, (*ADULT, *EARS, "brim_height_ratio")),
        ({"style": "cuffed", "cuff_mm": 40}, (*ADULT, *EARS)),
        ({"style": "headband"}, ("headband_height_ratio",)),
        ({"style": "headband", "depth_mm": 90}, ()),
        ({"depth_mm": 200}, ()),
    ],
)
def test_a_size_names_the_priors_it_rests_on_as_they_are_published(
    wishes: dict[str, Any], names: tuple[str, ...]
) -> None:
    found = size(ease_mm=0, thickness_mm=3, **wishes).assumptions

    assert found == tuple(TABLES.prior_by_name[name].as_assumption() for name in names)


def test_a_grip_and_a_thickness_that_nobody_gave_are_supposed() -> None:
    prior = TABLES.prior_by_name

    grip, thickness = size(depth_mm=200, fit="close").assumptions

    close = prior["grip_close"]
    assert grip == Assumption("grip_percent", 100 * close.value, "percent", close.confidence, close.source)
    assert thickness == replace(
        prior["thickness_plain_mm"].as_assumption(), name="fabric_thickness_mm", value=3.0
    )


@pytest.mark.parametrize(
    "head",
    [head_of_size("adult-m", tables=TABLES), head_at_age(12, sex="male", tables=TABLES)],
    ids=["size", "age"],
)
def test_a_head_that_nobody_measured_is_supposed_to_be_the_published_one(head: Any) -> None:
    (supposed,) = size(head=head, depth_mm=200, ease_mm=0, thickness_mm=3).assumptions

    assert supposed == Assumption("head_circumference_mm", head.circumference_mm, "mm", "H", head.source)


def test_a_hand_that_nobody_described_is_supposed_to_be_typical() -> None:
    place = GaugeReading(stitch_count=20, width_mm=140, round_count=18, height_mm=113.4)
    source = TABLES.prior_by_name["evenness_typical"].source

    report = measure_gauge(GaugeOrder(readings=(place,)), TABLES)

    assert report.assumptions == (Assumption("evenness", "typical", "", "L", source),)
    assert measure_gauge(GaugeOrder(readings=(place,), evenness="steady"), TABLES).assumptions == ()


@pytest.mark.parametrize(
    ("errors", "names"),
    [
        ((None, None), ["width_error_percent", "height_error_percent"]),
        ((0.02, None), ["height_error_percent"]),
        ((None, 0.02), ["width_error_percent"]),
        ((0.02, 0.02), []),
    ],
)
def test_an_error_of_the_gauge_that_nobody_gave_is_supposed(errors: Any, names: list[str]) -> None:
    source = TABLES.prior_by_name["gauge_bare_error"].source

    given = give_gauge(
        stitches_per_10cm=16,
        rounds_per_10cm=18,
        fabric_id=None,
        width_error=errors[0],
        height_error=errors[1],
        washed=True,
        tables=TABLES,
    )

    assert given.assumptions == tuple(Assumption(name, 3.2, "percent", "L", source) for name in names)


def test_a_gauge_of_another_fabric_supposes_a_ratio_across_and_one_up() -> None:
    priors = TABLES.prior_by_name
    plain, rib = TABLES.fabric_by_id["plain-dc"], TABLES.fabric_by_id["post-rib-1x1"]
    gauge = measured(16, 9, plain).given.gauge

    across, up = gauge_for_fabric(gauge, measured=plain, wanted=rib, tables=TABLES).assumptions

    assert across == Assumption("stitch_width_ratio", near(0.85), "", "L", priors["post_width_ratio"].source)
    assert up == Assumption("round_height_ratio", near(0.75), "", "L", priors["post_height_ratio"].source)


DOME = Assumption("dome_height_ratio", 0.8, "", "M", "several weak sources agree")
GATHERED = Assumption("gathered_depth_ratio", 0.11, "", "L", PRACTICE)
TAPER = Assumption("taper_half_angle_degrees", 40.0, "", "L", "our own judgement")
CLOSING = Assumption("closing_stitch_count_max", 8, "stitch", "L", PRACTICE)


@pytest.mark.parametrize(
    ("wishes", "supposed"),
    [
        ({"crown_shape": "rounded"}, (DOME, CLOSING)),
        ({"crown_shape": "gathered"}, (DOME, GATHERED, CLOSING)),
        ({"crown_shape": "flat"}, (CLOSING,)),
        ({"crown_shape": "tapered"}, (TAPER, CLOSING)),
        ({"crown_shape": "gathered", "round_count": 12}, (DOME, CLOSING)),
        ({"crown_shape": "tapered", "round_count": 20}, (CLOSING,)),
        ({"crown_shape": "tapered", "depth_mm": 100}, (CLOSING,)),
        ({"crown_shape": "flat", "closing_stitch_count_max": 8}, ()),
    ],
)
def test_a_crown_tells_what_it_supposes_of_its_shape(wishes: dict[str, Any], supposed: Any) -> None:
    order = CrownOrder(start_stitch_count=88, stitch_width_mm=6.0, round_height_mm=5.0, **wishes)

    assert plan_crown(order).assumptions == supposed


def test_a_crown_with_many_stitches_left_supposes_worsted_yarn() -> None:
    order = CrownOrder(
        start_stitch_count=88,
        stitch_width_mm=6.0,
        round_height_mm=5.0,
        crown_shape="flat",
        section_count=8,
        closing_stitch_count_min=24,
        closing_stitch_count_max=24,
    )

    (supposed,) = plan_crown(order).assumptions

    assert supposed == Assumption("yarn_diameter_mm", 1.5, "mm", "L", "worsted; our judgement")
    assert plan_crown(replace(order, yarn_diameter_mm=1.5)).assumptions == ()


def weight(code: str, units: float) -> Assumption:
    return Assumption(f"stitch_weight_{code}", near(units), "sc_unit", "M", WEIGHT_SOURCE)


def log_sd(value: float) -> Assumption:
    return Assumption("yarn_log_sd", value, "", "L", JUDGEMENT)


CLOTH = Assumption("cloth_factor", 28.0, "", "M", PRACTICE)
MIDDLE = Assumption("tex", 590.0, "tex", "L", f"middle of ball bands; {PRACTICE}")
CYC = "Craft Yarn Council, Standard Yarn Weight System: middle of the gauge range"
# Worsted is worked at 11 to 14 single crochets to 10 cm.
BAND_GAUGE = Assumption("stitches_per_10cm", 12.5, "per_10cm", "L", CYC)
ASPECT = Assumption("single_crochet_aspect", 0.9, "", "M", PRACTICE)
POSTS = Assumption("post_texture_factor", 1.5, "", "L", JUDGEMENT)
KEPT = "Convention: a swatch is kept, since a washed one cannot be worked again"


@pytest.mark.parametrize(
    ("order", "supposed"),
    [
        (
            WEIGHED,
            (
                log_sd(0.06),
                weight("ch", 0.5),
                weight("sc2tog", 1.5),
                # 9.6 g at 560 tex.
                Assumption("kept_swatch", near(9600 / 560), "m", "L", KEPT),
            ),
        ),
        (
            replace(WEIGHED, swatch=replace(SWATCH, is_unravelled=True), stitch_weights={"ch": 0.4}),
            (log_sd(0.06), weight("sc2tog", 1.5)),
        ),
        (
            BY_GAUGE,
            (
                log_sd(0.15),
                weight("dc", 1.85),
                # Two legs of a stitch of 4 loops: (2 * 3 + 1) / 4 = 1.75 of 1.85.
                weight("dc2tog", 1.75 * 1.85),
                Assumption("unit_length_factor", 7.5, "", "M", PRACTICE),
                Assumption("height_ratio_dc", 2.0, "", "M", PRACTICE),
            ),
        ),
        (BY_CATEGORY, (log_sd(0.25), MIDDLE, CLOTH, POSTS, BAND_GAUGE, ASPECT)),
        (
            replace(BY_CATEGORY, work=(work_from_counts({"dc": 400}),)),
            (log_sd(0.25), MIDDLE, CLOTH, BAND_GAUGE, ASPECT),
        ),
        (replace(BY_GAUGE, yarn=Yarn(weight_category=4)), (log_sd(0.25), MIDDLE, CLOTH)),
    ],
    ids=["swatch", "unravelled", "gauge", "category", "category_without_posts", "category_with_gauge"],
)
def test_an_estimate_of_yarn_tells_what_it_supposes(order: YarnOrder, supposed: Any) -> None:
    assert estimate_yarn(order).assumptions == supposed


def test_a_pace_that_nobody_gave_is_supposed_to_be_practised() -> None:
    (supposed,) = working_time(units=100).assumptions

    assert supposed == Assumption("pace_units_per_minute", 12.0, "sc_unit", "L", JUDGEMENT)


def test_a_brim_whose_height_nobody_gave_is_a_share_of_the_head() -> None:
    prior = TABLES.prior_by_name["brim_height_ratio"].as_assumption()
    rib = TABLES.fabric_by_id["post-rib-1x1"]

    supposed = {
        name: [line for line in plan_hat(order, TABLES).assumptions if line.name == prior.name]
        for name, order in {
            "usual": hat_order(),
            "rounds": hat_order(brim=BrimOrder(fabric=rib, round_count=4)),
            "height": hat_order(brim=BrimOrder(fabric=rib, height_mm=40)),
            "fold": hat_order(size={"style": "cuffed"}),
            "no_brim": hat_order(brim=None),
        }.items()
    }

    assert supposed == {"usual": [prior], "rounds": [], "height": [], "fold": [prior], "no_brim": []}
