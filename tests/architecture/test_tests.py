"""A test of the tests: each claims something, is named by a sentence, and stays on this machine."""

import ast
import socket
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

TESTS = Path(__file__).resolve().parents[1]
FILES = sorted(TESTS.rglob("test_*.py"))
#: Calls of other libraries that raise where something is amiss; `expect` waits for a page to show something.
CALLS_THAT_ASSERT = {"call_and_validate", "expect", "raises", "validate", "warns"}
FEWEST_WORDS = 4
#: Modules that measure or wait, and the folders where that is the purpose.
CLOCKS = {"datetime", "time", "timeit"}
FOLDERS_THAT_MEASURE = {"bench", "load"}
#: Tests of processes: a limit in seconds is what they are about, or there is nothing else to wait for.
TESTS_OF_PROCESSES = {
    "api/test_health.py",
    "api/test_metrics.py",
    "api/test_rate_limits.py",
    "api/test_sockets.py",
}

Function = ast.FunctionDef | ast.AsyncFunctionDef


def _name(path: Path) -> str:
    return path.relative_to(TESTS).as_posix()


@cache
def _tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


@cache
def _functions(path: Path) -> dict[str, Function]:
    return {node.name: node for node in ast.walk(_tree(path)) if isinstance(node, Function)}


@cache
def _from_other_tests(path: Path) -> dict[str, tuple[Path, str]]:
    """Return the names that a file takes from another file of the tests, and where they come from."""
    return {
        alias.asname or alias.name: (source, alias.name)
        for node in ast.walk(_tree(path))
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("tests.")
        for source in [TESTS.parent.joinpath(*(node.module or "").split(".")).with_suffix(".py")]
        if source.exists()
        for alias in node.names
    }


def _calls(function: ast.AST) -> Iterator[str]:
    for node in ast.walk(function):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name | ast.Attribute):
            yield node.func.id if isinstance(node.func, ast.Name) else node.func.attr


def _has_assertion(function: ast.AST) -> bool:
    claims = [node.test for node in ast.walk(function) if isinstance(node, ast.Assert)]
    return any(not isinstance(claim, ast.Constant) for claim in claims) or not CALLS_THAT_ASSERT.isdisjoint(
        _calls(function)
    )


def _asserts(path: Path, function: Function) -> bool:
    """Return whether a function claims something, by itself or through what it calls in the tests."""
    waiting, seen = [(path, function)], {(path, function.name)}
    while waiting:
        where, one = waiting.pop()
        if _has_assertion(one):
            return True
        for called in _calls(one):
            source, name = _from_other_tests(where).get(called, (where, called))
            if name in _functions(source) and (source, name) not in seen:
                seen.add((source, name))
                waiting.append((source, _functions(source)[name]))
    return False


def _tests(path: Path) -> Iterator[Function]:
    return (function for name, function in _functions(path).items() if name.startswith("test_"))


def _modules(path: Path) -> set[str]:
    """Return the modules that a file imports, by their first names."""
    found: set[str] = set()
    for node in ast.walk(_tree(path)):
        if isinstance(node, ast.Import):
            found |= {alias.name.partition(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            found.add((node.module or "").partition(".")[0])
    return found


def test_every_test_asserts_something():
    silent = [
        f"{_name(path)}:{test.lineno} {test.name}"
        for path in FILES
        for test in _tests(path)
        if not _asserts(path, test)
    ]

    assert silent == []


@pytest.mark.parametrize(
    ("body", "told"),
    [
        ("assert 1 + 1 == 2", True),
        ("with pytest.raises(ValueError): int('x')", True),
        ("expect(page).to_have_title('Hats')", True),
        ("_helper()", True),
        ("for _ in range(2): _through_another()", True),
        ("print(1)", False),
        ("assert True", False),
        ("_silent()", False),
        ("test_it()", False),
    ],
)
def test_a_test_without_an_assertion_would_be_found(tmp_path, body, told):
    file = tmp_path / "test_something.py"
    file.write_text(
        "def _helper():\n    assert open\n"
        "def _through_another():\n    _helper()\n"
        "def _silent():\n    return 1\n"
        f"def test_it():\n    {body}\n"
    )

    assert _asserts(file, _functions(file)["test_it"]) is told


def test_names_of_tests_are_sentences():
    short = [
        f"{_name(path)}:{test.lineno} {test.name}"
        for path in FILES
        for test in _tests(path)
        if len(test.name.removeprefix("test_").split("_")) < FEWEST_WORDS
    ]

    assert short == []


def test_no_name_of_a_test_hides_another():
    hidden = [
        f"{_name(path)} {name}"
        for path in FILES
        for names in [[node.name for node in _tree(path).body if isinstance(node, Function)]]
        for name in set(names)
        if names.count(name) > 1
    ]

    assert hidden == []


def test_only_tests_of_processes_look_at_the_clock():
    clocked = {
        _name(path)
        for path in FILES
        if not FOLDERS_THAT_MEASURE & set(path.relative_to(TESTS).parts) and CLOCKS & _modules(path)
    }

    assert clocked == TESTS_OF_PROCESSES


def test_no_test_reaches_beyond_this_machine():
    # 192.0.2.0/24 is kept for documents (RFC 5737): nothing answers there.
    with pytest.raises(AssertionError, match="beyond this machine"):
        socket.create_connection(("192.0.2.1", 80), timeout=1)

    with pytest.raises(AssertionError, match="beyond this machine"):
        socket.create_connection(("localhost.example", 80), timeout=1)
