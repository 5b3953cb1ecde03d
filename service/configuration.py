"""What the environment decides, read once at start and refused there when it is wrong."""

import re
from collections.abc import Mapping
from dataclasses import dataclass

__all__ = ["RULES_VERSION", "Configuration", "ConfigurationRefused", "read_configuration"]

#: The rules that computed an answer; a change of any figure is a new version.
RULES_VERSION = "2026.1"


#: An origin as browsers send it (RFC 6454, section 6.2).
_ORIGIN = re.compile(r"https?://[a-z0-9]([a-z0-9.-]*[a-z0-9])?(:[1-9][0-9]{0,4})?")


class ConfigurationRefused(ValueError):
    """A setting that cannot be used."""


@dataclass(frozen=True, slots=True)
class Configuration:
    """The settings of one running service.

    ``allowed_origins`` are the sites whose pages may call it from a browser; ``("*",)`` is any site.
    """

    body_limit_bytes: int
    allowed_origins: tuple[str, ...] = ()


def read_configuration(environment: Mapping[str, str]) -> Configuration:
    """Return the configuration that the environment asks for.

    ``BODY_LIMIT_BYTES`` is the largest request body. [1024 to 262144]
    ``ALLOWED_ORIGINS`` names the sites whose pages may call the service from a browser, separated by commas,
    each as ``https://shop.example``; ``*`` allows any. Empty, the default, allows none.

    Raises
    ------
    ConfigurationRefused
        If a number is out of range, or an origin is none.

    Examples
    --------
    >>> read_configuration({"BODY_LIMIT_BYTES": "65536"}).body_limit_bytes
    65536
    >>> read_configuration({"ALLOWED_ORIGINS": "https://shop.example, http://localhost:3000"}).allowed_origins
    ('https://shop.example', 'http://localhost:3000')
    """
    return Configuration(
        body_limit_bytes=_body_limit_bytes(environment.get("BODY_LIMIT_BYTES", "262144")),
        allowed_origins=_origins(environment.get("ALLOWED_ORIGINS", "")),
    )


def _body_limit_bytes(text: str) -> int:
    if not text.isascii() or not text.isdigit() or not 1024 <= int(text) <= 262144:
        raise ConfigurationRefused("BODY_LIMIT_BYTES must be a whole number from 1024 to 262144.")
    return int(text)


def _origins(text: str) -> tuple[str, ...]:
    origins = tuple(filter(None, (part.strip() for part in text.split(","))))
    if origins != ("*",) and not all(map(_ORIGIN.fullmatch, origins)):
        raise ConfigurationRefused(
            "ALLOWED_ORIGINS must be * or origins separated by commas, each a scheme, a host in lower case "
            "and perhaps a port, as https://shop.example."
        )
    return origins
