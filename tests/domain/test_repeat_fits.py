"""Whole repeats, reckoned by hand and against trying every count."""

from collections.abc import Sequence
from dataclasses import replace
from math import erf, pi, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.domain.errors import RepeatWiderThanHat, ShapingOutOfReach
from service.domain.fit import FitTarget, banded_target, bare_target, head_target
from service.domain.gauge import Gauge
from service.domain.joining_rounds import can_join, join_counts
from service.domain.repeat_fits import (
    LARGEST_STITCH_COUNT,
    CountFit,
    CountOrder,
    RepeatFit,
    RepeatFitOrder,
    RepeatFits,
    brim_counts,
    fit_repeats,
    order_counts,
    ranked_counts,
    refuse_wide_repeat,
)
from service.domain.shaping_rounds import plan_shaping_round
from service.reference.load import load_reference_tables

TABLES = load_reference_tables()


def ordered(
    target_mm: float, *, width_mm: float, multiple: int = 1, extra: int = 0, error: float = 0.03
) -> CountOrder:
    return CountOrder(
        stitch_width_mm=width_mm,
        error=error,
        stitch_multiple=multiple,
        extra_stitch_count=extra,
        target=bare_target(target_mm=target_mm, tables=TABLES),
    )


def for_head(
    head_mm: float, *, width_mm: float, multiple: int, error: float, thickness_mm: float
) -> CountOrder:
    allowance_mm = pi * thickness_mm
    target = head_target(
        head_mm=head_mm,
        grip=-0.08,
        finished_mm=0.92 * head_mm + allowance_mm,
        allowance_mm=allowance_mm,
        tables=TABLES,
    )
    return CountOrder(stitch_width_mm=width_mm, error=error, stitch_multiple=multiple, target=target)


def fitted(body: CountOrder, brim: CountOrder | None = None, *, limit: int = 5) -> RepeatFits:
    return fit_repeats(RepeatFitOrder(body=body, brim=brim, limit=limit), TABLES)


def best(order: CountOrder) -> int:
    return ranked_counts(order, limit=1)[0].stitch_count


def probability(stitch_count: int, order: CountOrder) -> float:
    """Return the fit by its formula, written out again."""
    inner_mm = stitch_count * order.stitch_width_mm - order.target.allowance_mm
    if inner_mm <= 0:
        return 0.0
    high, low = (
        (1 + erf((end - inner_mm) / (order.error * inner_mm) / sqrt(2))) / 2
        for end in (order.target.high_mm, order.target.low_mm)
    )
    return high - low


def by_trying_all(order: CountOrder, limit: int) -> list[int]:
    """Return the best counts by the rule, from every valid count there is."""
    counts = range(order.stitch_multiple + order.extra_stitch_count, 2001, order.stitch_multiple)
    chances = {count: probability(count, order) for count in counts}
    ranked: list[int] = []
    while chances and len(ranked) < limit:
        top = max(chances.values())
        tied = [count for count, chance in chances.items() if chance >= top - 1e-9]
        off = {count: abs(count * order.stitch_width_mm - order.target.target_mm) for count in tied}
        nearest = min(off.values())
        ranked.append(max(count for count in tied if off[count] <= nearest + 1e-9))
        del chances[ranked[-1]]
    return ranked


def test_the_worked_hat_has_its_counts() -> None:
    # 20 stitches per 10 cm in a 10-stitch repeat, 16 in the rib: common practice, no source.
    body = for_head(530, width_mm=5, multiple=10, error=0.03, thickness_mm=7)
    brim = for_head(530, width_mm=6.25, multiple=2, error=0.03, thickness_mm=5)

    top = fitted(body, brim).candidates[0]

    # Body: 0.92 * 530 + 22 = 509.6 mm is 101.9 stitches; rib: 503.3 mm is 80.5 stitches.
    assert top.count.stitch_count == 100
    assert top.count.repeat_count == 10
    assert top.brim is not None
    assert top.brim.count.stitch_count == 80
    assert top.brim.joining_round.is_uniform


@pytest.mark.parametrize(
    ("target_mm", "width_mm", "multiple", "extra", "expected"),
    [
        (540, 6.0, 1, 0, 90),
        (540, 6.0, 8, 0, 88),
        (540, 6.0, 8, 3, 91),
        (500, 5.0, 10, 0, 100),
        (100, 6.0, 64, 0, 64),
    ],
)
def test_a_count_holds_whole_repeats(
    target_mm: float, width_mm: float, multiple: int, extra: int, expected: int
) -> None:
    assert best(ordered(target_mm, width_mm=width_mm, multiple=multiple, extra=extra)) == expected


def test_a_tie_goes_to_the_nearer_and_then_to_more_stitches() -> None:
    # Without any error 84 to 94 stitches of 6 mm are all sure to fit 540 mm; 90 is exact.
    sure = ordered(540, width_mm=6, error=0)
    # 89.5 stitches would be exact: 89 and 90 are equally far.
    between = ordered(537, width_mm=6, error=0)

    assert best(sure) == 90
    assert best(between) == 90


def test_candidates_come_best_first_and_differ() -> None:
    candidates = fitted(ordered(540, width_mm=6, multiple=8)).candidates

    chances = [candidate.count.fit_probability for candidate in candidates]
    assert chances == sorted(chances, reverse=True)
    assert len({candidate.count.stitch_count for candidate in candidates}) == 5


def test_a_candidate_says_which_gauge_would_make_it_exact() -> None:
    top = fitted(ordered(540, width_mm=6, multiple=8)).candidates[0]

    # 88 stitches over 54 cm are 16.296 in 10 cm.
    assert top.exact_stitches_per_10cm == pytest.approx(16.2963, abs=1e-4)
    assert top.count.difference_mm == pytest.approx(-12)


def test_the_neighbours_of_the_best_have_their_exact_gauge() -> None:
    fits = fitted(ordered(540, width_mm=6, multiple=8), limit=1)

    assert {n.stitch_count: n.exact_stitches_per_10cm for n in fits.neighbours} == pytest.approx(
        {80: 80 / 5.4, 96: 96 / 5.4}
    )


def test_one_repeat_has_no_neighbour_below() -> None:
    fits = fitted(ordered(100, width_mm=6, multiple=64))

    assert [neighbour.stitch_count for neighbour in fits.neighbours] == [128]


def test_without_a_tolerance_the_band_decides() -> None:
    candidates = {c.count.stitch_count: c for c in fitted(ordered(540, width_mm=6), limit=20).candidates}

    # 0.946 * 540 = 510.84 is 85.1 stitches, 1.054 * 540 = 569.16 is 94.9.
    assert [n for n, c in sorted(candidates.items()) if c.within_tolerance] == list(range(86, 95))


def test_a_tolerance_is_kept_to_the_millimetre() -> None:
    order = RepeatFitOrder(body=ordered(540, width_mm=6), limit=9, tolerance_mm=12)

    within = [c.count.stitch_count for c in fit_repeats(order, TABLES).candidates if c.within_tolerance]

    assert sorted(within) == [88, 89, 90, 91, 92]


def test_a_wide_repeat_forces_the_size() -> None:
    # 8 stitches of 6 mm: up to 24 mm either way.
    fits = fitted(ordered(540, width_mm=6, multiple=8))

    notice = next(notice for notice in fits.notices if notice.code == "repeat_forces_size")
    assert notice.values["half_repeat_mm"] == 24
    assert notice.values["difference_mm"] == pytest.approx(-12)
    assert "repeat_forces_size" not in [n.code for n in fitted(ordered(540, width_mm=6, multiple=4)).notices]


def test_a_poor_fit_says_so() -> None:
    fits = fitted(ordered(540, width_mm=6, multiple=64))

    assert "fit_unlikely" in [notice.code for notice in fits.notices]
    assert fitted(ordered(540, width_mm=6, error=0.02)).notices == ()


def test_a_repeat_wider_than_the_hat_is_refused() -> None:
    # Band up to 105.4 mm: 17 stitches of 6 mm.
    with pytest.raises(RepeatWiderThanHat) as refusal:
        refuse_wide_repeat(ordered(100, width_mm=6, multiple=18))

    assert refusal.value.largest_stitch_multiple == 17
    refuse_wide_repeat(ordered(100, width_mm=6, multiple=17))


def test_thickness_lets_a_wider_repeat_in() -> None:
    thick = FitTarget(target_mm=120, low_mm=90, high_mm=110, allowance_mm=10)

    order = CountOrder(stitch_width_mm=6, error=0.03, stitch_multiple=20, target=thick)

    refuse_wide_repeat(order)

    with pytest.raises(RepeatWiderThanHat):
        refuse_wide_repeat(replace(order, target=replace(thick, allowance_mm=0)))


def test_no_count_is_larger_than_the_largest_planned() -> None:
    fits = fitted(ordered(2000, width_mm=0.8, multiple=7), limit=20)

    assert max(candidate.count.stitch_count for candidate in fits.candidates) == 1995
    assert fits.candidates[0].count.stitch_count == 1995


def test_gauge_and_head_make_up_the_error() -> None:
    gauge = Gauge(stitch_width_mm=5, round_height_mm=7, width_error=0.03, height_error=0.03)

    order = order_counts(
        gauge=gauge,
        stitch_multiple=4,
        target=bare_target(target_mm=500, tables=TABLES),
        head_error=0.04,
    )

    assert order.error == pytest.approx(0.05)


def test_a_body_without_a_brim_has_none() -> None:
    assert fitted(ordered(540, width_mm=6)).candidates[0].brim is None


def test_a_brim_that_no_single_round_can_join_is_none() -> None:
    body, brim = ordered(540, width_mm=6), ordered(120, width_mm=6, multiple=2)

    assert fitted(body, brim).candidates[0].brim is None


def test_a_brim_gives_up_a_little_fit_for_a_uniform_joining_round() -> None:
    # Ribs of 78 and 80 stitches fit 493 mm by 0.911 and 0.892; only 80 divides the changes up to 100.
    body, brim = ordered(500, width_mm=5, multiple=10), ordered(493, width_mm=6.25, multiple=2)

    chosen = fitted(body, brim).candidates[0].brim

    assert best(brim) == 78
    assert chosen is not None
    assert (chosen.count.stitch_count, chosen.joining_round.change_count) == (80, 20)
    assert chosen.joining_round.short_run == 3


@pytest.mark.parametrize(
    ("before", "after", "change_count", "short", "long"),
    [
        (80, 100, 20, (3, 20), (4, 0)),
        (78, 100, 22, (2, 10), (3, 12)),
        (50, 100, 50, (0, 50), (1, 0)),
        (100, 80, 20, (3, 20), (4, 0)),
        (100, 50, 50, (0, 50), (1, 0)),
        (101, 51, 50, (0, 49), (1, 1)),
        (80, 80, 0, (80, 1), (81, 0)),
    ],
)
def test_a_joining_round_has_runs_of_one_or_two_lengths(
    before: int, after: int, change_count: int, short: tuple[int, int], long: tuple[int, int]
) -> None:
    join = join_counts(before, after)

    assert join.change_count == change_count
    assert (join.short_run, join.short_run_times) == short
    assert (join.long_run, join.long_run_times) == long


def test_a_joining_round_out_of_reach_is_refused() -> None:
    with pytest.raises(ShapingOutOfReach) as refusal:
        join_counts(40, 81)

    assert (refusal.value.low, refusal.value.high) == (20, 80)


@given(before=st.integers(1, 400), after=st.integers(1, 800))
def test_a_joining_round_uses_up_what_is_there_and_makes_what_is_wanted(before: int, after: int) -> None:
    if not can_join(before, after):
        return

    join = join_counts(before, after)

    runs = join.short_run * join.short_run_times + join.long_run * join.long_run_times
    consumed, made = {"increase": (1, 2), "decrease": (2, 1), "straight": (0, 0)}[join.kind]
    assert runs + consumed * join.change_count == before
    assert runs + made * join.change_count == after
    assert join.short_run >= 0


@given(before=st.integers(2, 200), after=st.integers(2, 300))
def test_uniform_means_the_same_here_as_in_the_round_that_is_worked(before: int, after: int) -> None:
    if not can_join(before, after):
        return

    worked = plan_shaping_round(from_stitch_count=before, to_stitch_count=after, stitch="dc", staggered=False)

    assert join_counts(before, after).is_uniform is worked.is_uniform


@st.composite
def count_orders(draw: st.DrawFn) -> CountOrder:
    target_mm = draw(st.floats(150, 800))
    target = draw(
        st.one_of(
            st.just(bare_target(target_mm=target_mm, tables=TABLES)),
            st.tuples(st.floats(150, 800), st.floats(150, 800)).map(
                lambda ends: banded_target(target_mm=target_mm, low_mm=min(ends), high_mm=max(ends))
            ),
        )
    )
    return CountOrder(
        stitch_width_mm=draw(st.floats(0.85, 60)),
        error=draw(st.sampled_from([0.001, 0.007, 0.02, 0.033, 0.06, 0.2])),
        stitch_multiple=draw(st.integers(1, 64)),
        extra_stitch_count=draw(st.sampled_from([0, 0, 1, 5])),
        target=target,
    )


@given(order=count_orders(), limit=st.integers(1, 20))
def test_nothing_valid_is_better_than_what_is_chosen(order: CountOrder, limit: int) -> None:
    chosen = [count.stitch_count for count in ranked_counts(order, limit=limit)]

    assert chosen == by_trying_all(order, limit)


@given(order=count_orders())
def test_every_count_holds_whole_repeats_and_its_own_figures(order: CountOrder) -> None:
    counts: Sequence[CountFit] = ranked_counts(order, limit=5)

    assert counts
    for count in counts:
        assert count.stitch_count == order.stitch_multiple * count.repeat_count + order.extra_stitch_count
        assert count.repeat_count >= 1
        assert count.stitch_count <= LARGEST_STITCH_COUNT
        assert count.fit_probability == pytest.approx(probability(count.stitch_count, order), abs=1e-12)


hats = {
    "width_mm": st.floats(0.9, 30),
    "multiple": st.integers(1, 30),
    "error": st.sampled_from([0.0, 0.007, 0.02, 0.033, 0.06, 0.15]),
    "thickness_mm": st.sampled_from([0.0, 3.0, 7.0]),
}


@given(head_mm=st.floats(200, 700), more_mm=st.floats(0, 50), **hats)
def test_a_bigger_head_never_gets_fewer_stitches(
    head_mm: float, more_mm: float, width_mm: float, multiple: int, error: float, thickness_mm: float
) -> None:
    small = for_head(head_mm, width_mm=width_mm, multiple=multiple, error=error, thickness_mm=thickness_mm)
    large = for_head(
        head_mm + more_mm, width_mm=width_mm, multiple=multiple, error=error, thickness_mm=thickness_mm
    )

    assert best(large) >= best(small)


@given(head_mm=st.floats(200, 750), finer=st.floats(0.5, 1), **hats)
def test_a_finer_gauge_never_gets_fewer_stitches(
    head_mm: float, finer: float, width_mm: float, multiple: int, error: float, thickness_mm: float
) -> None:
    coarse = for_head(head_mm, width_mm=width_mm, multiple=multiple, error=error, thickness_mm=thickness_mm)
    fine = for_head(
        head_mm, width_mm=finer * width_mm, multiple=multiple, error=error, thickness_mm=thickness_mm
    )

    assert best(fine) >= best(coarse)


def by_trying_all_brims(body_stitch_count: int, brim: CountOrder) -> int | None:
    """Return the brim by its rule, from every count within three repeats of the best."""
    top = best(brim)
    near = range(top - 3 * brim.stitch_multiple, top + 3 * brim.stitch_multiple + 1, brim.stitch_multiple)
    chances = {n: probability(n, brim) for n in near if brim.stitch_multiple <= n <= LARGEST_STITCH_COUNT}
    joined = [n for n in chances if can_join(n, body_stitch_count)]
    good = [n for n in joined if chances[n] >= max(chances.values()) - 0.03 - 1e-9]
    uniform = [n for n in good if join_counts(n, body_stitch_count).is_uniform]
    for choice in (uniform, good, joined):
        if choice:
            likeliest = max(chances[n] for n in choice)
            tied = [n for n in choice if chances[n] >= likeliest - 1e-9]
            return min(
                tied, key=lambda n: (round(abs(n * brim.stitch_width_mm - brim.target.target_mm), 6), -n)
            )
    return None


@given(
    head_mm=st.floats(300, 700),
    width_mm=st.floats(2, 12),
    brim_width_mm=st.floats(2, 12),
    multiple=st.integers(1, 16),
    brim_multiple=st.sampled_from([1, 2, 4]),
)
def test_no_brim_joins_better_than_the_one_chosen(
    head_mm: float, width_mm: float, brim_width_mm: float, multiple: int, brim_multiple: int
) -> None:
    body = for_head(head_mm, width_mm=width_mm, multiple=multiple, error=0.033, thickness_mm=7)
    brim = for_head(head_mm, width_mm=brim_width_mm, multiple=brim_multiple, error=0.033, thickness_mm=5)

    candidates: Sequence[RepeatFit] = fitted(body, brim).candidates

    for candidate in candidates:
        chosen = candidate.brim.count.stitch_count if candidate.brim else None
        assert chosen == by_trying_all_brims(candidate.count.stitch_count, brim)


@pytest.mark.parametrize(
    ("multiple", "repeat_counts"),
    # 100 stitches are the best: 2 repeats of 50, 4 of 25, 5 of 20.
    [(50, [1, 2, 3, 4, 5]), (25, [1, 2, 3, 4, 5, 6, 7]), (20, [2, 3, 4, 5, 6, 7, 8])],
)
def test_the_brims_to_try_lie_within_three_repeats_of_the_best_down_to_a_single_one(
    multiple: int, repeat_counts: list[int]
) -> None:
    target = FitTarget(target_mm=500, low_mm=300, high_mm=700)
    order = CountOrder(stitch_width_mm=5.0, error=0.03, stitch_multiple=multiple, target=target)

    tried = brim_counts(order)

    assert tried[0].stitch_count == 100
    assert sorted(brim.repeat_count for brim in tried) == repeat_counts
