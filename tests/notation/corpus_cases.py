"""Read the corpus: short texts with the counts that a person worked out beside each line."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from service.notation.terms import TERMS, Terms

__all__ = ["CorpusText", "Expected", "corpus_texts"]

_FOLDER = Path(__file__).parent / "corpus"
_HEADER = re.compile(r"@ (?P<name>.+), (?P<terms>us|uk)(?: from (?P<start>\d+))?")
_COUNTS = re.compile(r"uses (\d+|-), makes (\d+|-), declares (\d+|-)")
_REPAIR = re.compile(r"(\d+) instead of (\d+) at (\d+)(?: of line (\d+))?")
_FAULT = re.compile(r"([a-z_]+) at (\d+)(?: of line (\d+))?")
_LINE = re.compile(r" at line (\d+)$")

Counts = tuple[int | None, int | None, int | None]


@dataclass
class Expected:
    """What a line should count to."""

    line: int
    text: str
    counts: Counts
    verdict: str
    sizes: dict[int, Counts] = field(default_factory=dict)
    fault: tuple[str, int, int] | None = None
    repair: tuple[int, int, int, int] | None = None


@dataclass
class CorpusText:
    """A text of the corpus with what is expected of it."""

    name: str
    terms: Terms
    start: int | None
    lines: list[str] = field(default_factory=list)
    expected: list[Expected] = field(default_factory=list)


def corpus_texts() -> Iterator[CorpusText]:
    """Yield every text of every file."""
    for path in sorted(_FOLDER.glob("*.txt")):
        yield from _texts_in(path.read_text(encoding="utf-8"))


def _texts_in(content: str) -> Iterator[CorpusText]:
    text: CorpusText | None = None
    for line in content.splitlines():
        header = _HEADER.fullmatch(line)
        if header:
            if text is not None:
                yield text
            start = int(header["start"]) if header["start"] else None
            text = CorpusText(header["name"], TERMS[header["terms"]], start)  # type: ignore[index]
        elif text is not None and line.startswith("    = "):
            text.expected.append(_expected(line[6:], text))
        elif text is not None:
            text.lines.append(line)
    if text is not None:
        yield text


def _expected(told: str, text: CorpusText) -> Expected:
    first, *others = told.split("; ")
    counts, verdict = first.rsplit(", ", 1)
    other_line = _LINE.search(verdict)
    line = int(other_line[1]) if other_line else len(text.lines)
    expected = Expected(line, text.lines[line - 1], _counts(counts), _LINE.sub("", verdict))
    for other in others:
        repair, fault = _REPAIR.fullmatch(other), _FAULT.fullmatch(other)
        if other.startswith("size "):
            expected.sizes[int(other[5]) - 1] = _counts(other)
        elif repair:
            expected.repair = (int(repair[1]), int(repair[2]), int(repair[3]), int(repair[4] or line))
        elif fault:
            expected.fault = (fault[1], int(fault[2]), int(fault[3] or line))
        else:
            raise ValueError(f"cannot read {other!r}")
    return expected


def _counts(told: str) -> Counts:
    found = _COUNTS.search(told)
    assert found is not None, told
    used, made, declared = (None if each == "-" else int(each) for each in found.groups())
    return used, made, declared
