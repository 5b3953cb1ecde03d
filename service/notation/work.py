"""What it costs to read and count a text, in work units, and how much of it one text may cost.

A unit is what it takes to count one word of a line: about two millionths of a second. All that a text costs
is bounded by units, whatever it is made of: long lines, many rounds, many sizes, or many wrong numbers.
"""

import re
from dataclasses import dataclass

from service.notation.starting_chains import start_chain_of
from service.notation.tree import Line

__all__ = ["MOST_REPAIR_WORK", "MOST_WORK", "WorkBudget", "WorkSpent", "reading_work"]

#: Units that reading and counting a text may cost, and those for looking for repairs: together a fifth
#: of a second (convention). A hat of 60 different rounds costs about 10,000; one of 40 with 24 sizes 50,000.
MOST_WORK = 60_000
MOST_REPAIR_WORK = 8_000

_LINE, _ROUND, _WORD, _MARK = 30, 30, 5, 1
_SIZE, _COUNTED, _COMPARED = 6, 14, 20
#: A chain at the beginning of which nobody says what it counts as is counted in all three ways.
_READINGS_OF_A_CHAIN = 3
_WORDS = re.compile(r"[^\W\d_]+")
_MARKS = re.compile(r"\d+|[^\w\s]")


class WorkSpent(Exception):
    """The text has cost as much work as a text may."""


def reading_work(text: str) -> int:
    """Return what it costs to read a text, before it is read: rounds that differ in their number only, once.

    A line costs 30 units, and what stands behind its number 30, 5 for each word and 1 for each figure and
    mark; a line without a number is looked at twice, since it may be a heading or a count.

    Examples
    --------
    >>> reading_work("Rnd 1: Sc in next 6 sts.\\nRnd 2: Sc in next 6 sts.")
    112
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
    """The work that a text may still cost, so that a hostile text costs little."""

    left: int

    def spend_on_size(self) -> None:
        """Take what it costs to look at a line for one of the sizes.

        Raises
        ------
        WorkSpent
            If that is not left.
        """
        self._spend(_SIZE)

    def spend_on_counting(self, line: Line) -> None:
        """Take what it costs to count a line once: 14 units, one for each word, 20 to compare kinds.

        Raises
        ------
        WorkSpent
            If that is not left.
        """
        start = start_chain_of(line.pieces)
        is_unsaid = start is not None and start.counts is None
        once = _COUNTED + line.cost + (_COMPARED if line.names_kinds else 0)
        self._spend(once * (_READINGS_OF_A_CHAIN if is_unsaid else 1))

    def _spend(self, units: int) -> None:
        self.left -= units
        if self.left < 0:
            raise WorkSpent
