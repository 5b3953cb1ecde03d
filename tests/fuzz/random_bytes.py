"""Coverage-guided bytes for the readers: ``python -m tests.fuzz.random_bytes body -runs=200000``.

``body`` reads them as a request body, ``pattern`` as a written pattern, in US and in UK terms.
Further arguments are libFuzzer's. What it finds is a file in the folder where it runs.
"""

import json
import os
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import NamedTuple

import atheris

with atheris.instrument_imports(include=["service.api.reading", "service.notation"]):
    from service.api.reading import BodyRefused, parse_bytes
    from service.domain.errors import PatternMathError
    from service.notation.count_checks import check_counts
    from service.notation.terms import TERMS

LONGEST = 1024
ROOT = Path(__file__).parents[2]


def read_body(data: bytes) -> None:
    """Read a body: it is refused, or it is what another JSON reader reads."""
    try:
        value = parse_bytes(data)
    except BodyRefused:
        return
    assert value == json.loads(data), "the value is another one"


def read_pattern(data: bytes) -> None:
    """Check a pattern: every fault points at a place in it. Its first byte chooses the terms."""
    terms = TERMS["us" if data[:1] < b"\x80" else "uk"]
    text = data[1:LONGEST].decode("utf-8", errors="replace")
    try:
        check = check_counts(text, terms)
    except PatternMathError:
        return
    lines = text.split("\n")
    for entry in check.rounds:
        for fault in entry.faults:
            assert 1 <= fault.line <= len(lines), "the fault has no line"
            assert 1 <= fault.column <= len(lines[fault.line - 1]) + 2, "the fault has no column"


def example_bodies() -> Iterator[bytes]:
    """Yield the bodies of the document's examples."""
    for path in sorted((ROOT / "openapi" / "examples").glob("*.json")):
        yield json.dumps(json.loads(path.read_text())["request"]).encode()


def example_patterns() -> Iterator[bytes]:
    """Yield the texts that the notation is tested with, in the terms of their file's name or in US terms."""
    for path in sorted((ROOT / "tests" / "notation" / "corpus").glob("*.txt")):
        first = b"\xff" if "uk" in path.stem else b"\x00"
        for paragraph in path.read_bytes().split(b"\n\n"):
            yield first + paragraph[: LONGEST - 1]


class Target(NamedTuple):
    """What is searched: a reader, and bytes to begin with."""

    read: Callable[[bytes], None]
    examples: Callable[[], Iterator[bytes]]


TARGETS = {"body": Target(read_body, example_bodies), "pattern": Target(read_pattern, example_patterns)}


def main() -> int:
    """Search with the target that the first argument names; return its exit code."""
    target = TARGETS[sys.argv.pop(1)]
    with tempfile.TemporaryDirectory() as folder:
        for number, example in enumerate(target.examples()):
            (Path(folder) / str(number)).write_bytes(example)
        child = os.fork()
        if child == 0:
            atheris.Setup([*sys.argv, f"-max_len={LONGEST}", folder], target.read)
            # Ends the process without a way back.
            atheris.Fuzz()
        return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


if __name__ == "__main__":
    sys.exit(main())
