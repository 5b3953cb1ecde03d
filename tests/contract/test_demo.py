"""The demo prints the hat of its example whole."""

import json
from pathlib import Path

import pytest
from flask.testing import FlaskClient

from service import demo
from tests.contract.documents import Json

EXAMPLE = Path(__file__).resolve().parents[2] / "openapi" / "examples" / "hat-plans.demo.json"


@pytest.fixture
def plan(client: FlaskClient) -> Json:
    example = json.loads(EXAMPLE.read_text(encoding="utf-8"))
    planned: Json = client.post("/v1/hat-plans", json=example["request"]).get_json()
    return planned


def test_the_demo_prints_every_round_of_its_plan_in_order(
    plan: Json, capsys: pytest.CaptureFixture[str]
) -> None:
    demo.main()

    lines = capsys.readouterr().out.splitlines()
    begun = lines.index(plan["rounds"][0]["text"])
    printed = [line for line in lines[begun : lines.index("Finishing")] if line.startswith("Rnd")]
    assert printed == [worked["text"] for worked in plan["rounds"]]


def test_the_demo_names_each_section_once_and_says_what_to_know(
    plan: Json, capsys: pytest.CaptureFixture[str]
) -> None:
    demo.main()

    lines = capsys.readouterr().out.splitlines()
    sections = [part["name"].capitalize() for part in plan["sections"]]
    assert [line for line in lines if line in sections] == sections
    assert plan["foundation"]["text"] in lines
    assert [line for line in lines if line in plan["finishing"]] == plan["finishing"]
    assert [f"- {notice['text']}" for notice in plan["notices"]] == lines[-len(plan["notices"]) :]
    assert f"About {plan['hours']['hours']} hours at the hook." in lines
