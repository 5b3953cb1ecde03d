"""All sizes laid flat inside each other: an outline for each, on one edge and in one proportion."""

from service.domain.hats import HatPlan
from service.domain.heads import measured_head
from service.domain.size_runs import SizeRunOrder, plan_size_run
from service.drawings.pictures import Path, Text, flat_marks
from service.drawings.size_schematic import draw_size_schematic
from service.drawings.svg import render_svg
from tests.orders import TABLES, hat_order


def _plans(**rest: object) -> tuple[HatPlan, ...]:
    heads = tuple(measured_head(head_mm, tables=TABLES) for head_mm in (480, 540, 600))
    return plan_size_run(SizeRunOrder(heads=heads, design=hat_order(**rest)), TABLES).plans  # type: ignore[arg-type]


def test_each_size_has_an_outline_and_a_line_of_measures() -> None:
    picture = draw_size_schematic(_plans(), title="Sizes")

    marks = list(flat_marks(picture.marks))
    assert sum(isinstance(mark, Path) and mark.role == "outline" for mark in marks) == 3
    words = [mark.words for mark in marks if isinstance(mark, Text)]
    assert sum(text.startswith("Size ") for text in words) == 3


def test_the_picture_says_in_words_what_it_shows() -> None:
    picture = draw_size_schematic(_plans(), title="Sizes")

    assert picture.description.startswith("3 sizes laid flat, one inside the other. Size 1: ")
    assert picture.description in render_svg(picture)


def test_a_headband_is_drawn_open_at_the_top() -> None:
    picture = draw_size_schematic(_plans(size={"style": "headband"}, brim=None), title="Sizes")

    assert picture.height_mm > 0
