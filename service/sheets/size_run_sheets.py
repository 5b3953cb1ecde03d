"""Build the sheet of a size run: one pattern for all sizes, with a table of what each measures."""

from collections.abc import Iterator, Sequence

from service.domain.hats import HatPlan
from service.domain.size_runs import Measurements, SizeRun, run_measurements
from service.domain.tables import ReferenceTables
from service.drawings.size_schematic import draw_size_schematic
from service.notation.terms import TERMS, TermsId
from service.patterns.colour_words import colour_figures
from service.patterns.lengths import both_systems, measured
from service.patterns.plan_notes import plan_notes
from service.patterns.plan_words import plan_materials
from service.patterns.size_run_proofs import SizeRunProof
from service.patterns.size_run_rounds import run_round_numbers
from service.patterns.size_run_words import run_abbreviations, tell_run_notices, write_size_run_legend
from service.patterns.stitch_definitions import define_stitches
from service.sheets.pattern_sheets import abbreviations_part, special_stitches_parts
from service.sheets.plan_figures import fabric_words, gauge_sentences, plain_title, sheet_title, yarn_words
from service.sheets.sheet import (
    Block,
    Drawing,
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

__all__ = ["build_size_run_sheet"]


def build_size_run_sheet(
    run: SizeRun,
    proof: SizeRunProof,
    *,
    tables: ReferenceTables,
    terms_id: TermsId,
    title: str | None = None,
    hook_mm: float | None = None,
) -> Sheet:
    """Return the sheet of a size run, laid out as a published pattern for several sizes.

    Parameters
    ----------
    run
        The sizes.
    proof
        Its proof, with the text that was proved: a sheet prints nothing else.
    tables
        Published tables, for the names of fabrics and yarns.
    terms_id
        The terms to write in.
    title
        Free text; without it, or where it is blank, the sheet is named after its fabric.
    hook_mm
        The hook of the swatch, where it is known. [mm]
    """
    text, first = proof.texts[terms_id], run.plans[0]
    beforehand = tuple(_beforehand(run, terms_id, tables, hook_mm))
    special = {each.abbreviation: each for size in run.plans for each in define_stitches(size, terms_id)}
    rest = (
        *special_stitches_parts(special.values()),
        *_messages(run),
        *_rounds(text, terms_id),
        Part(HEADINGS["sources"], (Paragraph(SENTENCES["proved_for_sizes"]),)),
    )
    key = run_abbreviations(run.plans, terms_id, sheet_texts((*beforehand, *rest)))
    return Sheet(
        language="en",
        title=sheet_title(title, first, TERMS[terms_id], tables),
        subtitle=SENTENCES[f"subtitle_{terms_id}"],
        parts=(
            Part(HEADINGS["sizes"], (Items(write_size_run_legend(run.plans, text)),)),
            _measurements(run),
            *beforehand,
            abbreviations_part(key),
            *rest,
        ),
        plain_title=plain_title(first, TERMS[terms_id], tables),
    )


def _measurements(run: SizeRun) -> Part:
    rows = tuple(_row(row, plan) for row, plan in zip(run_measurements(run), run.plans, strict=True))
    drawing = Drawing(draw_size_schematic(run.plans, title=HEADINGS["size_schematic"]))
    return Part(HEADINGS["measurements"], (Table(COLUMNS["sizes"], rows), drawing))


def _row(row: Measurements, plan: HatPlan) -> tuple[str, ...]:
    brim_mm, estimate = row.brim_circumference_mm, plan.yarn.estimate
    return (
        str(row.size_number),
        both_systems(row.head_mm),
        both_systems(row.circumference_mm),
        LABELS["nothing"] if brim_mm is None else both_systems(brim_mm),
        both_systems(row.depth_mm),
        LABELS["nothing"] if estimate is None else measured(estimate.buy.length_m, "m"),
    )


def _beforehand(
    run: SizeRun, terms_id: TermsId, tables: ReferenceTables, hook_mm: float | None
) -> Iterator[Part]:
    terms, plan = TERMS[terms_id], run.plans[0]
    gauge = terms.words["gauge"]
    kind = yarn_words(plan, tables)
    yarn = f"{kind[0].upper()}{kind[1:]}." if kind else SENTENCES["any_yarn"].format(gauge=gauge)
    tools = [
        each
        for each in plan_materials(plan, tables, hook_mm, terms_id)
        # Where colours are worked stands with the sizes, and what they take in a table of its own.
        if each.name not in ("yarn", "colours", "colour")
    ]
    materials = [Instruction(LABELS["yarn"], yarn)]
    materials += [Instruction(f"{each.name.capitalize()}:", each.text) for each in tools]
    yield Part(HEADINGS["materials"], (Instructions(tuple(materials)),))
    rows = tuple(_colour_rows(run.plans))
    if rows:
        yield Part(HEADINGS["size_colours"], (Table(COLUMNS["size_colours"], rows),))
    sentences = gauge_sentences(plan, terms, fabric_words(plan, terms, tables))
    yield Part(gauge.capitalize(), tuple(map(Paragraph, sentences)))


def _colour_rows(plans: Sequence[HatPlan]) -> Iterator[tuple[str, ...]]:
    """Yield what each size takes of each colour, its rounds by their numbers in the text."""
    for size, (plan, numbers) in enumerate(zip(plans, run_round_numbers(plans), strict=True), 1):
        told = () if plan.yarn.estimate is None else colour_figures(plan.yarn.estimate, numbers)
        for each in told:
            amount = SENTENCES["about"].format(amount=each.amount)
            yield str(size), each.colour, amount, each.balls or LABELS["nothing"], each.rounds


def _messages(run: SizeRun) -> Iterator[Part]:
    """Yield notes, and cautions apart from them."""
    told = tell_run_notices(run)
    notes = dict.fromkeys(note for plan in run.plans for note in plan_notes(plan))
    info = [each.text for each in told if each.severity == "info"]
    yield Part(HEADINGS["notes"], (Items((*notes, *info)),))
    cautions = tuple(each.text for each in told if each.severity != "info")
    if cautions:
        yield Part(HEADINGS["cautions"], (Items(cautions),))


def _rounds(text: str, terms_id: TermsId) -> Iterator[Part]:
    foundation, *sections, finishing = text.split("\n\n")
    yield Part(HEADINGS["pattern"], ())
    yield Part(HEADINGS["foundation"], tuple(map(Paragraph, foundation.split("\n"))), level=3)
    for section in sections:
        heading, *lines = section.split("\n")
        yield Part(heading, tuple(_section_blocks(lines)), level=3)
    yield Part(TERMS[terms_id].words["finishing"], (Items(tuple(finishing.split("\n"))),), level=3)


def _section_blocks(lines: list[str]) -> Iterator[Block]:
    rounds = [line.partition(": ") for line in lines if line.startswith("Rnd")]
    yield Instructions(tuple(Instruction(f"{label}:", told) for label, _, told in rounds))
    yield from (Paragraph(line) for line in lines if not line.startswith("Rnd"))
