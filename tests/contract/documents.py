"""The document under test and what its schemas say, for the contract tests."""

from functools import cache
from typing import Any

import jsonschema
from referencing import Registry, Resource
from referencing.jsonschema import DRAFT202012

from service.api.document import build_document
from service.api.operations import Operation
from service.api.routes import RESOURCES, TAGS

Json = dict[str, Any]

OPERATIONS: tuple[Operation, ...] = tuple(
    operation for resource in RESOURCES for operation in resource.operations
)


@cache
def document() -> Json:
    return build_document(OPERATIONS, TAGS)


@cache
def validator_at(pointer: str) -> jsonschema.Draft202012Validator:
    """Return a validator of the schema that stands at a pointer in the document."""
    registry: Registry[Any] = Registry().with_resource(
        "urn:document", Resource.from_contents(document(), default_specification=DRAFT202012)
    )
    return jsonschema.Draft202012Validator({"$ref": f"urn:document#{pointer}"}, registry=registry)


def pointer_to(*keys: str) -> str:
    return "".join("/" + key.replace("~", "~0").replace("/", "~1") for key in keys)


def request_validator(operation: Operation) -> jsonschema.Draft202012Validator:
    return validator_at(
        pointer_to(
            "paths", operation.path, operation.method, "requestBody", "content", "application/json", "schema"
        )
    )


def answer_validator(operation: Operation, status: int, media_type: str) -> jsonschema.Draft202012Validator:
    return validator_at(
        pointer_to(
            "paths",
            operation.path,
            operation.method,
            "responses",
            str(status),
            "content",
            media_type,
            "schema",
        )
    )
