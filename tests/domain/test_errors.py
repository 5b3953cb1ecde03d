"""The tree of refusals: all of them are drawn, and none tells a number that JSON cannot hold."""

import re
from collections.abc import Iterator

import pytest

from service.domain import errors
from service.domain.errors import PatternMathError


def _below(kind: type[PatternMathError]) -> Iterator[type[PatternMathError]]:
    for each in kind.__subclasses__():
        yield each
        yield from _below(each)


@pytest.mark.parametrize(
    "refusal",
    [
        errors.FabricTooComplex(work_units=10**30, limit=600_000),
        errors.HatOutOfBounds(what="stitches", count=10**30, limit=60_000),
        errors.TextTooLong(byte_count=10**30, limit_bytes=65_536),
    ],
    ids=lambda each: type(each).__name__,
)
def test_numbers_beyond_counting_are_told_as_one_that_json_can_hold(refusal: PatternMathError) -> None:
    assert " 1000000000 " in str(refusal)
    assert 10**30 not in vars(refusal).values()


def test_the_tree_of_refusals_is_drawn_whole() -> None:
    drawn = re.findall(r"^    [├└]── (\w+) ", errors.__doc__ or "", flags=re.MULTILINE)

    kinds = [each.__name__ for each in _below(PatternMathError) if each.__module__ == errors.__name__]
    assert sorted(drawn) == sorted(kinds)
    assert sorted([*kinds, "PatternMathError"]) == errors.__all__
