"""The stories of the examples: what each caller sends, one call after the other, and a part of each answer.

A story is the files ``story.<caller>.<number>-<name>.json``.
A step has ``summary``, ``path`` and ``request``; ``accept`` where the answer is a document; and ``carries``,
which says what of its request comes from earlier steps: a pointer into the request, and
``<step>.request#<pointer>`` or ``<step>.answer#<pointer>``.
Of the answer it shows a part, as ``answer``, or words that a document ``holds``.
Of a list of objects some may be shown; the first member of each says which one it is.

``python -m tests.contract.stories`` writes the shown parts anew, after a change of the figures.
"""

import json
from itertools import groupby
from pathlib import Path
from typing import Any

from flask.testing import FlaskClient

from service.api.document import document_folder

Json = dict[str, Any]

FOLDER = document_folder() / "examples"


def stories() -> dict[str, list[Path]]:
    """Return the steps of every story, in order, by its caller."""
    paths = sorted(FOLDER.glob("story.*.json"))
    return {caller: list(steps) for caller, steps in groupby(paths, lambda path: path.name.split(".")[1])}


def step_name(path: Path) -> str:
    return path.name.split(".")[2]


def shown(part: Any, answer: Any) -> Any:
    """Return of an answer what a part of it shows: the same members of the same objects."""
    if isinstance(part, dict):
        return {name: shown(inner, answer[name]) for name, inner in part.items()}
    if isinstance(part, list) and part and isinstance(part[0], dict):
        return [shown(entry, _entry_like(entry, answer)) for entry in part]
    return answer


def _entry_like(part: Json, answer: list[Json]) -> Json:
    name, value = next(iter(part.items()))
    return next(entry for entry in answer if entry[name] == value)


def at(pointer: str, value: Any) -> Any:
    """Return what stands at a JSON Pointer."""
    for key in pointer.split("/")[1:]:
        value = value[int(key)] if isinstance(value, list) else value[key]
    return value


def play(client: FlaskClient, steps: list[Path]) -> dict[str, tuple[Json, Any]]:
    """Send the requests of a story; return each step as it is written, with the whole answer."""
    played = {}
    for path in steps:
        step = json.loads(path.read_text(encoding="utf-8"))
        headers = {"Accept": step.get("accept", "application/json")}
        response = client.post(step["path"], json=step["request"], headers=headers)
        assert response.status_code == 200, f"{path.name}: {response.text}"
        played[step_name(path)] = (step, response.json if response.is_json else response.text)
    return played


def _write_anew() -> None:
    from service.application import create_app
    from service.configuration import read_configuration

    client = create_app(read_configuration({})).test_client()
    for steps in stories().values():
        for path, (step, answer) in zip(steps, play(client, steps).values(), strict=True):
            if "answer" in step:
                step["answer"] = shown(step["answer"], answer)
                path.write_text(json.dumps(step, indent=2, ensure_ascii=False) + "\n", encoding="utf-8")


if __name__ == "__main__":
    _write_anew()
