"""Problems: nothing that the mathematics refuses is unknown to the interface."""

from collections.abc import Iterator

import pytest

from service.api import problems
from service.api.problems import PROBLEM_TYPES, problem_from_domain, problem_to_json
from service.domain.errors import PatternMathError, ShapingOutOfReach, WorkBudgetExceeded
from tests.domain.test_refusals import REFUSALS


def _below(kind: type[PatternMathError]) -> Iterator[type[PatternMathError]]:
    for each in kind.__subclasses__():
        yield each
        yield from _below(each)


#: Refusals of the service; tests may have some of their own.
KINDS = sorted({each for each in _below(PatternMathError) if each.__module__.startswith("service.")}, key=str)


@pytest.mark.parametrize("kind", KINDS, ids=lambda each: each.__name__)
def test_every_refusal_of_the_mathematics_has_a_problem_type(kind: type[PatternMathError]) -> None:
    slug, _ = problems._DOMAIN_PROBLEMS[kind]

    assert PROBLEM_TYPES[slug].status == 422


@pytest.mark.parametrize(
    ("refusal", "told"),
    [(refusal, told) for refusal, _, told in REFUSALS],
    ids=lambda each: type(each).__name__,
)
def test_a_problem_carries_the_members_that_its_type_declares(refusal: PatternMathError, told: str) -> None:
    body = problem_to_json(problem_from_domain(refusal))

    declared = PROBLEM_TYPES[body["type"].removeprefix("/problems/")].extension
    assert body["detail"] == told
    assert body.keys() == {"type", "title", "status", "detail", *declared}


def test_a_refusal_of_one_size_names_its_head() -> None:
    refusal = ShapingOutOfReach(from_stitch_count=20, to_stitch_count=50, low=10, high=40)
    refusal.size_head_mm, refusal.head_position = 535.0, 3

    body = problem_to_json(problem_from_domain(refusal))

    assert body["pointer"] == "/heads/3"
    assert body["detail"].startswith("For the head of 53.5 cm: One round cannot go from 20 to 50 stitches.")
    assert body["size_head_cm"] == 53.5


def test_a_budget_is_that_of_the_whole_request_and_names_no_head() -> None:
    refusal = WorkBudgetExceeded(work_units=3_000_001, limit=3_000_000)
    refusal.size_head_mm = 535.0

    body = problem_to_json(problem_from_domain(refusal))

    assert body["detail"].startswith("This request takes 3000001 work units")
    assert "size_head_cm" not in body
