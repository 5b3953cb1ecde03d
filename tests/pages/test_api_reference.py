"""The API reference page: assets of our own, and an example for every operation."""

import pytest

EXEMPT_FROM_BODIES = ("get",)


def test_the_page_starts_from_files_of_this_service(client):
    page = client.get("/docs").text

    for address in ("/docs/swagger-ui.css", "/docs/swagger-ui-bundle.js", "/static/reference.js"):
        assert address in page
        assert client.get(address).status_code == 200


def test_nobody_else_is_asked_to_judge_the_document(client):
    start = client.get("/static/reference.js").text

    assert "validatorUrl: null" in start
    assert "http" not in start


@pytest.mark.parametrize("name", ["oauth2-redirect.html", "..%2fLICENSE", "__init__.py", ""])
def test_no_other_file_of_the_library_is_served(client, name):
    assert client.get(f"/docs/{name}").status_code == 404


def test_every_operation_that_takes_a_body_has_an_example_that_is_answered(client):
    document = client.get("/openapi.json").json
    operations = [
        (path, entry["requestBody"]["content"]["application/json"])
        for path, methods in document["paths"].items()
        for method, entry in methods.items()
        if method not in EXEMPT_FROM_BODIES
    ]

    assert operations
    for path, content in operations:
        first = next(iter(content["examples"].values()))["value"]
        assert client.post(path, json=first).status_code == 200, path
