"""Which drawings stand on a sheet, and what is said where one cannot."""

import pytest

from service.domain.hat_orders import CrownWishes
from service.domain.hats import plan_hat
from service.drawings.crown_charts import draw_crown_chart
from service.drawings.pictures import Picture, Text, flat_marks
from service.notation.terms import UK, US
from service.sheets.paper import fits_paper, page_scale
from service.sheets.plan_drawings import crown_chart, schematic
from service.sheets.sheet import Drawing, Paragraph, Sheet, Table
from tests.orders import TABLES, hat_order
from tests.sheets.sheets import part_of, worked_sheet

SCATTERED = CrownWishes(is_scattered=True)


def _drawings(sheet: Sheet) -> list[str]:
    return [
        block.picture.title for part in sheet.parts for block in part.blocks if isinstance(block, Drawing)
    ]


def test_the_schematic_stands_below_the_measurements() -> None:
    table, drawing = part_of(worked_sheet(), "Finished measurements").blocks

    assert isinstance(table, Table)
    assert isinstance(drawing, Drawing)
    assert drawing.picture.title == "Schematic"


@pytest.mark.parametrize("worked", ["from_brim", "from_crown"])
def test_the_chart_stands_below_the_rounds_of_the_crown(worked: str) -> None:
    sheet = worked_sheet(fabric="cable-2x2", worked=worked, crown=CrownWishes(), has_edging=False)

    drawing = part_of(sheet, "Crown").blocks[-1]

    assert isinstance(drawing, Drawing)
    assert drawing.picture.description.startswith("One of ")
    assert _drawings(sheet) == ["Schematic", "Crown chart"]


def test_a_headband_has_no_chart_and_no_word_about_it() -> None:
    sheet = worked_sheet(fabric="cable-2x2", size={"style": "headband"}, brim=None, brim_gauge=None)

    assert _drawings(sheet) == ["Schematic"]


def test_the_key_of_the_chart_is_in_the_terms_of_the_sheet() -> None:
    plan = plan_hat(hat_order(fabric="plain-sc", brim=None), TABLES)

    american, british = (_words(crown_chart(plan, terms)) for terms in (US, UK))

    assert "sc: single crochet" in american
    assert "dc: double crochet" in british
    assert "sc: single crochet" not in british


def _words(block: Drawing | Paragraph) -> list[str]:
    assert isinstance(block, Drawing)
    return [mark.words for mark in flat_marks(block.picture.marks) if isinstance(mark, Text)]


def test_a_chart_larger_than_a_page_is_left_out_in_words() -> None:
    order = hat_order(
        fabric="plain-dc", brim=None, stitches_per_10cm=27, rounds_per_10cm=15, crown=SCATTERED, head_mm=600
    )

    told = crown_chart(plan_hat(order, TABLES), US)

    assert isinstance(told, Paragraph)
    assert told.text.startswith("There is no chart of this crown: in the smallest print that can be read")


@pytest.mark.parametrize(("fabric", "stitches", "ratio"), [("plain-sc", 30, 1.1), ("plain-hdc", 34, 0.75)])
def test_no_chart_of_more_symbols_would_fit_on_a_page(fabric: str, stitches: float, ratio: float) -> None:
    flat = CrownWishes(shape="flat", is_scattered=True)
    order = hat_order(
        fabric=fabric, brim=None, stitches_per_10cm=stitches, rounds_per_10cm=stitches * ratio, crown=flat
    )

    chart = draw_crown_chart(plan_hat(order, TABLES), extent="whole", title="Crown", terms=US)

    assert not fits_paper(chart)


def test_a_chart_of_too_many_symbols_is_left_out_in_words() -> None:
    order = hat_order(
        fabric="plain-sc", brim=None, stitches_per_10cm=50, rounds_per_10cm=52.5, crown=SCATTERED, head_mm=600
    )

    told = crown_chart(plan_hat(order, TABLES), US)

    assert isinstance(told, Paragraph)
    assert "symbols, more than a page can hold" in told.text


@pytest.mark.parametrize(
    ("width_mm", "height_mm", "scale", "fits"),
    [
        # By hand, in a room of 170 by 230: 170 / 340 is a half, 230 / 460 is a half, 170 / 200 is 0.85.
        (100, 100, 1.0, True),
        (340, 100, 0.5, False),
        (100, 460, 0.5, False),
        (200, 100, 0.85, True),
    ],
)
def test_a_drawing_is_made_smaller_to_fit_a_page_and_never_larger(
    width_mm: float, height_mm: float, scale: float, fits: bool
) -> None:
    picture = Picture(width_mm=width_mm, height_mm=height_mm, title="A", description="B", marks=())

    assert page_scale(picture) == pytest.approx(scale)
    assert fits_paper(picture) is fits


def test_every_schematic_can_be_read_on_paper() -> None:
    plans = (plan_hat(hat_order(head_mm=head_mm), TABLES) for head_mm in (300, 450, 640))

    assert all(fits_paper(schematic(plan).picture) for plan in plans)
