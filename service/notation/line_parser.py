"""Drive the grammar's table: the same steps as its own parser, with every rule looked up beforehand.

The table is the work of ``lark``; this loop only spares it the hashing of rules at each step, which is
half of what it costs to read a line.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from lark import Lark
from lark.exceptions import UnexpectedToken
from lark.parsers.lalr_analysis import Shift

from service.notation.tokens import Token

__all__ = ["LineParser"]

_END = Token("$END", "", 0)


@dataclass(frozen=True, slots=True)
class _Reduction:
    """A rule that is complete: how many parts it has, what it makes of them, and where that leads."""

    size: int
    build: Callable[[list[Any]], Any]
    name: str


class LineParser:
    """Reads the words of a line by a grammar's table."""

    def __init__(self, grammar: Lark) -> None:
        parser: Any = grammar.parser.parser.parser
        table = parser.parse_table
        self._start: int = table.start_states["start"]
        self._end: int = table.end_states["start"]
        self._states: dict[int, dict[str, int | _Reduction]] = {
            state: {str(name): _step(action, argument, parser) for name, (action, argument) in steps.items()}
            for state, steps in table.states.items()
        }

    def parse(self, words: Sequence[Token]) -> Any:
        """Return what the rules make of the words.

        Raises
        ------
        UnexpectedToken
            At the first word that fits no rule, with the kinds that would.
        """
        states, values = [self._start], []
        for word in (*words, _END):
            while True:
                step = self._states[states[-1]].get(word.type)
                if type(step) is int:
                    states.append(step)
                    values.append(word)
                    break
                if step is None:
                    raise _unexpected(word, self._states[states[-1]])
                assert isinstance(step, _Reduction)
                begin = len(values) - step.size
                values[begin:] = [step.build(values[begin:])]
                del states[begin + 1 :]
                next_state = self._states[states[-1]][step.name]
                assert type(next_state) is int
                states.append(next_state)
                if next_state == self._end:
                    return values[-1]
        raise AssertionError("The end of a line is shifted by no rule.")


def _step(action: Any, argument: Any, parser: Any) -> int | _Reduction:
    if action is Shift:
        return int(argument)
    return _Reduction(len(argument.expansion), parser.callbacks[argument], str(argument.origin.name))


def _unexpected(word: Token, steps: Iterable[str]) -> UnexpectedToken:
    expected = {name for name in steps if name.isupper()}
    return UnexpectedToken(word, expected)  # type: ignore[no-untyped-call]
