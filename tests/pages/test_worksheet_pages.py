"""The pages for a person, asked for as a browser without scripts asks."""

import re
from html.parser import HTMLParser
from urllib.parse import urlencode

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.api.problems import PROBLEM_TYPES
from service.pages.worksheet_fields import EXAMPLE, FIELDS, options_of
from service.pages.worksheet_page import link_to
from service.reference.load import load_reference_tables

TABLES = load_reference_tables()
SWATCH = {"stitches": "17", "rounds": "14"}
OWN_COLUMNS = {
    "column_1_face": "back",
    "column_1_width": "1",
    "column_2_face": "front",
    "column_2_width": "4",
    "column_2_cable": "left",
    "own_rounds": "4",
}
BODY = {
    "head": {"size_id": "adult-m"},
    "gauge": {"stitches_per_10cm": 17, "rounds_per_10cm": 14},
    "fabric": {"fabric_id": "cable-2x2"},
}
PAGES = ["/", link_to(EXAMPLE), link_to({"stitches": "many"}), "/docs", "/problems/"]
NASTY = "\"><script>alert(1)</script>&'"


class Outline(HTMLParser):
    """What a page is made of: elements with their attributes, in order."""

    def __init__(self, html):
        super().__init__()
        self.elements = []
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        self.elements.append((tag, dict(attrs)))

    def named(self, tag):
        return [attributes for name, attributes in self.elements if name == tag]


def _outline(client, link):
    return Outline(client.get(link).text)


@pytest.mark.parametrize("link", PAGES)
def test_no_page_has_a_script_or_a_style_of_its_own_in_it(client, link):
    outline = _outline(client, link)

    assert all(attributes.get("src", "").startswith("/") for attributes in outline.named("script"))
    assert outline.named("style") == []
    assert not any(name == "style" or name.startswith("on") for _, each in outline.elements for name in each)


@pytest.mark.parametrize("link", PAGES)
def test_no_page_takes_anything_from_outside(client, link):
    outline = _outline(client, link)

    asked = [each[name] for _, each in outline.elements for name in ("src", "href") if name in each]
    assert asked
    assert all(address.startswith(("/", "#")) for address in asked)


@pytest.mark.parametrize("link", PAGES)
def test_every_page_has_a_strict_policy_and_is_not_kept(client, link):
    headers = client.get(link).headers

    policy = headers["Content-Security-Policy"]
    assert policy.startswith("default-src 'none'")
    assert "unsafe" not in policy
    assert "frame-ancestors 'none'" in policy
    assert headers["Cache-Control"] == "no-store"
    assert headers["Referrer-Policy"] == "no-referrer"
    assert headers["X-Content-Type-Options"] == "nosniff"


@pytest.mark.parametrize("link", PAGES)
def test_everything_a_page_asks_for_is_there(client, link):
    outline = _outline(client, link)
    asked = [each["src"] for _, each in outline.elements if "src" in each]
    asked += [each["href"] for each in outline.named("link")]

    assert [address for address in asked if client.get(address).status_code != 200] == []


def test_every_field_has_a_label(client):
    outline = _outline(client, "/")

    labelled = {each["for"] for each in outline.named("label")}
    fields = {each["id"] for tag in ("input", "select") for each in outline.named(tag)}
    assert fields == labelled
    assert set(FIELDS) <= {each["name"] for tag in ("input", "select") for each in outline.named(tag)}


def test_ids_stand_once_on_a_page(client):
    for link in PAGES:
        ids = [each["id"] for _, each in _outline(client, link).elements if "id" in each]

        assert len(ids) == len(set(ids))


def test_the_empty_form_may_be_found_and_a_filled_one_may_not(client):
    assert "X-Robots-Tag" not in client.get("/").headers
    assert client.get(link_to(SWATCH)).headers["X-Robots-Tag"] == "noindex"
    assert 'name="robots" content="noindex"' in client.get(link_to(SWATCH)).text


def test_a_filled_form_is_answered_with_the_plan_of_the_same_request(client):
    plan = client.post("/v1/hat-plans", json=BODY).json
    counts, chance = plan["counts"], plan["fit_probability"]

    page = client.get(link_to(SWATCH))

    assert page.status_code == 200
    assert f"brim {counts['brim']}, body {counts['body']} ({counts['repeats']} repeats)" in page.text
    assert f"<dd>{100 * chance:.0f} %</dd>" in page.text


def test_the_yarn_of_each_part_is_that_of_its_rounds(client):
    plan = client.post("/v1/hat-plans", json={**BODY, "yarn": {"weight_category": 4}}).json
    body_m = sum(worked["yarn_m"] for worked in plan["rounds"] if worked["section"] == "body")

    page = client.get(link_to({**SWATCH, "weight": "4"})).text

    [told] = re.findall(r">Body</th>.*?data-column=\"Yarn\">(\d+) m", page)
    assert float(told) == pytest.approx(body_m, abs=1)


def test_the_same_link_gives_the_same_page(client):
    assert client.get(link_to(EXAMPLE)).data == client.get(link_to(EXAMPLE)).data


def test_a_plan_shows_its_drawings_and_links_to_its_sheet(client):
    outline = _outline(client, link_to(EXAMPLE))

    links = [each["href"] for each in outline.named("a") if each["href"].startswith("/worksheet/")]
    assert {client.get(link).content_type.partition(";")[0] for link in links} == {
        "application/pdf",
        "text/html",
        "text/markdown",
        "image/svg+xml",
    }
    assert len([each for each in outline.named("svg") if each["role"] == "img"]) == 4


@pytest.mark.parametrize("style", ["beanie", "cuffed", "slouch", "headband"])
@pytest.mark.parametrize("fabric", [option.value for option in options_of("fabric", TABLES)])
def test_every_kind_of_hat_in_every_fabric_has_a_page(client, style, fabric):
    page = client.get(link_to({**SWATCH, **OWN_COLUMNS, "style": style, "fabric": fabric}))

    assert page.status_code == 200


def test_faults_stand_beside_their_fields_with_what_was_typed_kept(client):
    page = client.get(link_to({"stitches": "seventeen", "rounds": "14", "title": "Harbour"}))

    outline = Outline(page.text)
    [stitches] = [each for each in outline.named("input") if each["name"] == "stitches"]
    assert page.status_code == 422
    assert stitches["value"] == "seventeen"
    assert stitches["aria-invalid"] == "true"
    assert stitches["aria-describedby"] == "stitches-help stitches-complaint"
    assert 'value="Harbour"' in page.text
    assert [each["href"] for each in outline.named("a") if each["href"] == "#stitches"]
    assert "<title>Please check:" in page.text


def test_the_summary_says_which_column_is_meant(client):
    page = client.get(link_to({**SWATCH, **OWN_COLUMNS, "fabric": "own", "column_2_width": "5"}))

    assert '<a href="#column_2_width">Column 2, stitches</a>' in page.text


def test_what_is_folded_away_is_open_where_something_was_typed(client):
    closed, opened = (
        client.get(link_to({**SWATCH, **more, "edit": "yes"})).text for more in ({}, {"tex": "400"})
    )

    assert closed.count('<details class="folded">') == 5
    assert opened.count('<details class="folded" open>') == 1


@pytest.mark.parametrize("name", sorted(FIELDS))
def test_whatever_is_typed_is_escaped(client, name):
    for rest in ({}, SWATCH):
        page = client.get(link_to({**rest, "units": "cm", name: NASTY}))

        assert "<script>alert" not in page.text


def test_a_title_is_escaped_in_the_plan_and_its_drawings(client):
    for path in ("/", "/worksheet/pattern.html", "/worksheet/schematic.svg"):
        page = client.get(link_to({**SWATCH, "title": NASTY}, path))

        assert page.status_code == 200
        assert "<script>" not in page.text
        assert "&lt;script&gt;" in page.text


@settings(max_examples=40)
@given(
    entries=st.dictionaries(
        st.sampled_from(sorted(FIELDS)),
        st.one_of(
            st.text(max_size=12),
            st.floats(-500, 500).map(str),
            st.sampled_from(["yes", "none", "tape", "in"]),
        ),
        max_size=8,
    )
)
def test_whatever_is_typed_is_planned_or_refused(app, entries):
    page = app.test_client().get(link_to({**SWATCH, **entries}))

    assert page.status_code in (200, 422)
    assert page.status_code == 200 or "Please check" in page.text


def test_names_that_other_programs_add_to_a_link_are_left_aside(client):
    assert client.get("/?via=letter").status_code == 200
    assert "letter" not in client.get("/?via=letter&stitches=17&rounds=14").text


def test_a_plan_can_be_changed_with_everything_still_filled_in(client):
    page = client.get(link_to({**EXAMPLE, "edit": "yes"}))

    outline = Outline(page.text)
    values = {each["name"]: each.get("value") for each in outline.named("input") if each["type"] == "text"}
    assert page.status_code == 200
    assert (values["stitches"], values["ball_length"], values["title"]) == ("18.5", "180", "The harbour hat")


def test_a_link_that_is_too_long_is_refused_with_a_form(client):
    page = client.get("/?" + urlencode({"title": "x" * 8192}))

    assert page.status_code == 414
    assert "longer than 8192 bytes" in page.text


def test_the_longest_entries_that_the_form_takes_fit_into_a_link():
    longest = {name: "ß" * (20 if field.measure else 0) for name, field in FIELDS.items()}
    listed = {
        name: max((option.value for option in options_of(name, TABLES)), key=len)
        for name in FIELDS
        if options_of(name, TABLES)
    }

    link = link_to({**longest, **listed, "title": "語" * 120})

    assert len(link) < 8192


@pytest.mark.parametrize("query", ["", "?stitches=many"])
@pytest.mark.parametrize("path", ["/worksheet/pattern.pdf", "/worksheet/schematic.svg"])
def test_a_sheet_that_cannot_be_made_is_refused_with_the_form_that_says_why(client, path, query):
    page = client.get(path + query)

    assert page.status_code == 422
    assert page.headers["X-Robots-Tag"] == "noindex"
    assert page.headers["Content-Security-Policy"].startswith("default-src 'none'")
    assert 'id="stitches-complaint"' in page.text


def test_a_drawing_that_the_hat_does_not_have_is_refused_with_the_form(client):
    entries = {"style": "headband", **SWATCH}

    page = client.get(link_to(entries, "/worksheet/crown_chart.svg"))

    assert page.status_code == 422
    assert "Please check this" in page.text
    assert 'value="17"' in page.text


def test_a_link_may_choose_the_units_of_an_empty_form(client):
    page = client.get("/?units=in")

    [inches] = [each for each in Outline(page.text).named("input") if each["id"] == "units-in"]
    assert page.status_code == 200
    assert "checked" in inches
    assert "Please check" not in page.text


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"style": "headband", "crown_rounds": "8"}, "A headband has no crown"),
        ({"placement": "scattered"}, "scattered decreases are for plain crowns"),
        ({"swatch_mass": "12", "swatch_stitches": "400 dc"}, "The weighed swatch is not used"),
    ],
)
def test_a_wish_that_nothing_acts_upon_is_told_before_the_pattern(client, typed, words):
    page = client.get(link_to({**SWATCH, **typed}))

    assert page.status_code == 200
    assert words in page.text.partition('class="view"')[0]


def test_what_contradicts_the_form_is_told_beside_its_field_on_every_address(client):
    entries = {**SWATCH, "brim": "none", "brim_height": "4"}

    for path in ("/", "/worksheet/pattern.pdf", "/worksheet/schematic.svg"):
        page = client.get(link_to(entries, path))

        assert page.status_code == 422
        assert 'id="brim_height-complaint"' in page.text


def test_the_browser_may_keep_what_was_typed(client):
    assert "autocomplete" not in client.get("/").text


@pytest.mark.parametrize("path", ["/worksheet/pattern.exe", "/worksheet/nothing.svg", "/static/nothing.css"])
def test_other_addresses_are_not_there(client, path):
    assert client.get(path).status_code == 404


def test_a_page_takes_get_alone(client):
    refused = client.post("/", data=SWATCH)

    assert refused.status_code == 405
    assert set(refused.headers["Allow"].split(", ")) == {"GET", "HEAD", "OPTIONS"}


def test_refusals_of_the_mathematics_are_told_in_the_form(client):
    tall = client.get(link_to({**SWATCH, "brim": "post-rib-1x1", "brim_height": "30"}))
    both = client.get(link_to({**SWATCH, "fit": "close", "ease": "-2"}))

    assert tall.status_code == both.status_code == 422
    assert 'id="brim_height-complaint"' in tall.text
    assert 'id="fit-complaint"' in both.text
    assert 'id="ease-complaint"' in both.text


def test_a_plan_speaks_the_terms_that_were_chosen(client):
    page = client.get(link_to({**EXAMPLE, "terms": "uk", "working": "yes"})).text

    assert "A crochet pattern in UK terms" in page
    assert "Tension" in page
    assert "How the figures were reached" in page


def test_every_problem_type_is_listed_and_has_a_page(client):
    index = client.get("/problems/").text

    for slug, kind in PROBLEM_TYPES.items():
        assert f'href="/problems/{slug}"' in index
        assert f"Status {kind.status}" in client.get(f"/problems/{slug}").text
