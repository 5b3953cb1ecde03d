"""schemathesis against every operation of the document, all checks on."""

from collections import Counter
from pathlib import Path

import pytest
import schemathesis
from flask.testing import FlaskClient
from hypothesis import HealthCheck, Phase, settings
from schemathesis.config import SchemathesisConfig

from service.api.operations import Operation
from service.application import create_app
from service.configuration import read_configuration
from tests.contract.documents import OPERATIONS, document, request_validator
from tests.contract.samples import Sampler

APP = create_app(read_configuration({}))
CONFIG = SchemathesisConfig.from_path(Path(__file__).with_name("schemathesis.toml"))
DOCUMENT = schemathesis.openapi.from_wsgi("/openapi.json", APP, config=CONFIG)

#: The same requests every time, so that a change is judged by what it changed.
#: Shrinking a failing request takes minutes; schemathesis prints the request itself.
NO_SHRINKING = (Phase.explicit, Phase.reuse, Phase.generate)

#: Of the requests that keep to the document, at least this part is answered with a result.
ANSWERED_AT_LEAST = 0.2

SAMPLE_COUNT = 150


@schemathesis.check
def keeping_to_the_document_is_never_invalid(
    ctx: schemathesis.CheckContext, response: schemathesis.Response, case: schemathesis.Case
) -> None:
    """A request that keeps to the document may be refused, but never as ``invalid-request``."""
    is_positive = case.meta is not None and case.meta.generation.mode.is_positive
    if is_positive and response.status_code == 422:
        assert response.json()["type"] != "/problems/invalid-request", response.text


@DOCUMENT.parametrize()
@settings(
    max_examples=100,
    deadline=None,
    suppress_health_check=list(HealthCheck),
    phases=NO_SHRINKING,
    derandomize=True,
)
def test_every_operation_keeps_its_word(case: schemathesis.Case) -> None:
    case.call_and_validate()


@pytest.mark.parametrize(
    "operation",
    [each for each in OPERATIONS if each.request is not None],
    ids=lambda each: each.operation_id,
)
def test_one_in_five_requests_that_keep_to_the_document_is_answered(
    client: FlaskClient, operation: Operation
) -> None:
    sampler = Sampler(seed=7)
    schema = document()["paths"][operation.path]["post"]["requestBody"]["content"]["application/json"]
    requests = [sampler.request(schema["schema"]) for _ in range(SAMPLE_COUNT)]
    validator = request_validator(operation)

    answers = [client.post(operation.path, json=request) for request in requests]

    assert all(validator.is_valid(request) for request in requests)
    kinds = Counter("answered" if each.status_code == 200 else (each.json or {})["type"] for each in answers)
    assert kinds["/problems/invalid-request"] == 0
    assert kinds["answered"] >= ANSWERED_AT_LEAST * SAMPLE_COUNT, kinds
