"""The OpenAPI 3.1 document, made from the declared operations and their schemas."""

import json
import re
from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path
from typing import Any

from apispec import APISpec
from apispec.ext.marshmallow import MarshmallowPlugin
from marshmallow import Schema, fields

from service.api import fields as strict
from service.api.document_headers import (
    CALLER_PROBLEMS,
    COMMON_HEADERS,
    HEADERS,
    OPTIONAL_KEY,
    SECURITY_SCHEMES,
    headers_of,
)
from service.api.links import LINKS
from service.api.operations import Operation
from service.api.problems import PROBLEM_TYPES, ProblemType
from service.api.work import WORK_HEADER
from service.configuration import RULES_VERSION

__all__ = ["build_document", "document_folder", "examples_of"]

Json = dict[str, Any]

_DESCRIPTION = """\
Pattern math for crocheted hats: sizes, gauges, stitch counts, crowns, yarn and whole hats round by round.

The service is stateless: it computes, stores nothing, and every POST is safe to retry.
Lengths are metric and the unit is in the name; counts are exact. Each answer says what it supposed
(`assumptions`), what to know (`notices`) and, with `show_working`, how it got there.
Failures are problem documents (RFC 9457); each type has a page at its address.
"""


def document_folder() -> Path:
    """Return the folder of examples and problem pages: beside the package, or in it when installed."""
    package = Path(__file__).resolve().parent.parent
    installed = package / "openapi"
    return installed if installed.is_dir() else package.parent / "openapi"


def build_document(operations: Iterable[Operation], tags: Mapping[str, str]) -> Json:
    """Return the document for these operations."""
    plugin = MarshmallowPlugin(schema_name_resolver=_schema_name)
    spec = APISpec(
        title="Hat pattern math",
        version=RULES_VERSION,
        openapi_version="3.1.0",
        plugins=[plugin],
        info={"description": _DESCRIPTION},
        servers=[{"url": "/"}],
        tags=[{"name": name, "description": text} for name, text in tags.items()],
        security=OPTIONAL_KEY,
    )
    # The converter exists only once the plugin is registered.
    assert plugin.converter is not None
    for describe in (_describe_strict, _describe_examples):
        plugin.converter.add_attribute_function(describe)  # type: ignore[no-untyped-call]
    components = _Components(spec)
    components.add_common()
    for operation in sorted(operations, key=lambda each: (each.path, each.method)):
        components.add_named_fields(operation)
        spec.path(operation.path, operations={operation.method: components.entry(operation)})
    document = spec.to_dict()
    for (schema, *_), name in plugin.converter.refs.items():
        document["components"]["schemas"][name]["description"] = _first_line(schema)
    return _in_order(document)


def _first_line(schema: type[Schema]) -> str:
    return (schema.__doc__ or "").strip().partition("\n")[0]


def _in_order(document: Json) -> Json:
    components = document["components"]
    document["components"] = {
        kind: dict(sorted(members.items())) for kind, members in sorted(components.items())
    }
    plain: Json = json.loads(json.dumps(document))
    return plain


def _schema_name(schema: type[Schema] | Schema) -> str:
    return schema.__name__ if isinstance(schema, type) else type(schema).__name__


class _Components:
    """The parts of the document that operations share."""

    def __init__(self, spec: APISpec) -> None:
        self.spec = spec
        self.named: dict[str, Json] = {}

    def add_common(self) -> None:
        """Add headers, keys and problem types."""
        for name, header in HEADERS.items():
            self.spec.components.header(name, header)
        for name, scheme in SECURITY_SCHEMES.items():
            self.spec.components.security_scheme(name, scheme)
        self.spec.components.schema("RequestFault", _REQUEST_FAULT)
        for kind in PROBLEM_TYPES.values():
            self.spec.components.schema(_problem_name(kind), _problem_schema(kind))

    def add_named_fields(self, operation: Operation) -> None:
        """Add the enumerations and choices that the request's fields name."""
        if operation.request is not None:
            for schema in _schemas_within(operation.request, set()):
                for field in schema().fields.values():
                    self._add_named_field(field)

    def _add_named_field(self, field: fields.Field[Any]) -> None:
        if isinstance(field, strict.StrictList):
            self._add_named_field(field.inner)
            return
        if not isinstance(field, strict.Strict) or field.component is None:
            return
        name, described = field.component, {**field.described(None), **_member_names(field)}
        if isinstance(field, strict.Choice | strict.Tagged):
            described = {
                **described,
                "oneOf": [self._reference(variant) for variant in field.variants.values()],
            }
        known = self.named.setdefault(name, described)
        assert known == described, f"two different components are named {name}"
        if name not in self.spec.components.schemas:
            self.spec.components.schema(name, described)

    def _reference(self, schema: type[Schema]) -> Json:
        name = _schema_name(schema)
        if name not in self.spec.components.schemas:
            self.spec.components.schema(name, schema=schema)
        return {"$ref": f"#/components/schemas/{name}"}

    def entry(self, operation: Operation) -> Json:
        """Return the document's entry for an operation."""
        entry: Json = {
            "operationId": operation.operation_id,
            "summary": operation.summary,
            "tags": [operation.tag],
        }
        if operation.description:
            entry["description"] = operation.description
        if operation.request is not None:
            entry["requestBody"] = self._request_body(operation)
        entry["responses"] = self._responses(operation)
        return entry

    def _request_body(self, operation: Operation) -> Json:
        assert operation.request is not None
        examples = {
            name: {"summary": example["summary"], "value": example["request"]}
            for name, example in examples_of(operation.noun).items()
        }
        content: Json = {"schema": self._reference(operation.request)}
        if examples:
            content["examples"] = examples
        return {"required": True, "content": {"application/json": content}}

    def _responses(self, operation: Operation) -> Json:
        responses: Json = {"200": self._success(operation)}
        if operation.method == "get":
            responses["304"] = {"description": "Not changed.", "headers": COMMON_HEADERS}
        by_status: dict[int, list[ProblemType]] = {}
        for slug in (*operation.problems, *CALLER_PROBLEMS):
            by_status.setdefault(PROBLEM_TYPES[slug].status, []).append(PROBLEM_TYPES[slug])
        for status, kinds in sorted(by_status.items()):
            responses[str(status)] = _problem_entry(status, kinds)
        return responses

    def _success(self, operation: Operation) -> Json:
        headers = dict(COMMON_HEADERS)
        if operation.method == "get":
            headers["ETag"] = {"$ref": "#/components/headers/EntityTag"}
        else:
            headers[WORK_HEADER] = {"$ref": "#/components/headers/WorkUnits"}
        content: Json = {}
        for media_type in operation.media_types:
            if operation.answer is not None and media_type == "application/json":
                content[media_type] = {"schema": self._reference(operation.answer)}
            else:
                content[media_type] = {"schema": _document_schema(media_type)}
        success: Json = {"description": operation.summary + ".", "headers": headers, "content": content}
        links = LINKS.get(operation.operation_id)
        if links:
            success["links"] = {name: link.described() for name, link in links.items()}
        return success


def _document_schema(media_type: str) -> Json:
    """Return the schema of a made document: text, or bytes."""
    is_text = media_type.startswith("text/") or media_type.endswith("+xml")
    return {"type": "string"} if is_text else {"type": "string", "format": "binary"}


def _problem_entry(status: int, kinds: list[ProblemType]) -> Json:
    references = [{"$ref": f"#/components/schemas/{_problem_name(kind)}"} for kind in kinds]
    return {
        "description": "; ".join(kind.title for kind in kinds) + ".",
        "headers": headers_of(status),
        "content": {
            "application/problem+json": {
                "schema": references[0] if len(references) == 1 else {"oneOf": references}
            }
        },
    }


def _problem_name(kind: ProblemType) -> str:
    return "".join(word.capitalize() for word in kind.slug.split("-")) + "Problem"


_REQUEST_FAULT: Json = {
    "type": "object",
    "description": "One place where a body breaks the document.",
    "required": ["pointer", "code", "detail"],
    "properties": {
        "pointer": {"type": "string", "description": "The place, as a JSON Pointer (RFC 6901)."},
        "code": {"type": "string", "description": "What is wrong, in one word. More codes may come."},
        "detail": {"type": "string", "description": "What is wrong, and what would be right."},
    },
}

#: The shapes of the members that problem types add (RFC 9457 extension members).
_MEMBER_SHAPES: Json = {
    "errors": {"type": "array", "items": {"$ref": "#/components/schemas/RequestFault"}},
    "available": {"type": "array", "items": {"type": "string"}},
    "fields": {"type": "array", "items": {"type": "string"}},
    "given": {"type": "array", "items": {"type": "string"}},
    "stitches": {"type": "array", "items": {"type": "string"}},
    "kinds": {"type": "array", "items": {"type": "string"}},
    "missing": {"type": "array", "items": {"type": "string"}},
    "field": {"type": "string"},
    "depth_cm": {"type": "number"},
    "inner_cm": {"type": "number"},
    "head_cm": {"type": "number"},
    "low_cm": {"type": "number"},
    "high_cm": {"type": "number"},
}


#: What a refusal adds where one size of several cannot be made.
_SIZE_MEMBERS: Json = {
    "size_head_cm": {
        "type": "number",
        "description": "The head of the size that cannot be made, in cm, where several were asked for.",
    },
    "pointer": {
        "type": "string",
        "description": "Where that head, or a fabric that is none, stands in the request (RFC 6901).",
    },
}


def _problem_schema(kind: ProblemType) -> Json:
    members = {
        name: {**_MEMBER_SHAPES.get(name, {"type": "integer"}), "description": text}
        for name, text in kind.extension.items()
    }
    return {
        "type": "object",
        "description": f"{kind.title}. See the page `/problems/{kind.slug}`.",
        "required": ["type", "title", "status", "detail", *members],
        "properties": {
            "type": {
                "type": "string",
                "const": f"/problems/{kind.slug}",
                "description": "The problem type, and the address of its page.",
            },
            "title": {"type": "string", "const": kind.title, "description": "The problem type in words."},
            "status": {
                "type": "integer",
                "const": kind.status,
                "description": "The HTTP status, once more.",
            },
            "detail": {"type": "string", "description": "This occurrence in words, and what to do."},
            **members,
            **(_SIZE_MEMBERS if kind.status == 422 and kind.slug != "invalid-request" else {}),
        },
    }


def _schemas_within(schema: type[Schema], seen: set[type[Schema]]) -> list[type[Schema]]:
    """Return a request's schema and all those inside it, once each."""
    if schema in seen:
        return []
    seen.add(schema)
    found = [schema]
    for field in schema().fields.values():
        for inner in _inner_schemas(field):
            found += _schemas_within(inner, seen)
    return found


def _inner_schemas(field: fields.Field[Any]) -> list[type[Schema]]:
    if isinstance(field, strict.StrictList):
        return _inner_schemas(field.inner)
    if isinstance(field, strict.Choice | strict.Tagged):
        return list(field.variants.values())
    return [field.schema_class] if isinstance(field, strict.StrictNested) else []


def _describe_strict(converter: Any, field: fields.Field[Any], **_: Any) -> Json:
    """Return what JSON Schema says of a strict field: its own words, or the component that has them."""
    if not isinstance(field, strict.Strict):
        return {}
    component = field.component
    described = {"$ref": f"#/components/schemas/{component}"} if component else field.described(converter)
    return {"anyOf": [described, {"type": "null"}]} if field.allow_none else described


def _member_names(field: strict.Strict) -> Json:
    """Return names for a list of values that are no names, for clients that are generated.

    ``6-months`` is ``MONTHS_6``, and 90 of ``CertaintyPercent`` is ``PERCENT_90``.
    """
    values = field.described(None).get("enum", [])
    if all(isinstance(value, str) and value[0].isalpha() for value in values):
        return {}
    unit = re.findall("[A-Z][a-z]+", field.component or "")[-1]
    return {"x-enum-varnames": [_member_name(str(value), unit) for value in values]}


def _member_name(value: str, unit: str) -> str:
    number, _, words = value.partition("-")
    name = f"{words or unit}-{number}" if number.isdigit() else value
    return name.replace("-", "_").upper()


def _describe_examples(_: Any, field: fields.Field[Any], **__: Any) -> Json:
    return {"examples": field.metadata["examples"]} if "examples" in field.metadata else {}


@cache
def examples_of(noun: str) -> dict[str, Json]:
    """Return the examples of a resource by case, each with ``summary`` and ``request``."""
    found = {}
    for path in sorted((document_folder() / "examples").glob(f"{noun}.*.json")):
        found[path.name.split(".")[1]] = json.loads(path.read_text(encoding="utf-8"))
    return found
