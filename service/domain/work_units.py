"""What calculations weigh, in one currency: moves of a crown search, about a quarter of a microsecond each.

The weights were measured and are right within a factor of ten; they say what a request cost without looking
at a clock, so that the same request weighs the same on every machine.
"""

from service.domain.hats import HatPlan
from service.domain.steps import step_count

__all__ = [
    "LEAST_WORK",
    "PDF_WORK",
    "PNG_WORK",
    "crown_rounds_work",
    "marks_work",
    "plan_work",
    "steps_work",
    "written_work",
    "yarn_work",
]

#: Reading a request and answering it, whatever it asks for.
LEAST_WORK = 1_500

#: Making a PDF of a sheet, most of it the subsets of its fonts, and painting a drawing.
PDF_WORK, PNG_WORK = 240_000, 340_000

_PLAN_WORK, _ROUND_WORK, _STEP_WORK = 3_000, 700, 240
_CROWN_ROUND_WORK, _MARK_WORK = 350, 60
_READ_STEP_WORK, _YARN_ROUND_WORK = 80, 50


def plan_work(plan: HatPlan) -> int:
    """Return what it weighs to find a plan, to write it and to prove it. [units]

    Examples
    --------
    >>> from service.domain.hats import plan_hat
    >>> from service.reference.examples import plain_hat_order
    >>> from service.reference.load import load_reference_tables
    >>> plan = plan_hat(plain_hat_order(), load_reference_tables())
    >>> plan_work(plan) - plan.crown.work_units - written_work(plan)
    3000
    """
    crown_work = 0 if plan.crown is None else plan.crown.work_units
    return _PLAN_WORK + crown_work + written_work(plan)


def written_work(plan: HatPlan) -> int:
    """Return what it weighs to write and to prove a plan; equal rounds share their steps as one value.

    Examples
    --------
    >>> from service.domain.hats import plan_hat
    >>> from service.reference.examples import plain_hat_order
    >>> from service.reference.load import load_reference_tables
    >>> plan = plan_hat(plain_hat_order(), load_reference_tables())
    >>> differing = {id(worked.steps): step_count(worked.steps) for worked in plan.rounds}
    >>> written_work(plan) == 700 * len(plan.rounds) + 240 * sum(differing.values())
    True
    """
    differing = {id(worked.steps): worked.steps for worked in plan.rounds}
    return _ROUND_WORK * len(plan.rounds) + _STEP_WORK * sum(map(step_count, differing.values()))


def crown_rounds_work(round_count: int) -> int:
    """Return what the rounds of a crown weigh beside the search for them. [units]

    Examples
    --------
    >>> crown_rounds_work(10)
    3500
    """
    return _CROWN_ROUND_WORK * round_count


def marks_work(mark_count: int) -> int:
    """Return what the marks of a drawing weigh. [units]

    Examples
    --------
    >>> marks_work(100)
    6000
    """
    return _MARK_WORK * mark_count


def steps_work(step_count: int) -> int:
    """Return what it weighs to read steps that somebody wrote, and to hold them to what a step is. [units]

    Examples
    --------
    >>> steps_work(14)
    1120
    """
    return _READ_STEP_WORK * step_count


def yarn_work(round_count: int) -> int:
    """Return what it weighs to estimate the yarn of so many rounds. [units]

    Examples
    --------
    >>> yarn_work(40)
    2000
    """
    return _YARN_ROUND_WORK * round_count
