"""What it costs to read and count a text, in the units of all work, and how much of it one text may cost.

A unit is one move of a crown search, about a quarter of a microsecond, as in ``domain/work_units.py``. All
that a text costs is bounded by units, whatever it is made of: long lines, many rounds, many sizes, or many
wrong numbers.
"""

import re
from dataclasses import dataclass

from service.notation.starting_chains import start_chain_of
from service.notation.tree import Line

__all__ = ["MOST_REPAIR_WORK", "MOST_WORK", "WorkBudget", "WorkSpent", "reading_work"]

#: Units that reading and counting a text may cost, and those for looking for repairs: together a fifth
#: of a second (convention). Our own hats for 24 sizes, about 60 lines, cost three quarters of it.
MOST_WORK = 400_000
MOST_REPAIR_WORK = 40_000

_LINE, _ROUND, _WORD, _MARK = 150, 150, 25, 5
_SIZE, _COUNTED, _COUNTED_WORD, _COMPARED = 30, 70, 5, 100
#: A chain at the beginning of which nobody says what it counts as is counted in all three ways.
_READINGS_OF_A_CHAIN = 3
_WORDS = re.compile(r"[^\W\d_]+")
_MARKS = re.compile(r"\d+|[^\w\s]")


class WorkSpent(Exception):
    """The text has cost as much work as a text may."""


def reading_work(text: str) -> int:
    """Return what it costs to read a text, before it is read: rounds that differ in their number only, once.

    A line costs 150 units, and what stands behind its number 150, 25 for each word and 5 for each figure and
    mark; a line without a number is looked at twice, since it may be a heading or a count.

    Examples
    --------
    >>> reading_work("Rnd 1: Sc in next 6 sts.\\nRnd 2: Sc in next 6 sts.")
    560
    """
    lines = [line for line in text.split("\n") if line and not line.isspace()]
    rounds = {line[line.find(":") + 1 :]: ":" in line for line in lines}
    return _LINE * len(lines) + sum(
        (1 if has_label else 2) * _cost_of_words(words) for words, has_label in rounds.items()
    )


def _cost_of_words(text: str) -> int:
    return _ROUND + _WORD * len(_WORDS.findall(text)) + _MARK * len(_MARKS.findall(text))


@dataclass(slots=True)
class WorkBudget:
    """The work that a text may still cost, so that a hostile text costs little, and what it cost."""

    limit: int
    spent: int = 0

    def spend_on_size(self) -> None:
        """Take what it costs to look at a line for one of the sizes.

        Raises
        ------
        WorkSpent
            If that is not left.
        """
        self._spend(_SIZE)

    def spend_on_counting(self, line: Line) -> None:
        """Take what it costs to count a line once: 70 units, 5 for each word, 100 to compare kinds.

        Raises
        ------
        WorkSpent
            If that is not left.
        """
        start = start_chain_of(line.pieces)
        is_unsaid = start is not None and start.counts is None
        once = _COUNTED + _COUNTED_WORD * line.cost + (_COMPARED if line.names_kinds else 0)
        self._spend(once * (_READINGS_OF_A_CHAIN if is_unsaid else 1))

    def _spend(self, units: int) -> None:
        if self.spent + units > self.limit:
            # What comes after the dearest line is not counted either, however little it would cost.
            self.limit = self.spent
            raise WorkSpent
        self.spent += units
