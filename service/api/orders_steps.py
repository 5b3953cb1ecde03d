"""Steps as a client sends them, as the domain's."""

from collections.abc import Mapping, Sequence
from typing import Any

from service.domain.round_bounds import refuse_too_many_rounds, refuse_too_wide_round
from service.domain.steps import Chain, Cross, IntoOne, Repeat, Skip, Step, Together, Work

__all__ = ["steps_of", "worked_rounds_of"]


def worked_rounds_of(values: Sequence[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    """Return each worked round by itself, in working order.

    Raises
    ------
    HatOutOfBounds
        If there are more rounds than any hat has.
    """
    refuse_too_many_rounds(sum(each["repeat_count"] for each in values))
    return [each for each in values for _ in range(each["repeat_count"])]


def steps_of(values: Sequence[Mapping[str, Any]]) -> tuple[Step, ...]:
    """Return the steps of one round, held to what a round can be.

    Raises
    ------
    HatOutOfBounds
        If they use up or make more stitches than any round of a hat has.
    """
    steps = tuple(map(_step_of, values))
    refuse_too_wide_round(steps)
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
