"""Pick one size out of a pattern for several: a second reading, which shares nothing with the service."""

import re
from collections.abc import Sequence

_ROUND_FOR = re.compile(r"(?P<label>Rnds? [\d–]+) \(sizes? (?P<sizes>[\d–, and]+) only\)(?P<rest>: .*)")
_SENTENCE_FOR = re.compile(r"(?P<label>)Sizes? (?P<sizes>[\d–, and]+) only: (?P<rest>.*)")
_SPAN = re.compile(r"(\d+)(?:–(\d+))?")
_SIZED = re.compile(r"\b(\d+) \((\d+(?:, \d+)*)\)")
_COUNTS = re.compile(r"(?<=\. )\((\d+(?:, \d+)*)\)$")


def pick_size(text: str, size: int, *, size_count: int) -> tuple[str, ...]:
    """Return the lines of the pattern for one size, counted from 1, its numbers picked out of all.

    A line for some sizes only is left out for the others. ``64 (72, 80)`` is a number for three sizes;
    at the end of a line ``(64, 72, 80)`` are their counts; where one number stands it is for all.
    """
    picked = (_picked(line, size, size_count) for line in text.split("\n"))
    return tuple(line for line in picked if line is not None)


def _picked(line: str, size: int, size_count: int) -> str | None:
    marked = _ROUND_FOR.fullmatch(line) or _SENTENCE_FOR.fullmatch(line)
    sizes = range(1, size_count + 1) if marked is None else _sizes_in(marked["sizes"])
    if size not in sizes:
        return None
    if marked is not None:
        line = marked["label"] + marked["rest"]
    place = sizes.index(size)
    line = _SIZED.sub(lambda found: _one_of([found[1], *found[2].split(", ")], place, len(sizes)), line)
    return _COUNTS.sub(lambda found: f"({_one_of(found[1].split(', '), place, len(sizes))})", line)


def _sizes_in(phrase: str) -> Sequence[int]:
    spans = [(int(span[1]), int(span[2] or span[1])) for span in _SPAN.finditer(phrase)]
    return [size for first, last in spans for size in range(first, last + 1)]


def _one_of(numbers: Sequence[str], place: int, size_count: int) -> str:
    if len(numbers) not in (1, size_count):
        raise ValueError(f"{len(numbers)} numbers stand in a line that is for {size_count} sizes")
    return numbers[place] if len(numbers) > 1 else numbers[0]
