"""Settings of the whole suite: hypothesis profiles and the application under test."""

import gc
import os
import socket
from collections.abc import Iterator
from functools import _lru_cache_wrapper
from ipaddress import ip_address
from typing import TYPE_CHECKING, Any

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
collect_ignore = ["bench/crown_solvers.py", "fuzz", "mutation"]


def _is_here(host: str) -> bool:
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


def _refuse_beyond_this_machine(host: str | bytes | None) -> None:
    name = host.decode() if isinstance(host, bytes) else host
    if name and not _is_here(name):
        raise AssertionError(f"{name} lies beyond this machine")


@pytest.fixture(scope="session", autouse=True)
def _only_this_machine() -> Iterator[None]:
    """Refuse every address but those of this machine: no test hangs on what others serve."""
    connect, look_up = socket.socket.connect, socket.getaddrinfo

    def connect_here(self: socket.socket, address: Any) -> None:
        if isinstance(address, tuple):
            _refuse_beyond_this_machine(address[0])
        connect(self, address)

    def look_up_here(host: Any, *arguments: Any, **options: Any) -> Any:
        _refuse_beyond_this_machine(host)
        return look_up(host, *arguments, **options)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(socket.socket, "connect", connect_here)
        patch.setattr(socket, "getaddrinfo", look_up_here)
        yield


@pytest.fixture(scope="session", autouse=True)
def _forget_what_was_reckoned() -> None:
    """Empty the caches for mutmut, which runs each fault in a copy of a process that has run without it."""
    if os.environ.get("HYPOTHESIS_PROFILE") == "mutation":
        for each in gc.get_objects():
            if isinstance(each, _lru_cache_wrapper) and each.__module__.startswith("service."):
                each.cache_clear()


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
