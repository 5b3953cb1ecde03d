"""Everything in the document has a name and a type, so that generated clients read well."""

import re
from collections.abc import Iterator
from typing import Any

import pytest

from tests.contract.documents import Json, document

SCHEMAS: Json = document()["components"]["schemas"]

#: Any of these says what a value is.
SAYING_WHAT = {"type", "$ref", "oneOf", "anyOf", "const", "enum"}


def _members(schema: Json, path: str) -> Iterator[tuple[str, Json]]:
    """Yield every schema inside a component, with its path."""
    inner = {f"{path}.{name}": member for name, member in schema.get("properties", {}).items()}
    for keyword in ("items", "additionalProperties"):
        if isinstance(schema.get(keyword), dict):
            inner[f"{path}.{keyword}"] = schema[keyword]
    for keyword in ("oneOf", "anyOf"):
        inner |= {f"{path}.{keyword}.{number}": each for number, each in enumerate(schema.get(keyword, []))}
    for name, member in inner.items():
        yield name, member
        yield from _members(member, name)


MEMBERS = dict(pair for name, schema in SCHEMAS.items() for pair in _members(schema, name))


def _is_object(schema: Json) -> bool:
    kinds = schema.get("type", [])
    return "properties" in schema or "object" in ([kinds] if isinstance(kinds, str) else kinds)


def test_every_object_is_a_component() -> None:
    nameless = [path for path, member in MEMBERS.items() if _is_object(member)]

    assert MEMBERS
    assert nameless == []


def test_every_list_of_values_is_a_component() -> None:
    nameless = [path for path, member in MEMBERS.items() if "enum" in member]

    assert nameless == []


def test_every_value_says_what_it_is() -> None:
    unsaid = [path for path, member in MEMBERS.items() if not SAYING_WHAT & set(member)]

    assert unsaid == []


def test_every_body_is_a_component_or_text() -> None:
    bodies = [
        entry["schema"]
        for path in document()["paths"].values()
        for operation in path.values()
        for part in (operation.get("requestBody", {}), *operation["responses"].values())
        for entry in part.get("content", {}).values()
    ]

    assert bodies
    assert all({"$ref"} == set(body) or body.get("type") == "string" or "oneOf" in body for body in bodies)


@pytest.mark.parametrize("name", SCHEMAS)
def test_a_component_is_named_by_a_noun_and_described(name: str) -> None:
    schema = SCHEMAS[name]

    assert re.fullmatch(r"([A-Z][a-z]+)+", name)
    assert "enum" in schema or re.fullmatch(r"\S.*\.", schema["description"])


@pytest.mark.parametrize("name", [name for name, schema in SCHEMAS.items() if "enum" in schema])
def test_the_values_of_a_list_have_names_in_code(name: str) -> None:
    schema: dict[str, Any] = SCHEMAS[name]

    names = schema.get("x-enum-varnames", schema["enum"])

    assert len(names) == len(set(names)) == len(schema["enum"])
    assert all(re.fullmatch("[A-Za-z][A-Za-z0-9_-]*", each) for each in names)


def test_what_an_answer_may_gain_is_no_closed_list() -> None:
    closed = [
        name
        for name, schema in SCHEMAS.items()
        if name.endswith("Answer")
        for member in schema["properties"].values()
        if "enum" in SCHEMAS.get(member.get("$ref", "").rpartition("/")[2], {})
    ]

    assert closed == []
