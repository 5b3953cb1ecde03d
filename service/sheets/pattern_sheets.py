"""Build the sheet of a hat: everything a published pattern has, in its order."""

from collections.abc import Iterable, Iterator

from service.domain.hats import HatPlan
from service.domain.report import Notice
from service.domain.tables import ReferenceTables
from service.notation.terms import TERMS, Terms, TermsId
from service.patterns.gauge_words import gauge_in_terms
from service.patterns.notices import notice_sentence, notice_severity
from service.patterns.plan_notes import plan_notes
from service.patterns.plan_words import plan_abbreviations, plan_materials
from service.patterns.proofs import Proof
from service.patterns.stitch_definitions import define_stitches
from service.patterns.text_abbreviations import Abbreviation
from service.patterns.written_patterns import WrittenPattern, WrittenSection, write_pattern
from service.sheets.plan_drawings import crown_chart, schematic
from service.sheets.plan_figures import (
    fabric_words,
    gauge_sentences,
    measurement_rows,
    plain_title,
    sheet_title,
    source_rows,
    working_rows,
    yarn_words,
)
from service.sheets.sheet import (
    Block,
    Instruction,
    Instructions,
    Items,
    Paragraph,
    Part,
    Sheet,
    Table,
    sheet_texts,
)
from service.sheets.sheet_words import COLUMNS, HEADINGS, LABELS, SENTENCES

__all__ = ["abbreviations_part", "build_pattern_sheet", "special_stitches_parts"]


def build_pattern_sheet(
    plan: HatPlan,
    proof: Proof,
    *,
    tables: ReferenceTables,
    terms_id: TermsId,
    title: str | None = None,
    hook_mm: float | None = None,
    has_working: bool = False,
) -> Sheet:
    """Return the sheet of a hat.

    Measurements with a schematic, materials, gauge, abbreviations, notes and cautions come first, then the
    rounds by part, the crown's with a chart, the finishing, and where the size comes from.

    Parameters
    ----------
    plan
        The hat.
    proof
        Its proof: a sheet is made of proved plans only.
    tables
        Published tables, for the names of fabrics and yarns.
    terms_id
        The terms to write in.
    title
        Free text; without it, or where it is blank, the sheet is named after its fabric.
    hook_mm
        The hook of the swatch, where it is known. [mm]
    has_working
        Whether the figures are listed with their formulas.
    """
    name = sheet_title(title, plan, TERMS[terms_id], tables)
    pattern = write_pattern(plan, terms_id)
    beforehand = tuple(_beforehand(plan, terms_id, tables, hook_mm))
    rest = (
        *special_stitches_parts(define_stitches(plan, terms_id)),
        *_messages(plan, TERMS[terms_id]),
        *_rounds(plan, pattern),
        *_afterwards(plan, proof, pattern, has_working=has_working),
    )
    key = plan_abbreviations(plan, terms_id, sheet_texts((*beforehand, *rest)))
    return Sheet(
        language="en",
        title=name,
        subtitle=SENTENCES[f"subtitle_{terms_id}"],
        parts=(_measurements(plan), *beforehand, abbreviations_part(key), *rest),
        plain_title=plain_title(plan, TERMS[terms_id], tables),
    )


def _measurements(plan: HatPlan) -> Part:
    table = Table(COLUMNS["measurements"], measurement_rows(plan))
    return Part(HEADINGS["measurements"], (table, schematic(plan)))


def _beforehand(
    plan: HatPlan, terms_id: TermsId, tables: ReferenceTables, hook_mm: float | None
) -> Iterator[Part]:
    """Yield what a maker needs to know and have before the first chain."""
    terms = TERMS[terms_id]
    yield Part(HEADINGS["materials"], (Instructions(tuple(_materials(plan, terms, tables, hook_mm))),))
    gauge = gauge_sentences(plan, terms, fabric_words(plan, terms, tables))
    yield Part(terms.words["gauge"].capitalize(), tuple(map(Paragraph, gauge)))


def abbreviations_part(key: Iterable[Abbreviation]) -> Part:
    """Return the key of abbreviations."""
    rows = tuple((each.abbreviation, each.meaning) for each in key)
    return Part(HEADINGS["abbreviations"], (Table(COLUMNS["abbreviations"], rows),))


def special_stitches_parts(special: Iterable[Abbreviation]) -> Iterator[Part]:
    """Yield how the stitches are worked that are on no list, if there are any."""
    told = tuple(Instruction(f"{each.abbreviation}:", each.meaning) for each in special)
    if told:
        blocks = (Paragraph(SENTENCES["special_stitches"]), Instructions(told))
        yield Part(HEADINGS["special_stitches"], blocks, level=3)


def _materials(
    plan: HatPlan, terms: Terms, tables: ReferenceTables, hook_mm: float | None
) -> Iterator[Instruction]:
    if plan.order.yarn is None:
        yield Instruction(LABELS["yarn"], SENTENCES["any_yarn"].format(gauge=terms.words["gauge"]))
    for material in plan_materials(plan, tables, hook_mm, terms.terms_id):
        kind = yarn_words(plan, tables) if material.name == "yarn" else ""
        told = {"amount": material.text, "kind": kind[:1].upper() + kind[1:]}
        text = SENTENCES["whose_yarn"].format_map(told) if kind else material.text
        yield Instruction(f"{material.name.capitalize()}:", text)


def _messages(plan: HatPlan, terms: Terms) -> Iterator[Part]:
    """Yield notes, and cautions apart from them."""
    told = [notice for notice in plan.notices if notice_severity(notice) == "info"]
    yield Part(HEADINGS["notes"], (Items((*plan_notes(plan), *_sentences(told, terms))),))
    cautions = [notice for notice in plan.notices if notice_severity(notice) != "info"]
    if cautions:
        yield Part(HEADINGS["cautions"], (Items(tuple(_sentences(cautions, terms))),))


def _sentences(notices: Iterable[Notice], terms: Terms) -> Iterable[str]:
    """Return the notices in words, once each, with their stitches as the rounds write them."""
    return dict.fromkeys(
        gauge_in_terms(notice_sentence(_in_terms(notice, terms)), terms) for notice in notices
    )


def _in_terms(notice: Notice, terms: Terms) -> Notice:
    stitch = notice.values.get("stitch")
    if not isinstance(stitch, str):
        return notice
    return Notice(notice.code, {**notice.values, "stitch": terms.abbreviation(stitch)})


def _rounds(plan: HatPlan, pattern: WrittenPattern) -> Iterator[Part]:
    yield Part(HEADINGS["pattern"], ())
    yield Part(HEADINGS["foundation"], (Paragraph(pattern.foundation),), level=3)
    for section in pattern.sections:
        blocks = _section_blocks(plan, section, TERMS[pattern.terms_id])
        yield Part(section.heading, tuple(blocks), level=3)
    yield Part(TERMS[pattern.terms_id].words["finishing"], (Items(pattern.finishing),), level=3)


def _section_blocks(plan: HatPlan, section: WrittenSection, terms: Terms) -> Iterator[Block]:
    yield Instructions(tuple(Instruction(each.label, each.text) for each in section.rounds))
    if section.closing is not None:
        yield Paragraph(section.closing)
    if section.name == "crown":
        yield crown_chart(plan, terms)


def _afterwards(plan: HatPlan, proof: Proof, pattern: WrittenPattern, *, has_working: bool) -> Iterator[Part]:
    """Yield where the figures come from."""
    proved = Paragraph(SENTENCES["proved"].format(count=proof.round_count))
    terms = TERMS[pattern.terms_id]
    sources = Table(COLUMNS["sources"], _rows_in_terms(source_rows(plan), terms))
    yield Part(HEADINGS["sources"], (sources, proved))
    if has_working:
        working = _rows_in_terms(working_rows(plan), terms)
        yield Part(HEADINGS["working"], (Table(COLUMNS["working"], working),))


def _rows_in_terms(rows: Iterable[tuple[str, ...]], terms: Terms) -> tuple[tuple[str, ...], ...]:
    return tuple(tuple(gauge_in_terms(cell, terms) for cell in row) for row in rows)
