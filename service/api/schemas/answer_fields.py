"""Fields of answers: each is always there, and says in words what it is and in which unit."""

from typing import Any

from marshmallow import Schema, fields

__all__ = [
    "count_field",
    "count_list_field",
    "nested_field",
    "nested_list_field",
    "number_field",
    "text_field",
    "text_list_field",
]


def count_field(description: str, **rest: Any) -> fields.Integer:
    """Return the field for a count of things."""
    return fields.Integer(required=True, metadata={"description": description}, **rest)


def count_list_field(description: str) -> fields.List[Any]:
    """Return the field for several counts."""
    return fields.List(fields.Integer(), required=True, metadata={"description": description})


def number_field(description: str, **rest: Any) -> fields.Float:
    """Return the field for a quantity."""
    return fields.Float(required=True, metadata={"description": description}, **rest)


def text_field(description: str, **rest: Any) -> fields.String:
    """Return the field for words."""
    return fields.String(required=True, metadata={"description": description}, **rest)


def text_list_field(description: str) -> fields.List[Any]:
    """Return the field for several words or sentences."""
    return fields.List(fields.String(), required=True, metadata={"description": description})


def nested_field(schema: type[Schema], description: str, **rest: Any) -> fields.Nested:
    """Return the field for an object."""
    return fields.Nested(schema, required=True, metadata={"description": description}, **rest)


def nested_list_field(schema: type[Schema], description: str) -> fields.List[Any]:
    """Return the field for a list of objects of one kind."""
    return fields.List(fields.Nested(schema), required=True, metadata={"description": description})
