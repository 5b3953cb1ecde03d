"""Colours over HTTP: yarn for each of them, the whole as their sum, and what is refused."""

from typing import Any

import pytest
from flask.testing import FlaskClient
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.contract.documents import OPERATIONS, answer_validator

BALL = {"ball": {"mass_g": 50, "length_m": 90}}
STRIPES = {"stripes": [{"colours": ["red"], "round_count": 2}, {"colours": ["navy"], "round_count": 3}]}
HAT: dict[str, Any] = {
    "head": {"circumference_cm": 57},
    "gauge": {"stitches_per_10cm": 14, "rounds_per_10cm": 12},
    "fabric": {"fabric_id": "plain-hdc"},
    "yarn": BALL,
}
WORK: dict[str, Any] = {
    "yarn": BALL,
    "gauge": {"stitches_per_10cm": 14, "rounds_per_10cm": 12},
    "rounds": [
        {"steps": [{"op": "work", "stitch": "sc", "count": 80}], "section": "brim", "repeat_count": 5},
        {"steps": [{"op": "work", "stitch": "sc", "count": 90}], "section": "body", "repeat_count": 20},
    ],
}
BOTH = pytest.mark.parametrize(("path", "order"), [("/v1/hat-plans", HAT), ("/v1/yarn-estimates", WORK)])

#: Few requests: each plans a hat.
FEW = settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
COLOURS = st.lists(
    st.fixed_dictionaries(
        {"colours": st.lists(st.sampled_from(["red", "navy", "white"]), min_size=1, max_size=1)}
        | {"round_count": st.integers(1, 6)}
    ),
    min_size=1,
    max_size=4,
)


def _yarn(client: FlaskClient, path: str, order: dict[str, Any]) -> dict[str, Any]:
    response = client.post(path, json=order)
    assert response.status_code == 200, response.text
    body = dict(response.json or {})
    return dict(body["yarn"]) if path == "/v1/hat-plans" else body


def _problem(client: FlaskClient, path: str, order: dict[str, Any]) -> dict[str, Any]:
    response = client.post(path, json=order)
    assert response.status_code == 422, response.text
    return dict(response.json or {})


def _summed(colours: list[dict[str, Any]], *keys: str) -> float:
    total = 0.0
    for colour in colours:
        value: Any = colour
        for key in keys:
            value = value[key]
        total += value
    return total


@BOTH
def test_every_colour_says_what_to_buy_of_it(client: FlaskClient, path: str, order: dict[str, Any]) -> None:
    plain = _yarn(client, path, order)

    striped = _yarn(client, path, {**order, "colouring": STRIPES})

    assert plain["colours"] == []
    assert [each["colour"] for each in striped["colours"]] == ["red", "navy"]
    assert [each["certainty_percent"] for each in striped["colours"][0]["buy_by_certainty"]] == [90, 95, 99]
    assert striped["colours"][0]["worked_rounds"][:5] == [1, 2, 6, 7, 11]
    assert striped["colour_change_count"] > 5 > plain["colour_change_count"]
    assert striped["end_count"] > plain["end_count"]


@FEW
@given(stripes=COLOURS)
@BOTH
def test_colours_add_up_to_the_whole(
    client: FlaskClient, path: str, order: dict[str, Any], stripes: list[dict[str, Any]]
) -> None:
    plain = _yarn(client, path, order)

    yarn = _yarn(client, path, {**order, "colouring": {"stripes": stripes}})

    colours = yarn["colours"]
    rounding = 0.05 * (len(colours) + 1)
    assert yarn["length_m"] == plain["length_m"]
    for measure in ("length_m", "mass_g"):
        for end in ("low", "median", "high"):
            assert _summed(colours, measure, end) == pytest.approx(yarn[measure][end], abs=rounding)
        assert _summed(colours, "buy", measure) == pytest.approx(yarn["buy"][measure], abs=1e-6)
    assert _summed(colours, "buy", "ball_count") == yarn["buy"]["ball_count"] >= plain["buy"]["ball_count"]
    assert _summed(colours, "end_count") == yarn["end_count"]


@FEW
@given(stripes=COLOURS, turn=st.integers(0, 3))
@BOTH
def test_stripes_in_another_turn_take_as_much_in_all(
    client: FlaskClient, path: str, order: dict[str, Any], stripes: list[dict[str, Any]], turn: int
) -> None:
    turned = [*stripes[turn % len(stripes) :], *stripes[: turn % len(stripes)]]

    one, other = [
        _yarn(client, path, {**order, "colouring": {"stripes": each}}) for each in (stripes, turned)
    ]

    assert (one["length_m"], one["mass_g"]) == (other["length_m"], other["mass_g"])


@FEW
@given(stripes=COLOURS, leftovers=st.lists(st.floats(0, 60), min_size=1, max_size=4), weighed=st.booleans())
@BOTH
def test_more_certainty_never_buys_fewer_balls_and_leftovers_never_more(
    client: FlaskClient,
    path: str,
    order: dict[str, Any],
    stripes: list[dict[str, Any]],
    leftovers: list[float],
    weighed: bool,
) -> None:
    colour = stripes[0]["colours"][0]
    kept = {"colour": colour, "leftovers": {"masses_g" if weighed else "lengths_m": leftovers}}

    bare = _yarn(client, path, {**order, "colouring": {"stripes": stripes}})
    helped = _yarn(client, path, {**order, "colouring": {"stripes": stripes, "colour_yarns": [kept]}})

    counts = [each["ball_count"] for each in helped["buy_by_certainty"]]
    assert counts == sorted(counts)
    for before, after in zip(bare["colours"], helped["colours"], strict=True):
        balls = [each["ball_count"] for each in after["buy_by_certainty"]]
        assert balls == sorted(balls)
        assert after["buy"]["ball_count"] <= before["buy"]["ball_count"]


@BOTH
def test_a_hat_of_one_colour_uses_its_leftovers_first(
    client: FlaskClient, path: str, order: dict[str, Any]
) -> None:
    plain = _yarn(client, path, order)
    leftovers = {"colour": "grey", "leftovers": {"lengths_m": [40, 20, 0.2]}}
    colouring = {"colours": ["grey"], "colour_yarns": [leftovers]}

    helped = _yarn(client, path, {**order, "colouring": colouring})

    # A piece of 0.2 m is shorter than its join; the others give all but 0.3 m.
    assert helped["buy"]["from_leftovers_m"] == pytest.approx(59.4)
    assert helped["buy"]["length_m"] == plain["buy"]["length_m"]
    assert plain["buy"]["from_leftovers_m"] == 0
    assert plain["buy"]["ball_count"] - 1 <= helped["buy"]["ball_count"] <= plain["buy"]["ball_count"]


@BOTH
def test_a_colour_has_a_ball_of_its_own(client: FlaskClient, path: str, order: dict[str, Any]) -> None:
    large = {"colour": "navy", "yarn": {"ball": {"mass_g": 500, "length_m": 900}}}

    yarn = _yarn(client, path, {**order, "colouring": {**STRIPES, "colour_yarns": [large]}})

    red, navy = yarn["colours"]
    assert navy["length_m"]["median"] > red["length_m"]["median"]
    assert (red["buy"]["ball_count"], navy["buy"]["ball_count"]) == (
        -(-red["buy"]["length_m"] // 90),
        1,
    )


@BOTH
def test_a_colour_of_a_yarn_that_nothing_is_known_of_says_which(
    client: FlaskClient, path: str, order: dict[str, Any]
) -> None:
    sources = [
        {"colour": "red", "yarn": {"tex": 500}},
        {"colour": "navy", "yarn": {"fibre": "wool"}},
    ]

    refused = client.post(path, json={**order, "colouring": {**STRIPES, "colour_yarns": sources}})

    place = "colouring.colour_yarns.1.yarn"
    assert (refused.json or {})["type"] == "/problems/yarn-underdetermined"
    assert (refused.json or {})["missing"] == [
        f"{place}.tex",
        f"{place}.ball",
        f"{place}.weight_category",
    ]


@BOTH
def test_each_section_can_have_its_colour(client: FlaskClient, path: str, order: dict[str, Any]) -> None:
    colouring = {"section_colours": {"brim": ["navy"], "crown": ["white"]}, "ground": ["red"]}
    brim = {"brim": {"fabric_id": "post-rib-1x1", "round_count": 4}} if path == "/v1/hat-plans" else {}

    yarn = _yarn(client, path, {**order, **brim, "colouring": colouring})

    assert yarn["colours"][0]["colour"] == "navy"
    assert yarn["colours"][0]["worked_rounds"] == [1, 2, 3, 4, 5]
    assert {"red"} < {each["colour"] for each in yarn["colours"]}


@BOTH
def test_strands_of_two_colours_share_every_round(
    client: FlaskClient, path: str, order: dict[str, Any]
) -> None:
    held = {**order, "yarn": {**BALL, "strand_count": 2}, "colouring": {"colours": ["red", "navy"]}}

    red, navy = _yarn(client, path, held)["colours"]

    assert red["length_m"] == navy["length_m"]
    assert red["worked_rounds"] == navy["worked_rounds"]


@BOTH
def test_as_many_colours_as_strands_or_one(client: FlaskClient, path: str, order: dict[str, Any]) -> None:
    colouring = {"colours": ["red", "navy"]}

    problem = _problem(client, path, {**order, "yarn": {**BALL, "strand_count": 3}, "colouring": colouring})

    assert problem["type"] == "/problems/strand-colours-unequal"
    assert (problem["colour_count"], problem["strand_count"]) == (2, 3)
    assert "1 or 3" in problem["detail"]


@BOTH
@pytest.mark.parametrize(
    ("named", "position"),
    [(["green"], "0"), (["red", "Navy"], "1"), (["navy", "red", "navy"], "2")],
    ids=["another colour", "other letters", "twice"],
)
def test_yarn_of_a_colour_that_nothing_is_worked_in_is_refused(
    client: FlaskClient, path: str, order: dict[str, Any], named: list[str], position: str
) -> None:
    colouring = {**STRIPES, "colour_yarns": [{"colour": each} for each in named]}

    problem = _problem(client, path, {**order, "colouring": colouring})

    assert problem["type"] == "/problems/colour-unmatched"
    assert problem["pointer"] == f"/colouring/colour_yarns/{position}/colour"
    assert not any(each in problem["detail"] for each in ("green", "Navy"))


@pytest.mark.parametrize(
    ("path", "member", "rest"),
    [
        ("/v1/size-runs", "design", {"heads": [{"circumference_cm": 54}, {"circumference_cm": 58}]}),
        ("/v1/hat-revisions", "plan", {"state": {"round": 1, "stitch_count": 70}}),
    ],
)
def test_a_colour_is_pointed_at_where_the_hat_stands(
    client: FlaskClient, path: str, member: str, rest: dict[str, Any]
) -> None:
    hat = {**HAT, "colouring": {**STRIPES, "colour_yarns": [{"colour": "green"}]}}
    if member == "design":
        del hat["head"]

    problem = _problem(client, path, {**rest, member: hat})

    assert problem["pointer"] == f"/{member}/colouring/colour_yarns/0/colour"


@pytest.mark.parametrize("colouring", [STRIPES, {"section_colours": {}, "ground": ["red"]}])
def test_counted_stitches_have_no_stripes(client: FlaskClient, colouring: dict[str, Any]) -> None:
    order = {"yarn": BALL, "gauge": WORK["gauge"], "stitch_counts": {"sc": 2000}, "colouring": colouring}

    problem = _problem(client, "/v1/yarn-estimates", order)

    assert problem["type"] == "/problems/rounds-needed"
    assert problem["fields"] == [f"colouring.{next(iter(colouring))}"]


def test_counted_stitches_can_be_of_one_colour(client: FlaskClient) -> None:
    order = {
        "yarn": BALL,
        "gauge": WORK["gauge"],
        "stitch_counts": {"sc": 2000},
        "colouring": {"colours": ["grey"]},
    }

    (grey,) = _yarn(client, "/v1/yarn-estimates", order)["colours"]

    assert grey["worked_rounds"] == []
    assert grey["buy"]["ball_count"] >= 1


def test_changes_of_colour_are_counted_or_named(client: FlaskClient) -> None:
    problem = _problem(client, "/v1/yarn-estimates", {**WORK, "colouring": STRIPES, "colour_change_count": 3})

    assert problem["type"] == "/problems/choose-one"
    assert problem["fields"] == ["colouring", "colour_change_count"]


def test_colours_of_no_yarn_say_that_a_yarn_would_do(client: FlaskClient) -> None:
    hat = {key: value for key, value in HAT.items() if key != "yarn"}

    problem = _problem(client, "/v1/hat-plans", {**hat, "colouring": STRIPES})

    assert problem["type"] == "/problems/yarn-underdetermined"
    assert problem["missing"] == ["yarn"]


@pytest.mark.parametrize(
    ("colouring", "pointer"),
    [
        ({}, "/colouring"),
        ({**STRIPES, "colours": ["red"]}, "/colouring"),
        ({"section_colours": {"brim": ["red"]}}, "/colouring/ground"),
        ({"stripes": []}, "/colouring/stripes"),
        ({"stripes": [{"colours": ["red"], "round_count": 0}]}, "/colouring/stripes/0/round_count"),
        ({"colours": ["red\nnavy"]}, "/colouring/colours/0"),
        ({"colours": ["r" * 121]}, "/colouring/colours/0"),
        ({"colours": ["red"] * 9}, "/colouring/colours"),
        (
            {"colours": ["red"], "colour_yarns": [{"colour": "red", "yarn": {"strand_count": 2}}]},
            "/colouring/colour_yarns/0/yarn/strand_count",
        ),
        (
            {"colours": ["red"], "colour_yarns": [{"colour": "red", "leftovers": {"masses_g": [-1]}}]},
            "/colouring/colour_yarns/0/leftovers/masses_g/0",
        ),
        (
            {
                "colours": ["red"],
                "colour_yarns": [{"colour": "red", "leftovers": {"masses_g": [1], "lengths_m": [1]}}],
            },
            "/colouring/colour_yarns/0/leftovers",
        ),
    ],
)
def test_what_breaks_the_document_is_named_by_a_pointer(
    client: FlaskClient, colouring: dict[str, Any], pointer: str
) -> None:
    problem = _problem(client, "/v1/hat-plans", {**HAT, "colouring": colouring})

    assert problem["type"] == "/problems/invalid-request"
    assert pointer in [fault["pointer"] for fault in problem["errors"]]


@BOTH
def test_the_answer_keeps_to_the_document(client: FlaskClient, path: str, order: dict[str, Any]) -> None:
    kept = {"colour": "red", "leftovers": {"masses_g": [500]}, "yarn": {"weight_category": 4}}
    asked = {**order, "colouring": {**STRIPES, "colour_yarns": [kept]}, "show_working": True}

    body = client.post(path, json=asked).json

    [operation] = [each for each in OPERATIONS if each.path == path]
    answer_validator(operation, 200, "application/json").validate(body)


def test_every_size_of_a_run_has_its_colours(client: FlaskClient) -> None:
    design = {key: value for key, value in HAT.items() if key != "head"}
    run = {"heads": [{"circumference_cm": 53}, {"circumference_cm": 58}]}

    sizes = (
        client.post("/v1/size-runs", json={**run, "design": {**design, "colouring": STRIPES}}).json or {}
    )["sizes"]

    small, large = [_summed(each["yarn"]["colours"], "length_m", "median") for each in sizes]
    assert [each["colour"] for each in sizes[0]["yarn"]["colours"]] == ["red", "navy"]
    assert small < large


def test_a_sheet_for_many_sizes_tells_the_stripes_and_no_figures_of_one_size(client: FlaskClient) -> None:
    design = {**{key: value for key, value in HAT.items() if key != "head"}, "colouring": STRIPES}
    run = {"heads": [{"circumference_cm": 53}, {"circumference_cm": 58}], "design": design}

    sheet = client.post("/v1/size-run-sheets", json=run, headers={"Accept": "text/markdown"}).text

    assert "2 rounds in red, 3 rounds in navy" in sheet
    assert "Colour:" not in sheet


def test_a_class_chooses_its_yarns_and_takes_no_colouring(client: FlaskClient) -> None:
    design = {key: value for key, value in HAT.items() if key != "head"}
    people = [{"reference": "seat-1", "head": {"circumference_cm": 56}}]

    problem = _problem(
        client, "/v1/class-kits", {"participants": people, "design": {**design, "colouring": STRIPES}}
    )

    assert [(each["pointer"], each["code"]) for each in problem["errors"]] == [
        ("/design/colouring", "unknown_field")
    ]


@pytest.mark.parametrize("path", ["/v1/pattern-sheets", "/v1/drawings", "/v1/hat-revisions"])
def test_what_is_made_of_a_plan_takes_its_request_as_it_is(client: FlaskClient, path: str) -> None:
    hat = {**HAT, "colouring": STRIPES, "checkpoints": [{"round": 3, "mass_left_g": 60, "colour": "red"}]}
    request = {
        "/v1/pattern-sheets": hat,
        "/v1/drawings": {**hat, "kind": "schematic"},
        "/v1/hat-revisions": {"plan": hat, "state": {"round": 4}},
    }[path]

    response = client.post(path, json=request)

    assert response.status_code == 200, response.text


def test_a_revision_cautions_where_several_colours_are_weighed_as_one(client: FlaskClient) -> None:
    plan = {**HAT, "colouring": STRIPES}

    revised = client.post(
        "/v1/hat-revisions", json={"plan": plan, "state": {"round": 4, "mass_left_g": 60}}
    ).json
    unweighed = client.post("/v1/hat-revisions", json={"plan": plan, "state": {"round": 4}}).json

    assert "colours_reckoned_together" in [each["code"] for each in (revised or {})["notices"]]
    assert "colours_reckoned_together" not in [each["code"] for each in (unweighed or {})["notices"]]


def test_work_has_no_more_rounds_than_any_hat(client: FlaskClient) -> None:
    rounds = [{**WORK["rounds"][0], "repeat_count": 400}, WORK["rounds"][1]]

    problem = _problem(client, "/v1/yarn-estimates", {**WORK, "rounds": rounds})

    assert problem["type"] == "/problems/hat-out-of-bounds"
    assert (problem["count"], problem["limit"]) == (420, 400)


def test_the_materials_name_the_colours_with_their_balls_and_rounds(client: FlaskClient) -> None:
    plan = client.post("/v1/hat-plans", json={**HAT, "colouring": STRIPES}).json or {}

    colours = [each["text"] for each in plan["materials"] if each["name"] == "colour"]

    [whole] = [each["text"] for each in plan["materials"] if each["name"] == "yarn"]
    assert "ball" not in whole
    assert [text.split(",")[0] for text in colours] == ["red", "navy"]
    assert "ball" in colours[0]
    assert "Rounds 1–2, 6–7, 11–12" in colours[0]


@pytest.mark.parametrize(
    ("form", "told"),
    [("text/html", "&lt;b&gt;*red*&lt;/b&gt;"), ("text/markdown", r"&lt;b&gt;\*red\*&lt;/b&gt;")],
)
def test_a_sheet_names_the_colours_and_takes_no_orders_from_them(
    client: FlaskClient, form: str, told: str
) -> None:
    request = {**HAT, "colouring": {"colours": ["<b>*red*</b>"]}}

    sheet = client.post("/v1/pattern-sheets", json=request, headers={"Accept": form})

    assert told in sheet.text
    assert "<b>*" not in sheet.text
