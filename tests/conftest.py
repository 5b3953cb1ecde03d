"""Settings of the whole suite: hypothesis profiles and the application under test."""

import os
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, settings

if TYPE_CHECKING:
    from flask.testing import FlaskClient

    from service.application import HatService

#: Where CI runs, the same examples every time: a change is judged by what it changed.
settings.register_profile(
    "default",
    max_examples=60,
    deadline=None,
    derandomize="CI" in os.environ,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.register_profile("mutation", max_examples=10, deadline=None, derandomize=True)
settings.register_profile("long", max_examples=1000, deadline=None)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "default"))

#: Long runs of their own, whose tools the other tests do without.
collect_ignore = ["fuzz", "mutation"]


@pytest.fixture(scope="session")
def app() -> "HatService":
    # Imported here so that tests of the pure layers load no framework.
    from service.application import create_app
    from service.configuration import read_configuration

    return create_app(read_configuration({}))


@pytest.fixture
def client(app: "HatService") -> "Iterator[FlaskClient]":
    with app.test_client() as client:
        yield client
