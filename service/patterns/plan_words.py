"""What a plan says beside its rounds: abbreviations, materials, finishing, and why to choose otherwise."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from service.domain.hats import Alternative, HatPlan
from service.domain.rounds import Round
from service.domain.steps import Chain, Cross, IntoOne, Repeat, Skip, Step, Together, Work
from service.domain.tables import ReferenceTables, YarnWeight
from service.domain.yarns import yarn_tex
from service.notation.terms import TERMS, Terms, TermsId
from service.notation.writer import write_closing
from service.patterns.colour_words import colour_sentences, colouring_sentence, yarn_amount
from service.patterns.lengths import both_systems, counted
from service.patterns.text_abbreviations import Abbreviation, text_abbreviations

__all__ = [
    "Material",
    "alternative_reason",
    "plan_abbreviations",
    "plan_finishing",
    "plan_materials",
    "told_finishing",
    "yarn_weight_of",
]

#: A fit this much poorer is worth a word. [percent]
_MUCH_POORER_PERCENT = 5
_HOOK_SYSTEMS: Mapping[TermsId, str] = MappingProxyType({"us": "US", "uk": "old UK"})

#: What is said of materials, of the finishing, and of other counts.
_SENTENCES: Mapping[str, str] = MappingProxyType(
    {
        "yarn": "About {amount}{strands}.",
        "yarn_in_balls": "About {amount}{strands}: {balls}.",
        "strands": ", {count} strands held together",
        "hook_of_swatch": "The {hook} hook of the swatch, or whatever size gets its {gauge}.",
        "any_hook": "Whatever hook gets the {gauge}.",
        "usual_hook": "{hook}, usual for {weight} weight yarn, or whatever size gets the {gauge}.",
        "needle": "A blunt yarn needle to weave in the ends.",
        "marker": "A stitch marker for the first stitch of the round.",
        "before_edging": "Before the edging: {closing}",
        "close_ring": "Pull the tail of the magic ring tight and secure it.",
        "fold": "Fold the brim up by {length}.",
        "fold_edge": "Fold the lower edge up by {length}.",
        "fold_more": "Fold the lower edge up by {length}: the fold takes in more than the brim.",
        "roomier": "Roomier by {length}",
        "closer": "Closer by {length}",
        "same_fit": "{change}; as likely to fit.",
        "better_fit": "{change}; the chance that it fits rises from {now:.0f} % to {then:.0f} %.",
        "poorer_fit": "{change}; the chance that it fits falls from {now:.0f} % to {then:.0f} %.",
    }
)


@dataclass(frozen=True, slots=True)
class Material:
    """Something to have at hand."""

    name: str
    text: str


def plan_abbreviations(
    plan: HatPlan, terms_id: TermsId, sentences: Iterable[str] = ()
) -> tuple[Abbreviation, ...]:
    """Return every abbreviation of the written rounds and the finishing, in the order of the alphabet.

    Parameters
    ----------
    plan
        The hat.
    terms_id
        The terms it is written in: ``us`` or ``uk``.
    sentences
        What else is written about it, in those terms.
    """
    terms = TERMS[terms_id]
    rounds = _unlike_rounds(plan)
    found = {terms.abbreviation(code): terms.name(code) for worked in rounds for code in _codes(worked.steps)}
    found |= dict(_round_words(rounds, terms))
    if plan.foundation_stitch_count:
        found |= {terms.abbreviation(code): terms.name(code) for code in ("ch", "sl_st")}
    beside = text_abbreviations((*plan_finishing(plan, terms_id), *sentences), terms_id)
    found |= {each.abbreviation: each.meaning for each in beside}
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
    """Return what to have at hand: yarn, each of its colours, hook, needle, marker.

    The hook of the swatch, where it is known, beats the usual range for the weight of the yarn.
    """
    return (
        *_yarn_materials(plan),
        Material("hook", _hook_words(plan, tables, hook_mm, TERMS[terms_id])),
        Material("needle", _SENTENCES["needle"]),
        Material("marker", _SENTENCES["marker"]),
    )


def _yarn_materials(plan: HatPlan) -> Iterator[Material]:
    estimate, yarn = plan.yarn.estimate, plan.order.yarn
    if estimate is None or yarn is None:
        return
    # Balls of several colours are told colour by colour, since they may differ in size.
    balls = None if estimate.colours else estimate.buy.ball_count
    amount = yarn_amount(estimate, length_m=estimate.buy.length_m, mass_g=estimate.buy.mass_g)
    count = yarn.strand_count
    strands = "" if count == 1 else _SENTENCES["strands"].format(count=count)
    sentence, told_balls = ("yarn", "") if balls is None else ("yarn_in_balls", counted(balls, "ball"))
    told = {"amount": amount, "strands": strands, "balls": told_balls}
    yield Material("yarn", _SENTENCES[sentence].format_map(told))
    if plan.order.colouring is not None:
        yield Material("colours", colouring_sentence(plan.order.colouring))
        yield from (Material("colour", sentence) for sentence in colour_sentences(estimate))


def _hook_words(plan: HatPlan, tables: ReferenceTables, hook_mm: float | None, terms: Terms) -> str:
    gauge = terms.words["gauge"]
    if hook_mm is not None:
        hook = _hook_range(hook_mm, hook_mm, tables, terms)
        return _SENTENCES["hook_of_swatch"].format(hook=hook, gauge=gauge)
    weight = yarn_weight_of(plan, tables)
    if weight is None:
        return _SENTENCES["any_hook"].format(gauge=gauge)
    hook = _hook_range(weight.hook_mm_low, weight.hook_mm_high, tables, terms)
    return _SENTENCES["usual_hook"].format(hook=hook, weight=weight.name.lower(), gauge=gauge)


def _hook_range(low_mm: float, high_mm: float | None, tables: ReferenceTables, terms: Terms) -> str:
    """Return hooks in millimetres, and in US or old UK sizes where there are such."""
    ends = [end_mm for end_mm in dict.fromkeys((low_mm, high_mm)) if end_mm is not None]
    named = [_hook_size(end_mm, tables, terms) for end_mm in ends]
    sizes = f" ({_HOOK_SYSTEMS[terms.terms_id]} {' to '.join(filter(None, named))})" if all(named) else ""
    if high_mm is None:
        return f"{low_mm:g} mm{sizes} and up"
    return f"{low_mm:g}{'' if low_mm == high_mm else f' to {high_mm:g}'} mm{sizes}"


def _hook_size(diameter_mm: float | None, tables: ReferenceTables, terms: Terms) -> str | None:
    """Return what a hook is called in the system that goes with the terms, if it has a name there."""
    for hook in tables.hook_sizes:
        if hook.diameter_mm == diameter_mm:
            return hook.us if terms.terms_id == "us" else hook.uk
    return None


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
    return (_SENTENCES["before_edging"].format(closing=first), TERMS[terms_id].say("fasten_off"), *rest)


def _closing(plan: HatPlan, terms: Terms) -> tuple[str, ...]:
    if plan.crown is None:
        return (terms.say("fasten_off"),)
    if not plan.order.is_from_brim:
        return (terms.say("fasten_off"), _SENTENCES["close_ring"])
    return (write_closing(plan.crown.closing_stitch_count, terms=terms),)


def _folding(plan: HatPlan) -> tuple[str, ...]:
    fold_mm = plan.size.cuff_mm
    if not fold_mm:
        return ()
    brim_mm = sum(section.height_mm for section in plan.sections if section.name == "brim")
    covers = fold_mm <= brim_mm + plan.gauges.body.round_height_mm
    sentence = "fold_edge" if plan.order.brim is None else "fold" if covers else "fold_more"
    return (_SENTENCES[sentence].format(length=both_systems(fold_mm)),)


def alternative_reason(alternative: Alternative, plan: HatPlan) -> str:
    """Return when to choose another count, with what it costs in fit."""
    counts = plan.counts
    now_mm = counts.held_by(counts.chosen).circumference_mm
    then_mm = counts.held_by(alternative.fit).circumference_mm
    difference_mm = then_mm - now_mm or (
        alternative.fit.count.circumference_mm - counts.chosen.count.circumference_mm
    )
    side = "roomier" if difference_mm > 0 else "closer"
    now, then = 100 * counts.fit_probability, 100 * counts.fit_of(alternative.fit)
    told = {
        "change": _SENTENCES[side].format(length=both_systems(abs(difference_mm))),
        "now": now,
        "then": then,
    }
    if abs(now - then) <= _MUCH_POORER_PERCENT:
        return _SENTENCES["same_fit"].format_map(told)
    return _SENTENCES["better_fit" if then > now else "poorer_fit"].format_map(told)
