"""schemathesis against every operation of the document, all checks on."""

from pathlib import Path
from typing import Any

import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from schemathesis.config import SchemathesisConfig

from service.application import create_app
from service.configuration import read_configuration
from tests.contract.documents import OPERATIONS

APP = create_app(read_configuration({}))
CONFIG = SchemathesisConfig.from_path(Path(__file__).with_name("schemathesis.toml"))
DOCUMENT = schemathesis.openapi.from_wsgi("/openapi.json", APP, config=CONFIG)

#: Shrinking a failing request takes minutes; schemathesis prints the request itself.
NO_SHRINKING = (Phase.explicit, Phase.reuse, Phase.generate)

#: Of the requests that keep to the document, at least this part is answered with a result.
ANSWERED_AT_LEAST = 0.2


@schemathesis.check
def keeping_to_the_document_is_never_invalid(
    ctx: schemathesis.CheckContext, response: schemathesis.Response, case: schemathesis.Case
) -> None:
    """A request that keeps to the document may be refused, but never as ``invalid-request``."""
    is_positive = case.meta is not None and case.meta.generation.mode.is_positive
    if is_positive and response.status_code == 422:
        assert response.json()["type"] != "/problems/invalid-request", response.text


@DOCUMENT.parametrize()
@settings(max_examples=100, deadline=None, suppress_health_check=list(HealthCheck), phases=NO_SHRINKING)
def test_every_operation_keeps_its_word(case: schemathesis.Case) -> None:
    case.call_and_validate()


@pytest.mark.parametrize(
    "operation",
    [each for each in OPERATIONS if each.request is not None],
    ids=lambda each: each.operation_id,
)
def test_one_in_five_generated_requests_is_answered(operation: Any) -> None:
    answered: list[bool] = []
    strategy = DOCUMENT[operation.path][operation.method].as_strategy(
        generation_mode=schemathesis.GenerationMode.POSITIVE
    )

    @settings(max_examples=100, deadline=None, database=None, suppress_health_check=list(HealthCheck))
    @given(case=strategy, _=st.none())
    def collect(case: schemathesis.Case, _: None) -> None:
        answered.append(case.call().status_code == 200)

    collect()

    assert sum(answered) >= ANSWERED_AT_LEAST * len(answered), f"{sum(answered)} of {len(answered)}"
