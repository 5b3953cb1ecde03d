"""SVG of every drawing: well formed, told in words, under a strict policy, the same bytes every time."""

import os
import re
import subprocess
import sys
from pathlib import Path
from xml.etree.ElementTree import Element, fromstring

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.drawings.drawing import DRAWING_KINDS, DrawingKind, DrawingOrder, draw
from service.drawings.inks import INKS, TEXT_INKS
from service.drawings.pictures import Group, Picture, Text, flat_marks
from service.drawings.svg import render_svg
from tests.drawings.hats import HATS, planned

SVG = "{http://www.w3.org/2000/svg}"
#: Presentation attributes and geometry: all that a drawing may use.
ALLOWED_ATTRIBUTES = {
    "viewBox", "role", "font-family", "font-size", "font-weight", "text-anchor", "transform",
    "fill", "stroke", "stroke-width", "stroke-dasharray", "stroke-linecap", "stroke-linejoin",
    "shape-rendering",
    "d", "x", "y", "x1", "y1", "x2", "y2", "cx", "cy", "r", "width", "height",
}  # fmt: skip
ALLOWED_ELEMENTS = {"svg", "title", "desc", "g", "rect", "path", "line", "circle", "text"}


def _svg(name: str, kind: DrawingKind) -> str:
    return render_svg(draw(planned(name), DrawingOrder(kind=kind, title="A & <b>hat</b>")))


def _picture(words: str) -> Picture:
    marks = (Group(words, (Text((1, 2), words, 3),)),)
    return Picture(width_mm=10, height_mm=10, title=words, description=words, marks=marks)


@pytest.mark.parametrize("kind", DRAWING_KINDS)
@pytest.mark.parametrize("name", sorted(HATS))
def test_every_drawing_is_well_formed_and_keeps_to_plain_svg(name: str, kind: DrawingKind) -> None:
    root = fromstring(_svg(name, kind))

    elements = list(root.iter())
    assert root.get("role") == "img"
    assert [child.tag for child in root][:2] == [f"{SVG}title", f"{SVG}desc"]
    assert all((child.text or "").strip() for child in root[:2])
    assert {element.tag.removeprefix(SVG) for element in elements} <= ALLOWED_ELEMENTS
    assert {name for element in elements for name in element.attrib} <= ALLOWED_ATTRIBUTES
    assert not any(
        "url(" in value or "://" in value for element in elements for value in element.attrib.values()
    )


@pytest.mark.parametrize("kind", DRAWING_KINDS)
def test_free_text_is_escaped_and_kept(kind: DrawingKind) -> None:
    root = fromstring(_svg("cable-2x2", kind))

    assert (root[0].text or "").startswith("A & <b>hat</b>: ")


@pytest.mark.parametrize("kind", DRAWING_KINDS)
def test_the_same_plan_gives_the_same_bytes(kind: DrawingKind) -> None:
    assert _svg("cable-and-twist", kind) == _svg("cable-and-twist", kind)


_SCRIPT = """
from hashlib import sha256
from service.drawings.drawing import DRAWING_KINDS, DrawingOrder, draw
from service.drawings.svg import render_svg
from tests.drawings.hats import planned
for kind in DRAWING_KINDS:
    order = DrawingOrder(kind=kind, extent="whole", title="A hat")
    print(kind, sha256(render_svg(draw(planned("cable-and-twist"), order)).encode()).hexdigest())
"""


def test_no_hash_seed_or_locale_changes_a_byte() -> None:
    drawn = [
        subprocess.run(
            [sys.executable, "-c", _SCRIPT],
            env={**os.environ, "PYTHONHASHSEED": seed, "LC_ALL": locale},
            cwd=Path(__file__).resolve().parents[2],
            capture_output=True,
            check=True,
        ).stdout
        for seed, locale in (("1", "C"), ("77", "C.UTF-8"))
    ]

    assert drawn[0] == drawn[1]
    assert len(drawn[0].splitlines()) == len(DRAWING_KINDS)


@pytest.mark.parametrize("kind", DRAWING_KINDS)
@pytest.mark.parametrize("name", ["preterm", "fine", "left", "cuffed", "down"])
def test_everything_lies_on_the_paper(name: str, kind: DrawingKind) -> None:
    picture = draw(planned(name), DrawingOrder(kind=kind))

    root = fromstring(render_svg(picture))

    _, _, width, height = map(float, (root.get("viewBox") or "").split())
    assert all(-1 <= x <= width + 1 and -1 <= y <= height + 1 for x, y in _corners(root, 0.0, 0.0))


def _corners(element: Element, right: float, down: float) -> list[tuple[float, float]]:
    a, b, c, d = 1.0, 0.0, 0.0, 1.0
    shift = re.fullmatch(r"translate\((\S+) (\S+)\)", element.get("transform", ""))
    turn = re.fullmatch(r"matrix\((.*)\)", element.get("transform", ""))
    if shift:
        right, down = right + float(shift[1]), down + float(shift[2])
    if turn:
        a, b, c, d, e, f = map(float, turn[1].split())
        right, down = right + e, down + f
    found = [
        (a * float(x) + c * float(y) + right, b * float(x) + d * float(y) + down)
        for x, y in re.findall(r"(-?[\d.]+),(-?[\d.]+)", element.get("d", ""))
    ]
    if element.tag == f"{SVG}text":
        found.append((float(element.get("x", 0)) + right, float(element.get("y", 0)) + down))
    for child in element:
        found += _corners(child, right, down)
    return found


@given(words=st.text(st.characters(exclude_categories=["Cs"]), max_size=40))
def test_any_text_makes_a_readable_document(words: str) -> None:
    document = render_svg(_picture(words))

    found = fromstring(document)[0].text or ""
    assert len(found.replace("\r\n", "\n")) <= len(words)


def test_characters_that_xml_cannot_hold_are_replaced() -> None:
    root = fromstring(render_svg(_picture("a\uffffb\x0bc")))

    assert root[0].text == "a\N{REPLACEMENT CHARACTER}b\N{REPLACEMENT CHARACTER}c"


def test_figures_never_read_as_minus_nothing() -> None:
    picture = Picture(
        width_mm=10, height_mm=10, title="A", description="B", marks=(Text((-0.001, 0.0), "x", 3),)
    )

    assert 'x="0"' in render_svg(picture)


def test_every_role_has_an_ink() -> None:
    used = {
        mark.role
        for name in HATS
        for kind in DRAWING_KINDS
        for mark in flat_marks(draw(planned(name), DrawingOrder(kind=kind)).marks)
    }

    assert used <= set(INKS) | set(TEXT_INKS)
    assert not set(INKS) & set(TEXT_INKS)
