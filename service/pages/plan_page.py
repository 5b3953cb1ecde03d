"""The answer to a worksheet: what the hat comes to, its sheet, its drawings, and links that carry it on."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from service.domain.errors import DrawingTooLarge, NothingToDraw
from service.domain.hats import HatPlan
from service.domain.rounding import half_up
from service.domain.tables import ReferenceTables
from service.domain.units import M_PER_YARD
from service.drawings.drawing import DRAWING_KINDS, DrawingKind, DrawingOrder, draw
from service.drawings.hat_views import describe_hat_view
from service.notation.terms import TERMS, TermsId
from service.pages.templating import render
from service.pages.worksheet_page import link_to
from service.patterns.lengths import both_systems
from service.patterns.plan_words import alternative_reason, plan_materials
from service.patterns.proofs import Proof
from service.sheets.pattern_sheets import build_pattern_sheet
from service.sheets.sheet import Block, Drawing, Paragraph, Part, Sheet, Table
from service.sheets.sheet_words import HEADINGS

__all__ = ["PlanWishes", "plan_html"]

#: The drawings that no sheet has; those of the sheet stand where it has them.
_FURTHER: tuple[DrawingKind, ...] = ("body_chart", "shaping_curve")


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanWishes:
    """How a plan is to be told: its terms, its name, the hook, and whether the figures are explained."""

    terms_id: TermsId
    title: str | None
    hook_mm: float | None
    has_working: bool


def plan_html(
    plan: HatPlan, proof: Proof, wishes: PlanWishes, entries: Mapping[str, str], tables: ReferenceTables
) -> str:
    """Return the page of a planned hat.

    Parameters
    ----------
    plan
        The hat.
    proof
        Its proof: only proved plans are told.
    wishes
        How it is told.
    entries
        The form that it was planned from, for the links.
    tables
        Published tables.
    """
    sheet = build_pattern_sheet(
        plan,
        proof,
        tables=tables,
        terms_id=wishes.terms_id,
        title=wishes.title,
        hook_mm=wishes.hook_mm,
        has_working=wishes.has_working,
    )
    return render(
        "plan.html",
        is_private=True,
        sheet=sheet,
        facts=list(_facts(plan, wishes, tables)),
        links=_links(entries),
        view_words=describe_hat_view(plan),
        cautions=[part for part in sheet.parts if part.heading == HEADINGS["cautions"]],
        chapters=list(_chapters(plan, sheet, wishes)),
        drawings=[
            (DrawingOrder(kind=kind).heading, _drawing_link(kind, entries))
            for kind in DRAWING_KINDS
            if plan.crown is not None or kind not in ("crown_chart", "shaping_curve")
        ],
    )


def _links(entries: Mapping[str, str]) -> dict[str, str]:
    sheets = {form: link_to(entries, f"/worksheet/pattern.{form}") for form in ("pdf", "html", "md")}
    return {
        **sheets,
        "here": link_to(entries),
        "edit": link_to({**entries, "edit": "yes"}),
        "hat_view": _drawing_link("hat_view", entries),
    }


def _drawing_link(kind: DrawingKind, entries: Mapping[str, str]) -> str:
    return link_to(entries, f"/worksheet/{kind}.svg")


def _facts(plan: HatPlan, wishes: PlanWishes, tables: ReferenceTables) -> Iterator[tuple[str, str]]:
    """Yield what somebody wants to know first."""
    chosen = plan.counts.chosen.count
    yield "For a head of", both_systems(plan.size.head.circumference_mm)
    yield "Around", both_systems(chosen.circumference_mm)
    yield ("Deep" if plan.crown else "High"), both_systems(plan.depth_mm)
    yield "Stitches", _count_words(plan)
    yield "Rounds", str(len(plan.rounds))
    yield "Chance that it fits", f"{half_up(100 * plan.counts.fit_probability)} %"
    for material in plan_materials(plan, tables, wishes.hook_mm, wishes.terms_id):
        if material.name in ("yarn", "hook"):
            yield material.name.capitalize(), material.text
    yield "Time at the hook", f"about {_hours(plan.yarn.time.hours)}"


def _count_words(plan: HatPlan) -> str:
    """Return the counts of the brim and of the body."""
    chosen, brim = plan.counts.chosen.count, plan.counts.brim
    repeats = f" ({chosen.repeat_count} repeats)" if plan.order.fabric.stitch_multiple > 1 else ""
    body = f"body {plan.counts.body}{repeats}"
    return body if brim is None else f"brim {brim}, {body}"


def _hours(hours: float) -> str:
    """Return hours as somebody would tell them, to the half below ten."""
    told = half_up(2 * hours) / 2 if hours < 10 else half_up(hours)
    return "half an hour" if told <= 0.5 else f"{told:g} hour{'' if told == 1 else 's'}"


def _chapters(plan: HatPlan, sheet: Sheet, wishes: PlanWishes) -> Iterator[list[Part]]:
    """Yield the sheet's parts with those below them, and between them what only the page has."""
    for chapter in _grouped(sheet):
        heading = chapter[0].heading
        if heading == HEADINGS["cautions"]:
            continue
        if heading == HEADINGS["pattern"]:
            yield [Part("The work by part", (_work_table(plan, wishes.terms_id),))]
        if heading == HEADINGS["sources"]:
            yield [Part("Charts", tuple(_charts(plan, wishes)))]
            yield from _alternatives(plan)
        yield chapter


def _grouped(sheet: Sheet) -> list[list[Part]]:
    chapters: list[list[Part]] = []
    for part in sheet.parts:
        if part.level == 2:
            chapters.append([])
        chapters[-1].append(part)
    return chapters


def _work_table(plan: HatPlan, terms_id: TermsId) -> Table:
    """Return rounds, height and yarn of each part; without a yarn, what is known of it."""
    lengths_m = _yarn_by_section(plan)
    names = TERMS[terms_id].words
    rows = tuple(
        (
            names[section.name],
            str(section.round_count),
            both_systems(section.height_mm),
            *([_yarn_words(lengths_m[section.name])] if lengths_m else []),
        )
        for section in plan.sections
    )
    return Table(("Part", "Rounds", "Height", *(["Yarn"] if lengths_m else [])), rows)


def _yarn_by_section(plan: HatPlan) -> dict[str, float]:
    """Return the yarn of each part's rounds. [m]"""
    lengths_m: dict[str, float] = {}
    for part in () if plan.yarn.estimate is None else plan.yarn.estimate.parts:
        if part.section is not None:
            lengths_m[part.section] = lengths_m.get(part.section, 0.0) + part.length_m
    return lengths_m


def _yarn_words(length_m: float) -> str:
    return f"{half_up(length_m)} m ({half_up(length_m / M_PER_YARD)} yd)"


def _charts(plan: HatPlan, wishes: PlanWishes) -> Iterator[Block]:
    """Yield the drawings that stand on no sheet, or why one of them cannot be drawn."""
    for kind in _FURTHER:
        order = DrawingOrder(kind=kind, terms_id=wishes.terms_id)
        try:
            yield Drawing(draw(plan, order))
        except NothingToDraw:
            continue
        except DrawingTooLarge as error:
            yield Paragraph(f"{order.heading}: {error}")


def _alternatives(plan: HatPlan) -> Iterator[list[Part]]:
    if not plan.alternatives:
        return
    rows = tuple(
        (
            f"{other.fit.count.stitch_count} stitches",
            str(other.fit.count.repeat_count),
            both_systems(other.fit.count.circumference_mm),
            alternative_reason(other, plan),
        )
        for other in plan.alternatives
    )
    table = Table(("Count", "Repeats", "Around", "When to choose it"), rows)
    yield [Part("Other counts that hold whole repeats", (table,))]
