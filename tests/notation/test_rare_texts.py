"""What few texts say: places called twice, chain spaces by name, words left out, ranges of sizes."""

import pytest

from service.notation.count_checks import check_counts
from service.notation.terms import US

#: Twenty chains, then ten single crochets with a chain space behind each.
MESH = "Ch 20, join.\nRnd 1: [Sc in next ch, ch 1, sk 1 ch] around. (10 sc, 10 ch-1 sps)\n"
TWO_ROUNDS = "Ch 20, join.\nRnd 1: Sc in each ch around. (20)\n"

Counted = tuple[str, int | None, int | None, list[str]]


def _last(text: str, start: int | None = None) -> Counted:
    """Return the verdict on the last line, what it uses and makes, and the codes of its faults."""
    entry = check_counts(text, US, start).rounds[-1]
    codes = [fault.code for fault in entry.faults]
    return entry.verdict, entry.consumed_stitch_count, entry.stitch_count, codes


@pytest.mark.parametrize(
    ("line", "counted"),
    [
        # A space by its chain, with and without a dash.
        ("Rnd 2: 2 sc in each ch 1 sp around. (20)", ("agrees", 10, 20, [])),
        ("Rnd 2: Sc in each st and each ch-1 sp around. (20)", ("agrees", 10, 20, [])),
        # Is it a single crochet in each space and stitch, or one more single crochet?
        ("Rnd 2: Sc in each ch-1 sp and sc around. (20)", ("not_understood", None, None, ["ambiguous"])),
        # The space that was just worked into, by its chain: the same one, and one of another length.
        ("Rnd 2: [Sc in next sp, dc in same ch-1 sp] around. (20)", ("agrees", 10, 20, [])),
        (
            "Rnd 2: [Sc in next ch-1 sp, dc in same ch-2 sp] around. (20)",
            ("disagrees", 10, 20, ["kind_differs"]),
        ),
    ],
)
def test_chain_spaces_are_called_in_many_ways(line: str, counted: Counted) -> None:
    assert _last(MESH + line) == counted


@pytest.mark.parametrize(
    ("counts", "counted"),
    [
        # Spaces alone say nothing of the stitches.
        ("10 ch-1 sps", ("undeclared", 20, 10, [])),
        ("10 sps", ("undeclared", 20, 10, [])),
        ("9 sps", ("disagrees", 20, 10, ["count_differs"])),
    ],
)
def test_a_count_of_spaces_alone_is_none_of_stitches(counts: str, counted: Counted) -> None:
    assert _last(MESH.replace("10 sc, 10 ch-1 sps", counts)) == counted


@pytest.mark.parametrize(
    ("counts", "counted"),
    [
        ("10 sc, 5 ch-1 sps, 5 ch-3 sps", ("agrees", 10, 10, [])),
        # Five spaces of three chains are made beside those that are counted.
        ("10 sc, 5 ch-1 sps", ("disagrees", 10, 10, ["count_differs"])),
    ],
)
def test_spaces_that_are_counted_by_length_are_all_of_them(counts: str, counted: Counted) -> None:
    line = f"Rnd 1: [Sc in next st, ch 1, sc in next st, ch 3] 5 times. ({counts})"

    assert _last(line, 10) == counted


@pytest.mark.parametrize(
    ("counts", "counted"),
    [
        # A number without a name is of the stitches that no name takes.
        ("5 sc, 5 sts", ("agrees", 10, 10, [])),
        ("5 sts, 5 dc", ("agrees", 10, 10, [])),
        ("5 sc, 10 sts", ("disagrees", 10, 10, ["count_differs"])),
    ],
)
def test_stitches_without_a_name_are_the_others(counts: str, counted: Counted) -> None:
    assert _last(f"Rnd 1: [Sc in next st, dc in next st] 5 times. ({counts})", 10) == counted


def test_one_place_called_by_two_names_is_a_fault() -> None:
    line = "Rnd 3: Sc in next sc, dc in same hdc, sc in next 5 sts. (7)"

    assert _last(f"Rnd 2: Sc around. (6)\n{line}", 6) == ("disagrees", 6, 7, ["kind_differs"])


def test_some_of_the_skipped_stitches_cannot_be_called_by_name() -> None:
    line = "Rnd 3: [Sk next 3 sts, dc in next st, dc in 2 skipped sc] around. (15)"

    assert _last(f"Rnd 2: Sc around. (20)\n{line}", 20) == ("undeclared", 20, 15, ["kind_unknown"])


@pytest.mark.parametrize(
    "line",
    [
        "Rnd 2: Dc in next st, [in next st, sc in next st] 2 times. (5)",
        "Rnd 2: Dc in next st, [in next st] 4 times. (5)",
        "Rnd 2: Dc in next st. *In next st, ch 1; rep from * around. (5)",
    ],
)
def test_a_bracket_that_names_no_stitch_goes_on_with_the_one_before(line: str) -> None:
    assert _last(line, 5) == ("agrees", 5, 5, [])


@pytest.mark.parametrize(
    ("count", "counted"),
    [
        # Eight single crochets and ten increases, or twice eight and an increase: nothing says which.
        ("", ("not_understood", None, None, ["ambiguous"])),
        (" (28)", ("agrees", 18, 28, [])),
        (" (20)", ("not_understood", None, None, ["ambiguous"])),
        (" (27)", ("disagrees", 18, 28, ["count_differs"])),
    ],
)
def test_only_its_count_tells_how_a_round_without_brackets_is_repeated(count: str, counted: Counted) -> None:
    assert _last(f"Rnd 3: 8 sc, inc around.{count}", 18) == counted


def test_a_line_that_names_no_stitch_at_all_is_not_understood() -> None:
    assert _last("Rnd 2: In next st, sc.", 3) == ("not_understood", None, None, ["unexpected"])


def test_a_size_that_skips_no_stitch_is_counted_as_the_others_are() -> None:
    # Size 1 skips none of 20 stitches, size 2 one.
    check = check_counts("Rnd 1: Sk 0 (1) sts, sc around. 20 (19)", US, 20)

    assert check.verdict == "agrees"


@pytest.mark.parametrize("label", ["Rnd 3 (right side)", "Rnd 3 [wrong side facing]", "Rnd 3 (RS)"])
def test_a_label_tells_the_side_that_is_worked(label: str) -> None:
    assert _last(f"{label}: Sc around. (20)", 20) == ("agrees", 20, 20, [])


@pytest.mark.parametrize("below", ["Sc in each st around. (10)", "sc in each st around. (10)"])
def test_a_label_may_stand_in_a_line_of_its_own(below: str) -> None:
    assert _last(f"Rnd 3\n{below}", 10) == ("agrees", 10, 10, [])


def test_a_line_that_goes_on_with_an_unknown_word_says_which() -> None:
    assert _last("Rnd 3: Sc in next 5 sts\nwibble, 3 sc. (9)", 10) == (
        "not_understood",
        None,
        None,
        ["unknown_word"],
    )


@pytest.mark.parametrize(
    "line",
    ["Ch 21, sc in 2nd ch from hook, sc in each ch across. (20)", "Ch 21, (sc, sc) in 2nd ch from hook. (2)"],
)
def test_a_chain_and_the_row_into_it_stand_in_one_line(line: str) -> None:
    entry = check_counts(line, US).rounds[-1]

    assert entry.stitch_count == entry.declared_stitch_count


def test_the_other_edge_of_a_foundation_is_of_chains() -> None:
    chains, stitches = (
        f"{TWO_ROUNDS}Rnd 2: Join yarn in any foundation ch, sc in each {name} around. (20)"
        for name in ("ch", "sc")
    )

    assert _last(chains) == ("agrees", 20, 20, [])
    assert _last(stitches) == ("disagrees", 20, 20, ["kind_differs"])


@pytest.mark.parametrize("chain", ["Ch 2", "Ch 3"])
def test_a_starting_chain_that_changes_no_count_need_not_be_told(chain: str) -> None:
    assert _last(f"Rnd 3: {chain}, dc around. (10)", 10) == ("agrees", 10, 10, [])


def test_slip_stitches_before_a_chain_that_says_nothing_are_stitches() -> None:
    line = "Rnd 3: Sl st in next 2 sts, ch 1, sc in next 8 sts. (10)"

    assert _last(line, 10) == ("agrees", 10, 10, [])


@pytest.mark.parametrize("line", ["Rnd 4: Sc in each sc around. (20)", "Rnd 4: Sc in each dc around. (20)"])
def test_increases_of_a_stitch_that_nobody_names_may_be_called_by_any_name(line: str) -> None:
    assert _last(f"Rnd 3: Inc around. (20)\n{line}", 10) == ("agrees", 20, 20, [])


@pytest.mark.parametrize(
    ("line", "is_explained"),
    [
        ("dec - sc2tog", True),
        ("dec = sc 2 sts together", True),
        ("inc = 2 sc in next st", True),
        ("inc: sc next 2 sts together", False),
        ("dec: decrease over next 2 sts", False),
        ("inc = ch 2", False),
    ],
)
def test_only_an_abbreviation_that_is_explained_rightly_makes_no_entry(line: str, is_explained: bool) -> None:
    check = check_counts(f"{line}\nRnd 1: Sc around. (20)", US, 20)

    assert (len(check.rounds) == 1) is is_explained


def test_a_number_that_can_be_neither_more_nor_less_is_not_repaired() -> None:
    # One stitch is too few for two places, and two stitches each in two places need other words.
    (entry,) = check_counts("Rnd 2: 2 sc in next 1 st, sc in next 3 sts. (6)", US, 5).rounds

    assert entry.verdict == "disagrees"
    assert entry.repair is not None
    assert (entry.repair.written_count, entry.repair.right_count) == (3, 4)
