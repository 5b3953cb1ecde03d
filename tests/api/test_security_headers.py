"""What browsers are told of every answer, so that none of them can be put to another use."""

import pytest

from service.api.routes import RESOURCES

PAGES = ("/", "/?head_cm=57", "/docs", "/problems/", "/problems/not-found")
OTHERS = (
    "/health/live",
    "/metrics",
    "/openapi.json",
    "/v1/fabrics",
    "/nothing",
    "/static/leaflet.css",
    "/v1/gauges",
)
#: Sources that a policy must not allow: they would let injected text act.
LOOSE = ("'unsafe-inline'", "'unsafe-eval'", " * ", " http:", " https:")


@pytest.mark.parametrize("path", [*PAGES, *OTHERS])
def test_every_answer_protects_the_browser_that_gets_it(client, path):
    headers = client.get(path).headers

    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "no-referrer"
    assert headers["Cross-Origin-Opener-Policy"] == "same-origin"
    assert headers["Cross-Origin-Resource-Policy"] == "same-origin"
    assert "camera=()" in headers["Permissions-Policy"]
    assert headers["Content-Security-Policy"].startswith("default-src 'none'")
    assert "frame-ancestors 'none'" in headers["Content-Security-Policy"]


@pytest.mark.parametrize("path", [*PAGES, *OTHERS])
def test_no_header_stands_twice(client, path):
    names = [name.lower() for name, _ in client.get(path).headers]

    assert sorted(names) == sorted(set(names))


@pytest.mark.parametrize("path", PAGES)
def test_no_page_lets_injected_text_act(client, path):
    policy = client.get(path).headers["Content-Security-Policy"]

    assert [source for source in LOOSE if source in f"{policy} "] == []


@pytest.mark.parametrize("path", [*PAGES, *OTHERS])
def test_no_answer_sets_a_cookie_or_names_what_it_is_built_with(client, path):
    headers = client.get(path).headers

    assert not {"Set-Cookie", "X-Powered-By", "Via"} & set(headers.keys())
    assert "Server" not in headers


def test_a_refused_calculation_is_protected_like_any_other_answer(client):
    answer = client.post("/v1/hat-plans", data="<script>", content_type="text/html")

    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert answer.mimetype == "application/problem+json"
    assert "script" not in answer.text


def test_only_tables_and_static_files_may_be_kept(client):
    tables = [each.path for resource in RESOURCES for each in resource.operations if each.method == "get"]

    assert all("max-age" in client.get(path).headers["Cache-Control"] for path in tables)
    assert {client.get(path).headers["Cache-Control"] for path in PAGES} == {"no-store"}


def test_nobody_is_sent_to_a_host_that_a_request_named(client):
    answer = client.get("/problems?a=1", headers={"Host": "evil.example"})

    assert answer.status_code == 308
    assert answer.headers["Location"] == "/problems/?a=1"
    assert "evil" not in answer.text


def test_an_answer_without_content_names_no_type_of_it(client):
    answer = client.options("/v1/gauges")

    assert (answer.status_code, answer.data) == (204, b"")
    assert "Content-Type" not in answer.headers


def test_a_wish_for_another_protocol_is_ignored(client):
    answer = client.get("/v1/fabrics", headers={"Connection": "Upgrade", "Upgrade": "websocket"})

    assert answer.status_code == 200
