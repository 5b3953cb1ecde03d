"""Sheets of size runs: the forms by Accept, what stands on them, and what is refused."""

import re
from typing import Any

import pytest
from flask.testing import FlaskClient

PATH = "/v1/size-run-sheets"
ORDER: dict[str, Any] = {
    "title": "The harbour hat",
    "heads": [{"circumference_cm": head_cm} for head_cm in (48, 52, 56, 60)],
    "design": {
        "gauge": {"stitches_per_10cm": 18.5, "rounds_per_10cm": 11.5},
        "fabric": {"fabric_id": "cable-2x2"},
        "edging": "reverse_sc",
    },
}


def _markdown(client: FlaskClient, **rest: Any) -> str:
    return client.post(PATH, json={**ORDER, **rest}).text


@pytest.mark.parametrize(
    ("accept", "media_type"),
    [("*/*", "text/markdown"), ("text/html", "text/html"), ("application/pdf", "application/pdf")],
)
def test_accept_chooses_the_form(client: FlaskClient, accept: str, media_type: str) -> None:
    first = client.post(PATH, json=ORDER, headers={"Accept": accept})
    second = client.post(PATH, json=ORDER, headers={"Accept": accept})

    assert first.status_code == 200
    assert first.mimetype == media_type
    assert first.data == second.data
    assert "Accept" in first.headers["Vary"]


def test_a_form_that_is_not_made_is_refused(client: FlaskClient) -> None:
    answer = client.post(PATH, json=ORDER, headers={"Accept": "image/png"})

    assert answer.status_code == 406


def test_the_sheet_holds_the_text_that_was_proved(client: FlaskClient) -> None:
    order = {name: ORDER[name] for name in ("heads", "design")}
    run: Any = client.post("/v1/size-runs", json=order).json

    sheet = _markdown(client)

    for line in run["text"].splitlines():
        told = line.partition(": ")[2] if line.startswith("Rnd") else line
        assert told.replace("(", "").replace("\\", "") in sheet.replace("(", "").replace("\\", "")


def test_the_table_has_a_row_for_each_size(client: FlaskClient) -> None:
    lines = _markdown(client).splitlines()

    begin = lines.index("| Size | Head | Circumference | Brim | Depth | Yarn |")
    assert [line.split(" | ")[0] for line in lines[begin + 2 : begin + 6]] == ["| 1", "| 2", "| 3", "| 4"]


def test_the_page_shows_all_sizes_nested(client: FlaskClient) -> None:
    page = client.post(PATH, json=ORDER, headers={"Accept": "text/html"}).text

    assert "<svg" in page
    assert "4 sizes laid flat, one inside the other." in page


def test_a_title_is_text_and_nothing_else(client: FlaskClient) -> None:
    order = {**ORDER, "title": "<script>alert(1)</script>"}

    page = client.post(PATH, json=order, headers={"Accept": "text/html"}).text

    assert "<script" not in page


def test_a_sheet_without_a_title_is_named_after_its_fabric(client: FlaskClient) -> None:
    order = {name: ORDER[name] for name in ("heads", "design")}

    sheet = client.post(PATH, json=order).text

    assert sheet.startswith("# Cable 2 over 2 hat\n")


def test_every_figure_stands_in_both_systems(client: FlaskClient) -> None:
    yarn = {"weight_category": 4, "ball": {"mass_g": 100, "length_m": 170}}

    sheet = _markdown(client, design={**ORDER["design"], "yarn": yarn, "style": "cuffed"})

    one_system = re.compile(r"\d (cm|mm|m|g)\b(?! (\([^()]+ (in|yd|oz)\)|\(US |/ [^a-z]+ in))")
    assert [line for line in sheet.splitlines() if one_system.search(line)] == []
