"""Patterns for several sizes: what stands in them, and that each size is read back as its plan."""

import re
from dataclasses import replace
from itertools import groupby
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from service.domain.crown_targets import Worked
from service.domain.errors import PatternMathError
from service.domain.hat_orders import HatOrder
from service.domain.hat_rounds import RoundManner
from service.domain.hats import HatPlan
from service.domain.heads import measured_head
from service.domain.size_runs import SizeRun, SizeRunOrder, plan_size_run
from service.notation.count_checks import check_counts
from service.notation.terms import TERMS, US, TermsId
from service.patterns.proofs import PlanUnproved, prove
from service.patterns.size_run_proofs import prove_size_run, prove_size_run_texts
from service.patterns.size_run_texts import write_size_run
from service.patterns.size_run_words import run_abbreviations, tell_run_notices, write_size_run_legend
from tests.orders import TABLES, WORSTED, hat_order, hat_orders
from tests.patterns.size_picker import pick_size

HEADS_MM = (480, 520, 560, 600)


def _run(design: HatOrder, heads_mm: Any = HEADS_MM) -> SizeRun:
    heads = tuple(measured_head(head_mm, tables=TABLES) for head_mm in heads_mm)
    return plan_size_run(SizeRunOrder(heads=heads, design=design), TABLES)


def _plans(design: HatOrder, heads_mm: Any = HEADS_MM) -> tuple[HatPlan, ...]:
    return _run(design, heads_mm).plans


def _plain(**rest: Any) -> HatOrder:
    order: dict[str, Any] = {"fabric": "plain-sc", "brim": None}
    return hat_order(**{**order, "stitches_per_10cm": 16, "rounds_per_10cm": 18, **rest})


def _lines(design: HatOrder, heads_mm: Any = HEADS_MM) -> list[str]:
    return write_size_run(_plans(design, heads_mm), "us").splitlines()


def test_the_foundation_gives_a_number_for_each_size() -> None:
    lines = _lines(_plain())

    assert lines[0] == "Ch 72 (78, 84, 90), join with sl st in first ch to form a ring."


def test_the_same_rounds_of_all_sizes_stand_in_one_line_with_their_counts() -> None:
    lines = _lines(hat_order())

    assert (
        "Rnds 3–5: Ch 2 (does not count as a st), [FPdc around next st, BPdc around next st] "
        "35 (38, 41, 44) times; join with sl st in first st. (70, 76, 82, 88)"
    ) in lines


def test_one_number_stands_where_all_sizes_agree() -> None:
    closing = _lines(_plain())[-2]

    assert "through the rem 6 sts" in closing


def test_the_round_into_the_foundation_is_the_first_of_all_sizes() -> None:
    lines = _lines(hat_order())

    assert lines[3].startswith("Rnd 1: ")
    assert lines[3].endswith("(70, 76, 82, 88)")
    assert lines[4].startswith("Rnd 2 (sizes 3–4 only): ")


def test_the_last_crown_rounds_stand_side_by_side() -> None:
    lines = _lines(_plain())

    last = [line for line in lines if line.startswith("Rnd")][-1]
    assert last.endswith("sc in each st around; join with sl st in first st. (6)")
    assert "only" not in last


def test_a_hat_from_the_crown_begins_with_all_sizes() -> None:
    lines = _lines(hat_order(worked="from_crown"))

    assert lines[:2] == ["Make a magic ring.", ""]
    assert lines[3].startswith("Rnd 1: ")
    assert lines[-5].startswith("Rnd 25 (sizes 2–4 only): ")


def test_sizes_with_other_words_have_a_line_of_their_own() -> None:
    lines = _lines(hat_order(fabric="plain-hdc", brim=None))

    marked = [line for line in lines if line.startswith("Rnd 16 ")]
    assert [re.findall(r"\((size.*?) only\)", line) for line in marked] == [["size 1"], ["sizes 2–4"]]


def test_one_stitch_and_several_stand_in_one_number() -> None:
    lines = _lines(hat_order(fabric="plain-hdc", brim=None, stitches_per_10cm=15, rounds_per_10cm=11))

    assert (
        "Rnd 22: Ch 1 (does not count as a st), [hdc in next 1 (1, 1, 2) sts, hdc2tog] 9 (9, 9, 7) times; "
        "join with sl st in first st. (18, 18, 18, 21)"
    ) in lines


def test_a_folded_brim_says_how_far_for_each_size() -> None:
    lines = _lines(_plain(size={"style": "cuffed"}))

    assert lines[-2:] == [
        "Size 3 only: Fold the lower edge up by 4.5 cm (1¾ in).",
        "Size 4 only: Fold the lower edge up by 5 cm (1⅞ in).",
    ]


def test_the_edging_comes_after_the_close() -> None:
    lines = _lines(_plain(has_edging=True))

    edging = lines.index("Edging")
    assert "Weave the tail through" in lines[edging - 2]
    assert lines[-2:] == ["Fasten off.", "Weave in all ends."]


def test_the_legend_says_whom_the_sizes_fit_and_how_numbers_are_read() -> None:
    plans = _plans(hat_order())

    legend = write_size_run_legend(plans, write_size_run(plans, "us"))

    assert legend[0] == ("Sizes 1 (2, 3, 4) are for heads of 48 (52, 56, 60) cm / 18⅞ (20½, 22, 23⅝) in.")
    assert len(legend) == 3


def test_a_run_whose_sizes_all_work_every_round_needs_no_word_about_some() -> None:
    plans = _plans(_plain(size={"style": "headband", "depth_mm": 90}))

    legend = write_size_run_legend(plans, write_size_run(plans, "us"))

    assert len(legend) == 2


def test_abbreviations_are_those_of_all_sizes_once() -> None:
    plans = _plans(hat_order())

    found = [each.abbreviation for each in run_abbreviations(plans, "us")]

    assert found == sorted(set(found), key=str.lower)
    assert {"BPdc", "FPtr", "FPdc2tog", "sk"} <= set(found)


def test_a_notice_that_is_not_for_all_sizes_begins_with_its_sizes() -> None:
    run = _run(hat_order(), (400, 450, 560))

    told = {each.code: each.text for each in tell_run_notices(run)}

    assert told["sleep"].startswith("Sizes 1–2: Take the hat off a sleeping baby")
    assert told["thickness_assumed"].startswith("The fabric is taken to be")


def test_a_poor_fit_is_told_with_its_cures() -> None:
    run = _run(hat_order(fabric="cable-4x4", brim=None), (520, 545, 570, 600))

    told = [each.text for each in tell_run_notices(run) if each.code == "fit_unlikely"]

    assert len(told) == len(run.poor_fits) > 0
    assert re.fullmatch(
        r"Size \d: The chance that this size fits is \d\d %\. At \d\d\.\d stitches to 10 cm \(4 in\) it "
        r"would meet the size exactly\. At this gauge any repeat of at most \d stitches would fit\.",
        told[0],
    )


def test_a_size_is_told_once_that_it_may_not_fit_and_like_notices_stand_together() -> None:
    run = _run(hat_order(yarn=WORSTED, brim=None), (440, 480, 520, 560))

    told = tell_run_notices(run)

    codes = [each.code for each in told]
    assert len(run.poor_fits) > 0
    assert "fit_unlikely" in codes
    assert "fit_uncertain" not in codes
    assert len([code for code, _ in groupby(codes)]) == len(set(codes))


def test_a_rough_estimate_is_told_once_with_the_figures_of_every_size() -> None:
    run = _run(_plain(yarn=WORSTED), (480, 481, 560))

    (told,) = [each.text for each in tell_run_notices(run) if each.code == "yarn_estimate_rough"]

    assert re.fullmatch(
        r"The yarn is estimated without a weighed swatch of these stitches: it may take anything "
        r"from \d+ m \(\d+ yd\) to \d+ m \(\d+ yd\) in sizes 1–2, "
        r"from \d+ m \(\d+ yd\) to \d+ m \(\d+ yd\) in size 3\. Weigh a swatch for a better figure\.",
        told,
    )


def test_where_nothing_else_cures_measuring_is_told() -> None:
    design = hat_order(brim=None)
    unsure = replace(design.gauge.given, gauge=replace(design.gauge.given.gauge, width_error=0.08))

    run = _run(replace(design, gauge=replace(design.gauge, given=unsure)), (540, 580))

    told = [each.text for each in tell_run_notices(run) if each.code == "fit_unlikely"]
    assert told
    assert all("measure the head with a tape" in text for text in told)


def test_sizes_that_share_counts_are_named() -> None:
    run = _run(hat_order(fabric="cable-4x4", brim=None), (540, 542, 600))

    told = [each.text for each in tell_run_notices(run) if each.code == "sizes_share_counts"]

    assert len(told) == 1
    assert told[0].startswith("Sizes 1–2: These sizes come out with the same stitch counts")


def test_a_text_for_all_sizes_is_counted_for_each_by_the_checker() -> None:
    plans = _plans(_plain(size={"style": "headband", "depth_mm": 90}))

    check = check_counts(write_size_run(plans, "us"), US)

    assert check.verdict == "agrees"
    counted = [[size.stitch_count for size in entry.by_size] for entry in check.rounds if entry.round]
    assert counted[0] == [plan.counts.body for plan in plans]


def test_a_text_for_the_most_sizes_is_counted_to_its_end() -> None:
    plans = _plans(hat_order(fabric="plain-sc"), tuple(range(480, 480 + 7 * 24, 7)))

    check = check_counts(write_size_run(plans, "us"), US)

    assert len(plans) == 24
    assert len(check.rounds) > 60
    assert check.verdict == "agrees"


@pytest.mark.parametrize("worked", ["from_brim", "from_crown"])
@pytest.mark.parametrize("fabric_id", sorted(TABLES.fabric_by_id))
def test_every_fabric_is_proved_for_every_size(fabric_id: str, worked: Worked) -> None:
    plans = _plans(hat_order(fabric=fabric_id, worked=worked, has_edging=True))

    proof = prove_size_run(plans)

    assert [each.round_count for each in proof.sizes] == [len(plan.rounds) for plan in plans]
    assert {each.verdict for each in proof.sizes} == {"agrees"}


def test_a_spiral_and_a_counting_chain_are_proved() -> None:
    spiral = _plans(_plain(manner=RoundManner(is_joined=False)))
    counting = _plans(hat_order(fabric="plain-dc", brim=None, manner=RoundManner(start_chain_counts=True)))

    proofs = [prove_size_run(plans) for plans in (spiral, counting)]

    assert all(proof.sizes for proof in proofs)


@settings(max_examples=25)
@given(hat_orders(), st.lists(st.floats(340, 640), min_size=2, max_size=6), st.sampled_from(sorted(TERMS)))
def test_the_text_picked_for_any_size_is_counted_and_agrees(
    design: HatOrder, heads_mm: list[float], terms_id: TermsId
) -> None:
    try:
        plans = _plans(design, heads_mm)
    except PatternMathError:
        assume(False)

    proof = prove_size_run(plans)

    for size, plan in enumerate(plans, 1):
        lines = pick_size(proof.texts[terms_id], size, size_count=len(plans))
        check = check_counts("\n".join(lines), TERMS[terms_id])
        assert check.verdict == "agrees"
        counted = [entry for entry in check.rounds if entry.round is not None]
        assert counted[-1].stitch_count == plan.rounds[-1].stitch_count
        assert prove(plan).round_count == proof.sizes[size - 1].round_count


@settings(max_examples=60)
@given(st.data())
def test_one_number_changed_for_one_size_is_found(data: st.DataObject) -> None:
    plans = _plans(hat_order(fabric=data.draw(st.sampled_from(["plain-dc", "cable-2x2"]))))
    text = write_size_run(plans, "us")
    idle = [
        each.span() for each in re.finditer(r"Rnds? [\d–]+|[Cc]h \d+ \(does|sizes? [\d–, and]+ only", text)
    ]
    numbers = [
        each
        for each in re.finditer(r"(?<!\w)\d+(?!\w)", text)
        if not any(begin <= each.start() < end for begin, end in idle)
    ]
    number = data.draw(st.sampled_from(numbers))
    other = data.draw(st.integers(1, 120).filter(lambda value: value != int(number[0])))

    changed = text[: number.start()] + str(other) + text[number.end() :]

    with pytest.raises(PlanUnproved):
        prove_size_run_texts(plans, {"us": changed})


def test_a_line_left_out_is_found() -> None:
    plans = _plans(hat_order())
    kept = [line for line in write_size_run(plans, "us").splitlines() if not line.startswith("Rnds 8–9")]

    with pytest.raises(PlanUnproved, match="are read, not"):
        prove_size_run_texts(plans, {"us": "\n".join(kept)})


def test_a_close_on_another_round_is_found() -> None:
    plans = _plans(_plain())
    text = write_size_run(plans, "us").replace("through the rem 6 sts", "through the rem sts")

    with pytest.raises(PlanUnproved, match="it closes elsewhere"):
        prove_size_run_texts(plans, {"us": text})


def test_a_number_for_too_few_sizes_is_found() -> None:
    plans = _plans(hat_order())
    text = write_size_run(plans, "us").replace("Ch 70 (76, 82, 88)", "Ch 70 (76, 82)")

    with pytest.raises(PlanUnproved, match="not for 4 sizes"):
        prove_size_run_texts(plans, {"us": text})
