"""Which rounds of a chart consist of equal parts, so that one part can stand for all of them."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from service.domain.errors import DrawingTooLarge
from service.domain.rounds import Round
from service.drawings.chart_stitches import ChartRound, chart_round, part_of_round, part_steps

__all__ = ["MOST_SYMBOLS", "ChartRepeat", "common_repeat", "refuse_too_many", "whole_rounds"]

#: Symbols beyond which nobody can read a chart (convention).
MOST_SYMBOLS = 8_000


@dataclass(frozen=True, slots=True)
class ChartRepeat:
    """Neighbouring rounds, each shown by the first of ``times`` equal parts; 1 for whole rounds."""

    rounds: tuple[ChartRound, ...]
    times: int


def common_repeat(rounds: Sequence[Round], times: int, *, most_symbols: int = MOST_SYMBOLS) -> ChartRepeat:
    """Return the longest stretch of neighbouring rounds that all consist of so many equal parts.

    Where no two rounds do, the whole rounds are the repeat.

    Parameters
    ----------
    rounds
        Rounds in working order.
    times
        The parts that a maker counts. [>= 1]
    most_symbols
        The most that may be shown.

    Raises
    ------
    DrawingTooLarge
        If what is to be shown has more symbols; reckoned before any is made.

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
    runs = (
        [
            list(run)
            for has_part, run in groupby(rounds, lambda each: part_steps(each, times) is not None)
            if has_part
        ]
        if times > 1
        else []
    )
    longest = max(runs, key=len, default=[])
    if len(longest) < min(2, len(rounds)):
        return ChartRepeat(whole_rounds(rounds, most_symbols=most_symbols), 1)
    refuse_too_many(sum(_symbols_of(worked, times) for worked in longest), most_symbols=most_symbols)
    parts = (part_of_round(worked, times) for worked in longest)
    return ChartRepeat(tuple(part for part in parts if part is not None), times)


def whole_rounds(rounds: Sequence[Round], *, most_symbols: int = MOST_SYMBOLS) -> tuple[ChartRound, ...]:
    """Return whole rounds as charts show them.

    Parameters
    ----------
    rounds
        Rounds in working order.
    most_symbols
        The most that may be shown.

    Raises
    ------
    DrawingTooLarge
        If there are more symbols than anyone can read; reckoned before any is made.

    Examples
    --------
    >>> whole_rounds([])
    ()
    """
    refuse_too_many(sum(_symbols_of(worked, 1) for worked in rounds), most_symbols=most_symbols)
    return tuple(map(chart_round, rounds))


def _symbols_of(worked: Round, times: int) -> int:
    """Return the symbols of one of so many parts of a round: stitches, starting chains, the slip stitch."""
    chains = 0 if worked.start is None else worked.start.chain_count
    counting = worked.start is not None and worked.start.counts_as_stitch
    return worked.stitch_count // times - counting + chains + (worked.join is not None)


def refuse_too_many(symbol_count: int, *, most_symbols: int = MOST_SYMBOLS) -> None:
    """Refuse a chart of more symbols than anyone can read.

    Raises
    ------
    DrawingTooLarge
        With the count and the limit.

    Examples
    --------
    >>> refuse_too_many(8_000)
    """
    if symbol_count > most_symbols:
        raise DrawingTooLarge(symbol_count=symbol_count, limit=most_symbols)
