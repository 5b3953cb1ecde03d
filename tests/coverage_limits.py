"""Hold each package to its branch coverage: reads coverage's JSON and tells what is missing.

``python -m coverage json -q -o - | python -m tests.coverage_limits``
"""

import json
import sys
from collections.abc import Iterator, Mapping
from pathlib import PurePosixPath
from typing import Any

__all__ = ["complaints", "main"]

#: Percent of lines and branches that tests have to run through, in packages where every one counts.
LIMITS = {"service/domain": 100.0, "service/notation": 100.0}
LIMIT_ELSEWHERE = 95.0


def _by_package(report: Mapping[str, Any]) -> dict[str, dict[str, Any]]:
    """Return the files of each package, by their paths."""
    packages: dict[str, dict[str, Any]] = {}
    for path, file in sorted(report["files"].items()):
        packages.setdefault(str(PurePosixPath(path).parent), {})[path] = file
    return packages


def _percent(files: Mapping[str, Any]) -> float:
    sums = [file["summary"] for file in files.values()]
    covered = sum(each["covered_lines"] + each["covered_branches"] for each in sums)
    every = sum(each["num_statements"] + each["num_branches"] for each in sums)
    return 100 * covered / every if every else 100.0


def _gaps(files: Mapping[str, Any]) -> Iterator[str]:
    for path, file in files.items():
        lines, unrun = file["missing_lines"], set(file["missing_lines"])
        # A branch to a line that is told already needs no telling.
        branches = [f"{a}->{b if b > 0 else 'exit'}" for a, b in file["missing_branches"] if b not in unrun]
        if lines or branches:
            yield f"    {path}: {', '.join([*map(str, lines), *branches])}"


def complaints(report: Mapping[str, Any]) -> list[str]:
    """Return what is below its limit: a line for each package, and one for each of its files with gaps."""
    told: list[str] = []
    for package, files in _by_package(report).items():
        percent, limit = _percent(files), LIMITS.get(package, LIMIT_ELSEWHERE)
        if percent < limit:
            told += [f"{package}: {percent:.2f} %, at least {limit:g} %", *_gaps(files)]
    return told


def main() -> None:
    """Print the coverage of each package, and fail where one is below its limit."""
    report = json.load(sys.stdin)
    for package, files in _by_package(report).items():
        print(f"{package:24} {_percent(files):6.2f} %")
    told = complaints(report)
    if told:
        sys.exit("\n".join(["below the limit:", *told]))


if __name__ == "__main__":
    main()
