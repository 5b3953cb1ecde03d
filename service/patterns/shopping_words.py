"""What an organizer reads on the way to the shop: balls, hooks and what to know of the yarn.

Nothing here hangs on the order in which people signed up.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import inf

from service.domain.class_yarns import YarnTotal
from service.domain.report import Notice
from service.domain.tables import ReferenceTables
from service.notation.terms import TermsId
from service.patterns.class_words import ClassNotice, HookNeed, PlannedKit, hook_needs, most_serious_first
from service.patterns.customary_units import ounces, yards
from service.patterns.notices import notice_sentence, notice_severity

__all__ = ["hooks_to_buy", "notices_of_buying", "yarn_sentence"]

#: Notices that change what is bought.
_BUYING = (
    "one_dye_lot",
    "yarn_estimate_rough",
    "last_ball_tight",
    "yarn_figures_disagree",
    "swatch_mass_unlikely",
    "fibre",
)


def yarn_sentence(total: YarnTotal) -> str:
    """Return what to ask for of one yarn, in words.

    Examples
    --------
    >>> from service.domain.class_yarns import ClassBalls, ClassYarn
    >>> from service.domain.yarns import Yarn
    >>> balls = ClassBalls(
    ...     by_kit=20, pooled=16, spare=1, by_kit_leftover_m=411.0, pooled_leftover_m=51.0
    ... )
    >>> total = YarnTotal(
    ...     offered=ClassYarn(yarn=Yarn()), kit_count=10, length_m=1389.0, mass_g=778.0, balls=balls
    ... )
    >>> print(yarn_sentence(total))
    21 balls of one dye lot: 20 so that each of 10 kits has whole balls, and 1 to spare. \
If the yarn is wound off from one heap, 16 and 1 to spare do.
    >>> yarn_sentence(replace(total, balls=None))
    '1389 m (1519 yd), 778 g (27.4 oz), of one dye lot.'
    """
    if total.kit_count == 0:
        return "None: no kit is made of it."
    if total.balls is None:
        length = f"{total.length_m:.0f} m ({yards(total.length_m):.0f} yd)"
        return f"{length}, {total.mass_g:.0f} g ({ounces(total.mass_g):g} oz), of one dye lot."
    balls = total.balls
    kits = "the kit" if total.kit_count == 1 else f"each of {total.kit_count} kits"
    by_kit = (
        f"{_balls(balls.one_lot)} of one dye lot: {balls.by_kit} so that {kits} has whole balls, "
        f"and {balls.spare} to spare."
    )
    if balls.pooled == balls.by_kit:
        return by_kit
    return f"{by_kit} If the yarn is wound off from one heap, {balls.pooled} and {balls.spare} to spare do."


def _balls(count: int) -> str:
    return f"{count} ball{'' if count == 1 else 's'}"


def hooks_to_buy(
    kits: Sequence[PlannedKit], tables: ReferenceTables, *, hook_mm: float | None, terms_id: TermsId
) -> tuple[HookNeed, ...]:
    """Return the hooks of a class by size, thinnest first, in the terms of the organizer."""
    alike = [replace(kit, terms_id=terms_id) for kit in kits]
    return tuple(sorted(hook_needs(alike, tables, hook_mm), key=_thinnest_first))


def _thinnest_first(need: HookNeed) -> tuple[float, float, str]:
    """Return where a hook stands in the list; one of no size comes last."""
    low_mm = inf if need.low_mm is None else need.low_mm
    return low_mm, inf if need.high_mm is None else need.high_mm, need.text


def notices_of_buying(kits: Sequence[PlannedKit]) -> tuple[ClassNotice, ...]:
    """Return what to know of the yarn before it is bought, each code once: the most serious first.

    Where the figures of kits differ, those of the kit that takes most yarn are told.
    """
    told: dict[str, dict[int, tuple[float, Notice]]] = {code: {} for code in _BUYING}
    for kit in kits:
        estimate = kit.plan.yarn.estimate
        for notice in kit.plan.notices:
            if estimate is not None and notice.code in told:
                told[notice.code].setdefault(kit.number, (estimate.buy.length_m, notice))
    return most_serious_first(_for_all(about, len(kits)) for about in told.values() if about)


def _for_all(about: Mapping[int, tuple[float, Notice]], kit_count: int) -> ClassNotice:
    texts = {(length_m, notice_sentence(notice)) for length_m, notice in about.values()}
    _, text = max(texts)
    notice = next(iter(about.values()))[1]
    whom = "" if len(about) == kit_count else f"{len(about)} of {kit_count} kits"
    if len({text for _, text in texts}) > 1:
        text = f"{whom or 'All kits'}; for the one that takes most yarn: {text}"
    elif whom:
        text = f"{whom}: {text}"
    return ClassNotice(notice.code, notice_severity(notice), text)
