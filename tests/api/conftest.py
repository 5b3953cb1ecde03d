"""What the tests of the interface share: the lines that the service logs."""

import io
import json
import logging
from collections.abc import Iterator
from typing import Any

import pytest

from service.api.log_lines import JsonLines


class Lines:
    """What the service logs while a test runs."""

    def __init__(self) -> None:
        self.stream = io.StringIO()

    @property
    def text(self) -> str:
        return self.stream.getvalue()

    @property
    def last(self) -> dict[str, Any]:
        line: dict[str, Any] = json.loads(self.text.splitlines()[-1])
        return line


@pytest.fixture
def lines() -> Iterator[Lines]:
    kept = Lines()
    handler = logging.StreamHandler(kept.stream)
    handler.setFormatter(JsonLines())
    logger = logging.getLogger("service")
    logger.addHandler(handler)
    level = logger.level
    logger.setLevel(logging.INFO)
    yield kept
    logger.removeHandler(handler)
    logger.setLevel(level)
