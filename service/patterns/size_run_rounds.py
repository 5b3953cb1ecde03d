"""Which number each round of a size has in the text for all sizes.

Rounds stand side by side from the crown's end, so that the crowns close together and cables of all sizes
cross in the same line; only the round into the foundation is the first of all sizes.
"""

from collections.abc import Sequence

from service.domain.hats import HatPlan
from service.domain.rounds import Section

__all__ = ["run_round_numbers", "run_sections"]

_UPWARD: tuple[Section, ...] = ("brim", "joining", "body", "crown", "edging")
_DOWNWARD: tuple[Section, ...] = ("crown", "body", "joining", "brim", "edging")


def run_sections(plans: Sequence[HatPlan]) -> tuple[Section, ...]:
    """Return the sections of a run in working order, also those that no size has."""
    return _UPWARD if plans[0].order.is_from_brim else _DOWNWARD


def run_round_numbers(plans: Sequence[HatPlan]) -> tuple[tuple[int, ...], ...]:
    """Return for every size the numbers of its rounds in the text, in working order.

    Rounds are numbered through all lines, and a size leaves out those that it does not work.

    Parameters
    ----------
    plans
        The same design for every size. [2 to 24]
    """
    is_from_brim = plans[0].order.is_from_brim
    counts_by_plan = [{part.name: part.round_count for part in plan.sections} for plan in plans]
    numbers: list[list[int]] = [[] for _ in plans]
    row_count = 0
    for section in run_sections(plans):
        counts = [of_plan.get(section, 0) for of_plan in counts_by_plan]
        rows = range(row_count + 1, row_count + 1 + max(counts))
        for own, count in zip(numbers, counts, strict=True):
            own += _aligned(rows, count, ends_together=is_from_brim, is_lowest=is_from_brim and not row_count)
        row_count += len(rows)
    return tuple(map(tuple, numbers))


def _aligned(rows: range, count: int, *, ends_together: bool, is_lowest: bool) -> Sequence[int]:
    """Return the rows of a section that a size with so many rounds works.

    The first round of the lowest section is worked into the foundation, in all sizes at once.
    """
    if not ends_together:
        return rows[:count]
    if is_lowest and count:
        return (rows[0], *rows[len(rows) - count + 1 :])
    return rows[len(rows) - count :]
