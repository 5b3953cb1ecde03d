"""Random rounds that can be worked: every kind of step, in every place, begun in every way."""

from functools import cache

from hypothesis import strategies as st

from service.domain.rounds import Round, Start
from service.domain.steps import (
    Chain,
    Cross,
    IntoOne,
    Repeat,
    Skip,
    Step,
    Together,
    Work,
    WorkedInto,
    consumed_by,
    made_by,
)

_PLACES: tuple[WorkedInto, ...] = ("ring", "foundation", "previous_round", "foundation_edge")

__all__ = ["rounds", "steps_of_a_round"]

_BASES = ("sc", "hdc", "dc", "tr", "dtr")
_CODES = tuple(manner + base for manner in ("", "fp", "bp", "fl", "bl") for base in _BASES)


@cache
def _codes() -> st.SearchStrategy[str]:
    return st.sampled_from(_CODES)


@cache
def _legs(least: int, most: int) -> st.SearchStrategy[tuple[str, ...]]:
    equal = st.tuples(_codes(), st.integers(least, most)).map(lambda each: (each[0],) * each[1])
    return equal | st.lists(_codes(), min_size=least, max_size=most).map(tuple)


@cache
def _using_steps() -> st.SearchStrategy[Step]:
    return st.one_of(
        st.builds(Work, _codes() | st.sampled_from(("sl_st", "rev_sc")), st.integers(1, 40)),
        st.builds(IntoOne, _legs(2, 5)),
        st.builds(Together, _legs(2, 9)),
        st.builds(Cross, st.integers(1, 6), _codes(), st.sampled_from(("left", "right"))),
        st.builds(Skip, st.integers(1, 5)),
    )


@cache
def _chains() -> st.SearchStrategy[Step]:
    return st.integers(1, 6).flatmap(lambda count: st.builds(Chain, st.just(count), st.integers(0, count)))


@cache
def _sequences(most: int, depth: int) -> st.SearchStrategy[tuple[Step, ...]]:
    """Return steps, at least one of which uses up a stitch."""
    others: st.SearchStrategy[Step] = _using_steps() | _chains()
    if depth:
        others |= st.builds(Repeat, st.integers(2, 6), _sequences(3, depth - 1))
    return st.tuples(st.lists(others, max_size=most), _using_steps(), st.lists(others, max_size=most)).map(
        lambda parts: (*parts[0], parts[1], *parts[2])
    )


@cache
def steps_of_a_round() -> st.SearchStrategy[tuple[Step, ...]]:
    """Return the steps of a round that is worked into stitches."""
    once = _sequences(3, 2)
    over_and_over = st.builds(
        lambda times, steps: (Repeat(times, steps),), st.integers(2, 30), _sequences(2, 1)
    )
    return (once | over_and_over).filter(
        lambda steps: max(consumed_by(steps), made_by(steps)) < 4000 and made_by(steps) > 0
    )


@cache
def _ring_steps() -> st.SearchStrategy[tuple[Step, ...]]:
    work = st.builds(Work, _codes(), st.integers(1, 20))
    groups = st.builds(
        Repeat, st.integers(2, 6), st.lists(work | _chains(), min_size=1, max_size=3).map(tuple)
    )
    return st.tuples(work, st.lists(work | _chains() | groups, max_size=3)).map(
        lambda each: (each[0], *each[1])
    )


@cache
def _starts() -> st.SearchStrategy[Start | None]:
    return st.none() | st.builds(Start, st.integers(1, 5), st.booleans())


@st.composite
def rounds(draw: st.DrawFn, *places: WorkedInto) -> Round:
    """Return a round with all that its text says of it, worked into any place or one of these."""
    into: WorkedInto = draw(st.sampled_from(places or _PLACES))
    steps = draw(_ring_steps() if into == "ring" else steps_of_a_round())
    start = draw(_starts())
    counting = int(start is not None and start.counts_as_stitch)
    consumed = 0 if into == "ring" else consumed_by(steps) + counting
    join = "sl_st" if start is not None and draw(st.booleans()) else None
    number = draw(st.integers(1, 400))
    return Round(number, "body", "plain", into, consumed, made_by(steps) + counting, start, steps, join, 6.0)
