"""Which rounds of a chart consist of equal parts, so that one part can stand for all of them."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from service.domain.errors import DrawingTooLarge
from service.domain.rounds import Round
from service.drawings.chart_stitches import ChartRound, chart_round, part_of_round

__all__ = ["MOST_SYMBOLS", "ChartRepeat", "common_repeat", "refuse_too_many", "whole_rounds"]

#: Symbols beyond which nobody can read a chart (convention).
MOST_SYMBOLS = 8_000


@dataclass(frozen=True, slots=True)
class ChartRepeat:
    """Neighbouring rounds, each shown by the first of ``times`` equal parts; 1 for whole rounds."""

    rounds: tuple[ChartRound, ...]
    times: int


def common_repeat(rounds: Sequence[Round], times: int) -> ChartRepeat:
    """Return the longest stretch of neighbouring rounds that all consist of so many equal parts.

    Where no two rounds do, the whole rounds are the repeat.

    Parameters
    ----------
    rounds
        Rounds in working order.
    times
        The parts that a maker counts. [>= 1]

    Raises
    ------
    DrawingTooLarge
        If what is to be shown has more symbols than anyone can read.

    Examples
    --------
    >>> from service.domain.steps import Repeat, Together, Work
    >>> def crown(number, before, stitch):
    ...     steps = (Repeat(6, (Work("sc", before), Together(("sc", "sc")))),)
    ...     counts = (6 * before + 12, 6 * before + 6)
    ...     return Round(number, "crown", "decrease", "previous_round", *counts, None, steps, None, 5.0)
    >>> shown = common_repeat([crown(1, 4, "sc"), crown(2, 3, "sc")], 6)
    >>> shown.times, [len(each.stitches) for each in shown.rounds]
    (6, [5, 4])
    """
    parts = [(worked, part_of_round(worked, times)) for worked in rounds] if times > 1 else []
    runs = [
        tuple(part for _, part in run if part is not None)
        for has_part, run in groupby(parts, key=lambda pair: pair[1] is not None)
        if has_part
    ]
    longest = max(runs, key=len, default=())
    if len(longest) < min(2, len(rounds)):
        return ChartRepeat(whole_rounds(rounds), 1)
    refuse_too_many(sum(part.symbol_count for part in longest))
    return ChartRepeat(longest, times)


def whole_rounds(rounds: Sequence[Round]) -> tuple[ChartRound, ...]:
    """Return whole rounds as charts show them.

    Raises
    ------
    DrawingTooLarge
        If there are more symbols than anyone can read; reckoned before any is made.

    Examples
    --------
    >>> whole_rounds([])
    ()
    """
    refuse_too_many(sum(map(_symbols_of_round, rounds)))
    return tuple(map(chart_round, rounds))


def _symbols_of_round(worked: Round) -> int:
    chains = 0 if worked.start is None else worked.start.chain_count
    return worked.stitch_count + chains + (worked.join is not None)


def refuse_too_many(symbol_count: int) -> None:
    """Refuse a chart of more symbols than anyone can read.

    Raises
    ------
    DrawingTooLarge
        With the count and the limit.

    Examples
    --------
    >>> refuse_too_many(8_000)
    """
    if symbol_count > MOST_SYMBOLS:
        raise DrawingTooLarge(symbol_count=symbol_count, limit=MOST_SYMBOLS)
