"""The corpus: every line counts to what a person worked out."""

import pytest

from service.notation.count_checks import check_counts
from tests.notation.corpus_cases import CorpusText, corpus_texts

_TEXTS = list(corpus_texts())


@pytest.mark.parametrize("text", _TEXTS, ids=lambda text: text.name)
def test_each_line_counts_as_a_person_worked_it_out(text: CorpusText) -> None:
    check = check_counts("\n".join(text.lines), text.terms, text.start)

    assert [entry.line for entry in check.rounds] == [expected.line for expected in text.expected]
    for entry, expected in zip(check.rounds, text.expected, strict=True):
        counts = (entry.consumed_stitch_count, entry.stitch_count, entry.declared_stitch_count)
        assert (counts, entry.verdict) == (expected.counts, expected.verdict), (expected.text, entry)
        for size, told in expected.sizes.items():
            sized = entry.by_size[size]
            assert (
                sized.consumed_stitch_count,
                sized.stitch_count,
                sized.declared_stitch_count,
            ) == told, expected.text


@pytest.mark.parametrize("text", _TEXTS, ids=lambda text: text.name)
def test_each_fault_and_repair_stands_where_a_person_found_it(text: CorpusText) -> None:
    check = check_counts("\n".join(text.lines), text.terms, text.start)

    for entry, expected in zip(check.rounds, text.expected, strict=True):
        if expected.fault:
            found = [(fault.code, fault.column, fault.line) for fault in entry.faults]
            assert expected.fault in found, (expected.text, entry)
        else:
            assert not entry.faults or expected.verdict == "disagrees", (expected.text, entry)
        fixed = entry.repair
        repair = fixed and (fixed.right_count, fixed.written_count, fixed.column, fixed.line)
        assert repair == expected.repair, (expected.text, entry)


def test_the_corpus_holds_eighty_rounds_and_more() -> None:
    assert sum(len(text.expected) for text in _TEXTS) >= 80
