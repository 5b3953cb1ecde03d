"""schemathesis against the running service: ``python -m tests.fuzz.over_http --examples 1000``.

Starts the service on loopback, sends generated requests to every operation with all checks on, and stops it.
Prints the requests of each operation; a failure is printed with its request and ends it with 1.
"""

import argparse
import random
import sys
import tempfile
import time
import traceback
from collections import Counter
from pathlib import Path

import schemathesis
from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis.errors import Unsatisfiable
from hypothesis.strategies import SearchStrategy
from schemathesis.core.result import Ok

from tests.contract.test_generated_requests import CONFIG
from tests.load.instances import Instance

PORT = 18120
PHASES = (Phase.explicit, Phase.generate)


def main() -> int:
    """Send the requests and say what came of it."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--examples", type=int, default=1000)
    options.add_argument("--seed", type=int, default=random.randrange(2**32))
    asked = options.parse_args()
    print(f"seed {asked.seed}, {asked.examples} examples an operation", flush=True)
    with tempfile.TemporaryDirectory() as folder:
        instance = Instance(PORT, Path(folder), worker_count=2)
        try:
            failed = _search(f"http://127.0.0.1:{PORT}/openapi.json", asked.examples, asked.seed)
        finally:
            code = instance.stop()
    return int(failed or code != 0)


def _search(address: str, example_count: int, first: int) -> bool:
    document = schemathesis.openapi.from_url(address, config=CONFIG)
    failed = False
    for result in document.get_all_operations():
        assert isinstance(result, Ok)
        operation = result.ok()
        # Half of the requests keep to the document, half of them break it.
        for mode in schemathesis.GenerationMode:
            begin = time.monotonic()
            statuses: Counter[int] = Counter()
            try:
                _send(operation.as_strategy(generation_mode=mode), example_count // 2, first, statuses)
            except Unsatisfiable:
                # A table takes no parameters that a request could break.
                continue
            except Exception:
                failed = True
                traceback.print_exc(limit=3)
            told = ", ".join(f"{status}: {count}" for status, count in sorted(statuses.items()))
            print(f"{operation.label} {mode.value}: {told}; {time.monotonic() - begin:.0f} s", flush=True)
    return failed


def _send(
    cases: SearchStrategy[schemathesis.Case], example_count: int, first: int, statuses: Counter[int]
) -> None:
    """Send generated requests, count their statuses, and raise where an answer breaks the document."""

    @seed(first)
    @settings(
        max_examples=example_count, deadline=None, suppress_health_check=list(HealthCheck), phases=PHASES
    )
    @given(case=cases)
    def every_answer_keeps_to_the_document(case: schemathesis.Case) -> None:
        statuses[case.call_and_validate().status_code] += 1

    every_answer_keeps_to_the_document()


if __name__ == "__main__":
    sys.exit(main())
