"""A filled form is the request that a program would send, and faults find their fields."""

import pytest

from service.api.reading import BodyRefused, parse
from service.api.schemas.pattern_sheets import PatternSheetRequest
from service.api.worksheet_forms import complaints_of, refusals_of, request_of
from service.domain.errors import BrimTooTall, ChooseOne, NoRoomForHead, YarnUnderdetermined
from service.pages.form_rules import overlooked
from service.pages.worksheet_fields import EXAMPLE, FIELDS

SWATCH = {"stitches": "17", "rounds": "14"}


def _complaints(app, **entries):
    with app.app_context(), pytest.raises(BodyRefused) as refused:
        parse(PatternSheetRequest, request_of(entries))
    return complaints_of(refused.value.problem.extension["errors"], entries)


def test_the_least_that_can_be_filled_in_is_a_swatch():
    assert request_of(SWATCH) == {
        "head": {"size_id": "adult-m"},
        "gauge": {"stitches_per_10cm": 17.0, "rounds_per_10cm": 14.0},
        "fabric": {"fabric_id": "cable-2x2"},
    }


def test_the_example_is_the_request_that_its_fields_say():
    assert request_of(EXAMPLE) == {
        "title": "The harbour hat",
        "head": {"size_id": "adult-m"},
        "gauge": {"stitches_per_10cm": 18.5, "rounds_per_10cm": 11.5, "washed": True},
        "fabric": {"fabric_id": "cable-2x2"},
        "brim": {"fabric_id": "post-rib-1x1"},
        "yarn": {"weight_category": 4.0, "ball": {"mass_g": 100.0, "length_m": 180.0}, "fibre": "merino"},
        "hook_mm": 5.5,
    }


def test_inches_reach_the_interface_as_centimetres():
    body = request_of({"units": "in", "head_by": "tape", "head": "22½", "ball_length": "100", "ease": "-1"})

    assert body["head"] == {"circumference_cm": 57.15}
    assert body["yarn"] == {"ball": {"length_m": 91.44}}
    assert body["ease_cm"] == -2.54


def test_only_the_answer_that_was_asked_for_says_what_is_known_of_the_head():
    typed = {"size": "adult-s", "head": "55", "age": "30", "sex": "male"}

    assert request_of(typed)["head"] == {"size_id": "adult-s"}
    assert request_of({**typed, "head_by": "tape"})["head"] == {"circumference_cm": 55.0}
    assert request_of({**typed, "head_by": "age"})["head"] == {"age_months": 30.0, "sex": "male"}


CABLE = {
    **SWATCH,
    "fabric": "own",
    "own_rounds": "4",
    "column_1_face": "back",
    "column_1_width": "2",
    "column_3_face": "front",
    "column_3_width": "6",
    "column_3_cable": "right",
    "column_3_round": "2",
}


def test_columns_of_ones_own_are_the_fabric_where_that_is_chosen():
    columns = [
        {"face": "back", "width": 2},
        {"face": "front", "width": 6, "crossing": {"over": 3, "lean": "right", "round": 2}},
    ]

    assert request_of(CABLE)["fabric"] == {"stitch": "dc", "round_repeat_count": 4, "columns": columns}
    assert request_of({**CABLE, "fabric": "plain-sc"})["fabric"] == {"fabric_id": "plain-sc"}


def test_what_is_wrong_with_a_column_stands_beside_it(app):
    odd = {**CABLE, "column_3_width": "5"}
    nameless = {**CABLE, "column_3_face": ""}
    unsure = {**CABLE, "column_3_cable": ""}

    assert _complaints(app, **odd) == {
        "column_3_width": "A cable is an even number of stitches wide: "
        "half of them cross over the other half."
    }
    assert _complaints(app, **nameless) == {"column_3_face": "Choose one of these."}
    assert _complaints(app, **unsure) == {"column_3_cable": "Choose one of these."}
    assert _complaints(app, **{**CABLE, "column_1_width": "40"}) == {
        "column_1_width": "Give a number from 1 to 16."
    }
    assert _complaints(app, **SWATCH, fabric="own") == {"column_1_face": "Fill in at least one column."}


def test_a_weighed_swatch_counts_its_stitches_by_name(app):
    told = {**SWATCH, "swatch_mass": "9.6", "swatch_stitches": "21 ch, 360 SC; 18 sl st"}

    assert request_of(told)["swatch"] == {"mass_g": 9.6, "stitch_counts": {"ch": 21, "sc": 360, "sl_st": 18}}
    assert _complaints(app, **{**told, "swatch_stitches": "some"}) == {
        "swatch_stitches": "Write each stitch with its number, such as 21 ch, 360 fpdc."
    }
    assert list(_complaints(app, **{**told, "swatch_stitches": "12 loops"})) == ["swatch_stitches"]
    assert _complaints(app, **{**told, "swatch_mass": ""}) == {"swatch_mass": "Fill this in."}
    assert _complaints(app, **{**told, "swatch_stitches": ""}) == {"swatch_stitches": "Fill this in."}


def test_sections_of_a_textured_crown_are_told_at_both():
    refused = refusals_of(
        ChooseOne(fields=("section_count", "fabric"), given=("section_count", "fabric")), SWATCH
    )

    assert list(refused) == ["sections", "fabric"]


def test_a_hat_without_a_brim_says_so():
    assert request_of({**SWATCH, "brim": "none"})["brim"] is None
    assert "brim" not in request_of(SWATCH)


def test_every_field_has_its_place_in_the_request(app):
    first_options = {
        name: field.options[-1].value if field.options else "2" for name, field in FIELDS.items()
    }
    entries = {
        **first_options,
        **EXAMPLE,
        "size": "adult-m",
        "brim": "plain-sc",
        "measured_in": "plain-sc",
        "units": "cm",
        "tex": "400",
        "swatch_stitches": "9 sc",
        "head": "57",
        "depth": "20",
    }

    for head_by, fabric in (("size", "plain-sc"), ("tape", "plain-dc"), ("age", "own")):
        body = request_of({**entries, "head_by": head_by, "fabric": fabric})
        with app.app_context():
            order = parse(PatternSheetRequest, body)

        assert order.keys() >= body.keys()


def test_what_is_missing_is_asked_for_beside_its_field(app):
    assert _complaints(app, title="A") == {"stitches": "Fill this in.", "rounds": "Fill this in."}


def test_a_head_that_nobody_measured_is_asked_for_where_it_should_stand(app):
    assert _complaints(app, **SWATCH, head_by="tape") == {"head": "Fill this in."}
    assert _complaints(app, **SWATCH, head_by="age", sex="male") == {"age": "Fill this in."}
    assert _complaints(app, **SWATCH, head_by="guess") == {"head_by": "Choose one of these."}


def test_words_where_a_number_belongs_are_told_as_such(app):
    assert _complaints(app, stitches="many", rounds="14") == {
        "stitches": "Write this as a number, such as 17 or 17.5."
    }


@pytest.mark.parametrize(
    ("units", "words"),
    [("cm", "Give a number from 20 to 75 cm."), ("in", "Give a number from 7.88 to 29.52 in.")],
)
def test_bounds_are_told_in_the_units_that_were_chosen(app, units, words):
    assert _complaints(app, **SWATCH, units=units, head_by="tape", head="99") == {"head": words}


@pytest.mark.parametrize(
    "name", ["size", "style", "fit", "covers", "fabric", "brim", "fibre", "crown", "worked"]
)
def test_an_answer_that_is_not_on_the_list_is_refused_beside_its_list(app, name):
    assert _complaints(app, **SWATCH, **{name: "<script>"}) == {name: "Choose one of these."}


@pytest.mark.parametrize("name", ["weight", "hook"])
def test_a_listed_number_that_is_none_is_refused_beside_its_list(app, name):
    assert list(_complaints(app, **SWATCH, **{name: "thick"})) == [name]


@pytest.mark.parametrize("name", ["brim_height", "brim_round_count"])
def test_a_brim_with_a_height_alone_is_asked_for_its_stitch_pattern(name):
    asked = {"brim": "Choose the stitch pattern of the brim, to give its height or its rounds."}

    assert overlooked({**SWATCH, name: "5"}) == asked
    assert overlooked({**SWATCH, name: "5", "brim": "plain-sc"}) == {}


@pytest.mark.parametrize("name", ["brim_height", "brim_round_count", "brim_stitches", "brim_rounds"])
def test_a_hat_without_a_brim_asks_what_its_height_or_its_swatch_is_for(name):
    asked = {name: "This hat has no brim. Choose one, or leave this empty."}

    assert overlooked({**SWATCH, "brim": "none", name: "5"}) == asked


def test_units_that_are_not_on_the_list_are_refused():
    assert overlooked({**SWATCH, "units": "furlong"}) == {"units": "Choose one of these."}
    assert overlooked({**SWATCH, "units": "in"}) == {}


def test_a_wide_cable_is_asked_how_many_rounds_its_repeat_has():
    silent = {name: text for name, text in CABLE.items() if name != "own_rounds"}

    assert overlooked(CABLE) == {}
    assert overlooked({**silent, "column_3_width": "2"}) == {}
    assert overlooked({**silent, "fabric": "cable-2x2"}) == {}
    assert overlooked(silent) == {
        "own_rounds": "Fill this in: a cable of 6 stitches crosses once in several rounds, often in 6."
    }


@pytest.mark.parametrize(
    "name", ["crown_rounds", "sections", "strands", "own_rounds", "column_1_width", "brim_round_count"]
)
def test_a_whole_number_is_asked_for_as_one(app, name):
    entries = {**SWATCH, "brim": "plain-sc", "weight": "4"}
    if name in ("own_rounds", "column_1_width"):
        entries |= CABLE

    told = _complaints(app, **{**entries, name: "8.5"})

    assert told == {name: "Write this as a whole number, such as 17."}


@pytest.mark.parametrize(
    ("typed", "named"),
    [
        ({"depth": "5"}, ["depth"]),
        ({"crown_rounds": "200"}, ["crown_rounds"]),
        ({"crown_depth": "60"}, ["crown_depth"]),
        ({"brim": "plain-sc", "brim_round_count": "90"}, ["brim_round_count"]),
        ({"brim": "plain-sc", "brim_height": "30", "depth": "12"}, ["brim_height", "depth"]),
        ({}, ["rounds"]),
    ],
)
def test_parts_that_do_not_fit_are_told_where_something_was_typed(typed, named):
    refused = refusals_of(BrimTooTall(depth_cm=21.0, smallest_depth_cm=40.0), {**SWATCH, **typed})

    assert list(refused) == named


def test_half_a_ball_is_asked_for_its_other_half(app):
    assert _complaints(app, **SWATCH, ball_mass="50") == {"ball_length": "Fill this in."}


def test_two_answers_to_one_question_are_told_at_both():
    refused = refusals_of(ChooseOne(fields=("fit", "ease_cm"), given=("fit", "ease_cm")), SWATCH)

    assert refused == dict.fromkeys(("fit", "ease"), "Give “Fit” or “Ease”, not both.")


def test_a_choice_that_the_form_does_not_have_is_told_for_the_whole_form():
    refused = refusals_of(ChooseOne(fields=("a", "b"), given=("a", "b")), SWATCH)

    assert list(refused) == [""]


def test_refusals_of_the_mathematics_find_their_fields_and_speak_both_systems():
    refused = refusals_of(NoRoomForHead(inner_cm=20, head_cm=57), SWATCH)

    assert list(refused) == ["ease"]
    assert "57.00 cm (22.45 in)" in refused["ease"]


def test_a_yarn_that_nothing_is_known_of_is_asked_for_in_the_words_of_the_form():
    refused = refusals_of(YarnUnderdetermined(missing=("tex", "ball", "weight_category")), SWATCH)

    assert refused == {"weight": "Choose the weight of the yarn, or say what one ball weighs and holds."}
