"""What the hook does in the crown, textured and plain, both ways."""

import pytest

from service.domain.crown_closing import ClosingLimits
from service.domain.crown_crossings import CrossingCalendar
from service.domain.crown_parts import copy_change
from service.domain.crown_places import CopyRound
from service.domain.crown_plain_steps import plain_rounds, section_steps
from service.domain.crown_steps import CrownManner, WorkedRound, textured_rounds
from service.domain.crown_targets import Worked, dome_target, round_targets_mm
from service.domain.crown_textured import crown_fabric, plan_textured_crown
from service.domain.errors import ShapingOutOfReach
from service.domain.fabrics import BaseStitch, Column, Crossing, Fabric, Face
from service.domain.steps import Cross, IntoOne, Lean, Repeat, Together, Work

BACK_2 = Column("back", 2)
TALLER: dict[int, BaseStitch] = {1: "dc", 2: "tr", 3: "dtr", 4: "dtr"}


def cable(width: int, lean: Lean = "right") -> Column:
    return Column("front", width, Crossing(width // 2, lean))


def worked(
    fabric: Fabric,
    *,
    start: int,
    rounds: int,
    most: int = 12,
    way: Worked = "from_brim",
    group_size: int | None = None,
    round_in_repeat: int = 1,
) -> list[WorkedRound]:
    targets = round_targets_mm(
        dome_target(start * 5.0), round_count=rounds, round_height_mm=6.875, worked=way
    )
    crown = plan_textured_crown(
        crown_fabric(fabric.columns, start_stitch_count=start, group_size=group_size),
        ideal_counts=[circumference / 5.0 for circumference in targets],
        limits=ClosingLimits(5, most),
        worked=way,
    )
    return list(textured_rounds(crown, CrownManner(fabric, TALLER, round_in_repeat)))


def test_a_cable_narrows_at_both_edges_and_crosses_in_the_round_after() -> None:
    fabric = Fabric("dc", (BACK_2, cable(8)), 4)

    rounds = worked(fabric, start=100, rounds=12)

    # 80 80 80 60 60 60 40 40 30 20 10 5
    pair = Together(("fpdc", "fpdc"))
    assert rounds[0].steps == (Repeat(10, (Work("bpdc", 2), pair, Work("fpdc", 4), pair)),)
    assert rounds[1].steps == (Repeat(10, (Work("bpdc", 2), Cross(3, "fpdtr", "right"))),)
    assert rounds[2].steps == (Repeat(10, (Work("bpdc", 2), Work("fpdc", 6))),)
    assert [row.kind for row in rounds] == [
        "decrease",
        "cross",
        "pattern",
        "decrease",
        "cross",
        "pattern",
        "decrease",
        "cross",
        "decrease",
        "decrease",
        "decrease",
        "decrease",
    ]


def test_the_last_columns_go_together_with_the_raised_leg_kept() -> None:
    rounds = worked(Fabric("dc", (BACK_2, cable(8)), 4), start=100, rounds=12)

    assert rounds[8].steps == (Repeat(10, (Together(("bpdc", "bpdc")), Work("fpdc", 2))),)
    assert rounds[10].steps == (Repeat(10, (Together(("bpdc", "fpdc")),)),)
    assert rounds[11].steps == (Repeat(5, (Together(("fpdc", "fpdc")),)),)
    assert [column.action for column in rounds[10].columns] == ["merge"]


def test_columns_say_how_they_stand_after_each_round() -> None:
    rounds = worked(Fabric("dc", (BACK_2, cable(8)), 4), start=100, rounds=12)

    states = [
        [(column.face, column.width, column.over, column.action) for column in row.columns]
        for row in rounds[:2]
    ]
    assert states == [
        [("back", 2, None, "straight"), ("front", 6, None, "narrow")],
        [("back", 2, None, "straight"), ("front", 6, 3, "cross")],
    ]


def test_from_the_crown_columns_are_born_and_widen_where_they_would_narrow() -> None:
    rounds = worked(Fabric("dc", (BACK_2, cable(8)), 4), start=100, rounds=16, most=14, way="from_crown")

    # 10 20 30 30 50 50 60 60 80 80 80 80 100 100 100 100
    two = IntoOne(("fpdc", "fpdc"))
    assert rounds[0].kind == "plain"
    assert rounds[0].steps == (Work("dc", 10),)
    assert rounds[1].steps == (Repeat(10, (IntoOne(("bpdc", "fpdc")),)),)
    assert [column.action for column in rounds[1].columns] == ["born", "born"]
    assert rounds[3].steps == (Repeat(10, (Work("bpdc", 1), Cross(1, "fpdc", "right"))),)
    assert rounds[8].steps == (Repeat(10, (Work("bpdc", 2), two, Work("fpdc", 2), two)),)
    assert rounds[9].steps == (Repeat(10, (Work("bpdc", 2), Cross(3, "fpdtr", "right"))),)
    assert rounds[12].kind == "increase"


def test_three_stitches_go_together_at_once() -> None:
    crown = plan_textured_crown(
        crown_fabric((Column("back", 1), cable(2)), start_stitch_count=36),
        ideal_counts=[36.0, 12.0],
        limits=ClosingLimits(5, 12),
        worked="from_brim",
    )

    rounds = textured_rounds(crown, CrownManner(Fabric("dc", (Column("back", 1), cable(2)), 4), TALLER))

    assert rounds[1].steps == (Repeat(12, (Together(("bpdc", "fpdc", "fpdc")),)),)


def test_three_stitches_come_from_one_at_once_from_the_crown() -> None:
    columns = (Column("back", 1), cable(2))
    crown = plan_textured_crown(
        crown_fabric(columns, start_stitch_count=36),
        ideal_counts=[12.0, 36.0],
        limits=ClosingLimits(5, 14),
        worked="from_crown",
    )

    rounds = textured_rounds(crown, CrownManner(Fabric("dc", columns, 4), TALLER))

    assert rounds[1].steps == (Repeat(12, (IntoOne(("bpdc", "fpdc", "fpdc")),)),)


def test_mirrored_cables_keep_their_leans_though_they_narrow_as_one() -> None:
    fabric = Fabric("dc", (BACK_2, cable(4), BACK_2, cable(4, "left")), 4)

    rounds = worked(fabric, start=84, rounds=14)

    first_cross = next(row for row in rounds if row.kind == "cross")
    assert first_cross.steps[0] == Repeat(
        7, (Work("bpdc", 2), Cross(2, "fptr", "right"), Work("bpdc", 2), Cross(2, "fptr", "left"))
    )


def test_a_cable_crosses_in_its_rhythm_where_it_does_not_narrow() -> None:
    columns = [Column("front", 4, Crossing(2, "right"))]
    calendar = CrossingCalendar([columns], round_repeat_count=4, round_in_repeat=3)
    wide, narrow = [CopyRound(4, (4,))], [CopyRound(2, (2,))]

    # The third round of the repeat comes first, so round 1 of the repeat is the third crown round.
    line = [wide, wide, wide, wide, wide, narrow, narrow, narrow, narrow, narrow, narrow, narrow]
    crossed = [
        number
        for number, (before, after) in enumerate(zip([wide, *line], line, strict=False), 1)
        if calendar.crossing(number, before, after)
    ]

    # Round 3 in rhythm; round 6 narrows; 7 crosses at the new width; 11 is one repeat later.
    assert crossed == [3, 7, 11]


def test_a_crossing_that_falls_on_a_narrowing_round_waits_for_the_next() -> None:
    columns = [Column("front", 4, Crossing(2, "right"))]
    calendar = CrossingCalendar([columns], round_repeat_count=4, round_in_repeat=1)
    wide, narrow = [CopyRound(4, (4,))], [CopyRound(2, (2,))]

    first = calendar.crossing(1, wide, narrow)
    second = calendar.crossing(2, narrow, narrow)

    assert (first, second) == (frozenset(), frozenset({(0, 0)}))


def test_a_column_of_one_stitch_does_not_cross() -> None:
    columns = [Column("front", 2, Crossing(1, "right"))]
    calendar = CrossingCalendar([columns], round_repeat_count=2, round_in_repeat=1)
    two, one = [CopyRound(2, (2,))], [CopyRound(1, (1,))]

    crossed = [calendar.crossing(1, two, one), calendar.crossing(2, one, one), calendar.crossing(3, one, one)]

    assert crossed == [frozenset()] * 3


def test_the_larger_half_of_the_pairs_is_at_the_right_edge() -> None:
    change = copy_change(
        CopyRound(8, (8,)), CopyRound(5, (5,)), column_faces=("back",), outer_faces=("back",) * 8
    )

    assert change.columns[0].sizes == (2, 2, 1, 1, 2)


def test_a_ground_stitch_goes_with_the_raised_one_beside_it() -> None:
    faces: tuple[Face, ...] = ("back", "back", "front")

    change = copy_change(CopyRound(3, (1, 1, 1)), CopyRound(2, ()), column_faces=faces, outer_faces=faces)

    assert change.columns[0].sizes == (1, 2)
    assert change.inner_faces == ("back", "front")


def test_a_section_ends_with_its_decrease() -> None:
    steps = section_steps(
        from_stitch_count=88, to_stitch_count=80, section_count=8, stitch="sc", is_half_way=False
    )

    assert steps == (Repeat(8, (Work("sc", 9), Together(("sc", "sc")))),)


def test_a_staggered_section_decreases_half_way_along() -> None:
    steps = section_steps(
        from_stitch_count=80, to_stitch_count=72, section_count=8, stitch="sc", is_half_way=True
    )

    assert steps == (Repeat(8, (Work("sc", 3), Together(("sc", "sc")), Work("sc", 5))),)


def test_a_section_that_loses_three_spreads_them() -> None:
    steps = section_steps(
        from_stitch_count=56, to_stitch_count=32, section_count=8, stitch="tr", is_half_way=False
    )

    # Even places 0, 2 and 4 of 7, mirrored: the last pair ends the section.
    assert steps == (Repeat(8, (Work("tr", 1), Repeat(3, (Together(("tr", "tr")),)))),)


def test_a_section_cannot_lose_more_than_half() -> None:
    with pytest.raises(ShapingOutOfReach):
        section_steps(
            from_stitch_count=40, to_stitch_count=16, section_count=8, stitch="sc", is_half_way=False
        )


def test_sections_from_the_crown_end_with_their_increase() -> None:
    rounds = plain_rounds(
        (6, 12, 18),
        start_stitch_count=18,
        section_count=6,
        stitch="sc",
        worked="from_crown",
        is_staggered=False,
    )

    assert [row.kind for row in rounds] == ["plain", "increase", "increase"]
    assert rounds[0].steps == (Work("sc", 6),)
    assert rounds[1].steps == (Repeat(6, (IntoOne(("sc", "sc")),)),)
    assert rounds[2].steps == (Repeat(6, (Work("sc", 1), IntoOne(("sc", "sc")))),)


def test_scattered_decreases_do_not_stack() -> None:
    rounds = plain_rounds(
        (66, 60),
        start_stitch_count=72,
        section_count=None,
        stitch="dc",
        worked="from_brim",
        is_staggered=False,
    )

    pair = Together(("dc", "dc"))
    assert rounds[0].steps == (Repeat(6, (pair, Work("dc", 10))),)
    assert rounds[1].steps == (Repeat(6, (Work("dc", 5), pair, Work("dc", 4))),)


def test_a_first_round_that_is_no_whole_section_is_spread_evenly() -> None:
    rounds = plain_rounds(
        (56, 48),
        start_stitch_count=58,
        section_count=8,
        stitch="hdc",
        worked="from_brim",
        is_staggered=False,
    )

    pair = Together(("hdc", "hdc"))
    assert rounds[0].steps == (Repeat(2, (pair, Work("hdc", 27))),)
    assert rounds[1].steps == (Repeat(8, (Work("hdc", 5), pair)),)
