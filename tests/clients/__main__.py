"""Generate clients from the document with tools from outside and use them: ``python -m tests.clients TOOLS``.

``TOOLS`` is a folder with what the lock files name: ``typescript/node_modules`` and a virtual environment
``python``. Everything that is generated goes to a temporary folder.
"""

import os
import re
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

PROGRAMS = Path(__file__).resolve().parent
PROJECT = PROGRAMS.parents[1]
DOCUMENT = PROJECT / "openapi" / "openapi.yaml"

#: A member that could be anything; a response's headers are, to the generator.
LOOSE_IN_TYPESCRIPT = re.compile(r"^\s+(?!\[name: string\])\S+: (?:unknown|any)\b.*$", re.MULTILINE)
LOOSE_IN_PYTHON = re.compile(r"^    (?!additional_properties)\w+: .*\bAny\b.*$", re.MULTILINE)

#: Seconds for the service to start, and for any one tool.
START_LIMIT_S = 20
TOOL_LIMIT_S = 120


class StepFailed(Exception):
    """A tool or a program did not end well, or its output is not what it should be."""


def run(name: str, *command: str | Path, path: Path | None = None) -> str:
    """Run a tool to its end and return what it printed."""
    search = os.pathsep.join([*([str(path)] if path else []), os.environ["PATH"]])
    done = subprocess.run(
        [str(part) for part in command],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        timeout=TOOL_LIMIT_S,
        env={**os.environ, "PATH": search},
    )
    if done.returncode:
        # A program of ours says itself which of its checks failed.
        said = "" if re.search("^failed: ", done.stdout, re.MULTILINE) else f"failed: {name}\n"
        raise StepFailed(said + done.stdout)
    return done.stdout


def hold_to_types(name: str, sources: Iterator[Path], loose: re.Pattern[str]) -> None:
    """Refuse generated types that leave a member open where the document knows better."""
    found = [line.strip() for source in sources for line in loose.findall(source.read_text(encoding="utf-8"))]
    if found:
        raise StepFailed(f"failed: {name}, members without a type: {found}")


def use_typescript(tools: Path, folder: Path, address: str) -> str:
    """Generate types, compile the program strictly and run it with node."""
    binaries = tools / "typescript" / "node_modules" / ".bin"
    for source in (PROGRAMS / "typescript").iterdir():
        shutil.copy(source, folder)
    (folder / "node_modules").symlink_to(tools / "typescript" / "node_modules")
    types = folder / "service.ts"
    # A member with a default may be left out of a request.
    defaults = ("--default-non-nullable", "false")
    run("TypeScript, generate", binaries / "openapi-typescript", DOCUMENT, *defaults, "--output", types)
    hold_to_types("TypeScript, generate", iter([types]), LOOSE_IN_TYPESCRIPT)
    run("TypeScript, compile", binaries / "tsc", "--project", folder)
    return run("TypeScript, use", "node", folder / "built" / "callers.js", address)


def use_python(tools: Path, folder: Path, address: str) -> str:
    """Generate a client, check the program's types strictly and run it."""
    binaries = tools / "python" / "bin"
    settings = PROGRAMS / "python" / "generator.yaml"
    program = shutil.copy(PROGRAMS / "python" / "callers.py", folder)
    warnings = run(
        "Python, generate",
        *(binaries / "openapi-python-client", "generate", "--meta", "none", "--fail-on-warning"),
        *("--path", DOCUMENT, "--config", settings, "--output-path", folder / "hat_pattern_math_client"),
        path=binaries,
    )
    if "WARNING" in warnings:
        raise StepFailed(f"failed: Python, generate\n{warnings}")
    models = (folder / "hat_pattern_math_client" / "models").glob("*.py")
    hold_to_types("Python, generate", models, LOOSE_IN_PYTHON)
    strictly = ("--strict", "--disallow-any-expr", "--follow-imports", "silent", "--cache-dir", os.devnull)
    run("Python, check the types", binaries / "python", "-m", "mypy", *strictly, program)
    return run("Python, use", binaries / "python", program, address)


@contextmanager
def running_service(log: Path) -> Iterator[str]:
    """Start the service on a free port of loopback, give its address, and stop it again."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        bind = f"127.0.0.1:{probe.getsockname()[1]}"
    service = subprocess.Popen(
        [sys.executable, "-m", "gunicorn", "--config", "docker/gunicorn.conf.py", "service.wsgi:app"],
        cwd=PROJECT,
        env={**os.environ, "BIND": bind, "WORKERS": "1"},
        stdout=subprocess.DEVNULL,
        stderr=log.open("w"),
    )
    try:
        if not answers(f"http://{bind}/health/ready", service):
            raise SystemExit(f"{log.read_text()}\nfailed: the service did not start")
        yield f"http://{bind}"
    finally:
        service.terminate()
        service.wait(timeout=START_LIMIT_S)


def answers(address: str, service: subprocess.Popen[bytes]) -> bool:
    """Return whether the service answers before the time is up."""
    end = time.monotonic() + START_LIMIT_S
    while time.monotonic() < end and service.poll() is None:
        try:
            with urllib.request.urlopen(address, timeout=1):
                return True
        except OSError:
            time.sleep(0.1)
    return False


def main(tools: Path) -> int:
    """Use both clients and say how many checks passed and failed."""
    printed = []
    with (
        tempfile.TemporaryDirectory() as temporary,
        running_service(Path(temporary) / "service.log") as address,
    ):
        for use in (use_typescript, use_python):
            folder = Path(temporary) / use.__name__
            folder.mkdir()
            try:
                printed.append(use(tools.resolve(), folder, address))
            except StepFailed as failure:
                printed.append(str(failure))
            print(printed[-1].rstrip(), flush=True)
    lines = "\n".join(printed).splitlines()
    passed_count = sum(line.startswith("passed: ") for line in lines)
    failed_count = sum(line.startswith("failed: ") for line in lines)
    print(f"{passed_count} passed, {failed_count} failed")
    return 1 if failed_count or not passed_count else 0


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1])))
