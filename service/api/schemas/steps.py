"""Steps as a client sends them: one closed object for each thing the hook does, told apart by ``op``.

Repeats stand at most three deep, as the standard form has them. Each depth has a type of its own, so that the
document bounds how deep a body nests.
"""

from collections.abc import Mapping
from typing import get_args

from service.api.fields import (
    Enumeration,
    StrictBoolean,
    StrictInteger,
    StrictList,
    StrictNested,
    StrictSchema,
    StrictString,
    Tagged,
)
from service.domain.rounds import Section

__all__ = ["WorkedRound"]

#: Stitches with a foot of their own; those worked together are a step, not a code.
_ONE_LEG = "(fp|bp|fl|bl)?(sc|hdc|dc|tr|dtr)"
_WORKED = f"sl_st|rev_sc|{_ONE_LEG}"


def _op(name: str) -> Enumeration:
    return Enumeration(
        component=None, values=(name,), required=True, metadata={"description": "What is done."}
    )


def _stitch(pattern: str) -> StrictString:
    return StrictString(
        pattern=pattern, max_length=12, required=True, metadata={"description": "Stitch code."}
    )


def _stitches(pattern: str, description: str) -> StrictList:
    return StrictList(
        StrictString(pattern=pattern, max_length=12),
        low=2,
        high=8,
        required=True,
        metadata={"description": description},
    )


def _count(description: str) -> StrictInteger:
    return StrictInteger(low=1, high=2000, required=True, metadata={"description": description})


class WorkStep(StrictSchema):
    """Work stitches, one into each of the next."""

    op = _op("work")
    stitch = _stitch(_WORKED)
    count = _count("How many.")


class IntoOneStep(StrictSchema):
    """Work several stitches into the next one."""

    op = _op("into_one")
    stitches = _stitches(f"ch|{_WORKED}", "Stitch codes, in order.")


class TogetherStep(StrictSchema):
    """Work the next stitches together."""

    op = _op("together")
    stitches = _stitches(_ONE_LEG, "Stitch codes of the legs, in order.")


class CrossStep(StrictSchema):
    """Work the second group of stitches before the first."""

    op = _op("cross")
    over = StrictInteger(
        low=1, high=8, required=True, metadata={"description": "Stitches that cross over as many."}
    )
    stitch = _stitch(_ONE_LEG)
    lean = Enumeration(
        component="LeanName",
        values=("left", "right"),
        required=True,
        metadata={"description": "Where it leans."},
    )


class SkipStep(StrictSchema):
    """Leave stitches unworked."""

    op = _op("skip")
    count = _count("How many.")


class ChainStep(StrictSchema):
    """Make chains."""

    op = _op("chain")
    count = _count("How many.")
    counts_as_stitch_count = StrictInteger(
        low=0,
        high=2000,
        load_default=0,
        metadata={"description": "How many stitches of the round they stand for."},
    )


_BRACKETLESS: dict[str, type[StrictSchema]] = {
    "work": WorkStep,
    "into_one": IntoOneStep,
    "together": TogetherStep,
    "cross": CrossStep,
    "skip": SkipStep,
    "chain": ChainStep,
}


def _repeated(component: str, variants: Mapping[str, type[StrictSchema]]) -> StrictList:
    return StrictList(
        Tagged(component=component, tag="op", variants=lambda: variants),
        low=1,
        high=64,
        required=True,
        metadata={"description": "What is repeated."},
    )


def _times() -> StrictInteger:
    return StrictInteger(low=1, high=2000, required=True, metadata={"description": "How often."})


class InnermostRepeatStep(StrictSchema):
    """Do some steps several times, none of them a repeat."""

    op = _op("repeat")
    times = _times()
    steps = _repeated("InnermostStepRequest", _BRACKETLESS)


class InnerRepeatStep(StrictSchema):
    """Do some steps several times; a repeat among them holds no other."""

    op = _op("repeat")
    times = _times()
    steps = _repeated("InnerStepRequest", {**_BRACKETLESS, "repeat": InnermostRepeatStep})


class RepeatStep(StrictSchema):
    """Do some steps several times; repeats stand at most three deep, as in the standard form."""

    op = _op("repeat")
    times = _times()
    steps = _repeated("RepeatedStepRequest", {**_BRACKETLESS, "repeat": InnerRepeatStep})


STEP_VARIANTS: Mapping[str, type[StrictSchema]] = {**_BRACKETLESS, "repeat": RepeatStep}


class StartRequest(StrictSchema):
    """The chain that a round begins with."""

    chain_count = StrictInteger(low=1, high=10, required=True, metadata={"description": "Chains."})
    counts_as_stitch = StrictBoolean(
        required=True, metadata={"description": "Whether the chain stands for the first stitch."}
    )


class WorkedRound(StrictSchema):
    """A round by its steps."""

    steps = StrictList(
        Tagged(component="StepRequest", tag="op", variants=lambda: STEP_VARIANTS),
        low=1,
        high=400,
        required=True,
        metadata={"description": "What the hook does, in order."},
    )
    start = StrictNested(StartRequest, metadata={"description": "The starting chain, if there is one."})
    join = Enumeration(
        component="JoinName",
        values=("sl_st",),
        metadata={"description": "How the round is joined; left out in a spiral."},
    )
    section = Enumeration(
        component="SectionName",
        values=get_args(Section),
        metadata={"description": "The part that the round belongs to, for colours by section."},
    )
    repeat_count = StrictInteger(
        low=1, high=400, load_default=1, metadata={"description": "How many equal rounds this stands for."}
    )
