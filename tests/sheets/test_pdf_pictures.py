"""Drawings in a PDF: vectors in their own millimetres, words as words, told to who cannot see them."""

import re
import zlib

import pytest

from service.drawings.pictures import Circle, Group, Line, Path, Picture, Text
from service.sheets.pdf_sheets import sheet_pdf
from service.sheets.sheet import Block, Drawing, Items, Part, Sheet

LINE = Line((0, 0), (10, 5), "outline")


def _picture(*marks: Line | Path | Circle | Text | Group, height_mm: float = 40) -> Picture:
    return Picture(width_mm=80, height_mm=height_mm, title="A (plain) hat", description="Дно.", marks=marks)


def _document(*blocks: Block) -> bytes:
    return sheet_pdf(Sheet("en", "t", "s", (Part("h", blocks),)))


def _drawn(document: bytes) -> str:
    """Return what is drawn in the figures, page by page."""
    streams = re.findall(rb"/FlateDecode.*?stream\n(.*?)\nendstream", document, re.DOTALL)
    figures = (
        re.search(rb"/Figure <<.*?BDC\n(.*?)EMC", zlib.decompress(part), re.DOTALL) for part in streams
    )
    return "\n".join(found[1].decode("latin-1") for found in figures if found)


def test_a_drawing_is_a_figure_with_its_words_and_its_box() -> None:
    document = _document(Drawing(_picture(LINE)))

    assert document.count(b"/S /Figure") == 1
    assert f"/Alt <feff{'A (plain) hat. Дно.'.encode('utf-16-be').hex()}>".encode() in document
    box = re.search(rb"/BBox \[([\d. ]+)\]", document)
    assert box is not None
    left, bottom, right, top = map(float, box[1].split())
    # By hand: 80 mm are 226.77 points and 40 mm are 113.39; the middle of A4 is at 297.64.
    assert (right - left, top - bottom) == pytest.approx((226.77, 113.39), abs=0.02)
    assert (left + right) / 2 == pytest.approx(297.64, abs=0.02)


def test_shapes_keep_their_millimetres_and_their_ink() -> None:
    triangle = Path((("M", ((1, 1), (2, 1), (2, 3))), ("Z", ())), "part")
    curve = Path((("M", ((0, 0),)), ("C", ((1, 0), (2, 1), (2, 2)))), "fold")

    drawn = _drawn(_document(Drawing(_picture(LINE, triangle, curve))))

    # By hand: a millimetre is 72 / 25.4 = 2.834646 points, and the picture runs down the page.
    assert "q 2.834646 0 0 -2.834646 " in drawn
    assert "0.000 G 0.5 w [] 0 d\n0.00 0.00 m 10.00 5.00 l S" in drawn
    assert "0.235 G 0.25 w [] 0 d 1.000 g\n1.00 1.00 m 2.00 1.00 l 2.00 3.00 l  h B" in drawn
    assert "[2.5 1.2] 0 d\n0.00 0.00 m 1.00 0.00 2.00 1.00 2.00 2.00 c S" in drawn


def test_a_circle_goes_through_its_four_ends() -> None:
    drawn = _drawn(_document(Drawing(_picture(Circle((10, 10), 2, "worked_point")))))

    ends = re.findall(r"([\d.]+ [\d.]+) c\b", drawn)
    assert ends == ["10.00 12.00", "8.00 10.00", "10.00 8.00", "12.00 10.00"]


def test_a_group_is_drawn_where_its_origin_is() -> None:
    drawn = _drawn(_document(Drawing(_picture(Group("moved", (LINE,), (3, 4))))))

    assert "3.00 4.00 m 13.00 9.00 l S" in drawn


def test_words_are_text_and_keep_their_place() -> None:
    words = [Text((40, 20), "aaaa", 4.0, anchor) for anchor in ("start", "middle", "end")]

    drawn = _drawn(_document(Drawing(_picture(*words))))

    start, middle, end = (float(x) for x in re.findall(r"BT ([\d.]+) [\d.]+ Td", drawn))
    # By hand: the middle of the picture is the middle of A4, at 297.64 points.
    assert start == pytest.approx(297.64, abs=0.02)
    assert start - middle == pytest.approx(middle - end, abs=0.02)
    assert start > middle > end


def test_turned_words_read_upward() -> None:
    drawn = _drawn(_document(Drawing(_picture(Text((5, 20), "depth", 3.4, "middle", turned=True)))))

    turn = re.search(r"([-\d.]+) ([-\d.]+) ([-\d.]+) ([-\d.]+) [-\d.]+ [-\d.]+ cm", drawn)
    assert turn is not None
    assert [float(each) for each in turn.groups()] == pytest.approx([0, 1, -1, 0], abs=1e-3)


def test_a_drawing_that_does_not_fit_goes_to_the_next_page() -> None:
    before = Items(("x",) * 30)

    document = _document(before, Drawing(_picture(LINE, height_mm=200)))

    assert document.count(b"/Type /Page\n") == 2
    assert "q 2.834646 " in _drawn(document)


def test_a_drawing_that_nearly_fits_is_made_a_little_smaller() -> None:
    document = _document(Items(("x",) * 3), Drawing(_picture(LINE, height_mm=220)))

    assert document.count(b"/Type /Page\n") == 1
    unit = re.match(r"q ([\d.]+) ", _drawn(document))
    assert unit is not None
    assert 0.8 <= float(unit[1]) / 2.834646 < 1
