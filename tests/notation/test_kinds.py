"""Which stitches a round is made of: by random rounds, and by the names that makers use."""

import re
from collections import Counter

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from service.domain.rounds import Round
from service.domain.steps import Chain, Cross, IntoOne, Step, Together, Work, flat
from service.notation.count_checks import check_counts
from service.notation.kinds import MOST_DEMANDS, Demand, MadeOf, is_kind, space_demands, stitch_demands
from service.notation.terms import TERMS, US, Terms
from service.notation.writer import write_round
from tests.notation.round_strategies import rounds

_TERMS = st.sampled_from(list(TERMS.values()))


def _base(code: str) -> str:
    return re.sub(r"^(fp|bp|fl|bl)|\dtog$", "", code)


def _made(step: Step) -> list[str]:
    """Return the stitches that a step leaves, one by one, by hand."""
    match step:
        case Work(stitch, count):
            return [_base(stitch)] * count
        case IntoOne(stitches):
            return [_base(stitch) for stitch in stitches]
        case Together(stitches):
            return [_base(stitches[0])]
        case Cross(over, stitch):
            return [_base(stitch)] * (2 * over)
    return []


def _kinds(round_: Round) -> Counter[str]:
    """Return the kinds of a round that has no stitch of which nobody says what it is."""
    assume(round_.start is None or not round_.start.counts_as_stitch)
    steps = flat(round_.steps)
    assume(not any(isinstance(step, Chain) for step in steps))
    assume(all(len({*step.stitches}) == 1 for step in steps if isinstance(step, Together)))
    return Counter(code for step in steps for code in _made(step))


def _with_count(round_: Round, kinds: Counter[str], terms: Terms) -> str:
    named = ", ".join(f"{count} {terms.abbreviation(code)}" for code, count in kinds.items())
    return write_round(round_, terms=terms).removesuffix(f"({round_.stitch_count})") + f"({named})"


@given(round_=rounds("previous_round"), terms=_TERMS)
def test_a_count_of_all_its_kinds_agrees_with_any_round(round_: Round, terms: Terms) -> None:
    text = _with_count(round_, _kinds(round_), terms)

    check = check_counts(text, terms, round_.consumed_stitch_count)

    assert check.verdict == "agrees", (text, check)


@given(round_=rounds("previous_round"), terms=_TERMS, data=st.data())
def test_a_stitch_counted_as_another_is_found(round_: Round, terms: Terms, data: st.DataObject) -> None:
    kinds = _kinds(round_)
    taken = data.draw(st.sampled_from(sorted(kinds)))
    given_to = data.draw(st.sampled_from([code for code in ("sc", "hdc", "dc", "tr") if code != taken]))
    text = _with_count(round_, kinds - Counter([taken]) + Counter([given_to]), terms)

    [entry] = check_counts(text, terms, round_.consumed_stitch_count).rounds

    assert entry.verdict == "disagrees"
    assert {fault.code for fault in entry.faults} == {"kind_differs"}


@given(round_=rounds("previous_round"), terms=_TERMS, more=st.integers(1, 9), data=st.data())
def test_the_wrong_number_of_a_split_count_is_put_right(
    round_: Round, terms: Terms, more: int, data: st.DataObject
) -> None:
    kinds = _kinds(round_)
    wrong = data.draw(st.sampled_from(sorted(kinds)))
    text = _with_count(round_, kinds + Counter({wrong: more}), terms)

    [entry] = check_counts(text, terms, round_.consumed_stitch_count).rounds

    assert entry.repair is not None
    assert (entry.repair.written_count, entry.repair.right_count) == (kinds[wrong] + more, kinds[wrong])


@pytest.mark.parametrize(
    ("code", "named", "is_so"),
    [
        ("dc", "dc", True),
        ("fpdc", "dc", True),
        ("bldc", "dc", True),
        ("dc3tog", "dc", True),
        ("dc", "fpdc", False),
        ("bpdc", "fpdc", False),
        ("fpdc2tog", "fpdc", True),
        ("edc", "dc", False),
        ("sl_st", "sl_st", True),
        ("rev_sc", "sc", False),
        ("", "tr", True),
    ],
)
def test_a_stitch_is_what_its_base_is(code: str, named: str, is_so: bool) -> None:
    assert is_kind(code, named) is is_so


def test_each_place_that_is_not_what_it_is_called_has_a_fault() -> None:
    made = MadeOf((Work("sc", 2), Work("dc", 2)))
    demands = [Demand("dc", 0, 10), Demand("sc", 0, 20)]

    faults = stitch_demands(bytes([1, 1, 2, 2]), demands, made, "us")

    assert [(fault.column, fault.detail) for fault in faults] == [
        (10, "The 1st stitch of the round before is sc, not dc."),
        (20, "The 3rd stitch of the round before is dc, not sc."),
    ]


def test_a_place_that_nobody_names_is_not_compared() -> None:
    made = MadeOf((Work("sc", 3),))

    assert stitch_demands(bytes([0, 1, 0]), [Demand("sc", 0, 1)], made, "us") == ()
    assert stitch_demands(bytes(3), [], None, "us") == ()
    assert space_demands(b"", [], bytes([2])) == ()


def test_more_names_than_a_round_has_are_refused() -> None:
    text = "Rnd 1: " + ", ".join(["sc in next sc"] * (MOST_DEMANDS + 1))

    [entry] = check_counts(text, US, MOST_DEMANDS + 1).rounds

    assert [fault.code for fault in entry.faults] == ["too_long"]
