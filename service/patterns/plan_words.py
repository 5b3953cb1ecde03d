"""What a plan says beside its rounds: abbreviations, materials, finishing, and why to choose otherwise."""

from collections.abc import Iterator
from dataclasses import dataclass

from service.domain.hats import Alternative, HatPlan
from service.domain.rounds import Round
from service.domain.steps import Chain, Cross, IntoOne, Repeat, Skip, Step, Together, Work
from service.domain.tables import ReferenceTables, YarnWeight
from service.domain.yarn_reports import two_figures
from service.domain.yarns import yarn_tex
from service.notation.terms import TERMS, Terms, TermsId
from service.notation.writer import write_closing
from service.patterns.lengths import both_systems

__all__ = [
    "Abbreviation",
    "Material",
    "alternative_reason",
    "plan_abbreviations",
    "plan_finishing",
    "plan_materials",
    "told_finishing",
    "yarn_weight_of",
]

#: Estimates from this tier on rest on no swatch.
ROUGH_TIER = 3
#: A fit this much poorer is worth a word.
_MUCH_POORER = 0.05


@dataclass(frozen=True, slots=True)
class Abbreviation:
    """An abbreviation and what it means."""

    abbreviation: str
    meaning: str


@dataclass(frozen=True, slots=True)
class Material:
    """Something to have at hand."""

    name: str
    text: str


def plan_abbreviations(plan: HatPlan, terms_id: TermsId) -> tuple[Abbreviation, ...]:
    """Return every abbreviation of the written rounds, in the order of the alphabet."""
    terms = TERMS[terms_id]
    rounds = _unlike_rounds(plan)
    found = {terms.abbreviation(code): terms.name(code) for worked in rounds for code in _codes(worked.steps)}
    found |= dict(_round_words(rounds, terms))
    return tuple(Abbreviation(name, found[name]) for name in sorted(found, key=str.lower))


def _unlike_rounds(plan: HatPlan) -> list[Round]:
    """Return one of each run of equal rounds: they share their steps as one value."""
    return list({(id(worked.steps), worked.start): worked for worked in plan.rounds}.values())


def _codes(steps: tuple[Step, ...]) -> Iterator[str]:
    for step in steps:
        match step:
            case Work(stitch) | Cross(_, stitch):
                yield stitch
            case IntoOne(stitches):
                yield from stitches
            case Together(stitches) if len(set(stitches)) == 1:
                yield f"{stitches[0]}{len(stitches)}tog"
            case Together(stitches):
                yield from stitches
            case Chain():
                yield "ch"
            case Repeat(_, inner):
                yield from _codes(inner)
            case Skip():
                pass


def _round_words(rounds: list[Round], terms: Terms) -> Iterator[tuple[str, str]]:
    """Yield the abbreviations that stand in rounds beside stitches."""
    yield "rnd(s)", "round(s)"
    yield "st(s)", "stitch(es)"
    if any(worked.start is not None or worked.worked_into == "foundation" for worked in rounds):
        yield terms.abbreviation("ch"), terms.name("ch")
    if any(worked.join is not None for worked in rounds):
        yield terms.abbreviation("sl_st"), terms.name("sl_st")
    if any(_skips(worked) for worked in rounds):
        skip = "sk" if terms.terms_id == "us" else "miss"
        yield skip, "skip" if terms.terms_id == "us" else "pass over without working"
    if any(len(set(legs)) > 1 for worked in rounds for legs in _togethers(worked.steps)):
        yield "tog", "together"


def _skips(worked: Round) -> bool:
    return any(isinstance(step, Cross | Skip) for step in _every_step(worked.steps))


def _togethers(steps: tuple[Step, ...]) -> Iterator[tuple[str, ...]]:
    return (step.stitches for step in _every_step(steps) if isinstance(step, Together))


def _every_step(steps: tuple[Step, ...]) -> Iterator[Step]:
    for step in steps:
        yield step
        if isinstance(step, Repeat):
            yield from _every_step(step.steps)


def plan_materials(
    plan: HatPlan, tables: ReferenceTables, hook_mm: float | None, terms_id: TermsId
) -> tuple[Material, ...]:
    """Return what to have at hand: yarn, hook, needle, marker.

    The hook of the swatch, where it is known, beats the usual range for the weight of the yarn.
    """
    return (
        *_yarn_materials(plan),
        Material("hook", _hook_words(plan, tables, hook_mm, TERMS[terms_id].words["gauge"])),
        Material("needle", "A blunt yarn needle to weave in the ends."),
        Material("marker", "A stitch marker for the first stitch of the round."),
    )


def _yarn_materials(plan: HatPlan) -> Iterator[Material]:
    estimate, yarn = plan.yarn.estimate, plan.order.yarn
    if estimate is None or yarn is None:
        return
    balls = estimate.buy.ball_count
    # The two roughest tiers are told with two figures: a third would claim too much.
    told = two_figures if estimate.tier.number >= ROUGH_TIER else float
    length_m, mass_g = told(estimate.buy.length_m), told(estimate.buy.mass_g)
    amount = f"about {length_m:.0f} m ({told(length_m / 0.9144):.0f} yd), {mass_g:.0f} g"
    strands = "" if yarn.strand_count == 1 else f", {yarn.strand_count} strands held together"
    count = "" if balls is None else f"{balls} ball{'s' if balls > 1 else ''}: "
    yield Material("yarn", f"{count}{amount}{strands}.")


def _hook_words(plan: HatPlan, tables: ReferenceTables, hook_mm: float | None, gauge: str) -> str:
    if hook_mm is not None:
        return f"The {hook_mm:g} mm hook of the swatch, or whatever size gets its {gauge}."
    weight = yarn_weight_of(plan, tables)
    if weight is None:
        return f"Whatever hook gets the {gauge}."
    end = "mm and up" if weight.hook_mm_high is None else f"to {weight.hook_mm_high:g} mm"
    return f"{weight.hook_mm_low:g} {end} ({weight.name} yarn), or whatever size gets the {gauge}."


def yarn_weight_of(plan: HatPlan, tables: ReferenceTables) -> YarnWeight | None:
    """Return the weight category of the yarn: as given, else the one whose tex is nearest in ratio."""
    yarn = plan.order.yarn
    if yarn is None:
        return None
    if yarn.weight_category is not None and yarn.strand_count == 1:
        return tables.yarn_weight_by_category[yarn.weight_category]
    tex = yarn_tex(yarn).held_tex
    return min(tables.yarn_weights, key=lambda row: max(row.tex / tex, tex / row.tex))


def plan_finishing(plan: HatPlan, terms_id: TermsId) -> tuple[str, ...]:
    """Return how the fabric ends and what is done after that, in order, in standard written form."""
    terms = TERMS[terms_id]
    return (*_closing(plan, terms), terms.say("weave_ends"), *_folding(plan))


def told_finishing(plan: HatPlan, terms_id: TermsId) -> tuple[str, ...]:
    """Return the finishing where it stands apart from the rounds.

    A crown worked from the brim is drawn shut before an edging begins, and the list says so.
    """
    first, *rest = plan_finishing(plan, terms_id)
    if plan.crown is None or not (plan.order.is_from_brim and plan.order.has_edging):
        return (first, *rest)
    return (f"Before the edging: {first}", TERMS[terms_id].say("fasten_off"), *rest)


def _closing(plan: HatPlan, terms: Terms) -> tuple[str, ...]:
    if plan.crown is None:
        return (terms.say("fasten_off"),)
    if not plan.order.is_from_brim:
        return (terms.say("fasten_off"), "Pull the tail of the magic ring tight and secure it.")
    return (write_closing(plan.crown.closing_stitch_count, terms=terms),)


def _folding(plan: HatPlan) -> tuple[str, ...]:
    return (f"Fold the brim up by {both_systems(plan.size.cuff_mm)}.",) if plan.size.cuff_mm else ()


def alternative_reason(alternative: Alternative, plan: HatPlan) -> str:
    """Return when to choose another count, with what it costs in fit."""
    counts = plan.counts
    now_mm = counts.held_by(counts.chosen).circumference_mm
    then_mm = counts.held_by(alternative.fit).circumference_mm
    difference_mm = then_mm - now_mm or (
        alternative.fit.count.circumference_mm - counts.chosen.count.circumference_mm
    )
    words = f"{'Roomier' if difference_mm > 0 else 'Closer'} by {both_systems(abs(difference_mm))}"
    now, then = counts.fit_probability, counts.fit_of(alternative.fit)
    if abs(now - then) <= _MUCH_POORER:
        return f"{words}; as likely to fit."
    if then > now:
        return f"{words}; the chance that it fits rises from {100 * now:.0f} % to {100 * then:.0f} %."
    return f"{words}; the chance that it fits falls from {100 * now:.0f} % to {100 * then:.0f} %."
