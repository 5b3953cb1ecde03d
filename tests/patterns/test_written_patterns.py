"""Whole patterns in writing: what stands where, and that their text can be checked."""

import re
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from service.domain.errors import PatternMathError
from service.domain.hat_orders import CrownWishes, HatOrder
from service.domain.hats import HatPlan, plan_hat
from service.notation.count_checks import check_counts
from service.notation.terms import TERMS, TermsId
from service.patterns.written_patterns import WrittenPattern, write_pattern
from tests.orders import CABLE_4X4_ON_10, TABLES, hat_order, hat_orders, measured

RIB = TABLES.fabric_by_id["post-rib-1x1"]
#: Numbers that bear on no count: chains, and the numbers of rounds.
IDLE = re.compile(r"[Cc]h \d+ \(|Rnds? \d+(?:–\d+)?")


def _worked_hat(**rest: Any) -> HatPlan:
    order = hat_order(
        head_mm=530,
        fabric=CABLE_4X4_ON_10,
        stitches_per_10cm=20,
        rounds_per_10cm=14.5,
        brim_gauge=measured(16, 14.5, RIB),
        crown=CrownWishes(shape="gathered"),
        **rest,
    )
    return plan_hat(order, TABLES)


def _planned(order: HatOrder) -> HatPlan:
    try:
        return plan_hat(order, TABLES)
    except PatternMathError:
        assume(False)
        raise


def _text(pattern: WrittenPattern) -> str:
    parts = [
        [section.heading, *(each.line for each in section.rounds), *filter(None, [section.closing])]
        for section in pattern.sections
    ]
    return "\n\n".join("\n".join(part) for part in [[pattern.foundation], *parts, [*pattern.finishing]])


def _lines(text: str, heading: str) -> list[str]:
    return text.split(f"\n{heading}\n")[1].split("\n\n")[0].split("\n")


def test_the_worked_hat_reads_like_a_published_pattern() -> None:
    # A worked hat, common practice, no source: 80 chains, a dc round, five of rib, [2 in one, 3] to 100.
    text = _text(write_pattern(_worked_hat(has_edging=True), "us"))

    assert text.startswith("Ch 80, join with sl st in first ch to form a ring.\n\nBrim\nRnd 1: ")
    assert _lines(text, "Brim")[1] == (
        "Rnds 2–6: Ch 2 (does not count as a st), [FPdc around next st, BPdc around next st] 40 times; "
        "join with sl st in first st. (80)"
    )
    assert _lines(text, "Joining round") == [
        "Rnd 7: Ch 2 (does not count as a st), [2 dc in next st, dc in next 3 sts] 20 times; "
        "join with sl st in first st. (100)"
    ]


def test_a_long_repeat_of_different_rounds_refers_to_the_first() -> None:
    text = _text(write_pattern(_worked_hat(), "us"))

    body = _lines(text, "Body")
    assert len(body) == 3
    assert body[-1] == "Rnds 10–21: Rep Rnds 8–9. (100)"


def test_a_short_repeat_is_written_in_full() -> None:
    text = _text(write_pattern(plan_hat(hat_order(rounds_per_10cm=10), TABLES), "us"))

    assert "Rep" not in text


def test_the_crown_is_drawn_shut_before_the_edging_begins() -> None:
    pattern = write_pattern(_worked_hat(has_edging=True), "us")

    *_, crown, edging = pattern.sections
    assert crown.closing is not None
    assert crown.closing.startswith("Fasten off, leaving a long tail.")
    assert edging.closing is None
    assert pattern.finishing == ("Fasten off.", "Weave in all ends.")


def test_a_hat_without_an_edging_ends_with_its_close() -> None:
    pattern = write_pattern(_worked_hat(), "us")

    assert {section.closing for section in pattern.sections} == {None}
    assert pattern.finishing[0].startswith("Fasten off, leaving a long tail.")


def test_a_headband_with_an_edging_is_fastened_off_twice() -> None:
    plan = plan_hat(hat_order(size={"style": "headband"}, brim=None, has_edging=True), TABLES)

    pattern = write_pattern(plan, "us")

    assert pattern.sections[-2].closing == "Fasten off."
    assert pattern.finishing == ("Fasten off.", "Weave in all ends.")


def test_the_same_hat_is_told_in_uk_terms() -> None:
    text = _text(write_pattern(_worked_hat(), "uk"))

    assert "FPtrtr around 4 missed sts" in text
    assert not re.search(r"\bsc\b|\bsl st\b|\bsk\b", text)


@pytest.mark.parametrize("terms_id", list(TERMS))
def test_every_round_of_the_worked_hat_is_counted_by_the_checker(terms_id: TermsId) -> None:
    plan = _worked_hat(has_edging=True)

    check = check_counts(_text(write_pattern(plan, terms_id)), TERMS[terms_id])

    assert check.verdict == "agrees"
    numbers = [
        number
        for entry in check.rounds
        if entry.round is not None and entry.last_round is not None
        for number in range(entry.round, entry.last_round + 1)
    ]
    assert numbers == list(range(1, len(plan.rounds) + 1))


@settings(max_examples=25)
@given(order=hat_orders(), terms_id=st.sampled_from(list(TERMS)))
def test_the_written_text_of_any_hat_agrees(order: HatOrder, terms_id: TermsId) -> None:
    plan = _planned(order)

    check = check_counts(_text(write_pattern(plan, terms_id)), TERMS[terms_id])

    assert check.verdict == "agrees", [entry for entry in check.rounds if entry.verdict != "agrees"]
    last = [entry for entry in check.rounds if entry.round is not None][-1]
    assert (last.last_round, last.stitch_count) == (len(plan.rounds), plan.rounds[-1].stitch_count)


@settings(max_examples=25)
@given(order=hat_orders(), terms_id=st.sampled_from(list(TERMS)), data=st.data())
def test_one_number_changed_in_a_written_pattern_is_found(
    order: HatOrder, terms_id: TermsId, data: st.DataObject
) -> None:
    lines = _text(write_pattern(_planned(order), terms_id)).split("\n")
    place = data.draw(st.sampled_from([n for n, line in enumerate(lines) if line.startswith("Rnd")]))
    number = data.draw(st.sampled_from(_counting_numbers(lines[place])))
    other = data.draw(st.integers(1, 60).filter(lambda value: value != int(number[0])))

    lines[place] = lines[place][: number.start()] + str(other) + lines[place][number.end() :]

    verdict = check_counts("\n".join(lines), TERMS[terms_id]).verdict
    assert verdict in ("disagrees", "not_understood"), lines[place]


def _counting_numbers(line: str) -> list[re.Match[str]]:
    """Return the numbers of a line that bear on its count."""
    idle = [match.span() for match in IDLE.finditer(line)]
    return [
        number
        for number in re.finditer(r"\b\d+\b", line)
        if not any(begin <= number.start() < end for begin, end in idle)
    ]
