"""What the environment decides, read once at start and refused there when it is wrong."""

from collections.abc import Mapping
from dataclasses import dataclass

__all__ = ["RULES_VERSION", "Configuration", "ConfigurationRefused", "read_configuration"]

#: The rules that computed an answer; a change of any figure is a new version.
RULES_VERSION = "2026.1"


class ConfigurationRefused(ValueError):
    """A setting that cannot be used."""


@dataclass(frozen=True, slots=True)
class Configuration:
    """The settings of one running service."""

    body_limit_bytes: int


def read_configuration(environment: Mapping[str, str]) -> Configuration:
    """Return the configuration that the environment asks for.

    ``BODY_LIMIT_BYTES`` is the largest request body. [1024 to 262144]

    Raises
    ------
    ConfigurationRefused
        If a value is no whole number or out of range.

    Examples
    --------
    >>> read_configuration({"BODY_LIMIT_BYTES": "65536"}).body_limit_bytes
    65536
    """
    text = environment.get("BODY_LIMIT_BYTES", "262144")
    if not text.isascii() or not text.isdigit() or not 1024 <= int(text) <= 262144:
        raise ConfigurationRefused("BODY_LIMIT_BYTES must be a whole number from 1024 to 262144.")
    return Configuration(body_limit_bytes=int(text))
