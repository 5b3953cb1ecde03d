"""Labels of kits: a label for each kit, free text that is only text, and the problems apart."""

import csv
import io
import random
from html.parser import HTMLParser
from typing import Any

import pytest
from flask.testing import FlaskClient

from service.api.answers.kit_labels import LABEL_COLUMNS
from service.patterns.customary_units import ounces, yards
from service.sheets.label_pages import label_style_policy
from tests.class_orders import HOSTILE, WORSTED, YARNS, class_order, person

PATH = "/v1/kit-labels"
PEOPLE = [person(number, 50 + number % 7, yarn_choice=number % 2) for number in range(8)]
BABY = {"reference": "tiny", "head": {"age_months": 10}}
UNNAMED = {"reference": "Ann Lee", "head": {"circumference_cm": 56}}
ELEMENTS = {
    "html", "head", "meta", "title", "style", "body", "main", "h1", "h2", "p", "ul", "li", "dl", "dt", "dd",
    "bdi", "section",
}  # fmt: skip


class _Page(HTMLParser):
    """What a page holds: its elements, their attributes, and the text inside of each kind."""

    def __init__(self, source: str) -> None:
        super().__init__()
        self.elements: list[str] = []
        self.attributes: set[str] = set()
        self.texts: dict[str, list[str]] = {}
        self.open: list[str] = []
        self.feed(source)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append(tag)
        self.attributes |= {name for name, _ in attrs}
        self.open.append(tag)
        self.texts.setdefault(tag, []).append("")
        if tag == "meta":
            self.open.pop()

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open:
            self.texts[self.open[-1]][-1] += data


def _page(client: FlaskClient, people: Any, **rest: Any) -> str:
    answer = client.post(PATH, json=class_order(people, **rest))
    assert answer.status_code == 200
    return answer.text


def _labels(page: str) -> list[str]:
    """Return the labels of a page as they stand there, with the number of their kit left out."""
    lines = [line for line in page.splitlines() if line.startswith("<li><h2>")]
    return [line.partition("</h2>")[0] + line.partition("</p>")[2] for line in lines]


def _table(client: FlaskClient, people: Any, **rest: Any) -> list[dict[str, str]]:
    answer = client.post(PATH, json=class_order(people, **rest), headers={"Accept": "text/csv"})
    assert answer.status_code == 200
    return list(csv.DictReader(io.StringIO(answer.text, newline=""), strict=True))


@pytest.mark.parametrize(
    ("accept", "media_type"),
    [("", "text/html"), ("*/*", "text/html"), ("text/csv", "text/csv"), ("text/*", "text/html")],
)
def test_accept_chooses_the_form(client: FlaskClient, accept: str, media_type: str) -> None:
    first, second = (
        client.post(PATH, json=class_order(PEOPLE, yarns=YARNS), headers={"Accept": accept}) for _ in range(2)
    )

    assert first.status_code == 200
    assert first.mimetype == media_type
    assert first.data == second.data
    assert "Accept" in first.headers["Vary"]


def test_a_form_that_is_not_made_is_refused_and_the_others_are_named(client: FlaskClient) -> None:
    answer = client.post(PATH, json=class_order(PEOPLE, yarns=YARNS), headers={"Accept": "application/json"})

    assert answer.status_code == 406
    assert (answer.json or {})["available"] == ["text/html", "text/csv"]


def test_a_table_is_kept_under_a_name_and_says_how_it_is_written(client: FlaskClient) -> None:
    answer = client.post(PATH, json=class_order(PEOPLE, yarns=YARNS), headers={"Accept": "text/csv"})

    assert answer.headers["Content-Type"] == "text/csv; charset=utf-8; header=present"
    assert answer.headers["Content-Disposition"] == 'attachment; filename="kit-labels.csv"'
    assert answer.text.splitlines()[0] == ",".join(LABEL_COLUMNS)


def test_the_page_may_use_its_own_style_and_nothing_else(client: FlaskClient) -> None:
    answer = client.post(PATH, json=class_order(PEOPLE, yarns=YARNS))

    assert answer.headers["Content-Type"] == "text/html; charset=utf-8"
    assert f"style-src {label_style_policy()};" in answer.headers["Content-Security-Policy"]
    assert answer.headers["Content-Security-Policy"].startswith("default-src 'none';")


def test_a_page_is_made_of_plain_elements_without_script_or_outside_reference(client: FlaskClient) -> None:
    source = _page(client, [*PEOPLE, BABY, UNNAMED], yarns=YARNS, class_hours=3)
    page = _Page(source)

    assert set(page.elements) <= ELEMENTS
    assert page.attributes <= {"lang", "charset", "name", "content", "dir", "class"}
    assert page.elements.count("style") == page.elements.count("h1") == 1
    assert page.open == []
    assert "url(" not in source
    assert "//" not in source


def test_there_is_a_label_for_every_kit_in_the_order_sent(client: FlaskClient) -> None:
    page = _Page(_page(client, PEOPLE, yarns=YARNS))

    assert page.texts["h2"] == [f"seat-{number}" for number in range(8)]
    assert page.texts["bdi"] == ["Harbour wool", "sand", "Fine wool"] * 4
    assert page.elements.count("dl") == 8


def test_a_label_tells_what_its_kit_needs(client: FlaskClient) -> None:
    [label] = _labels(
        _page(client, [person(1, 56, terms="uk", handedness="left")], yarns=YARNS, class_hours=3)
    )

    order = {**class_order([])["design"], "yarn": WORSTED, "head": {"circumference_cm": 56}}
    plan: Any = client.post("/v1/hat-plans", json=order).json
    assert "seat-1" in label
    assert "<dt>Hat size</dt><dd>US 7, UK 6⅞, metric 56</dd>" in label
    assert f"{plan['finished_circumference_cm']:.0f} cm (" in label
    assert "<dd><bdi>Harbour wool</bdi>, <bdi>sand</bdi></dd>" in label
    assert f"{plan['yarn']['buy']['ball_count']} balls" in label
    assert f"About {plan['hours']['hours']:g} hours: longer than the class." in label
    assert "Before the class, work rounds 1 to " in label
    assert "tension" in label
    assert "Worked left-handed" in label


def test_a_label_says_whose_kit_it_is_in_which_terms(client: FlaskClient) -> None:
    page = _page(client, [person(1), person(2, terms="uk", handedness="left")])

    assert "<p>Kit 1: US terms, right-handed.</p>" in page
    assert "<p>Kit 2: UK terms, left-handed.</p>" in page


def test_cautions_stand_on_the_labels_that_they_are_about(client: FlaskClient) -> None:
    adult, baby = _labels(_page(client, [person(1), BABY]))

    assert "sleeping baby" in baby
    assert "choke" in baby
    assert "sleeping baby" not in adult
    assert "swatch" not in adult.partition('<ul class="cautions">')[2]


def test_those_without_a_kit_stand_apart_with_the_reason(client: FlaskClient) -> None:
    page = _page(client, [person(1), person(2, 5.6), UNNAMED])

    labels, _, left_out = page.partition('<section class="left-out">')
    assert len(_labels(labels)) == 1
    assert "Without a kit: 2." in labels
    assert "<li>Participant 2, seat-2: Head in cm: Give a number from 20 to 75.</li>" in left_out
    assert "<li>Participant 3, whose reference was refused: Reference: This could be a name." in left_out
    assert "Ann" not in page


def test_a_class_of_problems_alone_has_no_label(client: FlaskClient) -> None:
    page = _Page(_page(client, [person(1, 5)]))

    assert page.texts["h1"] == ["Kit labels"]
    assert page.texts["p"][0] == "No kit could be planned."
    assert "dl" not in page.elements


def test_a_class_of_one_has_one_label(client: FlaskClient) -> None:
    page = _Page(_page(client, [person(1)]))

    assert page.texts["h1"] == ["Kit labels: Cable 2 over 2 hat"]
    assert page.texts["p"][0] == "1 label. Cut along the dashed lines."


@pytest.mark.parametrize("text", HOSTILE)
def test_names_and_colours_are_only_text(client: FlaskClient, text: str) -> None:
    page = _Page(_page(client, [person(1)], yarns=[{"name": text, "colour": text, **WORSTED}]))

    assert page.texts["bdi"] == [text, text]
    assert set(page.elements) <= ELEMENTS
    assert page.open == []


@pytest.mark.parametrize("text", HOSTILE)
def test_no_name_and_no_colour_is_a_formula(client: FlaskClient, text: str) -> None:
    [row] = _table(client, [person(1)], yarns=[{"name": text, "colour": text, **WORSTED}])

    is_formula = text.lstrip("'\" ")[0] in "=+-@＝"
    assert row["yarn_name"] == row["yarn_colour"] == (f"'{text}" if is_formula else text)


def test_permuting_participants_only_permutes_labels(client: FlaskClient) -> None:
    order = random.Random(3).sample(range(8), k=8)
    shuffled = [PEOPLE[place] for place in order]

    labels, permuted = (_labels(_page(client, people, yarns=YARNS)) for people in (PEOPLE, shuffled))
    rows, permuted_rows = (_table(client, people, yarns=YARNS) for people in (PEOPLE, shuffled))

    assert permuted == [labels[place] for place in order]
    assert [row["reference"] for row in permuted_rows] == [f"seat-{place}" for place in order]
    for row, place in zip(permuted_rows, order, strict=True):
        assert {**row, "number": ""} == {**rows[place], "number": ""}


def test_the_table_has_the_figures_of_the_kits(client: FlaskClient) -> None:
    people = [*PEOPLE, BABY, person(50, 5), UNNAMED]
    kits: Any = client.post("/v1/class-kits", json=class_order(people, yarns=YARNS, class_hours=5)).json

    rows = _table(client, people, yarns=YARNS, class_hours=5)

    assert [row["reference"] for row in rows] == [kit["reference"] or "" for kit in kits["kits"]]
    for row, kit in zip(rows, kits["kits"], strict=True):
        plan = kit["plan"]
        assert (row["problem"] == "") == (plan is not None)
        if plan is None:
            assert set(row.values()) == {row["number"], row["reference"], row["problem"], ""}
            continue
        yarn = YARNS[plan["yarn_choice"]]
        assert (row["yarn_name"], row["yarn_colour"]) == (yarn["name"], yarn.get("colour", ""))
        assert float(row["finished_circumference_cm"]) == plan["finished_circumference_cm"]
        assert float(row["finished_circumference_in"]) == pytest.approx(
            plan["finished_circumference_cm"] / 2.54, abs=1 / 16 + 0.005
        )
        assert row["ball_count"] == str(plan["yarn"]["buy"]["ball_count"] or "")
        assert float(row["yarn_g"]) == plan["yarn"]["buy"]["mass_g"]
        assert float(row["yarn_oz"]) == pytest.approx(plan["yarn"]["buy"]["mass_g"] / 28.35, abs=0.06)
        assert float(row["hours"]) == plan["hours"]["hours"]
        assert row["fits_class"] == str(plan["fits_class"]).lower()
        assert row["beforehand"] == ((plan["beforehand"] or {}).get("text") or "")
        assert (row["terms"], row["handedness"]) == (plan["terms"], plan["handedness"])


def test_labels_without_a_yarn_name_none(client: FlaskClient) -> None:
    [row] = _table(client, [person(1)])

    assert row["yarn_g"] == row["yarn_name"] == ""
    assert "<dt>Yarn</dt>" not in _page(client, [person(1)])


def test_a_headband_is_high_and_not_deep(client: FlaskClient) -> None:
    page = _page(client, [person(1)], design={"style": "headband"})

    assert "headband</h1>" in page
    assert " high.</dd>" in page


def test_no_page_ends_within_a_label(client: FlaskClient) -> None:
    style = _Page(_page(client, [person(1)])).texts["style"][0]

    assert "ul.labels > li { break-inside: avoid; border: 1px dashed #000;" in style
    assert "@page { margin: 10mm; }" in style


def test_yards_and_ounces_are_those_of_the_figures_beside_them(client: FlaskClient) -> None:
    people = [person(number, 50 + number / 5) for number in range(40)]

    rows = _table(client, people, yarns=YARNS)

    for row in rows:
        assert float(row["yarn_yd"]) == yards(float(row["yarn_m"]))
        assert float(row["yarn_oz"]) == ounces(float(row["yarn_g"]))
