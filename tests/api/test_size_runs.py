"""Size runs over HTTP: the single plans, one text that is proved for every size, and what is refused."""

import re
from typing import Any

import pytest
from flask.testing import FlaskClient

from tests.patterns.size_picker import pick_size

PATH = "/v1/size-runs"
DESIGN: dict[str, Any] = {
    "gauge": {"stitches_per_10cm": 18.5, "rounds_per_10cm": 11.5},
    "fabric": {"fabric_id": "cable-2x2"},
    "yarn": {"weight_category": 4, "ball": {"mass_g": 100, "length_m": 180}},
}
HEADS_CM = (48, 50, 52, 54, 56, 58, 60, 62)


def _heads(*heads_cm: float) -> list[dict[str, float]]:
    return [{"circumference_cm": head_cm} for head_cm in heads_cm]


def _post(client: FlaskClient, *heads_cm: float, design: dict[str, Any] | None = None, **rest: Any) -> Any:
    heads = _heads(*(heads_cm or HEADS_CM))
    return client.post(PATH, json={"heads": heads, "design": {**DESIGN, **(design or {})}, **rest})


def _json(client: FlaskClient, path: str, body: Any) -> Any:
    return client.post(path, json=body).json


def test_eight_sizes_are_the_eight_single_plans(client: FlaskClient) -> None:
    run = _post(client).json

    for size, head_cm in zip(run["sizes"], HEADS_CM, strict=True):
        plan = _json(client, "/v1/hat-plans", {**DESIGN, "head": {"circumference_cm": head_cm}})
        assert size["counts"] == plan["counts"]
        assert size["size"] == plan["size"]
        assert size["yarn"] == plan["yarn"]
        assert size["hours"] == plan["hours"]
        assert size["fit_probability"] == plan["fit_probability"]
        assert size["crown"]["stitch_counts"] == plan["crown"]["stitch_counts"]
        assert size["crown"]["shape_error"] == plan["crown"]["shape_error"]
        assert size["proof"] == plan["proof"]


@pytest.mark.parametrize("terms", ["us", "uk"])
@pytest.mark.parametrize("worked", ["from_brim", "from_crown"])
def test_the_text_read_back_for_each_size_agrees(client: FlaskClient, worked: str, terms: str) -> None:
    run = _post(client, design={"worked": worked, "terms": terms, "edging": "reverse_sc"}).json

    for size in run["sizes"]:
        lines = pick_size(run["text"], size["number"], size_count=len(run["sizes"]))
        check = _json(client, "/v1/count-checks", {"text": "\n".join(lines), "terms": terms})
        assert check["verdict"] == "agrees"
        rounds = [entry for entry in check["rounds"] if entry["round"] is not None]
        made = [entry["stitch_count"] for entry in rounds]
        assert size["counts"]["body"] in made
        assert size["crown"]["stitch_counts"][-1] in made


def test_body_circumference_and_depth_are_monotone(client: FlaskClient) -> None:
    run = _post(client).json

    bodies = [row["finished_circumference_cm"] for row in run["measurements"]]
    depths = [size["size"]["depth_cm"] for size in run["sizes"]]
    assert bodies == sorted(bodies)
    assert depths == sorted(depths)


def test_sizes_come_smallest_first_and_know_their_head(client: FlaskClient) -> None:
    heads = [{"size_id": "adult-m"}, {"age_months": 12, "sex": "female"}, {"circumference_cm": 53}]

    run = _json(client, PATH, {"heads": heads, "design": DESIGN})

    assert [size["head"]["size_id"] for size in run["sizes"]] == [None, None, "adult-m"]
    assert [size["head"]["age_months"] for size in run["sizes"]] == [12, None, None]
    assert [size["number"] for size in run["sizes"]] == [1, 2, 3]


def test_a_poor_fit_names_its_cure(client: FlaskClient) -> None:
    run = _post(client, 52, 54.5, 57, 60, design={"fabric": {"fabric_id": "cable-4x4"}, "brim": None}).json

    poor = run["poor_fits"]
    told = [notice["text"] for notice in run["notices"] if notice["code"] == "fit_unlikely"]
    assert poor
    assert len(told) == len(poor)
    for entry, text in zip(poor, told, strict=True):
        assert entry["fit_probability"] < 0.8
        assert text.startswith(f"Size {entry['size']}: ")
        assert f"at most {entry['largest_stitch_multiple']} stitches" in text


def test_sizes_that_share_counts_are_told(client: FlaskClient) -> None:
    run = _post(client, 54, 54.2, 60, design={"fabric": {"fabric_id": "cable-4x4"}, "brim": None}).json

    assert run["shared_counts"] == [[1, 2]]
    assert "sizes_share_counts" in {notice["code"] for notice in run["notices"]}


def test_fabrics_are_ranked_by_their_poorest_fit(client: FlaskClient) -> None:
    fabrics = [{"fabric_id": "cable-4x4"}, {"fabric_id": "cable-2x2"}]

    run = _post(client, fabrics=fabrics).json

    ranking = run["fabric_ranking"]
    assert [grade["fabric_id"] for grade in ranking] == ["cable-2x2", "cable-4x4"]
    assert [grade["position"] for grade in ranking] == [1, 0]
    assert ranking[0]["lowest_fit_probability"] == min(size["fit_probability"] for size in run["sizes"])


@pytest.mark.parametrize(
    ("design", "fabrics", "slug"),
    [
        (
            {"fabric": {"fabric_id": "plain-sc"}, "round_style": "spiral"},
            [{"fabric_id": name} for name in ("cable-2x2", "plain-sc", "plain-dc")],
            "spiral-needs-plain-fabric",
        ),
        (
            {"fabric": {"fabric_id": "plain-sc"}, "section_count": 8},
            [{"fabric_id": name} for name in ("cable-2x2", "plain-dc")],
            "choose-one",
        ),
    ],
)
def test_a_fabric_that_the_design_cannot_have_ranks_last_with_the_reason(
    client: FlaskClient, design: dict[str, Any], fabrics: list[dict[str, Any]], slug: str
) -> None:
    ranking = _post(client, 54, 58, design=design, fabrics=fabrics).json["fabric_ranking"]

    assert len(ranking) == len(fabrics)
    assert ranking[0]["problem"] is None
    refused = [grade for grade in ranking if grade["problem"] is not None]
    assert refused == ranking[-len(refused) :]
    assert refused[0]["fabric_id"] == "cable-2x2"
    assert {grade["problem"]["type"] for grade in refused} == {f"/problems/{slug}"}
    assert {grade["lowest_fit_probability"] for grade in refused} == {0}


def test_a_fabric_too_wide_for_a_size_says_so(client: FlaskClient) -> None:
    wide = {"stitch": "dc", "columns": [{"face": "front", "width": 16}] * 4}

    (grade,) = _post(client, 26, 58, fabrics=[wide]).json["fabric_ranking"]

    assert (grade["size"], grade["lowest_fit_probability"]) == (1, 0)
    assert grade["problem"]["type"] == "/problems/repeat-wider-than-hat"


def test_a_fabric_that_is_none_is_pointed_at(client: FlaskClient) -> None:
    odd = {
        "stitch": "dc",
        "columns": [{"face": "front", "width": 5, "crossing": {"over": 2, "lean": "left"}}],
    }

    answer = _post(client, 54, 58, fabrics=[{"fabric_id": "plain-dc"}, odd])

    assert answer.json["type"] == "/problems/crossing-unequal"
    assert answer.json["pointer"] == "/fabrics/1"


def test_working_is_shown_size_by_size_when_asked_for(client: FlaskClient) -> None:
    run = _post(client, 54, 58, design={"show_working": True}).json

    names = {line["name"] for line in run["working"]}
    assert {"size_1.body_round_count", "size_2.body_round_count"} <= names
    assert "working" not in _post(client, 54, 58).json


@pytest.mark.parametrize(
    ("heads", "pointer"), [(_heads(56), "/heads"), (_heads(*range(40, 65)), "/heads"), (None, "/heads")]
)
def test_two_to_twenty_four_heads_are_needed(client: FlaskClient, heads: Any, pointer: str) -> None:
    body = {"design": DESIGN} if heads is None else {"heads": heads, "design": DESIGN}

    refused = _json(client, PATH, body)

    assert refused["status"] == 422
    assert [error["pointer"] for error in refused["errors"]] == [pointer]


def test_a_head_in_the_design_is_refused(client: FlaskClient) -> None:
    answer = _post(client, 54, 58, design={"head": {"circumference_cm": 56}})

    assert answer.json["errors"][0]["pointer"] == "/design/head"


def test_a_wrong_head_is_pointed_at(client: FlaskClient) -> None:
    answer = _post(client, 54, 5800)

    assert answer.json["errors"][0]["pointer"] == "/heads/1/circumference_cm"


def test_a_size_that_cannot_be_planned_is_refused_with_its_head(client: FlaskClient) -> None:
    answer = _post(client, 40, 58, design={"depth_cm": 9, "crown_round_count": 12})

    assert answer.status_code == 422
    assert answer.json["type"] == "/problems/brim-too-tall"
    assert answer.json["size_head_cm"] == 40
    assert answer.json["detail"].startswith("For the head of 40 cm: ")


def test_a_run_that_costs_too_much_is_refused_before_the_work(client: FlaskClient) -> None:
    fine = {"gauge": {"stitches_per_10cm": 60, "rounds_per_10cm": 60}, "fabric": {"fabric_id": "plain-sc"}}

    answer = _post(client, *range(40, 64), design=fine)

    assert answer.json["type"] == "/problems/work-budget-exceeded"
    assert answer.json["work_units"] > answer.json["limit"]


def test_the_same_request_gives_the_same_bytes(client: FlaskClient) -> None:
    first, second = _post(client, 54, 58), _post(client, 54, 58)

    assert first.data == second.data


def test_what_no_head_can_have_names_no_head(client: FlaskClient) -> None:
    answer = _post(client, 50, 58, design={"section_count": 8})

    assert answer.json["type"] == "/problems/choose-one"
    assert answer.json["given"] == ["section_count", "fabric"]
    assert answer.json["detail"].startswith("Both section_count and fabric were given.")
    assert "size_head_cm" not in answer.json
    assert "pointer" not in answer.json


def test_the_head_of_a_refused_size_is_pointed_at_as_it_was_sent(client: FlaskClient) -> None:
    heads = [{"circumference_cm": 58}, {"size_id": "adult-m"}, {"age_months": 0}]
    design = {**DESIGN, "depth_cm": 9, "crown_round_count": 12}

    answer = _json(client, PATH, {"heads": heads, "design": design})

    assert answer["type"] == "/problems/brim-too-tall"
    assert answer["pointer"] == "/heads/2"


STRIPED: dict[str, Any] = {
    "fabric": {"fabric_id": "plain-hdc"},
    "colouring": {
        "stripes": [{"colours": ["rust"], "round_count": 3}, {"colours": ["cream"], "round_count": 1}]
    },
}


def _numbers_of(text: str, size: int, size_count: int) -> list[int]:
    """Return the numbers of the rounds that a size works, as the text has them."""
    lines = pick_size(text, size, size_count=size_count)
    spans = (re.match(r"Rnds? (\d+)(?:–(\d+))?", line) for line in lines)
    return [number for span in spans if span for number in range(int(span[1]), int(span[2] or span[1]) + 1)]


@pytest.mark.parametrize("worked", ["from_brim", "from_crown"])
def test_the_rounds_of_a_colour_have_the_numbers_of_the_text(client: FlaskClient, worked: str) -> None:
    run = _post(client, 50, 56, 60, design={**STRIPED, "worked": worked}).json

    gaps = 0
    for size in run["sizes"]:
        numbers = _numbers_of(run["text"], size["number"], len(run["sizes"]))
        rust, cream = (colour["worked_rounds"] for colour in size["yarn"]["colours"])
        assert rust == [number for place, number in enumerate(numbers) if place % 4 < 3]
        assert cream == numbers[3::4]
        gaps += numbers[-1] - len(numbers)
    assert gaps > 0


def test_the_legend_says_where_colours_are_worked_and_how_to_count(client: FlaskClient) -> None:
    legend = _post(client, 50, 56, 60, design=STRIPED).json["legend"]

    assert legend[-1] == (
        "Stripes from the first round to the last, again and again: 3 rounds in rust, 1 round in cream. "
        "Count the rounds that you work, not their numbers: each size leaves out those of others."
    )


def test_a_section_in_a_colour_needs_no_counting(client: FlaskClient) -> None:
    colouring = {"section_colours": {"brim": ["cream"]}, "ground": ["rust"]}

    legend = _post(client, 50, 56, 60, design={"colouring": colouring}).json["legend"]

    assert legend[-1] == "Brim in cream; all else in rust."
