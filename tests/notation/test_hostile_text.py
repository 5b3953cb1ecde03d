"""No text breaks the reader or keeps it busy: each fault points at a place."""

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from service.notation.checked_rounds import CountCheck
from service.notation.count_checks import check_counts
from service.notation.faults import FAULT_CODES
from service.notation.lexicon import lexicon_for
from service.notation.terms import TERMS, UK, US, Terms
from tests.notation.corpus_cases import corpus_texts

_LINES = [line for text in corpus_texts() for line in text.lines]
_WORDS = sorted({*lexicon_for("us").words, *lexicon_for("uk").words, "sc2tog", "ch-5", "2nd"})
_MARKS = list("()[]{}*,;.:–—-+=×/#'\"\t\u00a0\u2028ß½٣")
_TERMS = st.sampled_from(list(TERMS.values()))


def _check(text: str, terms: Terms, start: int | None = 60) -> CountCheck:
    return check_counts(text, terms, start)


def _points_at_places(check: CountCheck, text: str) -> bool:
    lines = text.split("\n")
    return all(
        1 <= fault.line <= len(lines) and 1 <= fault.column <= len(lines[fault.line - 1]) + 2
        for entry in check.rounds
        for fault in entry.faults
    )


@settings(deadline=None)
@given(
    words=st.lists(
        st.sampled_from(_WORDS) | st.integers(0, 9999).map(str) | st.sampled_from(_MARKS), max_size=40
    ),
    terms=_TERMS,
)
def test_words_in_any_order_are_read_or_refused_at_a_place(words: list[str], terms: Terms) -> None:
    text = "Rnd 3: " + " ".join(words)

    check = _check(text, terms)

    assert _points_at_places(check, text)
    assert {fault.code for entry in check.rounds for fault in entry.faults} <= FAULT_CODES.keys()


@settings(deadline=None)
@given(text=st.text(max_size=300), terms=_TERMS)
@example(text="\ud800", terms=US)
@example(text="Rnd 1: sc in next 99999999999999999999 sts", terms=US)
@example(text="Rnd ٣: ٣ sc in ring", terms=US)
@example(text="Rnd 1: " + "(" * 5000, terms=US)
@example(text="Rnd 1: " + "[sc] 2 times, " * 1000, terms=US)
@example(text="To finish: " * 4000, terms=US)
@example(text="Rnds " + "1, 2 and 3, " * 900 + ": sc", terms=US)
@example(text="sc in next st,\n" * 400, terms=US)
@example(text="Notes\n" + "sc everywhere\n" * 300, terms=US)
@example(text="Rnds 1-99999: sc in each st around", terms=US)
@example(text="Rnd 1: sc around\nRep Rnds 1-1 2000 times more.\n" * 30, terms=US)
def test_any_text_is_read_or_refused_at_a_place(text: str, terms: Terms) -> None:
    check = _check(text, terms)

    assert _points_at_places(check, text)


@settings(deadline=None)
@given(
    line=st.sampled_from(_LINES),
    cut=st.integers(0, 200),
    put=st.sampled_from([*_MARKS, *_WORDS, "0", "7", "4000"]),
    length=st.integers(0, 6),
    terms=_TERMS,
)
def test_a_damaged_line_is_read_or_refused_at_a_place(
    line: str, cut: int, put: str, length: int, terms: Terms
) -> None:
    at = cut % (len(line) + 1)
    text = line[:at] + put + line[at + length :]

    check = _check(text, terms)

    assert _points_at_places(check, text)


@pytest.mark.parametrize("terms", [US, UK])
@pytest.mark.parametrize(
    "line",
    [
        "Rnd 1: [(sk 1 st, tr in next 2 sts) 3 times, dtr in next 7 sts, (tr, ch 1, tr) in next st] 5x. (7)",
        "Rnd 1: " + "tr in next 3 sts, " * 8 + "(7)",
        "Rnd 1: [tr in next 3 sts, 2 tr in next st, miss 4 sts, tr in next 9 sts] around. (7)",
        "[" * 8 + "tr in next st" + "] 2 times" * 8,
        "tr 1 " * 30,
        "(1" * 60,
        "Rep Rnds 1-400 9 times more.",
    ],
)
def test_the_largest_text_of_wrong_rounds_stays_within_the_limit(line: str, terms: Terms) -> None:
    lines = [line.replace("7)", f"{number})") for number in range(7, 407)]
    text = "\n".join(lines)[: 64 * 1024]

    check = _check(text, terms)

    assert check.verdict != "agrees"


def test_a_text_too_long_is_refused_before_it_is_read() -> None:
    check = _check("Rnd 1: sc in each st around.\n" * 3000, US)

    assert [fault.code for entry in check.rounds for fault in entry.faults] == ["too_long"]


def test_a_text_of_too_many_rounds_is_refused_where_they_become_too_many() -> None:
    text = "Rnds 1-400: Sc in each st around. (60)\nRnd 401: Sc in each st around. (60)"

    first, second = _check(text, US).rounds

    assert first.verdict == "agrees"
    assert second.faults[0].code == "too_many_rounds"


def test_a_chain_alone_after_a_round_leaves_the_round_over() -> None:
    # Found by mutation: a line that counts nothing has no last counted piece to point at.
    check = check_counts("Rnd 5: Sc in each st around. (60)\nCh 2.", US, 60)

    assert check.rounds[0].verdict == "agrees"
    assert check.verdict in ("disagrees", "not_understood")
    assert _points_at_places(check, "Rnd 5: Sc in each st around. (60)\nCh 2.")
