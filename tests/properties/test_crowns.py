"""What holds for the rounds of every crown: each uses up what the one before made."""

from hypothesis import assume, given
from hypothesis import strategies as st

from service.domain.crown_orders import CrownOrder, CrownSchedule
from service.domain.crown_steps import standard_repeat
from service.domain.crown_targets import Worked
from service.domain.crowns import plan_crown
from service.domain.errors import FabricTooComplex, ShapingOutOfReach
from service.domain.fabrics import BaseStitch, Column, Crossing, Fabric, Face
from service.domain.steps import Step, Together, Work, canonical, consumed_by, flat, made_by, repeated

WORKED: tuple[Worked, ...] = ("from_brim", "from_crown")
FACES: tuple[Face, ...] = ("front", "back", "flat")
BASES: tuple[BaseStitch, ...] = ("hdc", "dc", "tr")


@st.composite
def columns(draw: st.DrawFn) -> Column:
    """Draw a column that crosses or does not."""
    face = draw(st.sampled_from(FACES))
    if draw(st.booleans()):
        return Column(face, draw(st.integers(1, 6)))
    over = draw(st.integers(1, 3))
    return Column(
        face, 2 * over, Crossing(over, draw(st.sampled_from(["left", "right"])), draw(st.integers(1, 3)))
    )


@st.composite
def textured_orders(draw: st.DrawFn) -> CrownOrder:
    """Draw a textured crown, its columns possibly written more than once."""
    drawn = draw(st.lists(columns(), min_size=1, max_size=4)) * draw(st.integers(1, 2))
    fabric = Fabric(draw(st.sampled_from(BASES)), tuple(drawn), 4)
    assume(fabric.is_textured)
    width_mm = draw(st.floats(3.0, 9.0))
    return CrownOrder(
        start_stitch_count=draw(st.integers(5, 24)) * fabric.stitch_multiple,
        stitch_width_mm=width_mm,
        round_height_mm=width_mm * draw(st.floats(0.9, 2.0)),
        crown_shape=draw(st.sampled_from(["rounded", "gathered", "flat", "tapered"])),
        fabric=fabric,
        worked=draw(st.sampled_from(WORKED)),
        settle_round_count=draw(st.none() | st.integers(0, 3)),
        round_in_repeat=draw(st.integers(1, 4)),
    )


@st.composite
def plain_orders(draw: st.DrawFn) -> CrownOrder:
    """Draw a plain crown, in sections or scattered."""
    scattered = draw(st.booleans())
    start = draw(st.integers(20, 300))
    width_mm = draw(st.floats(2.0, 9.0))
    return CrownOrder(
        start_stitch_count=start,
        stitch_width_mm=width_mm,
        round_height_mm=width_mm * draw(st.floats(0.7, 3.0)),
        stitch=draw(st.sampled_from(BASES)),
        crown_shape=draw(st.sampled_from(["rounded", "gathered", "flat", "tapered"])),
        worked=draw(st.sampled_from(WORKED)),
        section_count=None if scattered else draw(st.none() | st.integers(3, min(16, start))),
        decrease_placement="scattered" if scattered else "sections",
        is_staggered=draw(st.booleans()),
    )


def planned(order: CrownOrder) -> CrownSchedule:
    """Return the crown; one that is too complex is no case for these laws."""
    try:
        return plan_crown(order)
    except FabricTooComplex:
        assume(False)
        raise


@given(order=textured_orders())
def test_every_textured_round_uses_up_the_round_before(order: CrownOrder) -> None:
    assert_conserved(order, planned(order))


@given(order=plain_orders())
def test_every_plain_round_uses_up_the_round_before(order: CrownOrder) -> None:
    assert_conserved(order, planned(order))


def assert_conserved(order: CrownOrder, schedule: CrownSchedule) -> None:
    """Check steps against counts, round by round."""
    before = order.start_stitch_count if order.worked == "from_brim" else 0
    for row in schedule.rounds:
        assert row.consumed_stitch_count == before
        assert consumed_by(row.steps, worked_into=row.worked_into) == before
        assert made_by(row.steps) == row.stitch_count
        before = row.stitch_count
    if order.worked == "from_crown":
        assert before == order.start_stitch_count


@given(order=textured_orders() | plain_orders())
def test_every_round_is_in_standard_form(order: CrownOrder) -> None:
    schedule = planned(order)

    for row in schedule.rounds:
        assert flat(canonical(row.steps)) == flat(row.steps)
        assert row.steps == canonical(row.steps)


@given(order=textured_orders())
def test_a_textured_crown_closes_under_its_most(order: CrownOrder) -> None:
    schedule = planned(order)

    most = {"hdc": (8, 10), "dc": (12, 14), "tr": (12, 18)}[order.base_stitch]
    assert schedule.closing_stitch_count <= most[order.worked == "from_crown"]
    assert schedule.verdict != "does_not_close"


@given(order=textured_orders())
def test_columns_add_up_to_the_round(order: CrownOrder) -> None:
    schedule = planned(order)

    for row in schedule.rounds:
        widths = sum(column.width for column in row.columns)
        assert row.stitch_count % widths == 0
        assert all(column.over is None or column.width == 2 * column.over for column in row.columns)
        assert all((column.over is not None) == (column.action == "cross") for column in row.columns)


@given(order=textured_orders())
def test_thicker_yarn_of_the_same_proportions_changes_no_count(order: CrownOrder) -> None:
    doubled = scaled(order, 2.0)

    assert planned(order).stitch_counts == planned(doubled).stitch_counts


def scaled(order: CrownOrder, factor: float) -> CrownOrder:
    """Return the same crown in thicker yarn."""
    return CrownOrder(
        start_stitch_count=order.start_stitch_count,
        stitch_width_mm=order.stitch_width_mm * factor,
        round_height_mm=order.round_height_mm * factor,
        crown_shape=order.crown_shape,
        fabric=order.fabric,
        worked=order.worked,
        settle_round_count=order.settle_round_count,
        round_in_repeat=order.round_in_repeat,
    )


def steps_of(schedule: CrownSchedule) -> list[tuple[Step, ...]]:
    """Return the steps of a crown."""
    return [row.steps for row in schedule.rounds]


@given(order=textured_orders())
def test_planning_twice_gives_the_same_steps(order: CrownOrder) -> None:
    assert steps_of(planned(order)) == steps_of(planned(order))


def short_steps() -> st.SearchStrategy[Step]:
    """Return a few stitches, or two worked together."""
    codes = st.sampled_from(["dc", "fpdc", "bpdc"])
    return st.builds(Work, codes, st.integers(0, 3)) | codes.map(lambda code: Together((code, code)))


@given(unit=st.lists(short_steps(), min_size=1, max_size=6), times=st.integers(1, 12))
def test_steps_done_over_and_over_are_in_standard_form(unit: list[Step], times: int) -> None:
    assume(flat(unit))

    assert standard_repeat(times, unit) == canonical(repeated(times, unit))


@given(minimum=st.integers(1, 12), maximum=st.integers(1, 12), start=st.integers(12, 200), data=st.data())
def test_no_plain_round_goes_under_the_least_that_was_asked_for(
    minimum: int, maximum: int, start: int, data: st.DataObject
) -> None:
    assume(minimum <= maximum)
    order = CrownOrder(
        start_stitch_count=start,
        stitch_width_mm=data.draw(st.floats(3, 9)),
        round_height_mm=data.draw(st.floats(4, 14)),
        worked=data.draw(st.sampled_from(WORKED)),
        section_count=data.draw(st.none() | st.integers(1, start)),
        closing_stitch_count_min=minimum,
        closing_stitch_count_max=maximum,
    )

    try:
        counts = plan_crown(order).stitch_counts
    except ShapingOutOfReach:
        # A single section cannot always end between the two.
        return

    assert minimum <= min(counts) <= maximum
