"""The pages in a real browser: filled in, shared, by keyboard, on a small screen, and checked for access."""

import json
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from service.api.problems import PROBLEM_TYPES
from service.drawings.drawing import DRAWING_KINDS
from service.pages.worksheet_fields import EXAMPLE
from service.pages.worksheet_page import link_to

DEMO = Path(__file__).resolve().parents[2] / "openapi" / "examples" / "hat-plans.demo.json"
OWN_COLUMNS = {
    "stitches": "17",
    "rounds": "14",
    "fabric": "own",
    "own_rounds": "4",
    "column_1_face": "back",
    "column_1_width": "2",
    "column_2_face": "front",
    "column_2_width": "5",
    "column_2_cable": "right",
}
FAULTY = link_to(
    {"units": "in", "head_by": "tape", "head": "99", "stitches": "many", "fit": "close", "ease": "2"}
)
HATS = [
    link_to(EXAMPLE),
    link_to(
        {"stitches": "16", "rounds": "18", "fabric": "plain-sc", "worked": "from_crown", "working": "yes"}
    ),
    link_to({"stitches": "17", "rounds": "14", "style": "headband", "head_by": "age", "age": "12"}),
]
#: What the library's own page is known to break, by the rules of axe.
EXEMPT_IN_DOCS = {"color-contrast", "heading-order", "nested-interactive", "region", "select-name"}
MOST_TABS = 80


def _fill_in_a_swatch(page):
    page.get_by_role("textbox", name="Stitches over 10 cm", exact=True).fill("17")
    page.get_by_role("textbox", name="Rounds over 10 cm", exact=True).fill("14")


def _violations(page):
    found = Axe().run(page).response["violations"]
    return {(each["id"], node["html"][:200]) for each in found for node in each["nodes"]}


def test_a_filled_form_becomes_a_plan(page):
    page.goto("/")
    _fill_in_a_swatch(page)
    page.get_by_role("radio", name="Cable 3 over 3 repeat").check()
    page.get_by_label("Weight of the yarn").select_option("4")
    page.get_by_label("Name of the hat").fill("The <em>ferry</em> hat")

    page.get_by_role("button", name="Plan the hat").click()

    expect(page.get_by_role("heading", level=1)).to_have_text("The <em>ferry</em> hat")
    expect(page.get_by_role("definition").filter(has_text="repeats")).to_contain_text("body")
    expect(page.get_by_role("img", name="Crown chart")).to_be_visible()


def test_a_shared_link_shows_the_same_plan_to_somebody_else(page, browser, address):
    page.goto(link_to(EXAMPLE))
    shared = page.get_by_role("link", name="Link to this plan").get_attribute("href")
    told = page.locator("dl.facts").inner_text()

    stranger = browser.new_context(base_url=address)
    theirs = stranger.new_page()
    theirs.goto(shared)

    expect(theirs.get_by_role("heading", level=1)).to_have_text("The harbour hat")
    assert theirs.locator("dl.facts").inner_text() == told
    stranger.close()


def test_a_plan_can_be_changed_and_planned_again(page):
    page.goto(link_to(EXAMPLE))

    page.get_by_role("link", name="Change something").click()
    page.get_by_role("textbox", name="Stitches over 10 cm", exact=True).fill("20")
    page.get_by_role("button", name="Plan the hat").click()

    expect(page.get_by_role("heading", level=1)).to_have_text("The harbour hat")
    assert "stitches=20" in page.url


def test_a_fault_is_told_first_and_leads_to_its_field(page):
    page.goto("/")
    page.get_by_role("textbox", name="Stitches over 10 cm", exact=True).fill("seventeen")

    page.get_by_role("button", name="Plan the hat").click()

    summary = page.get_by_role("alert")
    expect(summary).to_be_focused()
    expect(summary).to_contain_text("Write this as a number")
    summary.get_by_role("link", name="Stitches").click()
    expect(page.locator("#stitches")).to_be_focused()
    expect(page.locator("#stitches")).to_have_value("seventeen")


def test_the_form_can_be_filled_in_with_the_keyboard_alone(page):
    page.goto("/")

    def walk_to(field):
        for _ in range(MOST_TABS):
            page.keyboard.press("Tab")
            if page.evaluate("document.activeElement.id") == field:
                return
        raise AssertionError(f"{field} cannot be reached")

    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="Skip to the content")).to_be_focused()
    page.keyboard.press("Enter")
    walk_to("units")
    page.keyboard.press("ArrowRight")
    walk_to("stitches")
    page.keyboard.type("17")
    walk_to("rounds")
    page.keyboard.type("14 1/2")
    page.keyboard.press("Enter")

    expect(page.get_by_role("heading", level=1)).to_have_text("Cable 2 over 2 hat")
    assert "units=in" in page.url


def test_labels_follow_the_units_and_what_is_known_of_the_head(page):
    page.goto("/")

    page.get_by_label("Inches").check()
    page.get_by_label("Its measurement").check()

    expect(page.get_by_role("textbox", name="Stitches over 4 in", exact=True)).to_be_visible()
    expect(page.get_by_role("textbox", name="Around the head in", exact=True)).to_be_visible()
    expect(page.locator("#size")).to_be_hidden()


def test_the_form_works_without_a_script(browser, address):
    context = browser.new_context(base_url=address, java_script_enabled=False)
    page = context.new_page()
    page.goto("/")
    _fill_in_a_swatch(page)

    page.get_by_role("button", name="Plan the hat").click()

    expect(page.get_by_role("heading", level=1)).to_have_text("Cable 2 over 2 hat")
    expect(page.get_by_role("button", name="Print")).to_be_hidden()
    context.close()


def test_a_stitch_pattern_of_ones_own_is_written_down_without_a_script(browser, address):
    context = browser.new_context(base_url=address, java_script_enabled=False)
    page = context.new_page()
    page.goto("/")
    _fill_in_a_swatch(page)
    expect(page.get_by_role("group", name="Column 1")).to_be_hidden()
    page.get_by_role("radio", name="One of my own").check()
    first, second = (page.get_by_role("group", name=f"Column {number}") for number in (1, 2))
    first.get_by_label("Face").select_option("Back post")
    first.get_by_label("Stitches").fill("2")
    second.get_by_label("Face").select_option("Front post")
    second.get_by_label("Stitches").fill("5")
    second.get_by_label("Crosses").select_option("To the right")

    page.get_by_role("button", name="Plan the hat").click()

    expect(page.get_by_role("link", name="Column 2, stitches")).to_be_visible()
    second.get_by_label("Stitches").fill("6")
    page.get_by_label("Rounds of one repeat").fill("4")
    page.get_by_role("button", name="Plan the hat").click()
    expect(page.locator("dl.facts")).to_contain_text("repeats")
    context.close()


def test_what_is_folded_away_opens_by_keyboard(page):
    page.goto("/")
    expect(page.get_by_label("Tex of one strand")).to_be_hidden()

    page.get_by_text("Strands, tex and a weighed swatch").focus()
    page.keyboard.press("Enter")

    expect(page.get_by_label("Tex of one strand")).to_be_visible()


def test_waiting_shows_when_it_takes_longer_than_a_blink(page):
    page.goto("/")
    sign = page.get_by_role("status")
    expect(sign).to_have_text("")

    # The browser does not look at a page that is being left, so that this one stays.
    page.evaluate("document.getElementById('worksheet').dispatchEvent(new Event('submit'))")

    expect(sign).to_have_text("Planning the hat …")
    page.evaluate("window.dispatchEvent(new Event('pageshow'))")
    expect(sign).to_have_text("")


@pytest.mark.parametrize(
    "link", ["/", FAULTY, link_to(OWN_COLUMNS), *HATS, "/problems/", "/problems/choose-one"]
)
def test_nothing_scrolls_sideways_on_a_small_phone(page, link):
    page.set_viewport_size({"width": 320, "height": 640})

    page.goto(link)

    assert page.evaluate("document.documentElement.scrollWidth") <= 320


def test_the_words_of_a_wide_drawing_can_be_read_on_a_small_phone(page):
    page.set_viewport_size({"width": 320, "height": 640})

    page.goto(link_to(EXAMPLE))

    sizes = page.locator("figure.wide svg text").evaluate_all(
        "words => words.map(each => each.getAttribute('font-size') * each.ownerSVGElement.getScreenCTM().a)"
    )
    assert len(sizes) > 20
    assert min(sizes) >= 8


def test_going_back_keeps_what_was_typed(page):
    page.goto("/")
    _fill_in_a_swatch(page)
    page.get_by_label("Name of the hat").fill("Ferry")
    page.get_by_role("button", name="Plan the hat").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Ferry")

    page.go_back()

    expect(page.get_by_role("textbox", name="Stitches over 10 cm", exact=True)).to_have_value("17")
    expect(page.get_by_label("Name of the hat")).to_have_value("Ferry")


def test_a_printed_plan_leaves_out_what_only_a_screen_can_use(page):
    page.goto(link_to(EXAMPLE))

    page.emulate_media(media="print")

    expect(page.get_by_role("link", name="Change something")).to_be_hidden()
    expect(page.get_by_role("navigation")).to_have_count(0)
    expect(page.get_by_role("heading", name="Drawings alone")).to_be_hidden()
    expect(page.get_by_role("heading", name="Pattern", exact=True)).to_be_visible()


@pytest.mark.parametrize("link", ["/", FAULTY, link_to(OWN_COLUMNS), *HATS])
def test_everybody_can_use_the_worksheet(page, link):
    page.goto(link)
    for folded in page.locator("details").all():
        folded.evaluate("each => { each.open = true; }")

    assert _violations(page) == set()


def test_everybody_can_read_the_problem_types(page):
    for link in ("/problems/", *(f"/problems/{slug}" for slug in PROBLEM_TYPES)):
        page.goto(link)

        assert _violations(page) == set(), link


@pytest.mark.parametrize("link", HATS)
def test_everybody_can_read_a_sheet(page, link):
    page.goto(link.replace("/", "/worksheet/pattern.html", 1))

    assert _violations(page) == set()


@pytest.mark.parametrize("kind", DRAWING_KINDS)
def test_everybody_can_read_a_drawing(page, client, kind):
    order = {**json.loads(DEMO.read_text(encoding="utf-8"))["request"], "kind": kind}
    drawing = client.post("/v1/drawings", json=order).text

    page.set_content(
        f'<html lang="en"><title>A drawing</title><main><h1>A drawing</h1>{drawing}</main></html>'
    )

    assert _violations(page) == set()


def test_examples_can_be_sent_from_the_reference(page, client):
    paths = client.get("/openapi.json").json["paths"]
    page.goto("/docs")
    expect(page.get_by_text("/v1/hat-plans", exact=True)).to_be_visible()
    assert page.locator(".opblock").count() == sum(len(methods) for methods in paths.values())

    # A table, a small answer, a long one and a picture; all the others are sent without a page.
    for path in ("/v1/hook-sizes", "/v1/shaping-rounds", "/v1/hat-plans", "/v1/drawings"):
        operation = page.locator(".opblock").filter(has=page.get_by_text(path, exact=True))
        operation.locator(".opblock-summary-control").click()
        operation.get_by_role("button", name="Execute").click()

        answer = operation.locator(".live-responses-table tr.response").first
        expect(answer.locator(".response-col_status")).to_contain_text("200")


def test_the_reference_breaks_only_the_rules_that_its_library_is_known_for(page):
    page.goto("/docs")
    expect(page.get_by_text("/v1/hat-plans", exact=True)).to_be_visible()

    assert {rule for rule, _ in _violations(page)} <= EXEMPT_IN_DOCS


def test_everybody_can_read_labels(page, client):
    order = json.loads((DEMO.parent / "kit-labels.seven-seats.json").read_text(encoding="utf-8"))["request"]

    page.set_content(client.post("/v1/kit-labels", json=order).text)

    assert _violations(page) == set()
