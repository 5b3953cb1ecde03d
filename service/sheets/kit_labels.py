"""Labels for the kits of a class, as values: what stands on each, and who has none."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from service.domain.class_kits import Kit
from service.domain.class_yarns import ClassYarn
from service.domain.hats import HatPlan
from service.domain.tables import ReferenceTables
from service.notation.terms import TERMS, TermsId
from service.patterns.class_words import beforehand_words
from service.patterns.lengths import both_systems
from service.patterns.notices import notice_sentence
from service.patterns.plan_words import plan_materials
from service.sheets.label_words import LABEL_FACTS, LABEL_NOTICES, LABEL_SENTENCES
from service.sheets.plan_figures import measurement_rows, plain_title
from service.sheets.sheet_words import LABELS

__all__ = ["Fact", "KitLabel", "LabelSheet", "LeftOut", "build_kit_label", "label_cautions", "label_title"]


@dataclass(frozen=True, slots=True)
class Fact:
    """Something that a label tells: what it is called, names as somebody wrote them, and sentences."""

    name: str
    texts: tuple[str, ...]
    written: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class KitLabel:
    """A label: the reference of its kit, whose it is, its facts in the order of reading, and cautions."""

    reference: str
    subtitle: str
    facts: tuple[Fact, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LeftOut:
    """Somebody who has no kit; a reference that was refused is not told."""

    number: int
    reference: str | None
    reason: str


@dataclass(frozen=True, slots=True)
class LabelSheet:
    """All labels of a class."""

    language: str
    title: str
    labels: tuple[KitLabel, ...]
    left_out: tuple[LeftOut, ...]


def build_kit_label(
    kit: Kit,
    *,
    number: int,
    reference: str,
    terms_id: TermsId,
    offered: ClassYarn | None,
    tables: ReferenceTables,
    hook_mm: float | None,
) -> KitLabel:
    """Return the label of a kit that has a plan.

    Parameters
    ----------
    kit
        The kit, with its plan.
    number
        Its place in the class, from 1.
    reference
        The organizer's mark for it.
    terms_id
        The terms in which its maker reads.
    offered
        Its yarn as it was offered; ``None`` without one.
    tables
        Published tables.
    hook_mm
        The hook of the swatch, where it is known. [mm]
    """
    assert kit.plan is not None
    hand = "left" if kit.plan.order.is_left_handed else "right"
    materials = {each.name: each.text for each in plan_materials(kit.plan, tables, hook_mm, terms_id)}
    return KitLabel(
        reference=reference,
        subtitle=LABEL_SENTENCES[f"{terms_id}_{hand}"].format(number=number),
        facts=(*_size_facts(kit.plan), *_work_facts(kit, kit.plan, offered, materials)),
        cautions=label_cautions(kit.plan),
    )


def _size_facts(plan: HatPlan) -> Iterator[Fact]:
    """Yield what the hat measures, by the names that a label has room for."""
    measured = dict(measurement_rows(plan))
    for name in ("hat_size", "fits_head"):
        yield Fact(LABEL_FACTS[name], (measured[LABELS[name]],))
    told = LABEL_SENTENCES["headband" if plan.crown is None else "hat"].format(
        circumference=both_systems(plan.counts.chosen.count.circumference_mm),
        depth=both_systems(plan.depth_mm),
    )
    yield Fact(LABEL_FACTS["finished"], (told,))


def _work_facts(
    kit: Kit, plan: HatPlan, offered: ClassYarn | None, materials: Mapping[str, str]
) -> Iterator[Fact]:
    if offered is not None:
        yield Fact(LABEL_FACTS["yarn"], (materials["yarn"],), _written(offered))
    yield Fact(LABEL_FACTS["hook"], (materials["hook"],))
    yield Fact(LABEL_FACTS["hours"], (_time(kit),))
    if kit.beforehand is not None:
        yield Fact(LABEL_FACTS["beforehand"], (beforehand_words(kit.beforehand, plan),))


def _written(offered: ClassYarn) -> tuple[str, ...]:
    return tuple(each for each in (offered.name, offered.colour) if each is not None)


def _time(kit: Kit) -> str:
    """Return how long the work takes, and whether that fits the class where its hours are known."""
    if kit.fits_class is None:
        sentence = "hour" if kit.hours == 1 else "hours"
    else:
        sentence = "fits_class" if kit.fits_class else "longer_than_class"
    return LABEL_SENTENCES[sentence].format(hours=kit.hours)


def label_cautions(plan: HatPlan) -> tuple[str, ...]:
    """Return what the maker or the wearer of this one hat should know, once each."""
    about = (notice for notice in plan.notices if notice.code in LABEL_NOTICES)
    return tuple(dict.fromkeys(map(notice_sentence, about)))


def label_title(plan: HatPlan | None, *, terms_id: TermsId, tables: ReferenceTables) -> str:
    """Return the title of the labels: after the design, where a hat of it could be planned."""
    if plan is None:
        return LABEL_SENTENCES["bare_title"]
    return LABEL_SENTENCES["title"].format(design=plain_title(plan, TERMS[terms_id], tables))
