"""Where stitches go, and what is said where a line cannot be: a row for each case."""

import pytest

from service.domain.rounds import Start
from service.domain.steps import (
    Chain,
    Cross,
    IntoOne,
    Repeat,
    Skip,
    Step,
    Together,
    Work,
    consumed_by,
    made_by,
)
from service.notation.count_checks import check_counts
from service.notation.faults import Fault
from service.notation.made_before import MadeBefore, Realized
from service.notation.reader import read_line
from service.notation.realizing import realize
from service.notation.terms import US
from service.notation.tree import Line
from service.notation.writer import write_steps

RING = MadeBefore(0, is_ring=True)
FOUNDATION = MadeBefore(21, is_foundation=True, foundation_stitch_count=21)


def _count(text: str, before: MadeBefore | int) -> Realized | Fault:
    line = read_line(text, "us")
    if isinstance(line, Fault):
        return line
    return realize(line, before if isinstance(before, MadeBefore) else MadeBefore(before))


@pytest.mark.parametrize(
    ("text", "before", "steps"),
    [
        ("2 dc in next st, dc in same st", 1, (IntoOne(("dc", "dc", "dc")),)),
        (
            "dc in next 3 sts, 2 dc in same st, dc in next st",
            4,
            (Work("dc", 2), IntoOne(("dc",) * 3), Work("dc")),
        ),
        ("dc in next st and in next 3 sts", 4, (Work("dc", 4),)),
        ("dc in first st, dc in next 2 sts, dc in last st", 4, (Work("dc", 4),)),
        ("dc in first 2 sts, dc in each of last 2 sts", 4, (Work("dc", 4),)),
        ("1 dc in next 4 sts", 4, (Work("dc", 4),)),
        ("dc in 4 sts", 4, (Work("dc", 4),)),
        ("dc in each of 4 sts", 4, (Work("dc", 4),)),
        ("dc in each of first 4 sts", 4, (Work("dc", 4),)),
        ("dc in next st, dc in each of rem 3 sts", 4, (Work("dc", 4),)),
        ("dc in next 2 sts 2 times", 4, (Work("dc", 4),)),
        ("2 dc in next st 4 times", 4, (Repeat(4, (IntoOne(("dc", "dc")),)),)),
        ("2 dc 2 times", 4, (Work("dc", 4),)),
        ("2 inc in next 2 sts", 2, (Repeat(2, (IntoOne(("sc", "sc")),)),)),
        ("inc in next 2 sts", 2, (Repeat(2, (IntoOne(("sc", "sc")),)),)),
        ("2 sc2tog over next 4 sts", 4, (Repeat(2, (Together(("sc", "sc")),)),)),
        ("(dc, ch 1 (counts as a st), dc) in next st", 1, (IntoOne(("dc", "ch", "dc")),)),
        ("(dc, ch 2, dc) in next st", 1, (IntoOne(("dc", "dc")), Chain(2))),
        ("(inc, dc) in next st", 1, (IntoOne(("sc", "sc", "dc")),)),
        ("(dc, tr) in each of next 2 sts", 2, (Repeat(2, (IntoOne(("dc", "tr")),)),)),
        ("sk 2 sts, dc in next 2 sts, dc in 2 skipped sts", 4, (Work("dc", 4),)),
        (
            "sk 3 sts, dc in next 3 sts, working behind dc in each of 2 skipped sts",
            6,
            (Skip(1), Work("dc", 5)),
        ),
        (
            "sk 2 sts, tr in next 2 sts, working behind 2 sts just made, tr in next 2 skipped sts",
            4,
            (Cross(2, "tr", "right"),),
        ),
        (
            "(dc, tr) in 2nd ch from hook and dc in each ch across",
            FOUNDATION,
            (Skip(1), IntoOne(("dc", "tr")), Work("dc", 19)),
        ),
        ("2 sc in next ch, sc in next ch", MadeBefore(0, space_count=2), (IntoOne(("sc", "sc")), Work("sc"))),
        ("6 sc", RING, (Work("sc", 6),)),
        ("[sc, ch 2] 6 times", RING, (Repeat(6, (Work("sc"), Chain(2))),)),
        ("(dc, tr) in ring, 2 inc", RING, (Work("dc"), Work("tr"), Repeat(2, (IntoOne(("tr", "tr")),)))),
        ("sc in 2nd ch from hook and in each ch across", FOUNDATION, (Skip(1), Work("sc", 20))),
        (
            "dc in 4th ch from hook (3 skipped ch counts as a st) and in each ch across",
            FOUNDATION,
            (Skip(3), Chain(3, 1), Work("dc", 18)),
        ),
        ("Working in foundation ch, sc around", MadeBefore(9, foundation_stitch_count=21), (Work("sc", 21),)),
        (
            "Join yarn in any foundation ch, sc2tog over next 2 ch, sc in each foundation ch around",
            MadeBefore(9, foundation_stitch_count=21),
            (Together(("sc", "sc")), Work("sc", 19)),
        ),
    ],
)
def test_stitches_go_where_the_words_say(
    text: str, before: MadeBefore | int, steps: tuple[Step, ...]
) -> None:
    realized = _count(text, before)

    assert isinstance(realized, Realized), realized
    assert realized.steps == steps or write_steps(realized.steps, terms=US) == write_steps(steps, terms=US)
    assert realized.faults == ()
    assert realized.stitch_count == made_by(steps)
    uses_places = realized.worked_into != "ring" and realized.consumed_stitch_count > 0
    assert realized.consumed_stitch_count == (consumed_by(steps) if uses_places else 0)


def test_a_chain_that_counts_can_share_its_stitch() -> None:
    realized = _count("Ch 3 (counts as a st), 2 dc in same st, dc in each st around", 10)

    assert isinstance(realized, Realized)
    assert (realized.consumed_stitch_count, realized.stitch_count) == (10, 12)
    assert realized.steps == (IntoOne(("ch", "dc", "dc")), Work("dc", 9))


def test_a_chain_that_shares_a_space_stands_in_it() -> None:
    # By hand: the chain and a dc in the first of 12 spaces, 2 dc in each of 11.
    before = MadeBefore(12, space_count=12, lengths=bytes([1] * 12))

    realized = _count("Ch 3 (counts as a st), dc in same ch-1 sp, 2 dc in each ch-1 sp around", before)

    assert isinstance(realized, Realized)
    assert (realized.consumed_stitch_count, realized.stitch_count, realized.faults) == (12, 24, ())


def test_a_sentence_about_the_chain_may_make_it() -> None:
    realized = _count("Ch 3 counts as a st, dc in next 9 sts", 10)

    assert isinstance(realized, Realized)
    assert (realized.start, realized.stitch_count, realized.faults) == (Start(3, True), 10, ())


def test_a_slip_stitch_in_the_first_stitch_closes_the_round() -> None:
    realized = _count("sc around, sl st in first st", 10)

    assert isinstance(realized, Realized)
    assert (realized.stitch_count, realized.faults) == (10, ())


@pytest.mark.parametrize(
    ("text", "before", "code", "column"),
    [
        ("in next st", 1, "unexpected", 4),
        ("sc in each st around", 5000, "too_many_times", 1),
        ("sk 1 st", RING, "wrong_place", 1),
        ("sc2tog in ring", RING, "wrong_place", 1),
        ("sc2tog in each st around", 2, "ambiguous", 11),
        ("2 sc around", 2, "ambiguous", 6),
        ("(dc, tr) in next 2 sts", 2, "ambiguous", 13),
        ("sc2tog in same st", 2, "wrong_place", 1),
        ("sc2tog, dc in same st", 3, "wrong_place", 9),
        ("dc in next st, dc in first st", 3, "wrong_place", 16),
        ("dc in top of ch-3", 3, "wrong_place", 1),
        ("dc in next st, dc in 2nd ch from hook", 3, "wrong_place", 22),
        ("dc in 4th ch from hook", FOUNDATION, "start_chain_unsaid", 7),
        ("dc bet next 2 sts", 3, "not_countable", 8),
        ("[ch 1] around", 3, "not_countable", 1),
        ("(ch 2) in next st", 3, "unexpected", 1),
        ("(sk 1 st, dc) in next st", 3, "unexpected", 2),
        ("(dc) tog", 3, "unexpected", 1),
        ("(dc2tog, dc) in next st", 3, "unexpected", 1),
        ("3 inc in next st", 3, "ambiguous", 1),
        ("sc 9 tog", 9, "unexpected", 4),
        ("BLO FPdc in next st", 9, "unexpected", 5),
        ("[join] 2 times", 9, "unexpected", 2),
        ("sc in next 0 sts", 9, "unexpected", 7),
        ("sc in next st, ch 0", 9, "unexpected", 16),
        ("0 sc in next st", 9, "unexpected", 1),
        ("Ch 21 (counts as a st), dc around", 9, "unexpected", 1),
        ("Ch 3 (counts as 2 sts), dc around", 9, "ambiguous", 1),
        ("sc around, ch 3, turn", 9, "start_chain_unsaid", 12),
        ("sc in next st, FPdc around next st, working behind FPdc in next st", 9, "wrong_place", 37),
        ("sc in next 99999 sts", 9, "too_many_stitches", 1),
        ("[sc, dc] 2001 times", 9, "too_many_times", 1),
        ("sc in next 123456 sts", 9, "too_many_stitches", 12),
        ("(5000 dc) in next st", 9, "too_many_stitches", 1),
        ("sc in next (3", 9, "bracket_mismatch", 12),
        ("sc in next 3 sts;; join § now", 9, "unknown_word", 25),
        ("sc in each st (40, 50 dc, 60)", 9, "unexpected", 15),
    ],
)
def test_what_cannot_be_counted_is_refused_at_its_place(
    text: str, before: MadeBefore | int, code: str, column: int
) -> None:
    fault = _count(text, before)

    assert isinstance(fault, Fault), fault
    assert (fault.code, fault.column) == (code, column), fault


@pytest.mark.parametrize(
    ("text", "before", "detail"),
    [
        ("sc in next 3 sts", 1, "The round before has 1 stitch; they run out: 2 more would be needed."),
        (
            "[sc, dc] 3 times",
            5,
            "The round before has 5 stitches; they run out in the 3rd repeat: 1 more would be needed.",
        ),
        ("[sc in next 4 sts] around", 3, "One turn uses up 4 stitches; only 3 are left."),
        ("sc in next 3 sts, sc in each st around", 3, "One turn uses up 1 stitch; only 0 are left."),
        ("sc in next st", 2, "1 stitch of the round before is left over at the end of the round."),
        ("[sc, dc] 2 times", 7, "3 stitches of the round before are left over after the 2nd repeat."),
        ("[sc in next 3 sts] around", 7, "1 stitch of the round before is left over after the 2nd repeat."),
        (
            "3 sc in next ch-1 sp, sc in next ch-1 sp",
            MadeBefore(9, space_count=1),
            "The chain spaces of the round before run out: it has 1.",
        ),
        (
            "sk ch-1 sp, sc in each st around",
            MadeBefore(9, space_count=2),
            "1 chain space of the round before is left over at the end of the round.",
        ),
        ("sc2tog in next st", 2, "These stitches worked together use up 2 stitches, not 1."),
        ("(dc, dc) tog over next 3 sts", 3, "These stitches worked together use up 2 stitches, not 3."),
        ("dc in 1 skipped st, dc in next 9 sts", 9, "No stitches are skipped, not 1."),
        (
            "sk 1 st, dc in next 2 sts, working behind 3 sts just made, dc in 1 skipped st, dc around",
            9,
            "2 stitches were just made.",
        ),
    ],
)
def test_a_wrong_count_says_where_it_goes_wrong(text: str, before: MadeBefore | int, detail: str) -> None:
    realized = _count(text, before)

    assert isinstance(realized, Realized), realized
    assert detail in [fault.detail for fault in realized.faults]


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("Rnds 9-4: sc around (8)", "unexpected"),
        ("Rnd 1 (2): sc around (8)", "unexpected"),
        ("Rnds 2, 4 and 6: sc around (8)", "not_countable"),
        ("Rnd 2: Rep Rnd 1, sc around (8)", "unexpected"),
        ("Rnds 2-4: Rep Rnds 1 and 1 (8)", "rounds_differ"),
        ("Rnds 2-4: Rep Rnd 1 twice more (8)", "rounds_differ"),
        ("Rep Rnd 1 4 times", "ambiguous"),
        ("Rep Rnd 1 2000 times more", "too_many_rounds"),
        ("Rep Rnd 1 0 times more", "too_many_rounds"),
        ("sh = 5 dc in next 2 sts", "ambiguous"),
        ("sh = 5 dc, dc in next st", "unexpected"),
        ("Rnd 2: join (8)", "unexpected"),
        ("Rnd 2:", "unexpected"),
        ("Next 2 (3) rnds: sc around (8)", "unexpected"),
        ("Next rnd: gibberish (8)", "unknown_word"),
    ],
)
def test_a_line_of_rounds_that_makes_no_sense_is_refused(text: str, code: str) -> None:
    check = check_counts("Rnd 1: Sc in each st around. (8)\n" + text, US, 8)

    assert [fault.code for fault in check.rounds[1].faults] == [code]


def test_a_ring_may_be_formed_by_joining_into_one() -> None:
    check = check_counts("Ch 4, join into a ring.\nRnd 1: Ch 1, 8 sc in ring. (8)", US)

    assert check.verdict == "agrees"


def test_a_number_for_fewer_sizes_is_refused_for_the_others() -> None:
    line = read_line("sc in next 3 (4) sts", "us")

    assert isinstance(line, Line)
    fault = realize(line, MadeBefore(5), size=2)
    assert isinstance(fault, Fault)
    assert (fault.code, fault.column) == ("sizes_differ", 12)


def test_times_without_more_are_clear_where_the_label_counts_them() -> None:
    check = check_counts("Rnd 1: Sc around. (8)\nRnds 2-5: Rep Rnd 1 4 times.", US, 8)

    assert check.verdict == "agrees"


def test_a_foundation_may_have_a_label() -> None:
    check = check_counts("Foundation: Ch 8, join to form a ring. (8)\nRnd 1: Sc in each ch around. (8)", US)

    assert (check.verdict, check.rounds[0].round, check.rounds[0].stitch_count) == ("agrees", None, 8)


def test_all_stitches_can_be_drawn_shut_without_a_number() -> None:
    check = check_counts("Rnd 1: Sc around. (8)\nWeave tail through all sts, pull tight.", US, 8)

    assert [entry.verdict for entry in check.rounds] == ["agrees"]


def test_more_lines_than_a_pattern_has_are_refused() -> None:
    check = check_counts("Fasten off.\n" * 1600, US)

    assert [fault.code for fault in check.rounds[0].faults] == ["too_long"]


def test_fastening_off_many_times_is_no_fault() -> None:
    check = check_counts("Rnd 1: Sc around. (8)\n" + "Fasten off.\n" * 500, US, 8)

    assert [(entry.line, entry.verdict) for entry in check.rounds] == [(1, "agrees")]


def test_a_text_that_takes_too_much_work_says_so() -> None:
    sizes = ", ".join(map(str, range(61, 84)))
    text = f"Ch 60 ({sizes})\nRnds 1-390: " + "sc in next 2 sts, " * 15 + "2 dc in next st, dc around"

    check = check_counts(text, US)

    assert check.rounds[-1].faults[0].code == "too_long"
