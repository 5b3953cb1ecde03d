"""What is written can be read back, and a changed number is found."""

import re
from dataclasses import replace

from hypothesis import assume, given
from hypothesis import strategies as st

from service.domain.rounds import Round
from service.domain.steps import Cross, Repeat, Work, canonical, consumed_by, flat
from service.notation.count_checks import check_counts
from service.notation.faults import Fault
from service.notation.made_before import MadeBefore, Realized
from service.notation.reader import read_line
from service.notation.realizing import realize
from service.notation.terms import TERMS, Terms
from service.notation.writer import write_round, write_rounds
from tests.notation.round_strategies import rounds

_TERMS = st.sampled_from(list(TERMS.values()))
#: Numbers that bear on no count: a round's own number and the lengths of chains.
_IDLE = re.compile(r"^Rnd \d+|[Cc]h \d+")


def _before(round_: Round) -> MadeBefore:
    return MadeBefore(
        round_.consumed_stitch_count,
        is_foundation=round_.worked_into == "foundation",
        is_ring=round_.worked_into == "ring",
        foundation_stitch_count=round_.consumed_stitch_count,
    )


def _read_back(round_: Round, terms: Terms) -> Realized:
    line = read_line(write_round(round_, terms=terms), terms.terms_id)
    assert not isinstance(line, Fault), (line, write_round(round_, terms=terms))
    realized = realize(line, _before(round_))
    assert not isinstance(realized, Fault), (realized, write_round(round_, terms=terms))
    return realized


@given(round_=rounds(), terms=_TERMS)
def test_a_written_round_reads_back_to_the_same_steps(round_: Round, terms: Terms) -> None:
    realized = _read_back(round_, terms)

    assert flat(realized.steps) == flat(round_.steps)
    assert canonical(realized.steps) == canonical(round_.steps)


@given(round_=rounds(), terms=_TERMS)
def test_a_written_round_reads_back_to_the_same_counts_and_place(round_: Round, terms: Terms) -> None:
    realized = _read_back(round_, terms)

    assert realized.faults == ()
    assert realized.consumed_stitch_count == round_.consumed_stitch_count
    assert realized.stitch_count == round_.stitch_count
    assert (realized.start, realized.join) == (round_.start, round_.join)
    assert realized.worked_into == round_.worked_into


@given(round_=rounds())
def test_both_terms_say_the_same(round_: Round) -> None:
    us, uk = (_read_back(round_, terms) for terms in TERMS.values())

    assert us == uk


@given(round_=rounds(), terms=_TERMS)
def test_the_canonical_form_is_written_and_read_like_any_other(round_: Round, terms: Terms) -> None:
    realized = _read_back(replace(round_, steps=canonical(round_.steps)), terms)

    assert canonical(realized.steps) == canonical(round_.steps)


@given(round_=rounds("previous_round"), terms=_TERMS, data=st.data())
def test_one_changed_number_is_found(round_: Round, terms: Terms, data: st.DataObject) -> None:
    text = write_round(round_, terms=terms)
    idle = [match.span() for match in _IDLE.finditer(text)]
    numbers = [
        match
        for match in re.finditer(r"\d+", text)
        if not any(begin <= match.start() < end for begin, end in idle)
    ]
    number = data.draw(st.sampled_from(numbers))
    other = data.draw(st.integers(1, 60).filter(lambda value: value != int(number[0])))
    changed = text[: number.start()] + str(other) + text[number.end() :]

    check = check_counts(changed, terms, round_.consumed_stitch_count)

    assert check_counts(text, terms, round_.consumed_stitch_count).verdict == "agrees"
    assert check.verdict in ("disagrees", "not_understood"), changed


@given(pairs=st.integers(1, 60), over=st.integers(1, 4), terms=_TERMS, more=st.integers(1, 30))
def test_equal_rounds_can_be_written_together(pairs: int, over: int, terms: Terms, more: int) -> None:
    steps = (Repeat(pairs, (Work("bpdc", 2), Cross(over, "fptr", "left"))),)
    count = consumed_by(steps)
    round_ = Round(1, "body", "cross", "previous_round", count, count, None, steps, None, 6.0)
    text = write_rounds(round_, last_number=1 + more, terms=terms)

    check = check_counts(text, terms, count)

    assert check.verdict == "agrees"
    assert (check.rounds[0].round, check.rounds[0].last_round) == (1, 1 + more)


@given(round_=rounds("previous_round"), terms=_TERMS, wrong=st.integers(1, 5000))
def test_a_wrong_declared_count_is_put_right(round_: Round, terms: Terms, wrong: int) -> None:
    assume(wrong != round_.stitch_count)
    text = write_round(round_, terms=terms).removesuffix(f"({round_.stitch_count})") + f"({wrong})"

    (entry,) = check_counts(text, terms, round_.consumed_stitch_count).rounds

    assert entry.verdict == "disagrees"
    assert entry.repair is not None
    assert (entry.repair.written_count, entry.repair.right_count) == (wrong, round_.stitch_count)
