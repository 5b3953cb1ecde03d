"""The limits of coverage are held package by package."""

import io
import json
from typing import Any

import pytest

from tests.coverage_limits import complaints, main


def _file(*, lines: int, missing: list[int], branches: list[list[int]]) -> dict[str, Any]:
    """Return what coverage says of a file of so many lines, each with a branch."""
    return {
        "summary": {
            "covered_lines": lines - len(missing),
            "num_statements": lines,
            "covered_branches": lines - len(branches),
            "num_branches": lines,
        },
        "missing_lines": missing,
        "missing_branches": branches,
    }


@pytest.mark.parametrize(
    ("path", "missing", "told"),
    [
        ("service/domain/hats.py", [], []),
        (
            "service/domain/hats.py",
            [7],
            ["service/domain: 99.50 %, at least 100 %", "    service/domain/hats.py: 7"],
        ),
        ("service/notation/reader.py", [7, 8], ["service/notation: 99.00 %, at least 100 %"]),
        ("service/api/reading.py", list(range(1, 11)), []),
        ("service/api/reading.py", list(range(1, 12)), ["service/api: 94.50 %, at least 95 %"]),
    ],
)
def test_a_package_below_its_limit_is_told_with_its_gaps(
    path: str, missing: list[int], told: list[str]
) -> None:
    report = {"files": {path: _file(lines=100, missing=missing, branches=[])}}

    assert complaints(report)[: len(told) or 1] == told


def test_a_branch_is_told_unless_its_line_is() -> None:
    gaps = _file(lines=100, missing=[9], branches=[[8, 9], [4, 6], [12, -3]])

    told = complaints({"files": {"service/domain/hats.py": gaps}})

    assert told[1:] == ["    service/domain/hats.py: 9, 4->6, 12->exit"]


def test_packages_are_held_apart() -> None:
    report = {
        "files": {
            "service/api/reading.py": _file(lines=1000, missing=[], branches=[]),
            "service/api/routes/hats.py": _file(lines=10, missing=[1, 2], branches=[]),
        }
    }

    [package, _] = complaints(report)
    assert package == "service/api/routes: 90.00 %, at least 95 %"


def test_what_is_below_its_limit_fails(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    report = {"files": {"service/domain/hats.py": _file(lines=100, missing=[7], branches=[])}}
    monkeypatch.setattr("sys.stdin", io.StringIO(json.dumps(report)))

    with pytest.raises(SystemExit, match=r"hats\.py: 7"):
        main()

    assert capsys.readouterr().out == "service/domain            99.50 %\n"
