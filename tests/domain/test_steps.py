"""Steps: what they use up and make, and their standard form."""

from hypothesis import given
from hypothesis import strategies as st

from service.domain.steps import (
    Chain,
    Cross,
    IntoOne,
    Repeat,
    Skip,
    Together,
    Work,
    canonical,
    consumed_by,
    flat,
    made_by,
    stitch_tallies,
)

simple_steps = st.one_of(
    st.builds(Work, st.sampled_from(["sc", "dc"]), st.integers(1, 4)),
    st.just(IntoOne(("sc", "sc"))),
    st.just(Together(("sc", "sc"))),
    st.just(Cross(2, "fptr", "right")),
    st.just(Skip(1)),
    st.just(Chain(2, 1)),
)
step_lists = st.recursive(
    st.lists(simple_steps, min_size=1, max_size=5).map(tuple),
    lambda inner: st.builds(
        lambda before, times, inside, after: (*before, Repeat(times, inside), *after),
        st.lists(simple_steps, max_size=3).map(tuple),
        st.integers(1, 4),
        inner,
        st.lists(simple_steps, max_size=3).map(tuple),
    ),
    max_leaves=4,
)


def test_a_cable_round_uses_up_what_it_makes():
    steps = [Repeat(12, (Work("bpdc", 2), Cross(3, "fpdtr", "right")))]

    assert (consumed_by(steps), made_by(steps)) == (96, 96)


def test_a_round_in_a_ring_uses_up_nothing():
    assert consumed_by([Work("dc", 12), IntoOne(("dc", "ch"))], worked_into="ring") == 0


@given(step_lists)
def test_the_standard_form_is_the_same_cloth(steps):
    assert flat(canonical(steps)) == flat(steps)
    assert consumed_by(canonical(steps)) == consumed_by(steps)
    assert made_by(canonical(steps)) == made_by(steps)


@given(step_lists)
def test_doing_it_twice_changes_nothing(steps):
    assert canonical(canonical(steps)) == canonical(steps)


@given(step_lists)
def test_two_ways_to_write_one_round_have_one_standard_form(steps):
    assert canonical(flat(steps)) == canonical(steps)


@given(step_lists, st.integers(2, 5))
def test_a_whole_round_of_one_unit_is_written_as_that_unit(steps, times):
    [first, *rest] = canonical([Repeat(times, steps)])

    assert rest == []
    assert isinstance(first, Repeat | Work) or times == 1


def test_an_uneven_rhythm_keeps_its_longest_run_in_one_bracket():
    pair = Together(("sc", "sc"))
    uneven = [pair, Work("sc", 9), pair, Work("sc", 10), pair, Work("sc", 10), pair, Work("sc", 10)]

    assert canonical(uneven) == (pair, Work("sc", 9), Repeat(3, (pair, Work("sc", 10))))


@given(step_lists)
def test_tallies_count_every_stitch_once(steps):
    made = sum(count for what, count in stitch_tallies(steps) if what != "ch")
    chains = sum(step.counts_as_stitch_count for step in flat(steps) if isinstance(step, Chain))

    assert made == made_by(steps) - chains
