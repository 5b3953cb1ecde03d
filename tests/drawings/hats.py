"""Hats and pictures for the tests of this folder."""

from collections.abc import Iterator
from functools import cache
from typing import Any

from service.domain.hats import HatPlan, plan_hat
from service.drawings.pictures import (
    Circle,
    Group,
    Line,
    Mark,
    Path,
    Picture,
    Placed,
    Point,
    Text,
    flat_marks,
)
from tests.orders import TABLES, hat_order

#: Hats of every kind: tiny and large, bulky and fine, every fabric, both directions.
HATS: dict[str, dict[str, Any]] = {
    "preterm": {"head_mm": 265, "fabric": "plain-sc", "stitches_per_10cm": 26, "rounds_per_10cm": 28,
                "brim": None},
    "bulky": {"head_mm": 600, "fabric": "plain-dc", "stitches_per_10cm": 8, "rounds_per_10cm": 5.5,
              "brim": None},
    "fine": {"head_mm": 600, "fabric": "plain-sc", "stitches_per_10cm": 38, "rounds_per_10cm": 40,
             "brim": None},
    "edged": {"head_mm": 600, "fabric": "cable-4x4", "stitches_per_10cm": 20, "has_edging": True},
    "down": {"worked": "from_crown"},
    "down-plain": {"worked": "from_crown", "fabric": "plain-hdc", "stitches_per_10cm": 14, "brim": None},
    "cuffed": {"size": {"style": "cuffed", "cuff_mm": 60}},
    "slouch": {"fabric": "post-rib-1x1", "size": {"style": "slouch"}},
    "left": {"fabric": "cable-and-twist", "is_left_handed": True},
    **{fabric: {"fabric": fabric} for fabric in sorted(TABLES.fabric_by_id)},
}  # fmt: skip
HEADBAND: dict[str, Any] = {"size": {"style": "headband"}, "brim": None}


@cache
def planned(name: str) -> HatPlan:
    return plan_hat(hat_order(**HATS[name]), TABLES)


def headband() -> HatPlan:
    return plan_hat(hat_order(**HEADBAND), TABLES)


def groups(picture: Picture) -> dict[str, Group]:
    """Return the groups of a picture by their titles, those inside others too."""
    return {group.title: group for group in _groups(picture.marks)}


def _groups(marks: tuple[Mark, ...]) -> Iterator[Group]:
    for mark in marks:
        if isinstance(mark, Group):
            yield mark
            yield from _groups(mark.marks)


def words(picture: Picture) -> list[str]:
    return [mark.words for mark in flat_marks(picture.marks) if isinstance(mark, Text)]


def points_of(mark: Mark) -> list[Point]:
    match mark:
        case Path(commands):
            return [point for _, points in commands for point in points]
        case Placed():
            return points_of(mark.drawn())
        case Line(start, end):
            return [start, end]
        case Circle(centre):
            return [centre]
        case Text(at):
            return [at]
        case Group(_, marks):
            return [point for inner in marks for point in points_of(inner)]
