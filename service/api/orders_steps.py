"""Steps as a client sends them, as the domain's."""

from collections.abc import Mapping, Sequence
from typing import Any

from service.domain.errors import HatOutOfBounds
from service.domain.steps import (
    Chain,
    Cross,
    IntoOne,
    Repeat,
    Skip,
    Step,
    Together,
    Work,
    consumed_by,
    made_by,
)

__all__ = ["MOST_ROUND_STITCHES", "steps_of", "worked_rounds_of"]

MOST_ROUNDS = 400
#: A round with more stitches than this is no round of a hat.
MOST_ROUND_STITCHES = 4000


def worked_rounds_of(values: Sequence[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    """Return each worked round by itself, in working order.

    Raises
    ------
    HatOutOfBounds
        If there are more rounds than any hat has.
    """
    count = sum(each["repeat_count"] for each in values)
    if count > MOST_ROUNDS:
        raise HatOutOfBounds(what="rounds", count=count, limit=MOST_ROUNDS)
    return [each for each in values for _ in range(each["repeat_count"])]


def steps_of(values: Sequence[Mapping[str, Any]]) -> tuple[Step, ...]:
    """Return the steps of one round, held to what a round can be.

    Raises
    ------
    HatOutOfBounds
        If they use up or make more stitches than any round of a hat has.
    """
    steps = tuple(map(_step_of, values))
    count = max(made_by(steps), consumed_by(steps))
    if count > MOST_ROUND_STITCHES:
        raise HatOutOfBounds(what="stitches in one round", count=count, limit=MOST_ROUND_STITCHES)
    return steps


def _step_of(values: Mapping[str, Any]) -> Step:
    match values["op"]:
        case "work":
            return Work(values["stitch"], values["count"])
        case "into_one":
            return IntoOne(tuple(values["stitches"]))
        case "together":
            return Together(tuple(values["stitches"]))
        case "cross":
            return Cross(values["over"], values["stitch"], values["lean"])
        case "skip":
            return Skip(values["count"])
        case "chain":
            return Chain(values["count"], values["counts_as_stitch_count"])
    return Repeat(values["times"], tuple(map(_step_of, values["steps"])))
