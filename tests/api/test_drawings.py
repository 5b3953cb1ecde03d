"""Drawings over the interface: kinds, forms by Accept, headers, the same bytes, refusals."""

from typing import Any
from xml.etree.ElementTree import fromstring

import pytest
from flask.testing import FlaskClient

from service.drawings.drawing import DRAWING_KINDS
from service.drawings.pictures import Picture
from service.drawings.png import LARGEST_SIDE_PIXELS, png_is_available, png_width

PATH = "/v1/drawings"
SVG = "image/svg+xml"
ORDER: dict[str, Any] = {
    "kind": "schematic",
    "head": {"circumference_cm": 56},
    "gauge": {"stitches_per_10cm": 18.5, "rounds_per_10cm": 11.5},
    "fabric": {"fabric_id": "cable-2x2"},
}
needs_png = pytest.mark.skipif(not png_is_available(), reason="resvg is not installed")


def _problem(client: FlaskClient, **wishes: Any) -> dict[str, Any]:
    response = client.post(PATH, json={**ORDER, **wishes})
    problem: dict[str, Any] = response.json or {}
    assert response.status_code == 422, response.text
    assert response.mimetype == "application/problem+json"
    return problem


@pytest.mark.parametrize("kind", DRAWING_KINDS)
def test_every_kind_is_drawn_as_svg_under_its_own_policy(client: FlaskClient, kind: str) -> None:
    response = client.post(PATH, json={**ORDER, "kind": kind})

    assert response.status_code == 200
    assert response.mimetype == SVG
    assert response.headers["Content-Security-Policy"] == "default-src 'none'"
    assert response.headers["X-Content-Type-Options"] == "nosniff"
    assert response.headers["Cache-Control"] == "no-store"
    assert fromstring(response.text).get("role") == "img"


@pytest.mark.parametrize("accept", [None, "", "*/*", "image/*", SVG, "text/html, */*;q=0.1"])
def test_svg_is_the_usual_form(client: FlaskClient, accept: str | None) -> None:
    response = client.post(PATH, json=ORDER, headers={} if accept is None else {"Accept": accept})

    assert response.mimetype == SVG
    assert response.headers["Vary"] == "Accept"


def test_a_picture_of_many_strokes_has_fewer_pixels() -> None:
    wide = Picture(width_mm=240, height_mm=120, title="A", description="B", marks=())

    widths = [png_width(wide, letter_count=count) for count in (0, 25_000, 150_000, 450_000, 900_000)]

    assert widths == [1200, 1200, 1000, 600, 600]


@needs_png
def test_png_is_as_large_as_it_says(client: FlaskClient) -> None:
    order = {**ORDER, "kind": "crown_chart"}

    response = client.post(PATH, json=order, headers={"Accept": "image/png"})

    assert response.mimetype == "image/png"
    assert response.data[:8] == b"\x89PNG\r\n\x1a\n"
    sides = [int.from_bytes(response.data[begin : begin + 4], "big") for begin in (16, 20)]
    assert max(sides) <= LARGEST_SIDE_PIXELS
    assert max(sides) >= 0.98 * LARGEST_SIDE_PIXELS


def test_png_is_not_offered_where_it_cannot_be_made(
    client: FlaskClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("service.api.drawing_forms.png_is_available", lambda: False)

    response = client.post(PATH, json=ORDER, headers={"Accept": "image/png"})

    problem = response.json or {}
    assert response.status_code == 406
    assert problem["available"] == [SVG]


@pytest.mark.parametrize("form", [SVG, pytest.param("image/png", marks=needs_png)])
def test_the_same_request_gives_the_same_bytes(client: FlaskClient, form: str) -> None:
    first, second = (client.post(PATH, json=ORDER, headers={"Accept": form}).data for _ in range(2))

    assert first == second


def test_a_title_is_told_and_escaped(client: FlaskClient) -> None:
    response = client.post(PATH, json={**ORDER, "title": "Hat <script>alert(1)</script> & Шапка"})

    assert "<script" not in response.text
    assert fromstring(response.text)[0].text == "Hat <script>alert(1)</script> & Шапка: schematic"


def test_without_a_title_the_kind_stands_alone(client: FlaskClient) -> None:
    response = client.post(PATH, json=ORDER)

    assert fromstring(response.text)[0].text == "Schematic"


def test_extent_widens_a_chart(client: FlaskClient) -> None:
    one, whole = (
        client.post(PATH, json={**ORDER, "kind": "crown_chart", "extent": extent}).text
        for extent in ("one_repeat", "whole")
    )

    assert len(whole) > 3 * len(one)


def test_the_work_grows_with_what_is_drawn(client: FlaskClient) -> None:
    one, whole = (
        int(client.post(PATH, json={**ORDER, "kind": "crown_chart", "extent": extent}).headers["Work-Units"])
        for extent in ("one_repeat", "whole")
    )

    assert whole > one + 10_000


def test_terms_choose_the_words_of_the_key(client: FlaskClient) -> None:
    response = client.post(PATH, json={**ORDER, "kind": "body_chart", "terms": "uk"})

    assert "FPtr: " in response.text
    assert "FPdc: " not in response.text


def test_a_chart_of_too_many_symbols_says_how_many(client: FlaskClient) -> None:
    fine = {"stitches_per_10cm": 40, "rounds_per_10cm": 42}

    problem = _problem(
        client, kind="body_chart", extent="whole", gauge=fine, fabric={"fabric_id": "plain-sc"}
    )

    assert problem["type"] == "/problems/drawing-too-large"
    assert problem["limit"] == 8000 < problem["symbol_count"]


@needs_png
def test_a_png_holds_fewer_symbols_than_an_svg(client: FlaskClient) -> None:
    dense = {**ORDER, "kind": "body_chart", "extent": "whole", "fabric": {"fabric_id": "plain-sc"}}
    dense["gauge"] = {"stitches_per_10cm": 26, "rounds_per_10cm": 28}

    painted, written = (
        client.post(PATH, json=dense, headers={"Accept": form}) for form in ("image/png", SVG)
    )

    problem = painted.json or {}
    assert written.status_code == 200
    assert painted.status_code == 422
    assert problem["type"] == "/problems/drawing-too-large"
    assert problem["limit"] == 2000 < problem["symbol_count"]


@pytest.mark.parametrize("kind", ["crown_chart", "shaping_curve"])
def test_a_headband_has_no_crown_to_draw(client: FlaskClient, kind: str) -> None:
    problem = _problem(client, kind=kind, style="headband")

    assert problem["type"] == "/problems/nothing-to-draw"
    assert problem["kinds"] == ["schematic", "body_chart", "hat_view"]


@pytest.mark.parametrize(
    "wishes", [{"kind": "portrait"}, {"kind": None}, {"extent": "half"}, {"title": ""}, {"title": "  "}]
)
def test_what_the_document_forbids_is_refused(client: FlaskClient, wishes: dict[str, Any]) -> None:
    assert _problem(client, **wishes)["type"] == "/problems/invalid-request"
