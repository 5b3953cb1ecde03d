"""Refusals of callers keep to the document, which has them whatever the settings."""

import pytest
from flask.testing import FlaskClient

from service.api.operations import Operation
from service.application import create_app
from service.configuration import read_configuration
from tests.contract.documents import OPERATIONS, answer_validator, document

BY_ID = pytest.mark.parametrize("operation", OPERATIONS, ids=lambda operation: operation.operation_id)


@pytest.fixture(scope="module")
def guarded() -> FlaskClient:
    return create_app(read_configuration({"API_KEY_HASHES": f"sha256:{'0' * 64}"})).test_client()


@pytest.fixture(scope="module")
def limited() -> FlaskClient:
    return create_app(read_configuration({"RATE_LIMIT": "1/day"})).test_client()


def test_a_key_may_be_sent_and_none_need_be() -> None:
    scheme = document()["components"]["securitySchemes"]["ApiKey"]

    assert document()["security"] == [{}, {"ApiKey": []}]
    assert (scheme["type"], scheme["in"], scheme["name"]) == ("apiKey", "header", "X-API-Key")


@BY_ID
def test_a_caller_without_a_key_hears_so_as_documented(operation: Operation, guarded: FlaskClient) -> None:
    answer = guarded.open(operation.path, method=operation.method.upper())

    assert answer.status_code == 401
    answer_validator(operation, 401, "application/problem+json").validate(answer.json)
    assert set(_headers_of(operation, 401)) <= set(answer.headers.keys())


@BY_ID
def test_a_caller_beyond_the_limit_hears_so_as_documented(operation: Operation, limited: FlaskClient) -> None:
    limited.get("/v1/fabrics")

    answer = limited.open(operation.path, method=operation.method.upper())

    assert answer.status_code == 429
    answer_validator(operation, 429, "application/problem+json").validate(answer.json)
    assert set(_headers_of(operation, 429)) <= set(answer.headers.keys())


def _headers_of(operation: Operation, status: int) -> dict[str, object]:
    entry = document()["paths"][operation.path][operation.method]["responses"][str(status)]
    headers: dict[str, object] = entry["headers"]
    assert len(headers) == 3
    return headers
