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


STRIPED: dict[str, Any] = {
    "gauge": {"stitches_per_10cm": 18.5, "rounds_per_10cm": 11.5},
    "fabric": {"fabric_id": "plain-hdc"},
    "yarn": {"weight_category": 4, "ball": {"mass_g": 100, "length_m": 180}},
    "colouring": {
        "stripes": [{"colours": ["rust"], "round_count": 3}, {"colours": ["cream | ecru"], "round_count": 1}],
        "colour_yarns": [{"colour": "cream | ecru", "yarn": {"ball": {"mass_g": 25, "length_m": 45}}}],
    },
}


def test_the_sheet_says_the_yarn_the_balls_and_the_rounds_of_each_colour(client: FlaskClient) -> None:
    run: Any = client.post("/v1/size-runs", json={"heads": ORDER["heads"], "design": STRIPED}).json

    lines = _markdown(client, design=STRIPED).splitlines()

    begin = lines.index("| Size | Colour | Yarn | Balls | Rounds |")
    rows = [line.strip("| ").split(" | ") for line in lines[begin + 2 : begin + 10]]
    assert [row[0] for row in rows] == ["1", "1", "2", "2", "3", "3", "4", "4"]
    assert [row[1] for row in rows[:2]] == ["rust", r"cream \| ecru"]
    for row, size in zip(rows[1::2], run["sizes"], strict=True):
        cream = size["yarn"]["colours"][1]
        assert row[2].startswith("about ")
        assert row[3].startswith(f"{cream['buy']['ball_count']} ball")
        assert row[3].endswith("of 25 g (0.88 oz), 45 m (49 yd)")
        assert row[4] == ", ".join(map(str, cream["worked_rounds"]))
    assert sum("3 rounds in rust" in line for line in lines) == 1


def test_a_sheet_of_one_colour_has_no_table_of_colours(client: FlaskClient) -> None:
    assert "Colour" not in _markdown(client)
