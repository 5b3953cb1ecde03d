"""Strict fields: each refuses what the document forbids and describes itself in the document.

Messages are ``code: words``; :mod:`service.api.pointers` takes them apart.
"""

import math
import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from marshmallow import EXCLUDE, RAISE, Schema, ValidationError, fields

from service.api.text_marks import FORBIDDEN_IN_LINES, FORBIDDEN_IN_TEXT, UNSEEN_IN_TEXT, pattern_marks

__all__ = [
    "FORBIDDEN_IN_TEXT",
    "AnswerSchema",
    "Choice",
    "Counts",
    "Enumeration",
    "FreeText",
    "LinesOfText",
    "Strict",
    "StrictBoolean",
    "StrictInteger",
    "StrictList",
    "StrictNested",
    "StrictNumber",
    "StrictSchema",
    "StrictString",
    "Tagged",
]

Json = dict[str, Any]

_COMMON_MESSAGES: dict[str, Any] = {
    "required": "missing: This field is required.",
    "null": "wrong_type: This field cannot be null.",
    "validator_failed": "invalid: This value cannot be used.",
}


class Strict(fields.Field[Any]):
    """What all strict fields share: messages with codes, and a description of themselves.

    ``component`` is the name under which the description stands in the document, where it has one.
    """

    component: str | None = None

    default_error_messages = _COMMON_MESSAGES

    def described(self, converter: Any) -> Json:
        """Return the field as JSON Schema; ``converter`` resolves the schemas inside."""
        raise NotImplementedError


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


class StrictInteger(Strict):
    """An integer in a range; 5.0 is the integer 5, as JSON Schema has it.

    ``allowed`` narrows it to a few, and ``component`` names those in the document.
    """

    def __init__(
        self,
        *,
        low: int,
        high: int,
        allowed: tuple[int, ...] | None = None,
        component: str | None = None,
        **rest: Any,
    ) -> None:
        self.low, self.high, self.allowed, self.component = low, high, allowed, component
        super().__init__(**rest)

    def described(self, converter: Any) -> Json:
        """Return the field as JSON Schema."""
        if self.allowed is not None:
            return {"type": "integer", "enum": list(self.allowed)}
        return {"type": "integer", "minimum": self.low, "maximum": self.high}

    def _deserialize(self, value: Any, attr: str | None, data: Any, **_: Any) -> int:
        is_whole = isinstance(value, float) and math.isfinite(value) and value.is_integer()
        if isinstance(value, bool) or not (isinstance(value, int) or is_whole):
            raise ValidationError("wrong_type: Give a whole number.")
        if not self.low <= value <= self.high:
            raise ValidationError(f"out_of_range: Give a whole number from {self.low} to {self.high}.")
        if self.allowed is not None and value not in self.allowed:
            raise ValidationError(f"not_listed: Give one of: {', '.join(map(str, self.allowed))}.")
        return int(value)


class StrictNumber(Strict):
    """A finite number in a range."""

    def __init__(self, *, low: float, high: float, **rest: Any) -> None:
        self.low, self.high = low, high
        super().__init__(**rest)

    def described(self, converter: Any) -> Json:
        """Return the field as JSON Schema."""
        return {"type": "number", "minimum": self.low, "maximum": self.high}

    def _deserialize(self, value: Any, attr: str | None, data: Any, **_: Any) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise ValidationError("wrong_type: Give a number.")
        if not self.low <= value <= self.high:
            raise ValidationError(f"out_of_range: Give a number from {self.low:g} to {self.high:g}.")
        return float(value)


class StrictBoolean(Strict):
    """True or false, nothing that could pass for it."""

    def described(self, converter: Any) -> Json:
        """Return the field as JSON Schema."""
        return {"type": "boolean"}

    def _deserialize(self, value: Any, attr: str | None, data: Any, **_: Any) -> bool:
        if not isinstance(value, bool):
            raise ValidationError("wrong_type: Give true or false.")
        return value


class StrictString(Strict):
    """A string with a pattern (one that ECMAScript and Python read alike, without anchors)."""

    def __init__(self, *, pattern: str, max_length: int, **rest: Any) -> None:
        self.pattern, self.max_length = pattern, max_length
        super().__init__(**rest)

    def described(self, converter: Any) -> Json:
        """Return the field as JSON Schema."""
        return {"type": "string", "pattern": f"^(?:{self.pattern})$", "maxLength": self.max_length}

    def _deserialize(self, value: Any, attr: str | None, data: Any, **_: Any) -> str:
        if not isinstance(value, str):
            raise ValidationError("wrong_type: Give a string.")
        if len(value) > self.max_length or not re.fullmatch(self.pattern, value):
            raise ValidationError(f"bad_form: Give at most {self.max_length} characters: {self.pattern}")
        return value


class FreeText(Strict):
    """Words of a person: 1 to 120 characters of any script, one at least that can be seen.

    Control characters and newlines are refused.
    """

    max_length = 120
    forbidden = FORBIDDEN_IN_TEXT
    left_out = "control characters and newlines"
    must_be_seen = True

    def described(self, converter: Any) -> Json:
        """Return the field as JSON Schema."""
        allowed = f"[^{pattern_marks(self.forbidden)}]*"
        seen = f"[^{pattern_marks(self.forbidden)}{pattern_marks(UNSEEN_IN_TEXT)}]"
        return {
            "type": "string",
            "minLength": 1,
            "maxLength": self.max_length,
            "pattern": f"^{allowed}{seen}{allowed}$" if self.must_be_seen else f"^{allowed}$",
        }

    def _deserialize(self, value: Any, attr: str | None, data: Any, **_: Any) -> str:
        if not isinstance(value, str):
            raise ValidationError("wrong_type: Give a string.")
        if not 1 <= len(value) <= self.max_length:
            raise ValidationError(f"bad_form: Give 1 to {self.max_length} characters.")
        if re.search(f"[{self.forbidden}]", value):
            raise ValidationError(f"bad_form: Leave out {self.left_out}.")
        if self.must_be_seen and not re.search(f"[^{UNSEEN_IN_TEXT}]", value):
            raise ValidationError("bad_form: Give at least one character that can be seen.")
        return value


class LinesOfText(FreeText):
    """Text of many lines, up to 64 KB: tabs and newlines may stand, other control characters not."""

    max_length = 65536
    forbidden = FORBIDDEN_IN_LINES
    left_out = "control characters other than tabs and newlines"
    must_be_seen = False


class Enumeration(Strict):
    """One of some words; ``component`` names the list in the document, unless there is but one."""

    def __init__(self, *, component: str | None, values: Sequence[str | int], **rest: Any) -> None:
        self.component, self.values = component, tuple(values)
        super().__init__(**rest)

    def described(self, converter: Any) -> Json:
        """Return the field as JSON Schema."""
        if self.component is None:
            [only] = self.values
            return {"type": "string", "const": only}
        return {"type": "string", "enum": list(self.values)}

    def _deserialize(self, value: Any, attr: str | None, data: Any, **_: Any) -> Any:
        if not isinstance(value, str) or value not in self.values:
            raise ValidationError(f"not_listed: Give one of: {', '.join(map(str, self.values))}.")
        return value


class Counts(Strict):
    """An object from codes to counts, or to other numbers; ``pattern`` bounds the codes."""

    def __init__(
        self,
        *,
        component: str,
        pattern: str,
        low: float,
        high: float,
        max_members: int,
        whole: bool = True,
        **rest: Any,
    ) -> None:
        self.component, self.pattern, self.max_members = component, pattern, max_members
        self.number: StrictInteger | StrictNumber = (
            StrictInteger(low=int(low), high=int(high)) if whole else StrictNumber(low=low, high=high)
        )
        super().__init__(**rest)

    def described(self, converter: Any) -> Json:
        """Return the field as JSON Schema."""
        return {
            "type": "object",
            "description": "Numbers by stitch code.",
            "propertyNames": {"pattern": f"^(?:{self.pattern})$"},
            "additionalProperties": self.number.described(converter),
            "minProperties": 1,
            "maxProperties": self.max_members,
        }

    def _deserialize(self, value: Any, attr: str | None, data: Any, **_: Any) -> dict[str, float]:
        if not isinstance(value, dict):
            raise ValidationError("wrong_type: Give an object from codes to counts.")
        if not 1 <= len(value) <= self.max_members:
            raise ValidationError(f"out_of_range: Give 1 to {self.max_members} codes.")
        loaded: dict[str, float] = {}
        faults: dict[str, Any] = {}
        for code, number in value.items():
            try:
                loaded[code] = self._member(code, number)
            except ValidationError as error:
                faults[code] = error.messages
        if faults:
            raise ValidationError(faults)
        return loaded

    def _member(self, code: str, number: Any) -> float:
        if not re.fullmatch(self.pattern, code):
            raise ValidationError("unknown_field: This is no stitch code.")
        loaded: float = self.number.deserialize(number)
        return loaded


class StrictList(Strict):
    """A list of so many values of one kind."""

    def __init__(self, inner: fields.Field[Any], *, low: int, high: int, **rest: Any) -> None:
        self.inner, self.low, self.high = inner, low, high
        super().__init__(**rest)

    def described(self, converter: Any) -> Json:
        """Return the field as JSON Schema."""
        return {
            "type": "array",
            "items": converter.field2property(self.inner),
            "minItems": self.low,
            "maxItems": self.high,
        }

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


class StrictNested(Strict):
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

    def described(self, converter: Any) -> Json:
        """Return the field as JSON Schema."""
        nested: Json = converter.resolve_nested_schema(self.schema_class)
        return nested

    def _deserialize(self, value: Any, attr: str | None, data: Any, **_: Any) -> Any:
        return self.schema.load(value)


class Choice(Strict):
    """One of several closed objects, told apart by the key that only it has.

    The loaded value is the object's members; the key says which variant it was.
    """

    def __init__(self, *, component: str, variants: Mapping[str, type[Schema]], **rest: Any) -> None:
        self.component, self.variants = component, dict(variants)
        self._made: dict[str, Schema] = {}
        super().__init__(**rest)

    def described(self, converter: Any) -> Json:
        """Return the field as JSON Schema."""
        return {"description": self.metadata["component_description"]}

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


class Tagged(Strict):
    """One of several closed objects, told apart by the value of one member that all have."""

    def __init__(
        self, *, component: str, tag: str, variants: Callable[[], Mapping[str, type[Schema]]], **rest: Any
    ) -> None:
        self.component, self.tag, self._variants = component, tag, variants
        self._made: dict[str, Schema] = {}
        super().__init__(**rest)

    @property
    def variants(self) -> Mapping[str, type[Schema]]:
        """Return the variants by tag; asked for late, since variants may hold themselves."""
        return self._variants()

    def described(self, converter: Any) -> Json:
        """Return the field as JSON Schema."""
        return {"description": f"One of these, told apart by `{self.tag}`."}

    def _deserialize(self, value: Any, attr: str | None, data: Any, **_: Any) -> Any:
        if not isinstance(value, dict):
            raise ValidationError("wrong_type: Give a JSON object.")
        name = value.get(self.tag)
        if not isinstance(name, str) or name not in self.variants:
            raise ValidationError({self.tag: [f"not_listed: Give one of: {', '.join(self.variants)}."]})
        if name not in self._made:
            self._made[name] = self.variants[name]()
        return self._made[name].load(value)
