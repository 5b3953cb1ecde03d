"""Fields that hold a value to its type and to nothing else; whoever uses the value bounds it."""

from typing import Any

from marshmallow import ValidationError

from service.api.fields import Strict

__all__ = ["TypedInteger", "TypedNumber", "TypedString"]

Json = dict[str, Any]


class TypedNumber(Strict):
    """Any number, however large."""

    def described(self, converter: Any) -> Json:
        """Return the field as JSON Schema."""
        return {"type": "number"}

    def _deserialize(self, value: Any, attr: str | None, data: Any, **_: Any) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise ValidationError("wrong_type: Give a number.")
        return value


class TypedInteger(Strict):
    """Any whole number, however large; 5.0 is the integer 5."""

    def described(self, converter: Any) -> Json:
        """Return the field as JSON Schema."""
        return {"type": "integer"}

    def _deserialize(self, value: Any, attr: str | None, data: Any, **_: Any) -> int:
        is_whole = isinstance(value, float) and value.is_integer()
        if isinstance(value, bool) or not (isinstance(value, int) or is_whole):
            raise ValidationError("wrong_type: Give a whole number.")
        return int(value)


class TypedString(Strict):
    """Any string."""

    def described(self, converter: Any) -> Json:
        """Return the field as JSON Schema."""
        return {"type": "string"}

    def _deserialize(self, value: Any, attr: str | None, data: Any, **_: Any) -> str:
        if not isinstance(value, str):
            raise ValidationError("wrong_type: Give a string.")
        return value
