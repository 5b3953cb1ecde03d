"""What stands on the sheet of a hat, whatever form it takes."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.domain.hat_orders import BrimOrder, CrownWishes, HatOrder
from service.domain.hat_rounds import RoundManner
from service.notation.count_checks import check_counts
from service.notation.terms import TERMS, TermsId
from service.sheets.sheet import Table
from tests.orders import CABLE_4X4_ON_10, TABLES, hat_orders
from tests.sheets.sheets import drawn_texts, part_of, sheet_of, texts_of, worked_sheet


def test_a_sheet_has_what_a_published_pattern_has_in_its_order() -> None:
    sheet = worked_sheet()

    assert [part.heading for part in sheet.parts] == [
        "Finished measurements",
        "Materials",
        "Gauge",
        "Abbreviations",
        "Special stitches",
        "Notes",
        "Cautions",
        "Pattern",
        "Foundation",
        "Brim",
        "Joining round",
        "Body",
        "Crown",
        "Edging",
        "Finishing",
        "Where the size comes from",
    ]


def test_measurements_stand_in_both_systems() -> None:
    # By hand: 100 stitches at 20 to 10 cm are 50 cm, and 50 / 2.54 is 19.69, nearest eighth 19 5/8.
    measurements = texts_of(part_of(worked_sheet(), "Finished measurements"))

    assert "Circumference 50 cm (19⅝ in)" in measurements
    assert any(re.fullmatch(r"To fit a head of [\d.]+–[\d.]+ cm \(.+–.+ in\)", row) for row in measurements)


def test_materials_name_the_yarn_and_how_much_of_it() -> None:
    yarn, hook, *_ = texts_of(part_of(worked_sheet(hook_mm=5.5), "Materials"))

    assert re.match(r"Yarn: About \d+ m \(\d+ yd\), \d+ g \([\d.]+ oz\): 2 balls\. ", yarn)
    assert yarn.endswith("Medium weight (4), balls of 100 g (3.5 oz) and 170 m (186 yd).")
    assert hook == "Hook: The 5.5 mm (US I-9) hook of the swatch, or whatever size gets its gauge."


def test_a_hat_of_unknown_yarn_says_what_the_yarn_must_do() -> None:
    assert texts_of(part_of(worked_sheet(yarn=None), "Materials"))[0] == "Yarn: A yarn that gets the gauge."


def test_gauge_is_told_for_body_and_brim() -> None:
    assert texts_of(part_of(worked_sheet(), "Gauge"))[:2] == [
        "Body: 20 sts and 14.5 rnds to 10 cm (4 in) in the body's stitch pattern.",
        "Brim: 16 sts and 14.5 rnds to 10 cm (4 in) in post rib 1 by 1.",
    ]


def test_stitches_that_are_on_no_list_are_defined() -> None:
    special = texts_of(part_of(worked_sheet(), "Special stitches"))

    assert special[2] == (
        "FPdc2tog: [yo, insert hook from front to back to front around post of next st, "
        "yo and pull up a loop, yo and draw through 2 loops] 2 times, "
        "yo and draw through all 3 loops on hook."
    )


def test_a_plain_hat_needs_no_special_stitches() -> None:
    sheet = worked_sheet(fabric="plain-dc", brim=None, brim_gauge=None)

    assert "Special stitches" not in [part.heading for part in sheet.parts]


@pytest.mark.parametrize("terms_id", list(TERMS))
def test_the_rounds_on_the_sheet_agree_when_they_are_counted(terms_id: TermsId) -> None:
    sheet = worked_sheet(terms_id=terms_id)
    begin = [part.heading for part in sheet.parts].index("Foundation")

    lines = [text for part in sheet.parts[begin:-1] for text in texts_of(part)]

    check = check_counts("\n".join(lines), TERMS[terms_id])
    assert check.verdict == "agrees"
    assert check.rounds[-1].last_round == 30


def test_a_sheet_in_uk_terms_speaks_no_us_terms() -> None:
    sheet = worked_sheet(terms_id="uk")
    pattern = " ".join(text for part in sheet.parts for text in texts_of(part) if part.level == 3)

    assert sheet.subtitle == "A crochet pattern in UK terms"
    assert "Tension" in [part.heading for part in sheet.parts]
    assert not re.search(r"\b(sc|hdc|sl st|sk|yo|FPdc|fpdtr)\b", pattern)
    cautions = " ".join(texts_of(part_of(sheet, "Cautions")))
    assert not re.search(r"\b(sc|hdc|FPdc|fpdtr)\b", cautions)


def test_notes_say_how_the_hat_is_worked() -> None:
    up = " ".join(texts_of(part_of(worked_sheet(), "Notes")))
    down = " ".join(
        texts_of(part_of(worked_sheet(worked="from_crown", crown=CrownWishes(shape="flat")), "Notes"))
    )

    assert "from the brim up" in up
    assert "twist" in up
    assert "from the centre of the crown down" in down
    assert "twist" not in down


def test_a_spiral_is_marked_and_not_joined() -> None:
    sheet = worked_sheet(
        fabric="plain-sc",
        brim=None,
        brim_gauge=None,
        crown=CrownWishes(),
        has_edging=False,
        manner=RoundManner(is_joined=False),
    )

    assert any("spiral" in note for note in texts_of(part_of(sheet, "Notes")))


def test_a_childs_hat_carries_its_cautions() -> None:
    sheet = worked_sheet(head_mm=440, fabric="cable-2x2")

    cautions = " ".join(texts_of(part_of(sheet, "Cautions")))
    assert "sleeping baby" in cautions
    assert "cords" in cautions


def test_the_sources_of_the_size_are_named() -> None:
    part = part_of(worked_sheet(), "Where the size comes from")

    table, proved = part.blocks
    assert isinstance(table, Table)
    assert table.rows[0] == ("Head circumference", "53 cm (20⅞ in)", "Measured with a tape")
    assert all(source for *_, source in table.rows)
    assert "30 rounds" in texts_of(part)[-1]
    assert proved is part.blocks[-1]


def test_the_working_stands_on_the_sheet_when_it_was_asked_for() -> None:
    part = part_of(worked_sheet(has_working=True), "How the figures were reached")

    assert len(texts_of(part)) > 5


@pytest.mark.parametrize(
    ("fabric", "terms_id", "title"),
    [
        ("cable-2x2", "us", "Cable 2 over 2 hat"),
        ("plain-sc", "us", "Single crochet hat"),
        ("plain-sc", "uk", "Double crochet hat"),
        (None, "us", "Textured hat"),
    ],
)
def test_a_sheet_that_nobody_named_is_named_after_its_fabric(
    fabric: str | None, terms_id: TermsId, title: str
) -> None:
    cloth = CABLE_4X4_ON_10 if fabric is None else TABLES.fabric_by_id[fabric]

    assert worked_sheet(terms_id=terms_id, fabric=cloth).title == title


def test_a_headband_is_called_one() -> None:
    sheet = worked_sheet(fabric="cable-2x2", size={"style": "headband"}, brim=None, brim_gauge=None)

    assert sheet.title == "Cable 2 over 2 headband"
    assert any(row.startswith("Height ") for row in texts_of(part_of(sheet, "Finished measurements")))


def test_a_blank_title_is_no_title() -> None:
    assert worked_sheet(title="  \u00a0 ").title == "Textured hat"


@pytest.mark.parametrize(
    ("hook_mm", "terms_id", "told"),
    [
        (5.5, "us", "5.5 mm (US I-9)"),
        (5.5, "uk", "5.5 mm (old UK 5)"),
        (7.0, "us", "7 mm"),
        (None, "us", "5.5 to 6.5 mm (US I-9 to K-10.5)"),
        (None, "uk", "5.5 to 6.5 mm (old UK 5 to 3)"),
    ],
)
def test_a_hook_is_told_by_the_sizes_of_its_country(
    hook_mm: float | None, terms_id: TermsId, told: str
) -> None:
    # Craft Yarn Council, hook sizes; the old UK ones from published conversion tables.
    hook = texts_of(part_of(worked_sheet(hook_mm=hook_mm, terms_id=terms_id), "Materials"))[1]

    assert f"{told} hook" in hook if hook_mm else f"{told}, usual for medium weight yarn" in hook


#: A figure with a unit, and nothing in the other system beside it; thickness of hooks has other names.
IN_ONE_SYSTEM = re.compile(r"\d (cm|mm|m|g)\b(?! (\([^()]+ (in|yd|oz)\)|\((US|old UK) |/ [^a-z]+ in))")


@settings(max_examples=25)
@given(order=hat_orders(), terms_id=st.sampled_from(sorted(TERMS)), hook_mm=st.sampled_from([None, 5.5]))
def test_every_figure_stands_in_both_systems(
    order: HatOrder, terms_id: TermsId, hook_mm: float | None
) -> None:
    sheet = sheet_of(order, terms_id=terms_id, hook_mm=hook_mm, has_working=True)

    told = [text for part in sheet.parts for text in (*texts_of(part), *drawn_texts(part))]

    assert [text for text in told if IN_ONE_SYSTEM.search(text)] == []


#: One of something that is said as many.
ONE_OF_MANY = re.compile(
    r"(?<![\d.,])1 (?:sts|stitches|rnds|rounds|times|balls|places|skipped sts|repeats)\b"
)


@settings(max_examples=25)
@given(order=hat_orders(), terms_id=st.sampled_from(sorted(TERMS)))
def test_a_sheet_reads_as_english(order: HatOrder, terms_id: TermsId) -> None:
    sheet = sheet_of(order, terms_id=terms_id)

    texts = [text for part in sheet.parts for text in texts_of(part)]
    told = [text for part in sheet.parts if part.heading in ("Notes", "Cautions") for text in texts_of(part)]

    assert [text for text in texts if ONE_OF_MANY.search(text) or "  " in text] == []
    assert len(told) == len(set(told))
    assert all(text[0].isupper() and text.endswith(".") for text in told)


def test_a_headband_is_never_called_a_hat() -> None:
    sheet = worked_sheet(
        head_mm=440, fabric="cable-2x2", size={"style": "headband"}, brim=None, brim_gauge=None, hook_mm=5.5
    )

    texts = [text for part in sheet.parts for text in texts_of(part)]

    assert [text for text in texts if re.search(r"\bhats?\b", text)] == []
    assert "No ties, drawstrings or long chin cords on a young child's headband." in texts


def test_a_hat_without_a_brim_is_not_worked_from_one() -> None:
    notes = texts_of(part_of(worked_sheet(fabric="plain-dc", brim=None, brim_gauge=None), "Notes"))

    assert notes[0] == "The hat is worked from its lower edge up."


@pytest.mark.parametrize("has_working", [False, True])
@pytest.mark.parametrize("brim_gauge", [None, {"stitches_per_10cm": 16}])
def test_uk_sheets_call_the_gauge_tension_everywhere(
    has_working: bool, brim_gauge: dict[str, float] | None
) -> None:
    brim = {} if brim_gauge else {"brim_gauge": None}
    sheet = worked_sheet(terms_id="uk", has_working=has_working, **brim)

    texts = [text for part in sheet.parts for text in (part.heading, *texts_of(part))]
    assert [text for text in texts if "gauge" in text.lower()] == []
    assert any("tension" in text.lower() for text in texts)


def test_a_fold_taller_than_the_brim_is_not_called_the_brim() -> None:
    low = BrimOrder(fabric=TABLES.fabric_by_id["post-rib-1x1"], height_mm=30.0)
    tall = worked_sheet(size={"style": "cuffed", "cuff_mm": 50.0}, brim=low)

    assert texts_of(part_of(tall, "Finishing"))[-1].startswith("Fold the lower edge up by 5 cm")
