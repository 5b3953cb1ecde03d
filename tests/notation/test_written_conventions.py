"""The trade's conventions of written crochet, each by an example."""

import pytest

from service.domain.rounds import Start
from service.domain.steps import Cross, IntoOne, Repeat, Step, Together, Work
from service.notation.faults import Fault
from service.notation.made_before import MadeBefore, Realized
from service.notation.reader import read_line
from service.notation.realizing import realize
from service.notation.terms import TermsId


def _count(text: str, before: MadeBefore | int | None = None, terms: TermsId = "us") -> Realized | Fault:
    line = read_line(text, terms)
    if isinstance(line, Fault):
        return line
    return realize(line, before if isinstance(before, MadeBefore) else MadeBefore(before, is_foundation=None))


def _counted(text: str, before: MadeBefore | int | None = None, terms: TermsId = "us") -> Realized:
    realized = _count(text, before, terms)
    assert isinstance(realized, Realized), realized
    return realized


def _fault(text: str, before: MadeBefore | int | None = None, terms: TermsId = "us") -> Fault:
    fault = _count(text, before, terms)
    assert isinstance(fault, Fault), fault
    return fault


def test_four_times_more_is_five_in_all() -> None:
    realized = _counted("*Sc in next 2 sts, sc2tog; rep from * 4 times more.", 20)

    assert realized.steps == (Repeat(5, (Work("sc", 2), Together(("sc", "sc")))),)
    assert realized.faults == ()


def test_square_brackets_repeat_the_group_so_many_times() -> None:
    assert _counted("[sc in next 2 sts, sc2tog] 5 times", 20).stitch_count == 15


def test_two_in_one_stitch_and_one_in_each_of_two_differ() -> None:
    increase, plain = _counted("2 sc in next st", 1), _counted("sc in next 2 sts", 2)

    assert increase.steps == (IntoOne(("sc", "sc")),)
    assert plain.steps == (Work("sc", 2),)
    assert (increase.consumed_stitch_count, increase.stitch_count) == (1, 2)
    assert (plain.consumed_stitch_count, plain.stitch_count) == (2, 2)


def test_several_in_several_stitches_must_say_which_it_is() -> None:
    assert _fault("2 sc in next 3 sts", 3).code == "ambiguous"
    assert _counted("2 sc in each of next 3 sts", 3).stitch_count == 6
    assert _counted("3 sc", 3).stitch_count == 3


def test_a_chain_with_a_hyphen_is_a_loop_that_exists() -> None:
    assert _counted("3 sc in next ch-5 lp", MadeBefore(0, space_count=1)).stitch_count == 3
    assert _counted("ch 5, sk 1 st", 1).space_count == 0
    assert "Write 'ch 5'" in _fault("sc in next st, ch-5, sc in next st", 2).detail


def test_round_brackets_at_the_end_of_a_line_hold_the_count() -> None:
    with_count, without = _counted("sc around (12)", 12), _counted("sc around", 12)

    assert with_count.steps == without.steps


def test_round_brackets_hold_the_other_sizes_smallest_first() -> None:
    line = read_line("Ch 26 (29, 30, 31, 35).", "us")

    assert not isinstance(line, Fault)
    counts = [realize(line, MadeBefore(None), size=size) for size in range(5)]
    assert [each.stitch_count for each in counts if isinstance(each, Realized)] == [26, 29, 30, 31, 35]


@pytest.mark.parametrize("length", ["1 cm (⅜ in)", "2.5 cm (1 in)", "4 cm (1⅝ in)", "10 cm (4 in)"])
def test_a_brim_may_be_folded_by_any_length(length: str) -> None:
    line = read_line(f"Fold the brim up by {length}.", "us")

    assert not isinstance(line, Fault), line
    assert _counted(f"Fold the brim up by {length}.", 12).kind == "remark"


def test_sizes_may_share_the_first_number() -> None:
    line = read_line("Ch 32 (32, 40), join with sl st in first ch to form a ring.", "us")

    assert not isinstance(line, Fault)
    counts = [realize(line, MadeBefore(None), size=size) for size in range(3)]
    assert [each.stitch_count for each in counts if isinstance(each, Realized)] == [32, 32, 40]


def test_one_number_is_for_all_sizes() -> None:
    line = read_line("[sc in next 3 sts, sc2tog] 4 (5) times", "us")

    assert not isinstance(line, Fault)
    counts = [realize(line, MadeBefore(before), size=size) for size, before in enumerate((20, 25))]
    assert [each.stitch_count for each in counts if isinstance(each, Realized)] == [16, 20]


@pytest.mark.parametrize(
    ("said", "stitch_count", "start"),
    [
        ("Ch 3 (counts as a st), dc in each st around", 20, Start(3, True)),
        ("Ch 3 (does not count as a st), dc in each st around", 20, Start(3, False)),
        ("Ch 3 (counts as dc), dc in next 19 sts", 20, Start(3, True)),
        ("Ch 2 (does not count as a st), dc in next 20 sts", 20, Start(2, False)),
        ("Ch 1, sc in next 20 sts", 20, Start(1, False)),
        ("Ch 3, dc in next 19 sts; join with sl st in top of beg ch", 20, Start(3, True)),
        ("Ch 3, dc in next 19 sts. (20)", 20, Start(3, True)),
        ("Ch 3, dc in next 20 sts. (20)", 20, Start(3, False)),
        ("Ch 3. Ch 3 counts as first dc. Dc in each st around", 20, Start(3, True)),
    ],
)
def test_each_stitch_around_begins_behind_a_chain_that_counts(
    said: str, stitch_count: int, start: Start
) -> None:
    realized = _counted(said, 20)

    assert realized.faults == ()
    assert (realized.stitch_count, realized.start) == (stitch_count, start)


def test_a_starting_chain_that_may_count_or_not_must_say_so() -> None:
    assert _fault("Ch 3, dc in next 10 sts", 20).code == "start_chain_unsaid"
    assert _fault("Ch 3, 11 dc in ring", MadeBefore(0, is_ring=True)).code == "start_chain_unsaid"


@pytest.mark.parametrize(("place", "lean"), [("behind", "right"), ("in front of", "left")])
def test_a_crossing_says_which_are_skipped_and_on_which_side_they_are_worked(place: str, lean: str) -> None:
    realized = _counted(
        f"sk 2 sts, FPtr around next 2 sts, working {place} the sts just made FPtr around 2 skipped sts", 4
    )

    assert realized.steps == (Cross(2, "fptr", lean),)  # type: ignore[arg-type]


def test_more_stitches_than_were_skipped_cannot_be_worked_behind() -> None:
    realized = _counted("sk 2 sts, FPtr around next 2 sts, working behind FPtr around 3 skipped sts", 4)

    assert [fault.code for fault in realized.faults] == ["run_out"]


@pytest.mark.parametrize(
    ("us", "uk", "before", "made"),
    [
        ("sl st in next 3 sts", "ss in next 3 sts", 3, 3),
        ("sc around", "dc around", 8, 8),
        ("hdc around", "htr around", 8, 8),
        ("dc around", "tr around", 8, 8),
        ("tr around", "dtr around", 8, 8),
        ("dtr around", "trtr around", 8, 8),
        ("trtr around", "quadtr around", 8, 8),
        ("esc around", "edc around", 8, 8),
        ("edc around", "etr around", 8, 8),
        ("rev sc around", "rev dc around", 8, 8),
        ("FPsc around each st around", "FPdc around each st around", 8, 8),
        ("BPsc around each st around", "BPdc around each st around", 8, 8),
        ("FPhdc around each st around", "FPhtr around each st around", 8, 8),
        ("BPhdc around each st around", "BPhtr around each st around", 8, 8),
        ("FPdc around each st around", "FPtr around each st around", 8, 8),
        ("BPdc around each st around", "BPtr around each st around", 8, 8),
        ("FPtr around each st around", "FPdtr around each st around", 8, 8),
        ("BPtr around each st around", "BPdtr around each st around", 8, 8),
        ("FPdtr around each st around", "FPtrtr around each st around", 8, 8),
        ("BPdtr around each st around", "BPtrtr around each st around", 8, 8),
        ("FP dc around each st around", "FP tr around each st around", 8, 8),
        ("BP dc around each st around", "BP tr around each st around", 8, 8),
        ("BL sc in each st around", "BL dc in each st around", 8, 8),
        ("FL sc in each st around", "FL dc in each st around", 8, 8),
        ("BLO sc in each st around", "BLO dc in each st around", 8, 8),
        ("sc in FLO of each st around", "dc in FLO of each st around", 8, 8),
        ("sc tbl in each st around", "dc tbl in each st around", 8, 8),
        ("sc2tog around", "dc2tog around", 8, 4),
        ("hdc2tog around", "htr2tog around", 8, 4),
        ("dc2tog around", "tr2tog around", 8, 4),
        ("tr2tog around", "dtr2tog around", 8, 4),
        ("dc next 4 sts tog", "tr next 4 sts tog", 4, 1),
        ("[sc, inc] around", "[dc, inc] around", 8, 12),
        ("[sc in next 2 sts, dec] around", "[dc in next 2 sts, dec] around", 8, 6),
        ("sk 2 sts, sc in rem 6 sts", "miss 2 sts, dc in rem 6 sts", 8, 6),
        ("sc in foll 8 sts", "dc in foll 8 sts", 8, 8),
        ("sc in alt sts around", "dc in alt sts around", 8, 4),
        ("sc bet each st around", "dc bet each st around", 8, 8),
        ("cl in next st, pc in next st, ps in next st", "cl in next st, pc in next st, ps in next st", 3, 3),
        ("cont sc in each st of prev rnd", "cont dc in each st of prev rnd", 8, 8),
        ("with MC, sc around, with CC", "with MC, dc around, with CC", 8, 8),
        ("pm in first st, sc around, sm", "pm in first st, dc around, sm", 8, 8),
        ("*sc in next st; rep from * around", "*dc in next st; rep from * around", 8, 8),
        ("with RS facing, sc around; turn", "with WS facing, dc around; turn", 8, 8),
        ("ch 1, sc around; join in beg ch", "ch 1, dc around; join in beg ch", 8, 9),
        ("ch 3, dc around; sl st in top of tch to join", "ch 3, tr around; ss in top of tch to join", 8, 8),
        ("sc around, piece measures approx 4.5 in", "dc around, piece measures approx 12 cm", 8, 8),
    ],
)
def test_every_abbreviation_is_read_in_both_terms(us: str, uk: str, before: int, made: int) -> None:
    # Craft Yarn Council list of abbreviations (from memory) and independent lists.
    both = [_counted(us, before), _counted(uk, before, "uk")]

    assert both[0].steps == both[1].steps
    assert all(each.faults == () for each in both)
    assert {each.stitch_count for each in both} in ({made}, {8} if "beg ch" in us else {made})


@pytest.mark.parametrize(
    ("text", "space_count", "made"),
    [
        ("2 sc in each ch-sp around", 4, 8),
        ("2 sc in next ch sp, sc in next sp", 2, 3),
        ("sc in next lp", 1, 1),
    ],
)
def test_chain_spaces_are_places_too(text: str, space_count: int, made: int) -> None:
    realized = _counted(text, MadeBefore(12, space_count=space_count))

    assert (realized.consumed_stitch_count, realized.stitch_count, realized.faults) == (12, made, ())


def test_a_chain_space_left_over_is_found() -> None:
    realized = _counted("2 sc in next ch-1 sp", MadeBefore(12, space_count=2))

    assert (
        realized.faults[0].detail == "1 chain space of the round before is left over at the end of the round."
    )


@pytest.mark.parametrize("text", ["cont in pat as est", "yo", "work until piece measures approx 12 cm"])
def test_what_names_no_stitches_is_said_to_be_uncountable(text: str) -> None:
    assert _fault(text, 8).code == "not_countable"


def test_single_crochet_cannot_occur_in_uk_terms() -> None:
    assert _fault("sc in each st around", 8, "uk").code == "wrong_terms"
    assert _fault("htr in each st around", 8, "us").code == "wrong_terms"
    assert _fault("FPhdc2tog, schedule", 8, "uk").code == "wrong_terms"
    assert _fault("schedule", 8, "uk").code == "unknown_word"


@pytest.mark.parametrize(
    "text",
    [
        "[sc in next 3 sts, sc2tog] 4 times",
        "(sc in next 3 sts, sc2tog) 4 times",
        "{SC IN NEXT 3 STS, SC2TOG} x 4",
        "[sc in next 3 sts, sc2tog] × 4",
        "[sc in next 3 sts, sc2tog] 4x",
        "[3 sc, sc 2 tog] four times",
        "[single crochet in next three stitches, single crochet 2 stitches together] around",
        "*sc in next 3 sts, sc next 2 sts tog; repeat from * 3 times more",
        "*sc in next 3 sts, dec; rep from * 4 times in all",
        "*sc in next 3 sts, sc2tog*; rep from * to * 3 more times",
        "[sc in next 3 sts, sc2tog] around — 16 sts",
        "[sc in next 3 sts, sc2tog] around. 16 sc",
        "[sc in next 3 sts, sc2tog] around - 16 sts.",
        "“[sc in next 3 sts, sc2tog] 4 times” (16)",
        "rep [sc in next 3 sts, sc2tog] 4 times",
        "work [sc in each of the next 3 sts, sc2tog over next 2 sts] 4 times",
    ],
)
def test_one_round_can_be_written_in_many_ways(text: str) -> None:
    expected: tuple[Step, ...] = (Repeat(4, (Work("sc", 3), Together(("sc", "sc")))),)

    assert _counted(text, 20).steps == expected
