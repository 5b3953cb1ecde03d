"""Whole texts: how counting goes on, what verdict the whole has, and how fast it is."""

import pytest

from service.domain.rounds import Round, Start
from service.domain.steps import Cross, Repeat, Step, Work
from service.notation.count_checks import check_counts
from service.notation.faults import FAULT_CODES
from service.notation.reader import read_line
from service.notation.terms import TERMS, UK, US
from service.notation.work_budgets import reading_work
from service.notation.writer import write_closing, write_foundation, write_round
from tests.notation.corpus_cases import corpus_texts


def _verdicts(text: str, start: int | None = None) -> list[str]:
    return [entry.verdict for entry in check_counts(text, US, start).rounds]


def test_a_foundation_without_a_count_does_not_make_the_text_undeclared() -> None:
    check = check_counts("Ch 20, join.\nRnd 1: Sc in each ch around. (20)", US)

    assert [entry.verdict for entry in check.rounds] == ["undeclared", "agrees"]
    assert check.verdict == "agrees"


def test_a_round_without_a_count_makes_the_text_undeclared() -> None:
    assert check_counts("Ch 20, join.\nRnd 1: Sc in each ch around.", US).verdict == "undeclared"


def test_the_worst_line_decides() -> None:
    text = "Ch 20, join.\nRnd 1: Sc in each ch around. (21)\nRnd 2: gibberish\nRnd 3: Sc in next 3 sts."

    check = check_counts(text, US)

    assert [entry.verdict for entry in check.rounds] == [
        "undeclared",
        "disagrees",
        "not_understood",
        "undeclared",
    ]
    assert check.verdict == "not_understood"


def test_counting_resumes_from_the_declared_count_of_a_round_not_understood() -> None:
    text = "Rnd 1: bobbles all over. (24)\nRnd 2: [sc in next 4 sts, sc2tog] 4 times. (20)"

    assert _verdicts(text, 30) == ["not_understood", "agrees"]


def test_a_round_not_understood_and_without_a_count_leaves_the_count_unknown() -> None:
    text = "Rnd 1: bobbles all over.\nRnd 2: Sc around.\nRnd 3: Sc in next 9 sts. (9)\nRnd 4: Sc around. (9)"

    assert _verdicts(text, 30) == ["not_understood", "not_understood", "agrees", "agrees"]


def test_a_round_that_leaves_stitches_over_is_taken_at_its_word() -> None:
    text = "Rnd 1: [sc in next 2 sts, sc2tog] 5 times. (18)\nRnd 2: Sc in each st around. (18)"

    assert _verdicts(text, 24) == ["disagrees", "agrees"]


def test_a_round_that_only_declares_another_count_is_taken_at_its_stitches() -> None:
    text = "Rnd 1: Sc in each st around. (25)\nRnd 2: Sc in each st around. (24)"

    assert _verdicts(text, 24) == ["disagrees", "agrees"]


def test_headings_blank_lines_and_fastening_off_make_no_entry() -> None:
    text = "# Hat\n\nCrown\nBody:\nRnd 1: Sc around. (8)\nFasten off.\nFinish off.\n---\nWeave in ends."

    assert [entry.line for entry in check_counts(text, US, 8).rounds] == [5]


def test_faults_say_where_the_count_went_wrong() -> None:
    (entry,) = check_counts("Rnd 1: [Sc in next 6 sts, sc2tog] 11 times. (77)", US, 91).rounds

    assert [fault.detail for fault in entry.faults] == [
        "3 stitches of the round before are left over after the 11th repeat."
    ]


def test_a_repair_is_the_smallest_change_that_makes_all_right() -> None:
    (entry,) = check_counts("Rnd 1: [Sc in next 6 sts, sc2tog] 11 times. (84)", US, 96).rounds

    assert entry.repair is not None
    assert (entry.repair.written_count, entry.repair.right_count, entry.repair.column) == (11, 12, 35)


def test_there_is_no_repair_where_two_numbers_are_wrong() -> None:
    (entry,) = check_counts("Rnd 1: [Sc in next 6 sts, sc2tog] 11 times. (90)", US, 97).rounds

    assert (entry.verdict, entry.repair) == ("disagrees", None)


def test_the_declared_count_is_put_right_rather_than_the_work() -> None:
    (entry,) = check_counts("Rnd 1: [Sc in next 6 sts, 2 sc in next st] 12 times. (97)", US, 84).rounds

    assert entry.repair is not None
    assert (entry.repair.written_count, entry.repair.right_count) == (97, 96)


def test_repeated_rounds_are_counted_where_they_are_repeated() -> None:
    text = (
        "Rnd 1: [Sc in next 3 sts, sc2tog] around. (16)\nRnd 2: Sc around. (16)\nRnds 3-4: Rep Rnds 1 and 2."
    )

    first, second, third = check_counts(text, US, 20).rounds

    assert (first.verdict, second.verdict, third.verdict) == ("agrees", "agrees", "disagrees")
    assert third.faults[0].detail.startswith("In a round repeated: ")


def test_unlabelled_rounds_are_numbered_on() -> None:
    text = "Sc around. (20)\nNext rnd: Sc around. (20)\nRep Rnds 1 and 2 four times more.\nRnd 11: Sc around."

    check = check_counts(text, US, 20)

    assert [(entry.round, entry.last_round) for entry in check.rounds] == [(1, 1), (2, 2), (3, 10), (11, 11)]


@pytest.mark.parametrize("terms", TERMS.values())
def test_a_whole_hat_is_read_back_right(terms) -> None:
    plain = (Repeat(12, (Work("bpdc", 2), Work("fpdc", 6))),)
    crossed = (Repeat(12, (Work("bpdc", 2), Cross(3, "fpdtr", "right"))),)
    worked: list[tuple[Step, ...]] = [(Work("dc", 96),), *([plain, crossed] * 20), plain, plain, plain, plain]
    start = Start(2, False)
    rounds = [
        Round(
            number,
            "body",
            "pattern",
            "foundation" if number == 1 else "previous_round",
            96,
            96,
            start,
            steps,
            "sl_st",
            6.0,
        )
        for number, steps in enumerate(worked, 1)
    ]
    text = "\n".join(
        [
            write_foundation(96, terms=terms),
            *(write_round(round_, terms=terms) for round_ in rounds),
            write_closing(96, terms=terms),
        ]
    )

    check = check_counts(text, terms)

    assert check.verdict == "agrees"
    assert len(check.rounds) == 47


def test_equal_rounds_are_read_once() -> None:
    first, second = read_line("Rnd 7: Sc in next 3 sts.", "us"), read_line("Rnd 8: Sc in next 3 sts.", "us")

    assert first.pieces is second.pieces  # type: ignore[union-attr]


def test_every_fault_of_the_corpus_has_a_known_code() -> None:
    codes = {
        fault.code
        for text in corpus_texts()
        for entry in check_counts("\n".join(text.lines), text.terms, text.start).rounds
        for fault in entry.faults
    }

    assert codes <= FAULT_CODES.keys()
    assert len(codes) >= 12


def test_uk_text_checked_as_us_text_is_not_taken_for_another_hat() -> None:
    text = "Rnd 1: Htr in each st around. (20)"

    assert check_counts(text, UK, 20).verdict == "agrees"
    assert check_counts(text, US, 20).rounds[0].faults[0].code == "wrong_terms"


def test_a_fault_of_some_sizes_says_of_which() -> None:
    text = "Ch 60 (66, 72), join.\nRnd 1: Sc in each ch around. (60, 65, 72)\nRnd 2: Sc around. (61, 67, 73)"

    _, first, second = check_counts(text, US).rounds

    assert [fault.detail for fault in first.faults] == ["Size 2: The round makes 66 stitches, not 65."]
    assert [fault.detail[:8] for fault in second.faults] == ["Size 1: ", "Size 2: ", "Size 3: "]


def test_a_fault_of_all_sizes_stands_once() -> None:
    text = "Ch 60 (66), join.\nRnd 1: [Sc in next 4 ch, sc2tog] 10 (11) times.\nRnd 2: Dc in each dc around."

    entry = check_counts(text, US).rounds[-1]

    assert [fault.detail for fault in entry.faults] == ["The 1st stitch of the round before is sc, not dc."]


@pytest.mark.parametrize("size", [0, 25, 99])
def test_a_line_for_a_size_that_is_not_there_is_refused_at_its_line(size: int) -> None:
    text = f"Ch 20, join.\nRnd 1: Sc around. (20)\nRnd 2 (size {size} only): Sc around. (20)"

    entry = check_counts(text, US).rounds[-1]

    assert [(fault.line, fault.column, fault.code) for fault in entry.faults] == [(3, 1, "sizes_differ")]


def test_a_line_is_counted_once_for_sizes_that_find_the_same() -> None:
    once, thrice = (
        f"Ch 20 (20, 20), join.\nRnd 1: Sc in next {number} ch." for number in ("20", "20 (20, 20)")
    )

    checks = [check_counts(text, US) for text in (once, thrice)]

    assert [[size.stitch_count for size in check.rounds[1].by_size] for check in checks] == [[20, 20, 20]] * 2
    counting = [
        check.work_units - reading_work(text) for check, text in zip(checks, (once, thrice), strict=True)
    ]
    # To count a line once costs 70 units and more.
    assert counting[1] - counting[0] > 2 * 70
