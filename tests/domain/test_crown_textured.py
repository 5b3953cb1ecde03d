"""The exact crown of textured fabrics: worked values, refusals, and shortest paths found otherwise."""

import math
from collections.abc import Sequence
from itertools import pairwise

import networkx
import pytest

from service.domain.crown_closing import ClosingLimits
from service.domain.crown_targets import Worked, dome_target, round_targets_mm
from service.domain.crown_textured import (
    TexturedCrown,
    crown_fabric,
    default_group_size,
    plan_textured_crown,
    smallest_textured_round_count,
)
from service.domain.crown_work import WORK_LIMIT
from service.domain.errors import (
    CrownCannotClose,
    FabricTooComplex,
    RepeatWiderThanHat,
    ShapingOutOfReach,
)
from service.domain.fabrics import Column, Crossing, Face
from tests.crown_oracle import Rules, State

BACK_2 = Column("back", 2)
RIB = (Column("front", 1), Column("back", 1))


def cable(width: int, face: Face = "front") -> Column:
    return Column(face, width, Crossing(width // 2, "right"))


def numbers(text: str) -> tuple[int, ...]:
    return tuple(map(int, text.split()))


def dome_counts(
    start: int, width_mm: float, height_mm: float, round_count: int, worked: Worked = "from_brim"
) -> list[float]:
    targets = round_targets_mm(
        dome_target(start * width_mm), round_count=round_count, round_height_mm=height_mm, worked=worked
    )
    return [circumference / width_mm for circumference in targets]


def crown_of(
    columns: Sequence[Column],
    *,
    repeats: int,
    gauge_mm: tuple[float, float],
    rounds: int,
    most: int = 12,
    group_size: int | None = None,
    worked: Worked = "from_brim",
) -> TexturedCrown:
    start = repeats * sum(column.width for column in columns)
    return plan_textured_crown(
        crown_fabric(columns, start_stitch_count=start, group_size=group_size),
        ideal_counts=dome_counts(start, *gauge_mm, rounds, worked),
        limits=ClosingLimits(5, most),
        worked=worked,
    )


@pytest.mark.parametrize(
    ("columns", "repeats", "gauge_mm", "rounds", "most", "group_size", "expected", "cost"),
    [
        ((BACK_2, cable(8)), 10, (5.0, 6.875), 8, 12, 1, "60 60 40 40 30 20 10 5", 0.128),
        ((BACK_2, cable(8)), 10, (5.0, 6.875), 12, 12, 1, "80 80 80 60 60 60 40 40 30 20 10 5", 0.157),
        ((BACK_2, cable(8)), 10, (5.0, 6.875), 4, 10, 1, "50 50 30 10", 2.389),
        (
            (BACK_2, cable(6)),
            12,
            (4.6, 7.2),
            14,
            12,
            1,
            "96 96 96 96 72 72 72 72 48 48 36 24 12 6",
            0.166,
        ),
        (
            (BACK_2, cable(6), BACK_2, cable(2)),
            9,
            (5.2, 8.0),
            16,
            12,
            1,
            "108 108 108 108 90 90 90 72 72 54 54 45 36 27 9 5",
            0.284,
        ),
        ((BACK_2, cable(2)), 20, (5.0, 7.5), 12, 12, 2, "80 80 70 70 60 60 50 40 30 20 10 5", 0.163),
        ((BACK_2, cable(2)), 20, (5.0, 7.5), 12, 12, None, "80 80 70 70 60 60 50 40 30 20 10 5", 0.163),
        (RIB, 44, (6.0, 8.5), 14, 12, 4, "88 88 88 77 77 66 66 55 44 44 33 22 11 6", 0.160),
        (RIB, 44, (6.0, 8.5), 14, 12, None, "88 88 88 77 77 66 66 55 44 44 33 22 11 6", 0.160),
    ],
)
def test_the_exact_crown_from_the_brim(
    columns: Sequence[Column],
    repeats: int,
    gauge_mm: tuple[float, float],
    rounds: int,
    most: int,
    group_size: int | None,
    expected: str,
    cost: float,
) -> None:
    crown = crown_of(
        columns, repeats=repeats, gauge_mm=gauge_mm, rounds=rounds, most=most, group_size=group_size
    )

    assert crown.stitch_counts == numbers(expected)
    assert crown.cost == pytest.approx(cost, abs=0.0005)


@pytest.mark.parametrize(
    ("columns", "repeats", "gauge_mm", "rounds", "cost"),
    [((BACK_2, cable(2)), 20, (5.0, 7.5), 12, 0.259), (RIB, 44, (6.0, 8.5), 14, 0.526)],
)
def test_without_groups_the_crown_follows_its_target_less_well(
    columns: Sequence[Column], repeats: int, gauge_mm: tuple[float, float], rounds: int, cost: float
) -> None:
    alone = crown_of(columns, repeats=repeats, gauge_mm=gauge_mm, rounds=rounds, group_size=1)

    assert alone.cost == pytest.approx(cost, abs=0.0005)


def test_the_exact_crown_from_the_crown_is_the_same_graph_walked_outward() -> None:
    crown = crown_of(
        (BACK_2, cable(8)),
        repeats=10,
        gauge_mm=(5.0, 6.875),
        rounds=16,
        most=14,
        worked="from_crown",
    )

    assert crown.stitch_counts == numbers("10 20 30 30 50 50 60 60 80 80 80 80 100 100 100 100")
    assert crown.cost == pytest.approx(0.152, abs=0.0005)


def test_the_columns_narrow_as_worked_by_hand() -> None:
    crown = crown_of((BACK_2, cable(8)), repeats=10, gauge_mm=(5.0, 6.875), rounds=8)

    widths = [state.copies[0].widths if state.copies else () for state in crown.inward[1:]]
    assert widths == [(2, 4), (2, 4), (2, 2), (2, 2), (1, 2), (1, 1), (), ()]


def counts_of_a_tie(columns: Sequence[Column], ideals: Sequence[float]) -> tuple[int, ...]:
    start = 10 * sum(column.width for column in columns)
    return plan_textured_crown(
        crown_fabric(columns, start_stitch_count=start),
        ideal_counts=ideals,
        limits=ClosingLimits(5, 12),
        worked="from_brim",
    ).stitch_counts


def test_of_two_crowns_that_cost_the_same_the_one_with_fewer_narrowing_rounds_wins() -> None:
    counts = counts_of_a_tie((Column("back", 4),), [math.sqrt(30 * 20), 20.0, 10.0])

    # 20 20 10 narrows twice; 30 20 10 costs the same and narrows three times.
    assert counts == (20, 20, 10)


def test_of_two_crowns_that_cost_and_narrow_the_same_the_larger_count_comes_earlier() -> None:
    counts = counts_of_a_tie((Column("back", 2),), [math.sqrt(20 * 10), 10.0])

    # 20 10 and 10 10 cost the same and narrow once.
    assert counts == (20, 10)


def test_of_two_crowns_of_the_same_counts_the_one_with_wider_cables_wins() -> None:
    crown = plan_textured_crown(
        crown_fabric((BACK_2, cable(2)), start_stitch_count=40),
        ideal_counts=[30.0, 20.0, 10.0],
        limits=ClosingLimits(5, 12),
        worked="from_brim",
    )

    assert [state.copies[0].widths for state in crown.inward[1:3]] == [(1, 2), (1, 1)]


def test_too_few_rounds_are_refused_with_the_fewest_that_close() -> None:
    with pytest.raises(CrownCannotClose) as refused:
        crown_of((BACK_2, cable(8)), repeats=10, gauge_mm=(5.0, 6.875), rounds=3, most=10)

    # 100 50 50 30 10: a cable of 8 needs a round of rest before it narrows again.
    assert refused.value.smallest_round_count == 4


def test_a_fabric_that_repeats_inside_itself_is_its_smallest_period() -> None:
    once = crown_fabric((BACK_2, cable(4)), start_stitch_count=96)
    twice = crown_fabric((BACK_2, cable(4)) * 2, start_stitch_count=96)

    assert twice == once


def test_leans_do_not_make_another_period() -> None:
    left = Column("front", 4, Crossing(2, "left"))

    mirrored = crown_fabric((BACK_2, cable(4), BACK_2, left), start_stitch_count=96)

    assert mirrored.period.stitch_count == 6
    assert mirrored.repeat_count == 16


@pytest.mark.parametrize(
    ("repeats", "size"),
    [(1, 1), (14, 1), (15, 3), (16, 2), (17, 1), (20, 2), (25, 5), (35, 5), (44, 4), (70, 5), (72, 1)],
)
def test_the_usual_group_is_the_smallest_that_makes_5_to_14_groups(repeats: int, size: int) -> None:
    assert default_group_size(repeats) == size


def test_stitches_that_are_no_whole_repeats_are_refused_with_the_counts_that_are() -> None:
    with pytest.raises(ShapingOutOfReach) as refused:
        crown_fabric((BACK_2, cable(8)), start_stitch_count=96)

    assert (refused.value.low, refused.value.high) == (90, 100)


def test_a_repeat_wider_than_the_round_is_refused() -> None:
    with pytest.raises(RepeatWiderThanHat):
        crown_fabric((BACK_2, cable(8)), start_stitch_count=9)


def test_groups_that_do_not_divide_the_repeats_are_refused_with_those_that_do() -> None:
    with pytest.raises(ShapingOutOfReach) as refused:
        crown_fabric((BACK_2, cable(8)), start_stitch_count=120, group_size=5)

    # Six would divide the repeats, too, but no more than five may narrow as one.
    assert (refused.value.low, refused.value.high) == (4, 4)
    assert str(refused.value).endswith("Choose 4.")


def test_groups_too_complex_to_search_are_not_offered() -> None:
    columns = [BACK_2, *(Column("front", width) for width in (9, 10, 11))]

    with pytest.raises(ShapingOutOfReach) as refused:
        crown_fabric(columns, start_stitch_count=4 * 32, group_size=3)

    # 360 moves of a copy make 65,000 of two, and far more than that of four.
    assert (refused.value.low, refused.value.high) == (1, 1)


def test_limits_that_no_count_lies_between_are_refused_with_the_counts_beside_them() -> None:
    fabric = crown_fabric(RIB, start_stitch_count=18)

    with pytest.raises(ShapingOutOfReach) as refused:
        smallest_textured_round_count(fabric, ClosingLimits(6, 8), "from_brim")

    # 18 9 5: nine single stitches are halved to five, with nothing from 6 to 8.
    assert (refused.value.low, refused.value.high) == (5, 9)


def test_a_fabric_of_many_wide_columns_is_refused_before_the_search() -> None:
    faces: tuple[Face, ...] = ("front", "back", "flat")
    columns = [Column(faces[i % 3], 4 + i // 3) for i in range(12)]
    fabric = crown_fabric(columns, start_stitch_count=5 * sum(column.width for column in columns))

    with pytest.raises(FabricTooComplex) as refused:
        plan_textured_crown(
            fabric, ideal_counts=[100.0, 50.0, 25.0, 8.0], limits=ClosingLimits(5, 12), worked="from_brim"
        )

    assert refused.value.limit == WORK_LIMIT
    assert refused.value.work_units > WORK_LIMIT


def shortest_path_cost(rules: Rules, ideals: Sequence[float]) -> float:
    """Return the cost of the best crown as networkx finds it, over a graph made from the spoken rules."""
    graph = networkx.DiGraph()
    layer: set[State] = {rules.start}
    for number, ideal in enumerate(ideals):
        following: set[State] = set()
        for state in layer:
            for target in rules.moves(state):
                weight = math.log(rules.count(target) / ideal) ** 2
                graph.add_edge((number, state), (number + 1, target), weight=weight)
                following.add(target)
        layer = following
    for state in layer:
        if rules.count(state) <= rules.most:
            graph.add_edge((len(ideals), state), "closed", weight=0.0)
    return float(networkx.dijkstra_path_length(graph, (0, rules.start), "closed"))


@pytest.mark.parametrize(
    ("columns", "repeats", "gauge_mm", "rounds", "group_size", "settle"),
    [
        ((BACK_2, cable(8)), 10, (5.0, 6.875), 24, 1, 1),
        ((BACK_2, cable(8)), 10, (5.0, 6.875), 20, 1, 3),
        ((BACK_2, cable(6), Column("back", 3), cable(4)), 8, (4.0, 6.0), 26, 1, 1),
        ((Column("front", 3), Column("back", 4), Column("flat", 3)), 9, (5.0, 8.0), 14, 1, 1),
        ((BACK_2, cable(4)), 16, (4.5, 6.5), 20, 2, 1),
        (RIB, 30, (6.0, 8.5), 10, 3, 0),
        ((cable(4), cable(4, "back"), Column("flat", 1)), 9, (5.0, 7.0), 14, 1, 2),
    ],
)
def test_the_exact_crown_costs_what_the_shortest_path_of_networkx_costs(
    columns: Sequence[Column],
    repeats: int,
    gauge_mm: tuple[float, float],
    rounds: int,
    group_size: int,
    settle: int,
) -> None:
    start = repeats * sum(column.width for column in columns)
    ideals = dome_counts(start, *gauge_mm, rounds)
    rules = Rules(tuple(columns), repeats // group_size, group_size, settle, 5, 12)

    crown = plan_textured_crown(
        crown_fabric(columns, start_stitch_count=start, settle_round_count=settle, group_size=group_size),
        ideal_counts=ideals,
        limits=ClosingLimits(5, 12),
        worked="from_brim",
    )

    assert crown.cost == pytest.approx(shortest_path_cost(rules, ideals), abs=1e-9)


@pytest.mark.parametrize(
    "columns",
    [
        (Column("back", 4), cable(6), BACK_2, cable(8)),
        (Column("front", 6), Column("back", 6), Column("flat", 6), cable(2)),
        (Column("back", 6), Column("front", 6), cable(4), cable(4, "back")),
        (Column("front", 5), Column("back", 7), Column("flat", 5), Column("front", 3)),
    ],
)
def test_a_round_of_2000_stitches_and_four_columns_is_within_the_work_limit(
    columns: Sequence[Column],
) -> None:
    crown = crown_of(columns, repeats=100, gauge_mm=(5.0, 6.875), rounds=328)

    counts = (2000, *crown.stitch_counts)
    assert crown.work_units <= WORK_LIMIT
    assert all(after <= before <= 2 * after for before, after in pairwise(counts))
    assert counts[-1] <= 12


def test_the_usual_hat_weighs_little() -> None:
    crown = crown_of((BACK_2, cable(8)), repeats=10, gauge_mm=(5.0, 6.875), rounds=16)

    assert crown.work_units < WORK_LIMIT / 100


@pytest.mark.parametrize(
    ("columns", "limits", "low", "high", "words"),
    [
        # Three copies narrow alike, each from 2 stitches to 1.
        ([Column("back", 2)], ClosingLimits(4, 5), 3, 6, "4 to 5 stitches"),
        # From 4 stitches a copy goes to 3, 2 and 1.
        ([Column("front", 2), Column("back", 2)], ClosingLimits(10, 10), 9, 12, "10 stitches"),
        ([Column("front", 2), Column("back", 2)], ClosingLimits(4, 4), 3, 6, "4 stitches"),
    ],
)
def test_a_fabric_that_cannot_close_between_limits_is_told_the_counts_on_either_side(
    columns: list[Column], limits: ClosingLimits, low: int, high: int, words: str
) -> None:
    width = sum(column.width for column in columns)
    fabric = crown_fabric(columns, start_stitch_count=3 * width)

    with pytest.raises(ShapingOutOfReach) as refusal:
        smallest_textured_round_count(fabric, limits, "from_brim")

    assert (refusal.value.low, refusal.value.high) == (low, high)
    assert str(refusal.value).startswith(f"This fabric cannot close on {words}.")


def test_the_fewest_rounds_are_counted_to_a_count_that_can_be_had() -> None:
    # A copy of 6 stitches ends at 2 after three rounds, so that three copies are 6.
    cable = crown_fabric([Column("back", 2), Column("front", 4, Crossing(2, "right"))], start_stitch_count=18)

    assert smallest_textured_round_count(cable, ClosingLimits(6, 6), "from_brim") == 3
