"""Sheets over the interface: forms by Accept, headers, the same bytes, refusals."""

import re
from typing import Any

import pytest
from flask.testing import FlaskClient

PATH = "/v1/pattern-sheets"
FORMS = ["text/markdown", "text/html", "application/pdf"]
ORDER: dict[str, Any] = {
    "title": "The harbour hat",
    "head": {"circumference_cm": 56},
    "gauge": {"stitches_per_10cm": 18.5, "rounds_per_10cm": 11.5},
    "fabric": {"fabric_id": "cable-2x2"},
}


@pytest.mark.parametrize(
    ("accept", "media_type"),
    [
        (None, "text/markdown"),
        ("", "text/markdown"),
        ("*/*", "text/markdown"),
        ("text/*", "text/markdown"),
        ("text/html", "text/html"),
        ("TEXT/HTML;charset=utf-8", "text/html"),
        ("text/html, application/xhtml+xml, application/xml;q=0.9, */*;q=0.8", "text/html"),
        ("text/*;q=0.5, application/pdf", "application/pdf"),
        ("text/markdown;q=0, */*", "text/html"),
        ("application/pdf;q=0.2, text/html;q=0.1", "application/pdf"),
        ("image/png, application/*;q=0.1", "application/pdf"),
    ],
)
def test_accept_chooses_the_form(client: FlaskClient, accept: str | None, media_type: str) -> None:
    headers = {} if accept is None else {"Accept": accept}

    response = client.post(PATH, json=ORDER, headers=headers)

    assert response.status_code == 200
    assert response.mimetype == media_type
    assert response.headers["Vary"] == "Accept"


@pytest.mark.parametrize("accept", ["image/png", "text/plain", "*/*;q=0", "text/html;q=0", "nonsense"])
def test_a_form_that_is_not_made_is_refused_with_those_that_are(client: FlaskClient, accept: str) -> None:
    response = client.post(PATH, json=ORDER, headers={"Accept": accept})

    problem = response.json or {}
    assert response.status_code == 406
    assert problem["type"] == "/problems/not-acceptable"
    assert problem["available"] == FORMS
    assert response.headers["Vary"] == "Accept"


@pytest.mark.parametrize("form", FORMS)
def test_the_same_request_gives_the_same_bytes(client: FlaskClient, form: str) -> None:
    first, second = (client.post(PATH, json=ORDER, headers={"Accept": form}) for _ in range(2))

    assert first.data == second.data
    assert first.headers["Cache-Control"] == "no-store"


def test_a_page_may_use_its_own_style_and_nothing_else(client: FlaskClient) -> None:
    response = client.post(PATH, json=ORDER, headers={"Accept": "text/html"})

    policy = response.headers["Content-Security-Policy"]
    assert policy.startswith("default-src 'none'; style-src 'sha256-")
    assert "unsafe" not in policy


def test_the_title_is_free_text_and_stays_text(client: FlaskClient) -> None:
    order = {**ORDER, "title": "<b>Шапка</b> & *more*"}

    page = client.post(PATH, json=order, headers={"Accept": "text/html"}).text
    source = client.post(PATH, json=order).text

    assert "&lt;b&gt;Шапка&lt;/b&gt; &amp; *more*</h1>" in page
    assert source.startswith("# &lt;b&gt;Шапка&lt;/b&gt; &amp; \\*more\\*\n")


def test_without_a_title_the_sheet_is_named_after_its_fabric(client: FlaskClient) -> None:
    order = {key: value for key, value in ORDER.items() if key != "title"}

    assert client.post(PATH, json=order).text.startswith("# Cable 2 over 2 hat\n")


def test_the_sheet_says_what_the_plan_says(client: FlaskClient) -> None:
    plan_order = {key: value for key, value in ORDER.items() if key != "title"}
    plan = client.post("/v1/hat-plans", json=plan_order).json or {}

    sheet = client.post(PATH, json=ORDER).text

    assert plan["foundation"]["text"] in sheet
    last = plan["rounds"][-1]["text"].partition(": ")
    assert f"**{last[0]}:** {last[2]}" in sheet
    assert all(line in sheet for line in plan["finishing"])


@pytest.mark.parametrize(("style", "drawings"), [("beanie", 2), ("headband", 1)])
def test_a_page_draws_the_hat_and_its_crown(client: FlaskClient, style: str, drawings: int) -> None:
    page = client.post(PATH, json={**ORDER, "style": style}, headers={"Accept": "text/html"}).text

    assert page.count("<svg ") == drawings
    assert " style=" not in page
    assert " id=" not in page


def test_the_sheet_shows_the_schematic_that_is_drawn_alone(client: FlaskClient) -> None:
    plan_order = {key: value for key, value in ORDER.items() if key != "title"}
    drawing = client.post("/v1/drawings", json={**plan_order, "kind": "schematic"}).text

    page = client.post(PATH, json=ORDER, headers={"Accept": "text/html"}).text

    assert drawing.partition("<title>")[2].rstrip() in page


UNSEEN = [
    " ",
    "\u00a0 ",
    "\u200b",
    "\u200d\u2060",
    "\ufeff",
    "\u00ad",
    "\u3164",
    "\u2800",
    "\ufe0f",
]


@pytest.mark.parametrize("title", ["", "a" * 121, "two\nlines", "\u202eturned", 5, None, *UNSEEN])
def test_a_title_that_breaks_the_document_is_pointed_at(client: FlaskClient, title: object) -> None:
    response = client.post(PATH, json={**ORDER, "title": title})

    problem = response.json or {}
    assert response.status_code == 422
    assert [fault["pointer"] for fault in problem["errors"]] == ["/title"]


def test_a_title_of_unseen_tags_is_no_title(client: FlaskClient) -> None:
    assert client.post(PATH, json={**ORDER, "title": "\U000e0041\U000e0042"}).text.startswith("# Cable 2")


@pytest.mark.parametrize("title", ["\u200ba", "🧶\ufe0f", "e\u0301", "می\u200cخواهم", "。"])
def test_a_title_of_which_something_is_seen_is_taken(client: FlaskClient, title: str) -> None:
    page = client.post(PATH, json={**ORDER, "title": title}, headers={"Accept": "text/html"})

    assert page.status_code == 200
    assert f"<title>{title}</title>" in page.text


@pytest.mark.parametrize("path", [PATH, "/v1/drawings", "/v1/size-run-sheets"])
def test_the_document_refuses_the_same_titles(client: FlaskClient, path: str) -> None:
    document: Any = client.get("/openapi.json").json
    body = document["paths"][path]["post"]["requestBody"]["content"]["application/json"]["schema"]
    schema = document["components"]["schemas"][body["$ref"].rpartition("/")[2]]
    pattern = re.compile(schema["properties"]["title"]["pattern"])

    assert not any(pattern.search(title) for title in UNSEEN)
    assert all(pattern.search(title) for title in ("a", " a ", "帽子", "🧶\ufe0f"))


def test_a_hat_that_cannot_be_made_has_no_sheet(client: FlaskClient) -> None:
    response = client.post(PATH, json={**ORDER, "depth_cm": 4}, headers={"Accept": "application/pdf"})

    assert response.status_code == 422
    assert response.content_type == "application/problem+json"
    assert (response.json or {})["type"] == "/problems/brim-too-tall"
