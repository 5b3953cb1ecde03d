"""Random requests that keep to the document: from its bounds, its words and its examples."""

import random
from typing import Any

from tests.contract.documents import Json, document

#: How often an optional member is there, at most a handful of them, and how often an example is taken.
OPTIONAL = 0.35
EXAMPLE = 0.8
HANDFUL = 5
MORE_ITEMS = 3


class Sampler:
    """Draws values from the schemas of the document, the same ones for the same seed."""

    def __init__(self, seed: int) -> None:
        self.random = random.Random(seed)

    def request(self, schema: Json) -> Any:
        if "$ref" in schema:
            node: Any = document()
            for key in schema["$ref"].removeprefix("#/").split("/"):
                node = node[key]
            # What stands beside a reference, an example say, says more than what it points to.
            return self.request({**node, **{key: schema[key] for key in schema if key != "$ref"}})
        if "examples" in schema and self.random.random() < EXAMPLE:
            return self.random.choice(schema["examples"])
        if "const" in schema:
            return schema["const"]
        for keyword in ("oneOf", "anyOf"):
            if keyword in schema:
                return self.request(self.random.choice(schema[keyword]))
        if "enum" in schema:
            return self.random.choice(schema["enum"])
        return self._by_type(schema)

    def _by_type(self, schema: Json) -> Any:
        kind = schema["type"]
        if isinstance(kind, list):
            kind = self.random.choice(kind)
        match kind:
            case "object":
                return self._object(schema)
            case "array":
                count = self.random.randint(
                    schema["minItems"], min(schema["maxItems"], schema["minItems"] + MORE_ITEMS)
                )
                return [self.request(schema["items"]) for _ in range(count)]
            case "integer":
                return self._integer(schema.get("minimum", 0), schema.get("maximum", 200))
            case "number":
                return round(self.random.uniform(schema.get("minimum", 0), schema.get("maximum", 200)), 2)
            case "boolean":
                return self.random.random() < 0.5
            case "null":
                return None
        return self._text(schema)

    def _integer(self, low: int, high: int) -> int:
        if self.random.random() < 0.5:
            high = min(high, low + 10)
        return self.random.randint(low, high)

    def _object(self, schema: Json) -> Json:
        if "propertyNames" in schema:
            codes = self.random.sample(["sc", "fpdc", "bpdc2tog", "ch", "tr"], k=2)
            return {code: self.request(schema["additionalProperties"]) for code in codes}
        required = schema.get("required", [])
        optional_count = max(1, len(schema["properties"]) - len(required))
        chance = min(OPTIONAL, HANDFUL / optional_count)
        return {
            name: self.request(member)
            for name, member in schema["properties"].items()
            if name in required or self.random.random() < chance
        }

    def _text(self, schema: Json) -> str:
        if "sc|" in schema.get("pattern", ""):
            return self.random.choice(["sc", "fpdc", "dc"])
        text = "".join(self.random.choices("abc xyz", k=self.random.randint(1, 20)))
        return text if text.strip() else "abc"
