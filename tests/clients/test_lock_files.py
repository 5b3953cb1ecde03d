"""The lock files name every tool exactly, and no address to fetch it from."""

import json
import re
from pathlib import Path

import pytest

FOLDER = Path(__file__).parent
PACKAGES = json.loads((FOLDER / "typescript" / "package-lock.json").read_text(encoding="utf-8"))["packages"]
LOCKS = (FOLDER / "typescript" / "package-lock.json", FOLDER / "python" / "requirements.lock")


@pytest.mark.parametrize("path", LOCKS, ids=lambda path: path.name)
def test_a_lock_file_holds_no_address(path):
    assert "://" not in path.read_text(encoding="utf-8")


def test_every_npm_package_is_known_by_its_content():
    nameless = [name for name, entry in PACKAGES.items() if name and "integrity" not in entry]

    assert len(PACKAGES) > 1
    assert nameless == []


def test_every_python_package_is_known_by_its_content():
    lines = LOCKS[1].read_text(encoding="utf-8").splitlines()

    packages = [number for number, line in enumerate(lines) if re.match("[a-z]", line)]

    assert packages
    assert all("--hash=sha256:" in lines[number + 1] for number in packages)
    assert all("==" in lines[number] for number in packages)
