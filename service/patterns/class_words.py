"""What a class reads: what to work at home, hooks and notions to have at hand, notices of all kits."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from service.domain.class_kits import Beforehand
from service.domain.hats import HatPlan
from service.domain.tables import ReferenceTables
from service.notation.terms import TermsId
from service.patterns.notices import SEVERITIES, Severity, notice_sentence, notice_severity
from service.patterns.plan_words import Material, plan_materials, yarn_weight_of

__all__ = [
    "ClassNotice",
    "HookNeed",
    "PlannedKit",
    "beforehand_words",
    "class_notices",
    "hook_needs",
    "most_serious_first",
    "notion_needs",
]

_PARTS = {
    "brim": "the brim",
    "joining": "the joining round",
    "body": "the body",
    "crown": "the crown",
    "edging": "the edging",
}


@dataclass(frozen=True, slots=True)
class PlannedKit:
    """A kit that has a plan: its number in the class from 1, its plan and the terms of its maker."""

    number: int
    plan: HatPlan
    terms_id: TermsId
    yarn_position: int | None


@dataclass(frozen=True, slots=True)
class HookNeed:
    """A range of hooks and how many people need one; without an end it is ``None``."""

    low_mm: float | None
    high_mm: float | None
    kit_count: int
    text: str


@dataclass(frozen=True, slots=True)
class ClassNotice:
    """A notice in words; one that is not for everybody says how many kits it is about."""

    code: str
    severity: Severity
    text: str


def beforehand_words(before: Beforehand, plan: HatPlan) -> str:
    """Return what to work before a class, as ``Before the class, work rounds 1 to 9 ...``."""
    within = sum(
        worked.section == before.section and worked.number <= before.to_round for worked in plan.rounds
    )
    whole = next(part.round_count for part in plan.sections if part.name == before.section)
    rounds = "round 1" if before.to_round == 1 else f"rounds 1 to {before.to_round}"
    end = "the end" if within == whole else f"round {within}"
    hours = "1 hour" if before.hours == 1 else f"{before.hours:g} hours"
    return f"Before the class, work {rounds}, up to {end} of {_PARTS[before.section]}: {hours}."


def hook_needs(
    kits: Sequence[PlannedKit], tables: ReferenceTables, hook_mm: float | None
) -> tuple[HookNeed, ...]:
    """Return the hooks of a class, the same words once: of the swatch, or those that go with each yarn."""
    groups: dict[str, list[PlannedKit]] = {}
    for sample, kits_alike in _alike(kits):
        groups.setdefault(_hook(sample, tables, hook_mm).text, []).extend(kits_alike)
    return tuple(
        HookNeed(*_hook_range(group[0].plan, tables, hook_mm), len(group), text)
        for text, group in groups.items()
    )


def _alike(kits: Sequence[PlannedKit]) -> Iterator[tuple[PlannedKit, list[PlannedKit]]]:
    """Yield kits of one yarn and one language, each group after one of them."""
    groups: dict[tuple[int | None, TermsId], list[PlannedKit]] = {}
    for kit in kits:
        groups.setdefault((kit.yarn_position, kit.terms_id), []).append(kit)
    for group in groups.values():
        yield group[0], group


def _hook(kit: PlannedKit, tables: ReferenceTables, hook_mm: float | None) -> Material:
    return next(
        each for each in plan_materials(kit.plan, tables, hook_mm, kit.terms_id) if each.name == "hook"
    )


def _hook_range(
    plan: HatPlan, tables: ReferenceTables, hook_mm: float | None
) -> tuple[float | None, float | None]:
    if hook_mm is not None:
        return hook_mm, hook_mm
    weight = yarn_weight_of(plan, tables)
    return (None, None) if weight is None else (weight.hook_mm_low, weight.hook_mm_high)


def notion_needs(kits: Sequence[PlannedKit], tables: ReferenceTables) -> tuple[tuple[Material, int], ...]:
    """Return what each of a class needs beside yarn and hook, and how many of it in all."""
    if not kits:
        return ()
    materials = plan_materials(kits[0].plan, tables, None, kits[0].terms_id)
    return tuple((each, len(kits)) for each in materials if each.name not in ("yarn", "hook"))


def class_notices(kits: Sequence[PlannedKit]) -> tuple[ClassNotice, ...]:
    """Return what to know of a class, each code once: the most serious first, then by code.

    A notice that is not for everybody, or whose figures differ, says for how many kits it stands and is told
    as most of them have it.
    """
    told: dict[str, dict[int, str]] = {}
    severities: dict[str, Severity] = {}
    for kit in kits:
        for notice in kit.plan.notices:
            severities.setdefault(notice.code, notice_severity(notice))
            told.setdefault(notice.code, {}).setdefault(kit.number, notice_sentence(notice))
    return most_serious_first(
        ClassNotice(code, severities[code], _for_kits(texts, len(kits))) for code, texts in told.items()
    )


def most_serious_first(notices: Iterable[ClassNotice]) -> tuple[ClassNotice, ...]:
    """Return notices by severity, then by code, so that the order of the kits does not tell.

    Examples
    --------
    >>> some = [ClassNotice("hands", "info", ""), ClassNotice("sleep", "warning", "")]
    >>> [each.code for each in most_serious_first(some)]
    ['sleep', 'hands']
    """
    return tuple(sorted(notices, key=lambda each: (SEVERITIES.index(each.severity), each.code)))


def _for_kits(texts: dict[int, str], kit_count: int) -> str:
    counts = Counter(texts.values())
    text = max(counts, key=lambda each: (counts[each], each))
    if len(counts) == 1:
        return text if len(texts) == kit_count else f"{len(texts)} of {kit_count} kits: {text}"
    first = next(number for number, told in texts.items() if told == text)
    return f"{len(texts)} of {kit_count} kits, such as kit {first}: {text}"
