"""What the README promises about threats: each has its test, and what must not be there is not."""

import ast
import re
from pathlib import Path

import pytest

from service.application import create_app
from service.configuration import read_configuration
from tests.contract.documents import OPERATIONS

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
SECURITY = README.partition("## SECURITY")[2].partition("\n## ")[0]
NAMED_TESTS = sorted(set(re.findall(r"`(tests/[\w/]+\.py)::(\w+)`", SECURITY)))

#: Packages by which a program calls others; only to the operator's own Redis and collector.
CALLING = {
    "asyncio", "ftplib", "http", "httpx", "imaplib", "multiprocessing", "opentelemetry", "os", "poplib",
    "redis", "requests", "smtplib", "socket", "socketserver", "ssl", "subprocess", "telnetlib", "urllib",
    "urllib3", "webbrowser",
}  # fmt: skip
ALLOWED = {
    "service/api/rate_limits.py": {"redis"},
    "service/api/tracing.py": {"opentelemetry"},
    # The environment is read once.
    "service/application.py": {"os"},
}
#: What may be taken from those packages anywhere: it calls nobody.
HARMLESS = {"urllib.parse"}

#: Addresses that are for people and for the operator, not for programs that calculate.
UNDOCUMENTED = {
    "/", "/docs", "/docs/<name>", "/health/live", "/health/ready", "/metrics", "/openapi.json",
    "/openapi.yaml", "/problems/", "/problems/<slug>", "/static/<name>", "/worksheet/<kind>.svg",
    "/worksheet/pattern.<form>",
}  # fmt: skip


def _calling_imports(path: Path) -> set[str]:
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            found.add(node.module or "")
    return {name.split(".")[0] for name in found - HARMLESS} & CALLING


def test_the_ten_threats_are_all_there() -> None:
    assert [int(number) for number in re.findall(r"^\| API(\d+) ", SECURITY, re.MULTILINE)] == list(
        range(1, 11)
    )


def test_every_threat_names_a_test() -> None:
    rows = [line for line in SECURITY.splitlines() if line.startswith("| ") and line.count("|") == 4]

    assert len(rows) >= 12
    assert [row for row in rows[1:] if "`tests/" not in row] == []


@pytest.mark.parametrize(("path", "name"), NAMED_TESTS)
def test_the_test_that_is_named_is_there(path: str, name: str) -> None:
    assert f"def {name}(" in (ROOT / path).read_text(encoding="utf-8")


def test_no_module_can_call_another_service() -> None:
    found = {
        str(path.relative_to(ROOT)): calling
        for path in (ROOT / "service").rglob("*.py")
        if (calling := _calling_imports(path))
    }

    assert found == ALLOWED


def test_every_address_is_documented() -> None:
    rules = {rule.rule for rule in create_app(read_configuration({})).url_map.iter_rules()}

    assert rules == {operation.path for operation in OPERATIONS} | UNDOCUMENTED
