"""From marshmallow's nested messages to a flat list of faults with JSON Pointers (RFC 6901)."""

from collections.abc import Iterator, Mapping
from typing import Any

__all__ = ["Fault", "faults_of"]

Fault = dict[str, str]

#: An unknown key that is longer is cut in its pointer; no field of ours is.
LONGEST_KEY_TOLD = 64


def faults_of(messages: Mapping[Any, Any]) -> list[Fault]:
    """Return one fault for each message, with a pointer to the value and a code in front of the words.

    Examples
    --------
    >>> faults_of({"readings": {0: {"width_cm": ["out_of_range: Give 1 to 10."]}}})
    [{'pointer': '/readings/0/width_cm', 'code': 'out_of_range', 'detail': 'Give 1 to 10.'}]
    """
    return [
        {"pointer": pointer, "code": code, "detail": detail}
        for pointer, message in _walk(messages, "")
        for code, detail in [_split(message)]
    ]


def _walk(messages: Any, pointer: str) -> Iterator[tuple[str, str]]:
    if isinstance(messages, Mapping):
        for key, inner in messages.items():
            yield from _walk(inner, pointer if key == "_schema" else f"{pointer}/{_escaped(key)}")
    elif isinstance(messages, list):
        for inner in messages:
            yield from _walk(inner, pointer)
    else:
        yield pointer, str(messages)


def _escaped(key: object) -> str:
    name = str(key)
    short = name if len(name) <= LONGEST_KEY_TOLD else name[:LONGEST_KEY_TOLD] + "…"
    return short.replace("~", "~0").replace("/", "~1")


def _split(message: str) -> tuple[str, str]:
    code, mark, detail = message.partition(": ")
    return (code, detail) if mark and code.isidentifier() else ("invalid", message)
