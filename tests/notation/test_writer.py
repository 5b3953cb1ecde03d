"""Rounds in words: each sentence as a maker would write it by hand."""

import pytest

from service.domain.rounds import Round, Start
from service.domain.steps import Chain, Cross, IntoOne, Repeat, Skip, Step, Together, Work, WorkedInto
from service.notation.terms import TERMS, UK, US, Terms
from service.notation.writer import (
    write_closing,
    write_foundation,
    write_instruction,
    write_round,
    write_section_heading,
    write_steps,
)


def _round(
    *steps: Step, start: Start | None = None, join: str | None = None, into: WorkedInto = "previous_round"
) -> Round:
    return Round(5, "body", "plain", into, 60, 60, start, steps, join, 6.0)


@pytest.mark.parametrize(
    ("steps", "us", "uk"),
    [
        ([Work("sc", 60)], "sc in each st around", "dc in each st around"),
        ([Work("fpdc", 60)], "FPdc around next 60 sts", "FPtr around next 60 sts"),
        (
            [Work("blhdc", 2), Work("sc")],
            "BLO hdc in next 2 sts, sc in next st",
            "BLO htr in next 2 sts, dc in next st",
        ),
        (
            [IntoOne(("dc", "dc")), Work("dc", 2)],
            "2 dc in next st, dc in next 2 sts",
            "2 tr in next st, tr in next 2 sts",
        ),
        ([Repeat(6, (IntoOne(("sc", "sc")),))], "2 sc in each st around", "2 dc in each st around"),
        (
            [Repeat(2, (IntoOne(("sc", "sc")),)), Work("sc")],
            "2 sc in each of next 2 sts, sc in next st",
            "2 dc in each of next 2 sts, dc in next st",
        ),
        (
            [IntoOne(("dc", "tr", "dc")), Skip(1)],
            "(dc, tr, dc) in next st, sk 1 st",
            "(tr, dtr, tr) in next st, miss 1 st",
        ),
        (
            [IntoOne(("dc", "ch", "dc"))],
            "(dc, ch 1 (counts as a st), dc) in next st",
            "(tr, ch 1 (counts as a st), tr) in next st",
        ),
        ([IntoOne(("bpdc", "fpdc"))], "(BPdc, FPdc) around next st", "(BPtr, FPtr) around next st"),
        (
            [Together(("bpdc", "fpdc")), Together(("fptr",) * 3)],
            "(BPdc, FPdc) tog over next 2 sts, FPtr3tog",
            "(BPtr, FPtr) tog over next 2 sts, FPdtr3tog",
        ),
        (
            [Chain(2), Skip(2), Work("tr")],
            "ch 2, sk 2 sts, tr in next st",
            "ch 2, miss 2 sts, dtr in next st",
        ),
        ([Chain(1, 1), Skip(1)], "ch 1 (counts as a st), sk 1 st", "ch 1 (counts as a st), miss 1 st"),
        (
            [Repeat(3, (Work("sc", 2), Repeat(2, (Skip(1), Work("dc", 2))), Work("sl_st")))],
            "[sc in next 2 sts, (sk 1 st, dc in next 2 sts) 2 times, sl st in next st] 3 times",
            "[dc in next 2 sts, (miss 1 st, tr in next 2 sts) 2 times, ss in next st] 3 times",
        ),
        (
            [Cross(1, "fpdc", "left")],
            "sk 1 st, FPdc around next st, working in front of the st just made FPdc around 1 skipped st",
            "miss 1 st, FPtr around next st, working in front of the st just made FPtr around 1 missed st",
        ),
    ],
)
def test_steps_are_written_in_both_terms(steps: list[Step], us: str, uk: str) -> None:
    written = [write_steps(steps, terms=terms) for terms in (US, UK)]

    assert written == [us, uk]


def test_a_ring_has_no_stitches_to_count() -> None:
    steps: list[Step] = [Work("sc", 6), Chain(1), IntoOne(("dc", "dc"))]

    assert write_steps(steps, terms=US, worked_into="ring") == "6 sc in ring, ch 1, 2 dc in ring"


def test_stitches_of_a_ring_cannot_be_skipped() -> None:
    with pytest.raises(ValueError, match="a ring has none"):
        write_steps([Skip(1)], terms=US, worked_into="ring")


def test_a_foundation_has_chains_for_stitches() -> None:
    steps = [Repeat(30, (Work("dc"), IntoOne(("dc", "dc"))))]

    assert (
        write_steps(steps, terms=US, worked_into="foundation") == "[dc in next ch, 2 dc in next ch] 30 times"
    )


@pytest.mark.parametrize("terms", TERMS.values())
def test_a_starting_chain_always_says_whether_it_counts(terms: Terms) -> None:
    counting = write_instruction(_round(Work("dc", 59), start=Start(3, True), join="sl_st"), terms=terms)
    standing_by = write_instruction(_round(Work("dc", 60), start=Start(2, False), join="sl_st"), terms=terms)

    assert counting.startswith("Ch 3 (counts as a st), ")
    assert counting.endswith(" in top of starting ch.")
    assert standing_by.startswith("Ch 2 (does not count as a st), ")
    assert standing_by.endswith(" in first st.")


def test_a_spiral_that_begins_with_a_chain_says_that_it_is_no_starting_chain() -> None:
    assert write_instruction(_round(Chain(1), Skip(1), Work("dc", 59)), terms=US) == (
        "Without a starting ch, ch 1, sk 1 st, dc in next 59 sts."
    )


def test_an_edging_goes_into_the_foundation_chain() -> None:
    edging = _round(Work("rev_sc", 60), start=Start(1, False), join="sl_st", into="foundation_edge")

    assert write_round(edging, terms=US) == (
        "Rnd 5: Join yarn in any foundation ch, ch 1 (does not count as a st), "
        "rev sc in each foundation ch around; join with sl st in first st. (60)"
    )


def test_beginning_and_end_of_a_hat_are_sentences_too() -> None:
    assert write_foundation(72, terms=US) == "Ch 72, join with sl st in first ch to form a ring."
    assert write_closing(8, terms=UK).startswith("Fasten off, leaving a long tail.")
    assert write_section_heading("crown", terms=US) == "Crown"
