"""Find the instruction lines of a text, those that go on over several lines as one.

A count on a line of its own belongs to the round above it. Under a heading such as ``Notes`` or
``Materials``, up to a blank line, a round or a count, a line that cannot be read is a note.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from service.notation.continued_lines import continues, pause_between
from service.notation.faults import Fault
from service.notation.headings import bears_on_counts, ends_in_count, is_heading, opens_notes
from service.notation.labels import find_label
from service.notation.reader import read_label, read_line
from service.notation.size_marks import without_size_mark
from service.notation.terms import TermsId
from service.notation.tree import Count, Join, Line, Remark

__all__ = ["WrittenLine", "written_lines"]

#: What stands between a round and its count when they are read as one line.
_PAUSE = ". "
#: How far an instruction goes on: lines below it and characters (convention).
_MOST_BELOW = 20
_LONGEST = 2000
#: A bare number of stitches is a count only behind a sentence, so it is read behind one that tells nothing.
_BARE_COUNT = re.compile(r"\s*[–—=−-]?\s*\d")
_BEFORE_A_COUNT = "Turn. "


@dataclass(slots=True)
class WrittenLine:
    """An instruction line: where it begins, and where in it the lines below begin that hold its counts.

    ``is_first_of_section`` tells whether a heading stands above it; ``sizes`` are those it is for, none where
    it is for all.
    """

    number: int
    text: str
    is_first_of_section: bool
    below: tuple[tuple[int, int], ...] = ()
    sizes: tuple[int, ...] = ()

    def take_count(self, number: int, text: str) -> None:
        """Add a count from a line below."""
        self.take(number, _PAUSE, text)

    def take(self, number: int, pause: str, text: str) -> None:
        """Add a line below, behind a pause."""
        begin = len(self.text) + len(pause)
        self.text += pause + text
        self.below += ((begin, number),)

    @property
    def last_number(self) -> int:
        """The last line of the text that belongs to it."""
        return self.below[-1][1] if self.below else self.number

    def goes_on(self, number: int, text: str, terms_id: TermsId) -> bool:
        """Return whether the next line goes on with this one, within bounds."""
        is_next = number == self.last_number + 1
        has_room = len(self.below) < _MOST_BELOW and len(self.text) < _LONGEST
        return is_next and has_room and continues(text, above=self.text, terms_id=terms_id)

    def place_of(self, column: int) -> tuple[int, int]:
        """Return the line of the text and the column in it of a column of this line.

        Examples
        --------
        >>> line = WrittenLine(3, "Sc around", False)
        >>> line.take_count(5, "(24 sts)")
        >>> line.place_of(4), line.place_of(12)
        ((3, 4), (5, 1))
        """
        for begin, number in reversed(self.below):
            if column > begin:
                return number, column - begin
        return self.number, column


def written_lines(text: str, terms_id: TermsId) -> list[WrittenLine]:
    """Return the instruction lines of a text, without headings and blank lines.

    Remarks such as ``Turn.`` may stand between a round and its count, headings may not.

    Examples
    --------
    >>> [line.text for line in written_lines("Body\\nRnd 1: Sc around.\\n(24 sts)\\nFasten off.", "us")]
    ['Rnd 1: Sc around.. (24 sts)', 'Fasten off.']
    """
    found: list[WrittenLine] = []
    above: WrittenLine | None = None
    is_new = are_notes = False
    for number, full in _lines_of(text):
        written, sizes = without_size_mark(full)
        if found and found[-1].goes_on(number, written, terms_id):
            pause = pause_between(above=found[-1].text, text=written, terms_id=terms_id)
            found[-1].take(number, pause, written)
            found[-1].sizes = found[-1].sizes or sizes
            above = found[-1]
            continue
        if is_heading(written, terms_id):
            if written.strip():
                above, is_new = None, True
            are_notes = opens_notes(written) or (are_notes and bool(written.strip()))
            continue
        are_notes = are_notes and not (find_label(written, terms_id).words or ends_in_count(written))
        is_unread = are_notes and isinstance(read_line(written, terms_id), Fault)
        if is_unread and not bears_on_counts(written, terms_id):
            continue
        count, remark = _parts(written, terms_id)
        if count and above is not None:
            above.take_count(number, written)
            continue
        line = WrittenLine(number, written, is_new, sizes=sizes)
        found.append(line)
        is_new = False
        if not (count or remark):
            above = line
    return found


def _lines_of(text: str) -> Iterator[tuple[int, str]]:
    return ((number, line.rstrip("\r")) for number, line in enumerate(text.split("\n"), start=1))


def _parts(written: str, terms_id: TermsId) -> tuple[bool, bool]:
    """Return whether a line holds nothing but a count and remarks, and whether nothing but remarks."""
    if read_label(written, terms_id) is not None:
        return False, False
    line = read_line(written, terms_id)
    if isinstance(line, Fault) and _BARE_COUNT.match(written):
        line = read_line(_BEFORE_A_COUNT + written, terms_id)
    if not isinstance(line, Line) or line.defines:
        return False, False
    is_idle = all(isinstance(piece, Count | Join | Remark) for piece in line.pieces)
    has_count = any(isinstance(piece, Count) for piece in line.pieces)
    return is_idle and has_count, is_idle and not has_count
