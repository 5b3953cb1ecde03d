"""A class planned: everybody with their kit, or with the problem that stands in its place."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from service.api.orders_classes import ClassRequest, Entry, class_request_of
from service.api.problems import Problem, problem_from_domain
from service.api.work import count_work
from service.domain.class_kits import ClassKits, Kit, plan_class
from service.domain.tables import ReferenceTables
from service.patterns.class_words import PlannedKit

__all__ = ["PlannedClass", "Seat", "planned_class_of", "problem_words"]

Values = Mapping[str, Any]

#: What the values of a participant are called on paper.
_VALUE_NAMES: Mapping[str, str] = MappingProxyType(
    {
        "reference": "Reference",
        "head": "Head",
        "head/circumference_cm": "Head in cm",
        "head/size_id": "Size of the head",
        "head/age_months": "Age in months",
        "head/sex": "Sex",
        "fit": "Fit",
        "terms": "Terms",
        "evenness": "Evenness",
        "handedness": "Handedness",
        "yarn_choice": "Choice of yarn",
    }
)


@dataclass(frozen=True, slots=True)
class Seat:
    """One who takes part, by their number from 1: with a kit, or with a problem.

    ``kit`` is ``None`` where their values cannot be used; it may have a refusal in place of a plan.
    """

    number: int
    entry: Entry
    kit: Kit | None
    problem: Problem | None


@dataclass(frozen=True, slots=True)
class PlannedClass:
    """Everybody in the order sent, and the sums of the class."""

    seats: tuple[Seat, ...]
    sums: ClassKits

    @property
    def made(self) -> list[PlannedKit]:
        """Return the kits that have a plan."""
        return [
            PlannedKit(seat.number, seat.kit.plan, seat.entry.terms_id, seat.kit.yarn_position)
            for seat in self.seats
            if seat.kit is not None and seat.kit.plan is not None
        ]

    @property
    def left_out(self) -> list[tuple[Seat, Problem]]:
        """Return those without a kit, each with the reason."""
        return [(seat, seat.problem) for seat in self.seats if seat.problem is not None]


def planned_class_of(values: Values, tables: ReferenceTables) -> PlannedClass:
    """Return the class that a request asks for, planned.

    Raises
    ------
    PatternMathError
        Where the design itself cannot be made, or the whole weighs too much.
    """
    asked = class_request_of(values, tables)
    sums = plan_class(asked.order, tables)
    count_work(sums.work_units)
    return PlannedClass(seats=tuple(_seats(asked, sums)), sums=sums)


def _seats(asked: ClassRequest, sums: ClassKits) -> Iterator[Seat]:
    kits = iter(sums.kits)
    for number, entry in enumerate(asked.entries, 1):
        if entry.problem is not None:
            yield Seat(number, entry, None, entry.problem)
            continue
        kit = next(kits)
        problem = None if kit.refusal is None else problem_from_domain(kit.refusal)
        yield Seat(number, entry, kit, problem)


def problem_words(problem: Problem) -> str:
    """Return why there is no kit, in words that stand by themselves on paper.

    Examples
    --------
    >>> fault = {"pointer": "/participants/3/head/circumference_cm", "detail": "Give a number from 20 to 75."}
    >>> problem_words(Problem("invalid-request", "See `errors`.", {"errors": [fault]}))
    'Head in cm: Give a number from 20 to 75.'
    """
    errors = problem.extension.get("errors")
    return problem.detail if errors is None else " ".join(map(_fault_words, errors))


def _fault_words(fault: Mapping[str, str]) -> str:
    """Return what is wrong with one value, after its name."""
    place = fault["pointer"].split("/", 3)[3]
    return f"{_VALUE_NAMES[place]}: {fault['detail']}"
