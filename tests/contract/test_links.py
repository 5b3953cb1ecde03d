"""The links of the document lead somewhere: the request that each gives is answered."""

from typing import Any

import pytest
from flask.testing import FlaskClient
from hypothesis import HealthCheck, Phase, settings

from service.api.document import examples_of
from service.api.links import LINKS, Link
from tests.contract.documents import OPERATIONS, request_validator
from tests.contract.test_generated_requests import DOCUMENT

BY_ID = {operation.operation_id: operation for operation in OPERATIONS}
CASES = [
    pytest.param(operation_id, link, id=f"{operation_id}.{name}")
    for operation_id, links in LINKS.items()
    for name, link in links.items()
]


def _resolved(value: Any, *, request: Any, response: Any) -> Any:
    """Return a link's request with its expressions put in."""
    if isinstance(value, dict):
        return {key: _resolved(inner, request=request, response=response) for key, inner in value.items()}
    if not isinstance(value, str) or not value.startswith("$"):
        return value
    source, _, pointer = value.partition("#")
    found = {"$request.body": request, "$response.body": response}[source]
    for key in pointer.split("/")[1:]:
        found = found[int(key)] if isinstance(found, list) else found[key]
    return found


@pytest.mark.parametrize(("operation_id", "link"), CASES)
def test_a_link_joins_operations_of_the_document(operation_id: str, link: Link) -> None:
    assert operation_id in BY_ID
    assert link.operation_id in BY_ID


@pytest.mark.parametrize(("operation_id", "link"), CASES)
def test_a_link_followed_from_an_example_is_answered(
    client: FlaskClient, operation_id: str, link: Link
) -> None:
    operation, target = BY_ID[operation_id], BY_ID[link.operation_id]
    requests = [example["request"] for example in examples_of(operation.noun).values()] or [None]
    followed = []

    for request in requests:
        first = client.open(operation.path, method=operation.method.upper(), json=request)
        try:
            body = _resolved(link.request, request=request, response=first.json)
        except (KeyError, TypeError):
            continue
        request_validator(target).validate(body)
        followed.append(client.post(target.path, json=body).status_code)

    assert followed
    assert set(followed) == {200}


#: The operations one after the other, as their links join them.
Sequences = DOCUMENT.as_state_machine()
TestSequences = Sequences.TestCase
TestSequences.settings = settings(
    max_examples=15,
    stateful_step_count=4,
    deadline=None,
    suppress_health_check=list(HealthCheck),
    phases=(Phase.explicit, Phase.reuse, Phase.generate),
)
