"""Strict fields: each refuses what the document forbids and describes itself in the document.

Messages are ``code: words``; :mod:`service.api.pointers` takes them apart.
"""

import math
import re
from collections.abc import Mapping, Sequence
from typing import Any

from marshmallow import EXCLUDE, RAISE, Schema, ValidationError, fields

__all__ = [
    "FORBIDDEN_IN_TEXT",
    "AnswerSchema",
    "Choice",
    "Counts",
    "Enumeration",
    "FreeText",
    "StrictBoolean",
    "StrictInteger",
    "StrictList",
    "StrictNested",
    "StrictNumber",
    "StrictSchema",
    "StrictString",
]

_COMMON_MESSAGES: dict[str, Any] = {
    "required": "missing: This field is required.",
    "null": "wrong_type: This field cannot be null.",
    "validator_failed": "invalid: This value cannot be used.",
}


class _Strict(fields.Field[Any]):
    """What all strict fields share: messages with codes, and metadata for the document."""

    default_error_messages = _COMMON_MESSAGES


class StrictSchema(Schema):
    """A request: an object that knows all its members and refuses others."""

    error_messages: dict[str, str] = {  # noqa: RUF012 (the base class declares it so)
        "type": "wrong_type: This must be a JSON object.",
        "unknown": "unknown_field: This field is not known here.",
    }

    class Meta:
        """Refuse members that the document does not name."""

        unknown = RAISE


class AnswerSchema(Schema):
    """An answer, for the document and the tests alone: answers are never dumped through it."""

    class Meta:
        """Leave answers open: they may gain members."""

        unknown = EXCLUDE


class StrictInteger(_Strict):
    """An integer in a range; 5.0 is the integer 5, as JSON Schema has it."""

    def __init__(self, *, low: int, high: int, **rest: Any) -> None:
        self.low, self.high = low, high
        super().__init__(**rest)

    def _deserialize(self, value: Any, attr: str | None, data: Any, **_: Any) -> int:
        is_whole = isinstance(value, float) and math.isfinite(value) and value.is_integer()
        if isinstance(value, bool) or not (isinstance(value, int) or is_whole):
            raise ValidationError("wrong_type: Give a whole number.")
        if not self.low <= value <= self.high:
            raise ValidationError(f"out_of_range: Give a whole number from {self.low} to {self.high}.")
        return int(value)


class StrictNumber(_Strict):
    """A finite number in a range."""

    def __init__(self, *, low: float, high: float, **rest: Any) -> None:
        self.low, self.high = low, high
        super().__init__(**rest)

    def _deserialize(self, value: Any, attr: str | None, data: Any, **_: Any) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise ValidationError("wrong_type: Give a number.")
        if not self.low <= value <= self.high:
            raise ValidationError(f"out_of_range: Give a number from {self.low:g} to {self.high:g}.")
        return float(value)


class StrictBoolean(_Strict):
    """True or false, nothing that could pass for it."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **_: Any) -> bool:
        if not isinstance(value, bool):
            raise ValidationError("wrong_type: Give true or false.")
        return value


class StrictString(_Strict):
    """A string with a pattern (one that ECMAScript and Python read alike, without anchors)."""

    def __init__(self, *, pattern: str, max_length: int, **rest: Any) -> None:
        self.pattern, self.max_length = pattern, max_length
        super().__init__(**rest)

    def _deserialize(self, value: Any, attr: str | None, data: Any, **_: Any) -> str:
        if not isinstance(value, str):
            raise ValidationError("wrong_type: Give a string.")
        if len(value) > self.max_length or not re.fullmatch(self.pattern, value):
            raise ValidationError(f"bad_form: Give at most {self.max_length} characters: {self.pattern}")
        return value


#: Control characters, line and paragraph separators, and marks that turn the direction of writing.
FORBIDDEN_IN_TEXT = "\u0000-\u001f\u007f-\u009f\u061c\u200e\u200f\u2028\u2029\u202a-\u202e\u2066-\u2069"
_FREE_TEXT = re.compile(f"[^{FORBIDDEN_IN_TEXT}]+")


class FreeText(_Strict):
    """Words of a person: 1 to 120 characters of any script, no control characters or newlines."""

    max_length = 120

    def _deserialize(self, value: Any, attr: str | None, data: Any, **_: Any) -> str:
        if not isinstance(value, str):
            raise ValidationError("wrong_type: Give a string.")
        if not 1 <= len(value) <= self.max_length:
            raise ValidationError(f"bad_form: Give 1 to {self.max_length} characters.")
        if not _FREE_TEXT.fullmatch(value):
            raise ValidationError("bad_form: Leave out control characters and newlines.")
        return value


class Enumeration(_Strict):
    """One of some words; ``component`` names the list in the document."""

    def __init__(self, *, component: str, values: Sequence[str | int], **rest: Any) -> None:
        self.component, self.values = component, tuple(values)
        super().__init__(**rest)

    def _deserialize(self, value: Any, attr: str | None, data: Any, **_: Any) -> Any:
        if not isinstance(value, str) or value not in self.values:
            raise ValidationError(f"not_listed: Give one of: {', '.join(map(str, self.values))}.")
        return value


class Counts(_Strict):
    """An object from codes to counts; ``pattern`` bounds the codes."""

    def __init__(
        self,
        *,
        component: str,
        pattern: str,
        low: int,
        high: int,
        max_members: int,
        **rest: Any,
    ) -> None:
        self.component, self.pattern, self.max_members = component, pattern, max_members
        self.count = StrictInteger(low=low, high=high)
        super().__init__(**rest)

    def _deserialize(self, value: Any, attr: str | None, data: Any, **_: Any) -> dict[str, int]:
        if not isinstance(value, dict):
            raise ValidationError("wrong_type: Give an object from codes to counts.")
        if not 1 <= len(value) <= self.max_members:
            raise ValidationError(f"out_of_range: Give 1 to {self.max_members} codes.")
        faults: dict[str, Any] = {}
        for code, count in value.items():
            if not re.fullmatch(self.pattern, code):
                faults[code] = ["unknown_field: This is no stitch code."]
                continue
            try:
                self.count.deserialize(count)
            except ValidationError as error:
                faults[code] = error.messages
        if faults:
            raise ValidationError(faults)
        return {code: int(count) for code, count in value.items()}


class StrictList(_Strict):
    """A list of so many values of one kind."""

    def __init__(self, inner: fields.Field[Any], *, low: int, high: int, **rest: Any) -> None:
        self.inner, self.low, self.high = inner, low, high
        super().__init__(**rest)

    def _deserialize(self, value: Any, attr: str | None, data: Any, **_: Any) -> list[Any]:
        if not isinstance(value, list):
            raise ValidationError("wrong_type: Give a list.")
        if not self.low <= len(value) <= self.high:
            raise ValidationError(f"out_of_range: Give {self.low} to {self.high} entries.")
        loaded, faults = [], {}
        for position, item in enumerate(value):
            try:
                loaded.append(self.inner.deserialize(item))
            except ValidationError as error:
                faults[position] = error.messages
        if faults:
            raise ValidationError(faults)
        return loaded


class StrictNested(_Strict):
    """An object inside an object."""

    def __init__(self, schema: type[Schema], **rest: Any) -> None:
        self.schema_class = schema
        self._made: Schema | None = None
        super().__init__(**rest)

    @property
    def schema(self) -> Schema:
        """Return the schema of the inner object, made once."""
        if self._made is None:
            self._made = self.schema_class()
        return self._made

    def _deserialize(self, value: Any, attr: str | None, data: Any, **_: Any) -> Any:
        return self.schema.load(value)


class Choice(_Strict):
    """One of several closed objects, told apart by the key that only it has.

    The loaded value is the object's members; the key says which variant it was.
    """

    def __init__(self, *, component: str, variants: Mapping[str, type[Schema]], **rest: Any) -> None:
        self.component, self.variants = component, dict(variants)
        self._made: dict[str, Schema] = {}
        super().__init__(**rest)

    def _deserialize(self, value: Any, attr: str | None, data: Any, **_: Any) -> Any:
        if not isinstance(value, dict):
            raise ValidationError("wrong_type: Give a JSON object.")
        keys = [key for key in self.variants if key in value]
        if len(keys) != 1:
            names = ", ".join(self.variants)
            raise ValidationError(f"choose_variant: Give exactly one of: {names}.")
        [key] = keys
        if key not in self._made:
            self._made[key] = self.variants[key]()
        return self._made[key].load(value)
