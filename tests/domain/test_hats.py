"""Whole hats: the worked hat, defaults, fallbacks and refusals."""

import pytest

from service.domain.errors import (
    BrimTooTall,
    ChooseOne,
    CrownCannotClose,
    HatOutOfBounds,
    RepeatWiderThanHat,
    ShapingOutOfReach,
    SpiralNeedsPlainFabric,
    YarnUnderdetermined,
)
from service.domain.fabrics import Column, Crossing, Fabric
from service.domain.hat_counts import refit_hat
from service.domain.hat_gauges import reckon_gauges
from service.domain.hat_orders import BrimOrder, CrownWishes
from service.domain.hat_rounds import RoundManner
from service.domain.hats import plan_hat
from service.domain.sizing import finish_size
from service.domain.steps import Cross, IntoOne, Repeat, Work
from service.domain.yarn_colourings import Colouring, SectionColours
from tests.orders import CABLE_4X4_ON_10, TABLES, WORSTED, hat_order, measured

RIB = TABLES.fabric_by_id["post-rib-1x1"]


def _worked_hat():
    """Plan from a head of 53 cm with the gauge that the worked hat's figures imply."""
    return plan_hat(
        hat_order(
            head_mm=530,
            fabric=CABLE_4X4_ON_10,
            stitches_per_10cm=20,
            rounds_per_10cm=14.5,
            brim_gauge=measured(16, 14.5, RIB),
            crown=CrownWishes(shape="gathered"),
            has_edging=True,
            yarn=WORSTED,
        ),
        TABLES,
    )


def test_the_worked_hat_comes_out_as_it_was_worked():
    # A worked hat, common practice, no source: 80 chains, a dc round, five rounds of post rib, a joining
    # round to 100, a body of 10-stitch repeats, 15.5 cm before the crown, 21 cm deep, fits 52-54 cm.
    plan = _worked_hat()

    before_crown_mm = sum(
        part.height_mm for part in plan.sections if part.name in ("brim", "joining", "body")
    )
    assert 90 <= plan.counts.body <= 110
    assert 70 <= plan.counts.brim <= 88
    assert 135 <= before_crown_mm <= 175
    assert 190 <= plan.depth_mm <= 230
    assert plan.crown.closing_stitch_count <= 12
    assert plan.crown.shape_error <= 0.20
    assert plan.fits_head.low_mm < 540
    assert plan.fits_head.high_mm > 520


def test_the_worked_hat_is_written_as_a_maker_would():
    # The same hat: joining round [2 in one, 1 in each of 3] to 100; 2 back post, 8 front post crossed
    # 4 over 4 every second round; edged with reverse single crochet.
    plan = _worked_hat()

    joining = next(worked for worked in plan.rounds if worked.section == "joining")
    crossing = next(worked for worked in plan.rounds if worked.kind == "cross")
    assert joining.steps == (Repeat(20, (IntoOne(("dc", "dc")), Work("dc", 3))),)
    assert crossing.steps == (Repeat(10, (Work("bpdc", 2), Cross(4, "fpdtr", "right"))),)
    assert plan.rounds[-1].steps == (Work("rev_sc", 80),)
    assert [worked.kind for worked in plan.rounds if worked.section == "body"][:4] == [
        "cross", "pattern", "cross", "pattern",
    ]  # fmt: skip


def test_lead_in_rounds_come_first_and_a_straight_round_lies_under_the_crown():
    plan = plan_hat(hat_order(), TABLES)

    body = [worked.kind for worked in plan.rounds if worked.section == "body"]
    assert plan.layout.lead_in_round_count == len(body) % 4
    assert body[: plan.layout.lead_in_round_count] == ["pattern"] * plan.layout.lead_in_round_count
    assert body[-1] == "pattern"


def test_a_plain_hat_in_a_spiral_has_no_brim_no_chain_and_no_join():
    plan = plan_hat(
        hat_order(
            fabric="plain-sc",
            brim=None,
            stitches_per_10cm=16,
            rounds_per_10cm=18,
            manner=RoundManner(is_joined=False),
        ),
        TABLES,
    )

    assert [part.name for part in plan.sections] == ["body", "crown"]
    assert {worked.start for worked in plan.rounds} == {None}
    assert {worked.join for worked in plan.rounds} == {None}
    assert plan.rounds[0].worked_into == "foundation"


def test_a_hat_from_the_crown_begins_in_a_ring_and_ends_with_the_brim():
    plan = plan_hat(hat_order(worked="from_crown"), TABLES)

    assert plan.foundation_stitch_count == 0
    assert plan.rounds[0].worked_into == "ring"
    assert [part.name for part in plan.sections] == ["crown", "body", "joining", "brim"]
    assert {worked.kind for worked in plan.rounds if worked.section == "brim"} == {"rib"}


def test_a_basket_weave_keeps_the_faces_of_the_last_body_round_in_the_crown():
    plan = plan_hat(hat_order(fabric="basket-weave-4x4", stitches_per_10cm=16, rounds_per_10cm=12), TABLES)

    last_body = [worked for worked in plan.rounds if worked.section == "body"][-1]
    first = last_body.steps[0].steps[0].stitch
    face = "front" if first.startswith("fp") else "back"
    assert plan.crown.rounds[0].columns[0].face == face


def test_a_headband_has_neither_crown_nor_close():
    plan = plan_hat(hat_order(size={"style": "headband"}, brim=None), TABLES)

    assert plan.crown is None
    # A textured band still begins with one plain round, which a post stitch needs.
    assert [part.name for part in plan.sections] == ["brim", "body"]


def test_a_brim_nobody_asked_for_shrinks_before_the_hat_is_refused():
    deep = plan_hat(hat_order(size={"depth_mm": 210.0}), TABLES)
    shallow = plan_hat(hat_order(size={"depth_mm": 145.0}), TABLES)

    assert shallow.layout.brim_round_count < deep.layout.brim_round_count


def test_a_brim_taller_than_the_hat_is_refused_with_the_depth_that_would_do():
    tall = BrimOrder(fabric=RIB, height_mm=200.0)

    with pytest.raises(BrimTooTall) as refusal:
        plan_hat(hat_order(brim=tall), TABLES)

    done = plan_hat(hat_order(brim=tall, size={"depth_mm": 10 * refusal.value.depth_cm + 0.01}), TABLES)
    assert done.layout.body_round_count >= 4


def test_crown_rounds_that_cannot_close_are_refused_with_the_fewest_that_do():
    with pytest.raises(CrownCannotClose) as refusal:
        plan_hat(hat_order(crown=CrownWishes(round_count=2)), TABLES)

    fewest = refusal.value.smallest_round_count
    assert plan_hat(hat_order(crown=CrownWishes(round_count=fewest)), TABLES).crown is not None


def test_a_repeat_wider_than_the_hat_is_refused_with_the_widest_that_fits():
    with pytest.raises(RepeatWiderThanHat) as refusal:
        plan_hat(hat_order(head_mm=300, stitches_per_10cm=1.5, rounds_per_10cm=2), TABLES)

    assert refusal.value.largest_stitch_multiple < 6


def test_a_spiral_in_tall_or_textured_stitches_is_refused():
    with pytest.raises(SpiralNeedsPlainFabric):
        hat_order(manner=RoundManner(is_joined=False))


def test_a_hat_with_more_stitches_than_any_hat_is_refused():
    with pytest.raises(HatOutOfBounds):
        plan_hat(hat_order(fabric="plain-sc", brim=None, stitches_per_10cm=110, rounds_per_10cm=140), TABLES)


def test_alternatives_are_other_counts_with_their_fit_and_yarn():
    plan = _worked_hat()

    counts = [each.fit.count.stitch_count for each in plan.alternatives]
    assert len(counts) >= 2
    assert plan.counts.body not in counts
    assert all(
        each.fit.count.fit_probability <= plan.counts.chosen.count.fit_probability
        for each in plan.alternatives
    )
    assert all(each.yarn_difference_m is not None for each in plan.alternatives)


def test_a_post_rib_below_a_plain_hat_hangs_on_stitches_with_a_post():
    # From the crown down, the joining round carries the rib: half double crochet or taller.
    plan = plan_hat(
        hat_order(fabric="plain-sc", stitches_per_10cm=16, rounds_per_10cm=18, worked="from_crown"), TABLES
    )

    joining = next(worked for worked in plan.rounds if worked.section == "joining")
    assert joining.height_mm > plan.gauges.body.round_height_mm
    assert all("dc" in str(step) for step in joining.steps)


def test_the_band_alone_grips_under_a_slouch():
    plan = plan_hat(hat_order(size={"style": "slouch"}), TABLES)

    assert plan.counts.gripping.stitch_count == plan.counts.brim
    assert plan.fits_head.low_mm < 570 < plan.fits_head.high_mm


def test_a_slouch_without_a_band_is_told_that_it_will_not_stay_on():
    plan = plan_hat(
        hat_order(
            fabric="plain-sc", brim=None, stitches_per_10cm=16, rounds_per_10cm=14, size={"style": "slouch"}
        ),
        TABLES,
    )

    assert plan.counts.fit_probability < 0.1
    assert plan.fits_head.low_mm > 600


def test_a_band_that_is_folded_itself_makes_room_for_both_layers():
    rib = "post-rib-1x1"
    folded = plan_hat(hat_order(fabric=rib, brim=None, size={"style": "cuffed"}), TABLES)
    single = plan_hat(hat_order(fabric=rib, brim=None), TABLES)

    assert folded.counts.body > single.counts.body


def test_the_depth_that_would_do_leaves_out_what_is_folded_up():
    tall = BrimOrder(fabric=RIB, height_mm=150.0)

    with pytest.raises(BrimTooTall) as refusal:
        plan_hat(hat_order(brim=tall, size={"style": "cuffed", "depth_mm": 120.0}), TABLES)

    deep = 10 * refusal.value.depth_cm
    assert plan_hat(hat_order(brim=tall, size={"style": "cuffed", "depth_mm": deep}), TABLES).crown
    assert refusal.value.depth_cm == round(refusal.value.depth_cm, 2)


def test_a_basket_weave_too_short_to_turn_says_so():
    plan = plan_hat(hat_order(fabric="basket-weave-4x4", stitches_per_10cm=16, rounds_per_10cm=9), TABLES)

    assert plan.layout.body_round_count <= 4
    assert "weave_never_turns" in {notice.code for notice in plan.notices}


def test_a_headband_tells_that_wishes_for_a_crown_are_not_used():
    plan = plan_hat(
        hat_order(size={"style": "headband"}, brim=None, crown=CrownWishes(round_count=8)), TABLES
    )

    assert "headband_has_no_crown" in {notice.code for notice in plan.notices}


def test_a_chain_never_carries_a_post_stitch():
    plan = plan_hat(hat_order(manner=RoundManner(start_chain_counts=True)), TABLES)

    assert plan.rounds[0].start.counts_as_stitch is False
    assert all(not worked.start.counts_as_stitch for worked in plan.rounds)


def test_a_joining_round_is_named_for_what_it_does():
    up = plan_hat(hat_order(), TABLES)
    down = plan_hat(hat_order(worked="from_crown"), TABLES)

    kinds = {
        plan.order.worked: next(each.kind for each in plan.rounds if each.section == "joining")
        for plan in (up, down)
    }
    assert kinds == {"from_brim": "increase", "from_crown": "decrease"}


def test_a_brim_whose_cables_pull_in_says_so_as_a_body_does():
    cabled = BrimOrder(fabric=TABLES.fabric_by_id["cable-4x4"], round_count=4)
    low = measured(12, 22, cabled.fabric)

    plan = plan_hat(hat_order(fabric="plain-dc", brim=cabled, brim_gauge=low), TABLES)

    [told] = [notice for notice in plan.notices if notice.code == "crossing_pulls_in"]
    assert told.values["over"] == 4


def test_a_stitch_asked_for_that_is_too_short_to_cross_pulls_in():
    def codes(asked):
        crossed = Column("front", 4, Crossing(2, "right", stitch=asked))
        fabric = Fabric("dc", (Column("back", 2), crossed), round_repeat_count=4)
        return {notice.code for notice in plan_hat(hat_order(fabric=fabric), TABLES).notices}

    assert "crossing_pulls_in" in codes("dc")
    assert "crossing_pulls_in" not in codes("tr")
    assert "crossing_pulls_in" not in codes(None)


def _plain_beanie(depth_mm, **rest):
    return hat_order(
        fabric="plain-sc",
        brim=None,
        stitches_per_10cm=16,
        rounds_per_10cm=18,
        size={"depth_mm": depth_mm},
        **rest,
    )


@pytest.mark.parametrize("depth_mm", [150, 140, 130])
def test_a_rounded_crown_stays_rounded_while_one_body_round_is_left(depth_mm):
    # 22 rounds of 10/18 cm are 12.2 cm: a dome over 85 stitches at 16 to 10 cm.
    plan = plan_hat(_plain_beanie(depth_mm), TABLES)

    assert (plan.crown.crown_shape, len(plan.crown.rounds)) == ("rounded", 22)


def test_a_crown_whose_shape_nobody_asked_for_is_gathered_on_a_shallow_hat():
    plan = plan_hat(_plain_beanie(120), TABLES)

    assert plan.crown.crown_shape == "gathered"
    assert len(plan.crown.rounds) < 22


def test_crown_rounds_that_somebody_asked_for_are_never_taken_away():
    asked = CrownWishes(shape="rounded", round_count=22)

    with pytest.raises(BrimTooTall) as refusal:
        plan_hat(_plain_beanie(110, crown=asked), TABLES)

    # 23 rounds of 10/18 cm.
    assert refusal.value.depth_cm == 12.78


def test_a_hat_with_more_rounds_than_any_hat_is_refused():
    tall = hat_order(
        fabric="plain-sc",
        brim=None,
        stitches_per_10cm=16,
        rounds_per_10cm=140,
        size={"depth_mm": 400.0},
    )

    with pytest.raises(HatOutOfBounds) as refusal:
        plan_hat(tall, TABLES)

    # 40 cm at 14 rounds to 1 cm.
    assert (refusal.value.what, refusal.value.count, refusal.value.limit) == ("rounds", 560, 400)


@pytest.mark.parametrize("body_stitch_count", [None, 99])
def test_a_brim_that_no_round_joins_to_the_body_is_told_by_name(body_stitch_count):
    order = hat_order(fabric="plain-sc", brim_gauge=measured(40, 20, RIB))
    size, gauges = finish_size(order.size, TABLES), reckon_gauges(order, TABLES)

    with pytest.raises(ShapingOutOfReach) as refusal:
        refit_hat(order, size, gauges, TABLES, body_stitch_count=body_stitch_count, brim_stitch_count=None)
    with pytest.raises(ShapingOutOfReach, match="No round joins the brim to the body") as planning:
        plan_hat(order, TABLES)

    # 99 stitches at 18.5 to 10 cm are 53.5 cm, where 214 at 40 to 10 cm go.
    assert str(refusal.value) == str(planning.value)
    assert (refusal.value.from_stitch_count, refusal.value.to_stitch_count) == (214, 99)
    assert (refusal.value.low, refusal.value.high) == (107, 428)


def test_a_thickness_that_was_measured_holds_for_brim_and_body():
    plan = plan_hat(hat_order(fabric="plain-sc", size={"thickness_mm": 4.0}), TABLES)
    supposed = plan_hat(hat_order(fabric="plain-sc"), TABLES)

    assert plan.counts.brim_target.allowance_mm == plan.counts.body_target.allowance_mm
    assert supposed.counts.brim_target.allowance_mm > supposed.counts.body_target.allowance_mm


def test_what_is_true_of_brim_and_body_alike_is_told_once():
    cables = TABLES.fabric_by_id["cable-4x4"]
    order = hat_order(
        fabric=cables,
        brim=BrimOrder(fabric=cables, round_count=4),
        stitches_per_10cm=12,
        rounds_per_10cm=22,
    )

    notices = plan_hat(order, TABLES).notices

    assert [notice.code for notice in notices].count("crossing_pulls_in") == 1


def test_two_answers_to_one_question_are_refused():
    with pytest.raises(ChooseOne) as of_brim:
        BrimOrder(fabric=RIB, round_count=5, height_mm=40.0)
    with pytest.raises(ChooseOne) as of_crown:
        CrownWishes(round_count=12, depth_mm=80.0)

    assert of_brim.value.given == ("brim.round_count", "brim.height_cm")
    assert of_crown.value.given == ("crown_round_count", "crown_depth_cm")


def test_colours_of_a_yarn_that_nothing_is_known_of_are_refused():
    colouring = Colouring(layout=SectionColours(ground=("navy",)))

    with pytest.raises(YarnUnderdetermined) as refusal:
        hat_order(colouring=colouring)

    assert refusal.value.missing == ("yarn",)


@pytest.mark.parametrize(("shape", "depth_mm"), [("rounded", 120), ("flat", 80), (None, 60)])
def test_a_crown_whose_rounds_nobody_asked_for_takes_the_fewest_where_the_hat_is_too_shallow(shape, depth_mm):
    plan = plan_hat(_plain_beanie(depth_mm, crown=CrownWishes(shape=shape)), TABLES)
    with pytest.raises(CrownCannotClose) as refusal:
        plan_hat(_plain_beanie(depth_mm, crown=CrownWishes(shape=shape, round_count=1)), TABLES)

    # 5 sections of 17 stitches come down to 9, 5, 3, 2 and 1.
    assert len(plan.crown.rounds) == refusal.value.smallest_round_count == 5
