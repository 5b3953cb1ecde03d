"""Words keep apart from one another on every drawing."""

from itertools import combinations, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.drawings.drawing import DRAWING_KINDS, DrawingKind, DrawingOrder, draw
from service.drawings.lettering import framed, spread, text_width_mm, wrapped
from service.drawings.pictures import Picture, Text, flat_marks
from tests.drawings.hats import HATS, headband, planned

#: Reckoned widths are on the wide side; letters that just touch in the reckoning do not on paper.
TOLERANCE_MM = 0.6


def _box(text: Text) -> tuple[float, float, float, float]:
    width, (x, y) = text_width_mm(text.words, text.size_mm), text.at
    before = {"start": 0.0, "middle": width / 2, "end": width}[text.anchor]
    if text.turned:
        return (x - 0.75 * text.size_mm, y - width + before, x + 0.2 * text.size_mm, y + before)
    return (x - before, y - 0.75 * text.size_mm, x - before + width, y + 0.2 * text.size_mm)


def _overlap(one: Text, other: Text) -> bool:
    (a, b, c, d), (e, f, g, h) = _box(one), _box(other)
    return min(c, g) - max(a, e) > TOLERANCE_MM and min(d, h) - max(b, f) > TOLERANCE_MM


def _collisions(picture: Picture) -> list[tuple[str, str]]:
    texts = [mark for mark in flat_marks(picture.marks) if isinstance(mark, Text)]
    return [(one.words, other.words) for one, other in combinations(texts, 2) if _overlap(one, other)]


@pytest.mark.parametrize("kind", DRAWING_KINDS)
@pytest.mark.parametrize("name", sorted(HATS))
def test_labels_do_not_collide(name: str, kind: DrawingKind) -> None:
    title = "A hat with a long name, for a harbour pilot who likes to read the whole of it on one sheet"

    picture = draw(planned(name), DrawingOrder(kind=kind, title=title))

    assert _collisions(picture) == []


@pytest.mark.parametrize("name", sorted(set(HATS) - {"fine"}))
def test_labels_of_whole_crowns_do_not_collide(name: str) -> None:
    picture = draw(planned(name), DrawingOrder(kind="crown_chart", extent="whole"))

    assert _collisions(picture) == []


@pytest.mark.parametrize("kind", ["schematic", "body_chart", "hat_view"])
def test_labels_of_a_headband_do_not_collide(kind: DrawingKind) -> None:
    assert _collisions(draw(headband(), DrawingOrder(kind=kind))) == []


@given(wishes=st.lists(st.floats(0, 100), max_size=12).map(sorted), apart=st.floats(0.5, 9))
def test_spread_places_keep_their_order_and_distance(wishes: list[float], apart: float) -> None:
    places = spread(wishes, apart_mm=apart)

    assert len(places) == len(wishes)
    assert all(after - before >= apart - 1e-6 for before, after in pairwise(places))


@given(wishes=st.lists(st.integers(0, 100), max_size=8, unique=True).map(sorted))
def test_places_far_enough_apart_stay_where_they_are(wishes: list[int]) -> None:
    assert spread(wishes, apart_mm=0.9) == tuple(wishes)


@given(words=st.text(max_size=120), width=st.floats(20, 200))
def test_wrapped_lines_fit_and_lose_no_letter(words: str, width: float) -> None:
    lines = wrapped(words, width_mm=width, size_mm=3)

    assert all(text_width_mm(line, 3) <= width for line in lines)
    assert "".join("".join(lines).split()) == "".join(words.split())


def test_a_title_of_the_widest_letters_stays_on_the_page() -> None:
    picture = framed(title="W" * 120, description="B", marks=(), width_mm=180, height_mm=10)

    lines = [mark for mark in flat_marks(picture.marks) if isinstance(mark, Text)]
    # A bold W is at most 1.12 of its size wide in the usual faces.
    assert max(len(line.words) * 1.12 * line.size_mm for line in lines) <= 180
