"""Pictures of fabrics: drawn from the columns, whole repeats, the right band in front."""

from dataclasses import replace
from xml.etree import ElementTree

import pytest

from service.domain.fabrics import Column, Crossing, Fabric
from service.drawings.pictures import Path, flat_marks
from service.pages.fabric_pictures import draw_fabric, fabric_svg
from service.reference.load import load_reference_tables

ROWS = load_reference_tables().fabrics


def _paths(fabric, role):
    return [
        mark
        for mark in flat_marks(draw_fabric(fabric, "Patch").marks)
        if isinstance(mark, Path) and mark.role == role
    ]


def _ends(strand):
    """Return where a strand begins and ends, by its left edge."""
    start = strand.commands[0][1][0]
    return start, strand.commands[1][1][-1]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.fabric_id)
def test_every_fabric_has_a_small_picture_that_is_well_formed(row):
    svg = fabric_svg(row.fabric, row.name)

    root = ElementTree.fromstring(svg)
    assert root.find("title").text == row.name
    assert len(svg) < 16_000


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.fabric_id)
def test_no_picture_needs_a_style_or_anything_from_outside(row):
    svg = fabric_svg(row.fabric, row.name)

    assert not any(word in svg for word in ("style", "href", "script", "url("))


def test_a_rib_shows_a_strand_for_each_front_post_and_ridges_for_the_others():
    rib = Fabric("dc", (Column("front", 1), Column("back", 1)))

    assert len(_paths(rib, "part")) == 6
    assert len(_paths(rib, "leader")) == 6


@pytest.mark.parametrize(("lean", "last_moves_right"), [("right", True), ("left", False)])
def test_the_band_in_front_leans_as_the_cable_does(lean, last_moves_right):
    cable = Fabric("dc", (Column("front", 4, Crossing(2, lean)),), round_repeat_count=4)

    crossing = [strand for strand in _paths(cable, "part") if _ends(strand)[0][0] != _ends(strand)[1][0]]

    (start, _), (end, _) = _ends(crossing[3])
    assert (end > start) is last_moves_right


def test_a_crossing_moves_every_strand_by_the_width_of_the_other_band():
    cable = Fabric("dc", (Column("front", 6, Crossing(3, "right")),), round_repeat_count=4)

    moved = {round(abs(end[0] - start[0]), 6) for start, end in map(_ends, _paths(cable, "part"))}

    assert moved == {0.0, round(3 * 40 / 12, 6)}


def test_a_basket_weave_changes_its_faces_after_as_many_rounds_as_it_says():
    weave = Fabric("dc", (Column("front", 2), Column("back", 2)), round_repeat_count=4, flip_round_count=2)
    still = replace(weave, flip_round_count=None)

    starts = {_ends(strand)[0][1] for strand in _paths(weave, "part")}

    assert len({_ends(strand)[0][1] for strand in _paths(still, "part")}) == 1
    assert len(starts) > 1


def test_words_in_a_picture_are_escaped():
    assert "<b>" not in fabric_svg(ROWS[0].fabric, "<b>bold</b>")
