"""Where the stitches of a chart stand: apart from each other, and on what they are worked into."""

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.domain.rounds import Round, Start
from service.domain.steps import Cross, Repeat, Step, Together, Work, consumed_by, made_by
from service.drawings.chart_layouts import PITCH_MM, ChartLayout, flat_layout, ring_layout, row_height_mm
from service.drawings.chart_stitches import ChartRound, chart_round, part_of_round
from service.drawings.chart_symbols import TOP_GAP_MM, new_shapes, stitch_symbols
from service.drawings.pictures import Path, Placed, Point
from tests.drawings.hats import HATS, planned, points_of
from tests.strategies import worked_steps

JOINED = Start(2, counts_as_stitch=False)


def _round(number: int, steps: tuple[Step, ...]) -> Round:
    return Round(
        number,
        "crown",
        "pattern",
        "previous_round",
        consumed_by(steps),
        made_by(steps),
        JOINED,
        steps,
        "sl_st",
        9.0,
    )


def _shrinking(counts: list[int]) -> list[ChartRound]:
    """Return rounds from one count down to the next: pairs first, then single stitches."""
    rounds = []
    for number, (before, after) in enumerate(pairwise(counts), start=1):
        pairs = before - after
        steps: tuple[Step, ...] = (Repeat(pairs, (Together(("dc", "dc")),)),) if pairs else ()
        rounds.append(chart_round(_round(number, (*steps, Work("dc", before - 2 * pairs)))))
    return rounds


@st.composite
def shrinking_counts(draw: st.DrawFn) -> list[int]:
    counts = [draw(st.integers(12, 160))]
    for _ in range(draw(st.integers(1, 8))):
        counts.append(draw(st.integers((counts[-1] + 1) // 2, counts[-1])))
    return counts


def _symbols(layout: ChartLayout, chart: ChartRound) -> list[Path]:
    marks = stitch_symbols(layout, 1, chart.stitches, new_shapes())
    return [mark.drawn() if isinstance(mark, Placed) else mark for mark in marks]


def _tops(layout: ChartLayout, level: int, chart: ChartRound) -> list[tuple[float, float]]:
    return [layout.point(level, stitch.place) for stitch in chart.stitches]


@given(counts=shrinking_counts())
def test_stitches_of_a_ring_do_not_overlap(counts: list[int]) -> None:
    rounds = _shrinking(counts)
    layout = ring_layout(rounds, is_inward=True)

    for level, chart in enumerate(rounds, start=1):
        tops = _tops(layout, level, chart)
        assert all(math.dist(one, other) >= 0.9 * PITCH_MM for one, other in pairwise(tops))
        assert len(tops) == 1 or math.dist(tops[0], tops[-1]) >= 0.9 * PITCH_MM


@pytest.mark.parametrize("name", sorted(HATS))
def test_stitches_of_a_planned_crown_do_not_overlap(name: str) -> None:
    plan = planned(name)
    rounds = [chart_round(worked) for worked in plan.rounds if worked.section == "crown"]
    layout = ring_layout(rounds, is_inward=plan.order.is_from_brim)

    for level, chart in enumerate(rounds, start=1):
        tops = _tops(layout, level, chart)
        gaps = [math.dist(one, other) for one, other in pairwise([*tops, tops[0]])]
        assert min(gaps) >= 0.9 * PITCH_MM


@given(counts=shrinking_counts())
def test_rings_lie_inside_one_another_with_room_for_a_stitch(counts: list[int]) -> None:
    layout = ring_layout(_shrinking(counts), is_inward=True)

    assert all(outer - inner >= 8.0 - 1e-9 for outer, inner in pairwise(layout.radii_mm))


@settings(max_examples=40)
@given(steps=worked_steps(), is_inward=st.booleans())
def test_every_stitch_touches_what_it_is_worked_into(steps: tuple[Step, ...], is_inward: bool) -> None:
    chart = chart_round(_round(1, steps))
    layout = ring_layout([chart], is_inward=is_inward)

    symbols = _symbols(layout, chart)

    assert len(symbols) == len(chart.stitches) == made_by(steps)
    for stitch, symbol in zip(chart.stitches, symbols, strict=True):
        top = layout.point(1, stitch.place)
        assert _distance(top, symbol) <= TOP_GAP_MM + 1e-6
        for parent in stitch.parents:
            base = layout.point(0, parent)
            # A hook goes around the post: its foot ends beside it.
            assert _distance(base, symbol) <= 0.7


def _distance(point: Point, symbol: Path) -> float:
    """Return how far the nearest stroke of a symbol is; a curve counts by its handles."""
    strokes = [pair for name, points in symbol.commands if name == "M" for pair in pairwise(points)]
    ends = [(end, end) for end in points_of(symbol)]
    return min(_to_stroke(point, start, end) for start, end in [*strokes, *ends])


def _to_stroke(point: Point, start: Point, end: Point) -> float:
    along = (end[0] - start[0], end[1] - start[1])
    length = along[0] ** 2 + along[1] ** 2
    reach = (point[0] - start[0]) * along[0] + (point[1] - start[1]) * along[1]
    share = min(1.0, max(0.0, reach / length)) if length else 0.0
    return math.dist(point, (start[0] + share * along[0], start[1] + share * along[1]))


@given(steps=worked_steps())
def test_every_stitch_below_is_worked_into_exactly_once(steps: tuple[Step, ...]) -> None:
    chart = chart_round(_round(1, steps))

    used = sorted({parent for stitch in chart.stitches for parent in stitch.parents})

    assert used == list(range(consumed_by(steps)))
    assert sorted(stitch.place for stitch in chart.stitches) == list(range(made_by(steps)))


@given(steps=worked_steps(), times=st.integers(2, 9))
def test_a_part_of_a_round_is_that_part_of_its_stitches(steps: tuple[Step, ...], times: int) -> None:
    whole = chart_round(_round(1, (Repeat(times, steps),)))

    part = part_of_round(_round(1, (Repeat(times, steps),)), times)

    assert part is not None
    assert part.made_count * times == whole.made_count
    assert [(each.legs, each.place, each.parents) for each in part.stitches] == [
        (each.legs, each.place, each.parents) for each in whole.stitches[: part.made_count]
    ]


def test_a_counting_chain_stands_for_the_first_stitch_of_a_part() -> None:
    start = Start(3, counts_as_stitch=True)
    worked = Round(1, "crown", "plain", "previous_round", 24, 24, start, (Work("dc", 23),), "sl_st", 9.0)

    part = part_of_round(worked, 6)

    assert part is not None
    assert [stitch.place for stitch in part.stitches] == [1, 2, 3]


def test_work_runs_anticlockwise_outward_and_clockwise_inward() -> None:
    plain = chart_round(_round(1, (Work("dc", 24),)))

    outward, inward = (ring_layout([plain], is_inward=each) for each in (False, True))

    assert outward.angle(1, 3) > outward.angle(1, 2)
    assert inward.angle(1, 3) < inward.angle(1, 2)


def test_rows_run_from_right_to_left_and_up() -> None:
    plain = chart_round(_round(1, (Work("dc", 4),)))
    layout = flat_layout([plain, plain])

    assert layout.point(1, 1)[0] < layout.point(1, 0)[0]
    assert layout.point(2, 0)[1] < layout.point(1, 0)[1]


@pytest.mark.parametrize("over", [1, 2, 4, 8])
def test_the_stems_of_a_crossing_lean_no_more_than_they_rise(over: int) -> None:
    chart = chart_round(_round(1, (Cross(over, "fpdtr", "right"),)))

    assert row_height_mm(chart) >= over * PITCH_MM


def test_what_lies_behind_a_crossing_is_broken_once() -> None:
    chart = chart_round(_round(1, (Cross(4, "fpsc", "left"),)))

    symbols = _symbols(flat_layout([chart]), chart)

    # A hook is one stroke, a bar one, and the stem one or, behind the others, two.
    strokes = [sum(name == "M" for name, _ in symbol.commands) for symbol in symbols]
    assert strokes == [4, 4, 4, 4, 3, 3, 3, 3]


def test_stitches_worked_behind_are_broken_where_others_pass() -> None:
    chart = chart_round(_round(1, (Cross(2, "fptr", "right"),)))
    layout = flat_layout([chart])

    symbols = _symbols(layout, chart)

    strokes = [sum(name == "M" for name, _ in symbol.commands) for symbol in symbols]
    assert [stitch.is_behind for stitch in chart.stitches] == [False, False, True, True]
    assert min(strokes[2:]) > max(strokes[:2])
