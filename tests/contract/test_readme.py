"""What the README shows is true: its commands are answered as it says, and it names every operation."""

import json
import shlex
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import pytest
from flask.testing import FlaskClient
from markdown_it import MarkdownIt

from tests.contract.documents import Json, document
from tests.contract.stories import shown

README = (Path(__file__).resolve().parents[2] / "README.md").read_text(encoding="utf-8")
BLOCKS = [(each.info, each.content) for each in MarkdownIt().parse(README) if each.type == "fence"]
#: Requests that the reader saves to a file, by the file's name.
FILES = {info.removeprefix("json "): content for info, content in BLOCKS if info.startswith("json ")}
ADDRESS = "http://127.0.0.1:8080"


@dataclass(frozen=True, slots=True)
class Command:
    """A curl command of the README, and what is shown of its answer."""

    path: str
    request: Json
    accept: str
    answer_kind: str
    answer: str


def _command(written: str, answer_kind: str, answer: str) -> Command:
    words = shlex.split(written)
    [address] = [word for word in words if word.startswith(ADDRESS)]
    [body] = [following for word, following in pairwise(words) if word in ("-d", "--json")]
    accepted = [word.removeprefix("Accept: ") for word in words if word.startswith("Accept: ")]
    return Command(
        path=address.removeprefix(ADDRESS),
        request=json.loads(FILES[body[1:]] if body.startswith("@") else body),
        accept=accepted[0] if accepted else "application/json",
        answer_kind=answer_kind,
        answer=answer,
    )


COMMANDS = [
    _command(content, *BLOCKS[position + 1])
    for position, (_, content) in enumerate(BLOCKS)
    if content.startswith("curl ")
]


def test_each_caller_finds_three_commands() -> None:
    sections = {
        part.partition("\n")[0].partition(":")[0]: part.count("\ncurl ") for part in README.split("\n## ")
    }

    assert {name: count for name, count in sections.items() if name.startswith("For ")} == {
        "For a web shop or a designer": 3,
        "For a mobile app": 3,
        "For a class organizer": 3,
    }


@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: command.path)
def test_a_command_is_answered_as_shown(client: FlaskClient, command: Command) -> None:
    response = client.post(command.path, json=command.request, headers={"Accept": command.accept})

    assert response.status_code == 200, response.text
    if command.answer_kind == "json":
        part = json.loads(command.answer)
        assert shown(part, response.json) == part
    else:
        assert command.answer.strip() in response.text


def test_every_operation_is_named() -> None:
    missing = [path for path in document()["paths"] if f"{path}`" not in README]

    assert missing == []
