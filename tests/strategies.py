"""Strategies that several tests share. They build nothing that the service would refuse."""

from typing import Any

from hypothesis import strategies as st

from service.domain.fabrics import BaseStitch
from service.domain.rounds import Start
from service.domain.steps import Cross, IntoOne, Repeat, Step, Together, Work
from service.domain.yarn_orders import YarnOrder
from service.domain.yarn_swatches import Swatch
from service.domain.yarn_work import StitchSize, WorkPart, work_from_foundation, work_from_steps
from service.domain.yarns import FibreKind, Yarn

BASE_STITCHES: tuple[BaseStitch, ...] = ("sc", "hdc", "dc", "tr", "dtr")
STITCH_CODES = (
    "sc",
    "hdc",
    "dc",
    "tr",
    "fpdc",
    "bpdc",
    "blsc",
    "rev_sc",
    "sc2tog",
    "fpdc3tog",
    "ch",
    "sl_st",
)
FIBRE_KINDS: tuple[FibreKind, ...] = ("wool", "merino", "cotton", "acrylic")


def base_stitches() -> st.SearchStrategy[BaseStitch]:
    """Return a basic stitch."""
    return st.sampled_from(BASE_STITCHES)


def stitch_sizes() -> st.SearchStrategy[StitchSize]:
    """Return stitches from fine thread to the bulkiest yarn."""
    return st.builds(StitchSize, st.floats(1, 30), st.floats(1, 60), base_stitches())


def stitch_counts() -> st.SearchStrategy[dict[str, int]]:
    """Return how many of which stitches there are."""
    return st.dictionaries(st.sampled_from(STITCH_CODES), st.integers(1, 5000), min_size=1)


def worked_steps() -> st.SearchStrategy[tuple[Step, ...]]:
    """Return a round of all kinds of steps."""
    codes = st.sampled_from(("sc", "dc", "fpdc", "bpdc"))
    step: st.SearchStrategy[Step] = st.one_of(
        st.builds(Work, codes, st.integers(1, 60)),
        st.builds(IntoOne, st.tuples(codes, codes)),
        st.builds(Together, st.tuples(codes, codes)),
        st.builds(Cross, st.integers(1, 4), st.just("fpdc"), st.just("left")),
    )
    repeat = st.builds(Repeat, st.integers(2, 12), st.lists(step, min_size=1, max_size=4).map(tuple))
    return st.lists(step | repeat, min_size=1, max_size=5).map(tuple)


def yarns() -> st.SearchStrategy[Yarn]:
    """Return a yarn of known tex, with or without a ball."""
    plain: dict[str, Any] = {"strand_count": st.integers(1, 4), "fibre": st.sampled_from(FIBRE_KINDS)}
    return st.one_of(
        st.builds(Yarn, tex=st.floats(20, 5000), **plain),
        st.builds(Yarn, weight_category=st.integers(0, 7), **plain),
        st.builds(Yarn, ball_mass_g=st.floats(10, 200), ball_length_m=st.floats(10, 800), **plain),
        st.builds(Yarn, tex=st.floats(20, 5000), ball_mass_g=st.floats(10, 200), **plain),
    )


@st.composite
def yarn_orders(draw: st.DrawFn) -> YarnOrder:
    """Return a hat of a few rounds, with or without a weighed swatch."""
    size = draw(stitch_sizes())
    start = draw(st.none() | st.builds(Start, st.integers(1, 4), st.booleans()))
    rounds = draw(st.lists(worked_steps(), min_size=1, max_size=8))
    parts: list[WorkPart] = [
        work_from_steps(steps, number=number, start=start, is_joined=start is not None, size=size)
        for number, steps in enumerate(rounds, 1)
    ]
    foundation = work_from_foundation(draw(st.integers(1, 200)), size)
    swatch = draw(st.none() | st.builds(Swatch, st.floats(1, 200), stitch_counts()))
    return YarnOrder(yarn=draw(yarns()), work=(foundation, *parts), swatch=swatch)
