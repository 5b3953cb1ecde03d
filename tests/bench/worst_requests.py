"""What the dearest request of each operation costs: ``python -m tests.bench.worst_requests [SECONDS SEED]``.

For each operation it climbs, for so many seconds, from examples and from random requests that keep to the
document to others that take longer: members are drawn anew, taken from another request, left out; numbers
grow or shrink; lists grow. Prints the dearest answered and the dearest refused, in milliseconds of one core.
"""

import copy
import json
import random
import sys
import time
from collections.abc import Callable
from typing import Any

from service.api.document import examples_of
from service.api.operations import Operation
from service.application import create_app
from service.configuration import read_configuration
from service.notation import reader
from tests.contract.documents import OPERATIONS, document, request_validator
from tests.contract.samples import Sampler

SECONDS, SEED = 20.0, 5
#: Changes without a dearer request before the climb begins anew.
PATIENCE = 25

Request = dict[str, Any]
Place = tuple[Any, Any]  # a container, and the key or index of a value in it


def places(value: Any, kinds: tuple[type, ...]) -> list[Place]:
    """Return where values of some kinds stand in a request, at any depth."""
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    found: list[Place] = []
    for key, inner in items:
        if isinstance(inner, kinds) and not isinstance(inner, bool):
            found.append((value, key))
        found += places(inner, kinds)
    return found


class Search:
    """The climb of one operation."""

    def __init__(self, operation: Operation, client: Any, chance: random.Random) -> None:
        content = document()["paths"][operation.path]["post"]["requestBody"]["content"]
        self._schema = content["application/json"]["schema"]
        self._operation = operation
        self._client = client
        self._chance = chance
        self._sampler = Sampler(chance.randrange(2**32))
        self._is_valid: Callable[[Any], bool] = request_validator(operation).is_valid
        self._examples = [example["request"] for example in examples_of(operation.noun).values()]
        self.dearest: dict[bool, tuple[float, Request]] = {}

    def _begun(self) -> Request:
        if self._chance.random() < 0.6:
            return copy.deepcopy(self._chance.choice(self._examples))
        drawn: Request = self._sampler.request(self._schema)
        return drawn

    def _changed(self, request: Request) -> Request:
        changed = copy.deepcopy(request)
        for _ in range(self._chance.randint(1, 2)):
            self._chance.choice([self._redraw, self._redraw, self._scale, self._scale, self._grow])(changed)
        return changed

    def _redraw(self, request: Request) -> None:
        """Take a member from another request, at the top or one level down, or leave it out."""
        other = self._begun()
        name = self._chance.choice([*request, *other])
        if name not in other:
            del request[name]
        elif isinstance(request.get(name), dict) and isinstance(other[name], dict) and other[name]:
            inner = self._chance.choice(list(other[name]))
            request[name][inner] = other[name][inner]
        else:
            request[name] = other[name]

    def _scale(self, request: Request) -> None:
        """Make a number larger or smaller."""
        if not (numbers := places(request, (int, float))):
            return
        container, key = self._chance.choice(numbers)
        number = container[key] * self._chance.choice([0.25, 0.5, 0.8, 1.25, 2, 4])
        container[key] = round(number) if isinstance(container[key], int) else round(number, 2)

    def _grow(self, request: Request) -> None:
        """Make a list twice as long, its new items a little different."""
        if not (lists := [place for place in places(request, (list,)) if place[0][place[1]]]):
            return
        container, key = self._chance.choice(lists)
        more = copy.deepcopy(container[key])
        for item, name in places(more, (int, float)):
            item[name] = type(item[name])(round(item[name] * self._chance.uniform(0.9, 1.1), 1))
        container[key] += more

    def _cost(self, request: Request) -> tuple[float, bool]:
        """Return the milliseconds of one core that a request takes, and whether it is answered."""
        # The same line is not read twice; here each request comes as if it were the first.
        reader._read.cache_clear()
        begin = time.process_time()
        answer = self._client.post(self._operation.path, json=request)
        took = 1000 * (time.process_time() - begin)
        assert answer.status_code < 500, (self._operation.path, json.dumps(request))
        return took, answer.status_code == 200

    def climb(self, end: float) -> None:
        """Climb once, and remember what was dearest on the way."""
        request = self._begun()
        took, idle = 0.0, 0
        while idle < PATIENCE and time.perf_counter() < end:
            other = self._changed(request)
            if not self._is_valid(other):
                continue
            cost, is_answered = self._cost(other)
            # Looked at twice: whatever else the machine does must not pass for work.
            if cost > took:
                cost = min(cost, self._cost(other)[0])
            idle = 0 if cost > 1.02 * took else idle + 1
            if cost >= took:
                took, request = cost, other
            if cost > self.dearest.get(is_answered, (0.0, {}))[0]:
                self.dearest[is_answered] = (cost, copy.deepcopy(other))


def main() -> None:
    """Climb for every operation and print what was found."""
    seconds = float(sys.argv[1]) if len(sys.argv) > 1 else SECONDS
    chance = random.Random(int(sys.argv[2]) if len(sys.argv) > 2 else SEED)
    only = sys.argv[3] if len(sys.argv) > 3 else ""
    client = create_app(read_configuration({})).test_client()
    for operation in OPERATIONS:
        if operation.request is None or only not in operation.path:
            continue
        search, end = Search(operation, client, chance), time.perf_counter() + seconds
        while time.perf_counter() < end:
            search.climb(end)
        for is_answered, (took, request) in sorted(search.dearest.items(), reverse=True):
            print(f"{operation.path} {'answered' if is_answered else 'refused'}: {took:.0f} ms of one core")
            print(f"  {json.dumps(request)[:600]}", flush=True)


if __name__ == "__main__":
    main()
