"""The committed document is what the code makes, is valid, and says what the service does."""

import json
from typing import Any

import pytest
import yaml
from flask.testing import FlaskClient
from openapi_spec_validator import validate

from service.api.document import document_folder, examples_of
from service.api.operations import Operation
from service.api.problems import PROBLEM_TYPES
from service.application import HatService
from tests.contract.documents import OPERATIONS, answer_validator, document, request_validator

CASES = [
    pytest.param(operation, example, id=f"{operation.noun}.{case}")
    for operation in OPERATIONS
    for case, example in examples_of(operation.noun).items()
]


def _walk(value: Any, path: str = "") -> Any:
    if isinstance(value, dict):
        yield path, value
        for key, inner in value.items():
            yield from _walk(inner, f"{path}/{key}")
    elif isinstance(value, list):
        for position, inner in enumerate(value):
            yield from _walk(inner, f"{path}/{position}")


def test_the_committed_document_is_the_one_the_code_makes() -> None:
    committed = yaml.safe_load((document_folder() / "openapi.yaml").read_text(encoding="utf-8"))

    assert committed == document(), "run `make openapi` and commit the change"


def test_the_document_is_valid_openapi() -> None:
    validate(document())


def test_every_request_field_has_a_description() -> None:
    bare = [
        path
        for path, node in _walk(document()["components"]["schemas"])
        if path.count("/") == 3 and "/properties/" in path and "description" not in node
    ]

    assert bare == []


def test_every_number_in_a_request_is_bounded() -> None:
    # A participant's values are bounded kit by kit, so that one of them cannot refuse a class.
    requests = [
        node
        for path, node in _walk(document()["components"]["schemas"])
        if node.get("additionalProperties") is False and not path.startswith("/Participant")
    ]

    unbounded = [
        (name, member)
        for node in requests
        for name, member in node["properties"].items()
        if member.get("type") in ("integer", "number")
        and not ("enum" in member or {"minimum", "maximum"} <= set(member))
    ]
    assert requests
    assert unbounded == []


def test_operation_ids_are_unique() -> None:
    names = [operation.operation_id for operation in OPERATIONS]

    assert len(set(names)) == len(names)


@pytest.mark.parametrize("operation", OPERATIONS, ids=lambda operation: operation.operation_id)
def test_every_operation_has_an_example(operation: Operation) -> None:
    assert operation.method == "get" or examples_of(operation.noun)


@pytest.mark.parametrize(("operation", "example"), CASES)
def test_the_examples_keep_to_the_document_and_are_answered(
    client: FlaskClient, operation: Operation, example: dict[str, Any]
) -> None:
    request_validator(operation).validate(example["request"])

    response = client.post(operation.path, json=example["request"])

    assert response.status_code == 200, response.text
    if response.mimetype == "application/json":
        answer_validator(operation, 200, "application/json").validate(response.json)


@pytest.mark.parametrize(
    "operation", [each for each in OPERATIONS if each.method == "get"], ids=lambda each: each.operation_id
)
def test_tables_keep_to_their_schema(client: FlaskClient, operation: Operation) -> None:
    response = client.get(operation.path)

    answer_validator(operation, 200, "application/json").validate(response.json)


def test_every_problem_type_has_a_page(client: FlaskClient) -> None:
    pages = {slug: client.get(f"/problems/{slug}") for slug in PROBLEM_TYPES}

    assert all(page.status_code == 200 for page in pages.values())
    assert all("Remedy" in page.text for page in pages.values())


def test_no_page_stands_for_a_problem_that_is_not_there() -> None:
    written = {path.stem for path in (document_folder() / "problems").glob("*.md")}

    assert written == set(PROBLEM_TYPES)


def test_the_service_serves_the_document_in_both_forms(client: FlaskClient, app: HatService) -> None:
    as_json = client.get("/openapi.json")
    as_yaml = client.get("/openapi.yaml")

    assert as_json.json == document()
    assert yaml.safe_load(as_yaml.text) == json.loads(as_json.text)
