"""Every calculation says what it cost, in units that no clock can change."""

import pytest
from flask.testing import FlaskClient

from service.api.document import examples_of
from service.api.operations import Operation
from service.application import create_app
from service.configuration import read_configuration
from service.domain.work_units import LEAST_WORK, PDF_WORK, PNG_WORK, steps_work, yarn_work
from service.drawings.png import png_is_available
from service.notation.reader import read_line
from service.notation.work_budgets import MOST_REPAIR_WORK, MOST_WORK, reading_work
from tests.contract.documents import OPERATIONS

CALCULATIONS = [operation for operation in OPERATIONS if operation.method == "post"]
PLAN = {
    "head": {"circumference_cm": 57},
    "gauge": {"stitches_per_10cm": 17, "rounds_per_10cm": 14},
    "fabric": {"fabric_id": "cable-2x2"},
}


def _work(client: FlaskClient, path: str, body: object, accept: str = "*/*") -> int:
    answer = client.post(path, json=body, headers={"Accept": accept})
    assert answer.status_code == 200, answer.text
    return int(answer.headers["Work-Units"])


@pytest.mark.parametrize("operation", CALCULATIONS, ids=lambda operation: operation.operation_id)
def test_every_example_costs_the_same_each_time(client, operation: Operation):
    for example in examples_of(operation.noun).values():
        first, second = (_work(client, operation.path, example["request"]) for _ in range(2))

        assert first == second >= LEAST_WORK


def test_a_calculation_without_a_search_costs_the_least(client):
    body = {"from_stitch_count": 80, "to_stitch_count": 100}

    assert _work(client, "/v1/shaping-rounds", body) == LEAST_WORK


def test_a_cable_costs_more_than_a_plain_hat(client):
    plain = _work(client, "/v1/hat-plans", {**PLAN, "fabric": {"fabric_id": "plain-dc"}})

    assert _work(client, "/v1/hat-plans", PLAN) > plain > LEAST_WORK


def test_a_sheet_costs_more_than_its_plan(client):
    assert _work(client, "/v1/pattern-sheets", PLAN) > _work(client, "/v1/hat-plans", PLAN)


def test_a_drawing_costs_its_marks_beyond_its_plan(client):
    drawing = {**PLAN, "kind": "crown_chart", "extent": "whole"}

    assert _work(client, "/v1/drawings", drawing) > _work(client, "/v1/hat-plans", PLAN)


def test_equal_heads_of_a_class_cost_once(client):
    def body(*heads: float) -> dict[str, object]:
        design = {name: PLAN[name] for name in ("gauge", "fabric")}
        seats = [{"reference": f"seat-{n}", "head": {"circumference_cm": h}} for n, h in enumerate(heads)]
        return {"participants": seats, "design": design}

    once = _work(client, "/v1/class-kits", body(57))

    assert _work(client, "/v1/class-kits", body(57, 57, 57)) == once
    assert _work(client, "/v1/class-kits", body(57, 52)) > once


def test_a_text_costs_what_its_answer_says_of_the_limit(client):
    text = "Rnd 1: 6 sc in ring. (6)"
    # To count it for one size costs 30, and once 70 and 5 for each of its words.
    read, counted = reading_work(text), 30 + 70 + 5 * read_line(text, "us").cost

    assert _work(client, "/v1/count-checks", {"text": text}) == LEAST_WORK + read + counted


def test_what_a_text_may_cost_bounds_its_header(client):
    rounds = "\n".join(f"Rnd {k}: Sc in next {k} sts, sc in each st around. ({k})" for k in range(1, 390))
    body = {"text": f"Ch 60 ({', '.join(str(60 + k) for k in range(1, 24))}), join.\n{rounds}"}

    most = MOST_WORK + MOST_REPAIR_WORK

    assert 0.9 * MOST_WORK < _work(client, "/v1/count-checks", body) - LEAST_WORK <= most


def test_tables_and_refusals_tell_no_cost(client):
    assert "Work-Units" not in client.get("/v1/fabrics").headers
    assert "Work-Units" not in client.post("/v1/hat-plans", json={}).headers


@pytest.mark.parametrize("operation", CALCULATIONS, ids=lambda operation: operation.operation_id)
def test_the_log_and_the_metrics_tell_the_same(lines, operation: Operation):
    fresh = create_app(read_configuration({})).test_client()
    example, *_ = examples_of(operation.noun).values()

    cost = _work(fresh, operation.path, example["request"])

    assert lines.last["work_units"] == cost
    told = f'hat_work_units_total{{route="{operation.path}"}} {float(cost)}\n'
    assert told in fresh.get("/metrics").text


def test_a_page_that_plans_tells_its_work_to_the_operator(client, lines):
    client.get("/?head_cm=57&stitches=17&rounds=14")

    assert lines.last["work_units"] > LEAST_WORK


def test_a_table_is_no_work(client, lines):
    client.get("/v1/fabrics")

    assert lines.last["work_units"] == 0


def test_paper_and_paint_cost_more_than_words(client):
    sheet = _work(client, "/v1/pattern-sheets", PLAN, "text/html")
    drawing = {**PLAN, "kind": "schematic"}
    picture = _work(client, "/v1/drawings", drawing, "image/svg+xml")

    assert _work(client, "/v1/pattern-sheets", PLAN, "application/pdf") == sheet + PDF_WORK
    if png_is_available():
        assert _work(client, "/v1/drawings", drawing, "image/png") == picture + PNG_WORK


def test_yarn_costs_its_rounds_and_the_steps_that_were_written(client):
    def cost(written: int, repeat_count: int) -> int:
        steps = [{"op": "work", "stitch": "dc", "count": 2}] * 14
        rounds = [{"steps": steps, "repeat_count": repeat_count}] * written
        return _work(client, "/v1/yarn-estimates", {"yarn": {"weight_category": 4}, "rounds": rounds})

    assert cost(40, 1) == LEAST_WORK + 40 * (steps_work(14) + yarn_work(1))
    assert cost(1, 40) == LEAST_WORK + steps_work(14) + yarn_work(40)


def test_one_request_leaves_nothing_to_the_next(client):
    _work(client, "/v1/hat-plans", PLAN)

    assert _work(client, "/v1/gauges", {"readings": [
        {"stitch_count": 20, "width_cm": 10, "round_count": 14, "height_cm": 10}
    ]}) == LEAST_WORK  # fmt: skip
