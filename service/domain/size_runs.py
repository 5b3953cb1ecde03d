"""One design for many heads: a size run, its table of measurements, and how evenly fabrics grade over it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import takewhile

from service.domain.crown_orders import CrownOrder, CrownSchedule
from service.domain.crowns import plan_crown
from service.domain.errors import PatternMathError, WorkBudgetExceeded
from service.domain.fabric_grades import FabricGrade, RefusedFabric, rank_fabrics
from service.domain.fit import fit_probability
from service.domain.hat_gauges import reckon_gauges
from service.domain.hat_orders import HatOrder
from service.domain.hats import HatPlan, plan_hat
from service.domain.heads import Head
from service.domain.repeat_fits import CountOrder, ranked_counts
from service.domain.report import Notice
from service.domain.tables import ReferenceTables
from service.domain.work_units import written_work

__all__ = [
    "Measurements",
    "PoorFit",
    "RunNotice",
    "SizeRun",
    "SizeRunOrder",
    "plan_size_run",
    "run_measurements",
]

#: What a size weighs beside its rounds, and one head fitted in one more fabric (measured, in moves of a crown
#: search).
_SIZE_WORK, _FIT_WORK = 3_000, 2_500
#: What a whole run may weigh: about a quarter of a second (measured).
_WORK_LIMIT = 1_250_000


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeRunOrder:
    """Heads and the design that each is to have; ``compared`` is the design in other fabrics.

    The head that the design itself names is left out of account.
    """

    heads: tuple[Head, ...]
    design: HatOrder
    compared: tuple[HatOrder | RefusedFabric, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PoorFit:
    """A size that is less likely to fit than the rest of them should be, and what would cure it.

    At ``exact_stitches_per_10cm`` its count would meet the size exactly; it is ``None`` where even that is
    too unsure. With every repeat of at most ``largest_stitch_multiple`` stitches the size would fit; it is
    ``None`` where none would do.
    """

    size_number: int
    fit_probability: float
    exact_stitches_per_10cm: float | None
    largest_stitch_multiple: int | None


@dataclass(frozen=True, slots=True)
class RunNotice:
    """A notice and the sizes, from 1, that it is about."""

    notice: Notice
    size_numbers: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeRun:
    """The plans, smallest head first; sizes are numbered from 1.

    ``shared_counts`` holds the sizes that come out with the same stitches in brim, body and foundation.
    ``ranking`` begins with the fabric that grades most evenly. ``work_units`` is what the run weighed.
    """

    plans: tuple[HatPlan, ...]
    shared_counts: tuple[tuple[int, ...], ...]
    poor_fits: tuple[PoorFit, ...]
    ranking: tuple[FabricGrade, ...]
    notices: tuple[RunNotice, ...]
    work_units: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Measurements:
    """What a finished size measures, laid flat and not stretched.

    ``brim_circumference_mm`` is ``None`` without a brim, ``crown_mm`` without a crown.
    """

    size_number: int
    head_mm: float
    circumference_mm: float
    brim_circumference_mm: float | None
    depth_mm: float
    brim_mm: float
    crown_mm: float | None


def plan_size_run(order: SizeRunOrder, tables: ReferenceTables) -> SizeRun:
    """Return the plan of every size, what the sizes share, and how well each fits.

    Every size is the plan that its head would get alone. Equal heads, and crowns of equal counts, are
    planned once.

    Parameters
    ----------
    order
        Heads, in any order, and the design. [2 to 24 heads]
    tables
        Published tables and priors.

    Raises
    ------
    WorkBudgetExceeded
        If the sizes, the fabrics and the crowns together weigh too much, before they are planned.
    PatternMathError
        Where a size cannot be planned; the error says what would fit, and for which head.

    Examples
    --------
    >>> from service.reference.examples import plain_hat_order
    >>> from service.reference.load import load_reference_tables
    >>> heads = tuple(plain_hat_order(head_mm=head_mm).size.head for head_mm in (600, 520, 560))
    >>> run = plan_size_run(SizeRunOrder(heads=heads, design=plain_hat_order()), load_reference_tables())
    >>> [plan.counts.body for plan in run.plans]
    [78, 84, 90]
    """
    by_size = sorted(enumerate(order.heads), key=lambda sent: sent[1].circumference_mm)
    heads = [head for _, head in by_size]
    work = _Work()
    work.spend(len(heads) * (_SIZE_WORK + _FIT_WORK * len(order.compared)))
    crowns = _SharedCrowns(work)
    gauges = reckon_gauges(order.design, tables)
    plan_by_head: dict[Head, HatPlan] = {}
    for position, head in by_size:
        if head not in plan_by_head:
            try:
                plan_by_head[head] = plan_hat(
                    order.design.for_head(head), tables, gauges=gauges, crown_planner=crowns.plan
                )
            except PatternMathError as refusal:
                refusal.size_head_mm, refusal.head_position = head.circumference_mm, position
                raise
        work.spend(written_work(plan_by_head[head]))
    plans = tuple(map(plan_by_head.__getitem__, heads))
    shared = _shared_counts(plans)
    return SizeRun(
        plans=plans,
        shared_counts=shared,
        poor_fits=tuple(_poor_fits(plans, tables)),
        ranking=rank_fabrics(order.compared, heads, tables),
        notices=_notices(plans, shared),
        work_units=work.spent,
    )


class _Work:
    """What the run weighs so far."""

    def __init__(self) -> None:
        self.spent = 0

    def spend(self, work_units: int) -> None:
        """Add what comes next, before it is done.

        Raises
        ------
        WorkBudgetExceeded
            If that is too much for one request.
        """
        if self.spent + work_units > _WORK_LIMIT:
            raise WorkBudgetExceeded(work_units=self.spent + work_units, limit=_WORK_LIMIT)
        self.spent += work_units


class _SharedCrowns:
    """Plans the crowns of a run, equal ones once; each is reckoned to weigh what the dearest so far did."""

    def __init__(self, work: _Work) -> None:
        self._work = work
        self._dearest = 0
        self._known: dict[tuple[object, ...], CrownSchedule] = {}

    def plan(self, order: CrownOrder) -> CrownSchedule:
        """Return the schedule of a crown.

        Gauge and wishes are the same in the whole run: counts, shape, rounds and faces tell crowns apart.
        """
        key = (order.start_stitch_count, order.crown_shape, order.round_count, order.depth_mm, order.fabric)
        if key not in self._known:
            self._work.spend(self._dearest)
            crown = self._known[key] = plan_crown(order)
            self._work.spent += crown.work_units - self._dearest
            self._dearest = max(self._dearest, crown.work_units)
        return self._known[key]


def _shared_counts(plans: Sequence[HatPlan]) -> tuple[tuple[int, ...], ...]:
    """Return the sizes that have equal counts, where there are several."""
    alike: dict[tuple[int, int | None, int], list[int]] = {}
    for number, plan in enumerate(plans, 1):
        counts = (plan.counts.body, plan.counts.brim, plan.foundation_stitch_count)
        alike.setdefault(counts, []).append(number)
    return tuple(tuple(numbers) for numbers in alike.values() if len(numbers) > 1)


def _poor_fits(plans: Sequence[HatPlan], tables: ReferenceTables) -> Iterator[PoorFit]:
    likely = tables.prior("fit_likely_above")
    for number, plan in enumerate(plans, 1):
        if plan.counts.fit_probability < likely:
            yield _poor_fit(number, plan, likely)


def _poor_fit(size_number: int, plan: HatPlan, likely: float) -> PoorFit:
    count, part = plan.counts.gripping, _gripping_part(plan)
    at_best = fit_probability(circumference_mm=part.target.target_mm, target=part.target, error=part.error)
    fitting = takewhile(lambda multiple: _best_fit(part, multiple) >= likely, range(1, part.stitch_multiple))
    return PoorFit(
        size_number=size_number,
        fit_probability=count.fit_probability,
        exact_stitches_per_10cm=100 * count.stitch_count / part.target.target_mm
        if at_best >= likely
        else None,
        largest_stitch_multiple=max(fitting, default=None),
    )


def _gripping_part(plan: HatPlan) -> CountOrder:
    """Return what was asked of the part that holds the hat: the body, or under a fold or slouch the brim."""
    fabric, gauge = plan.order.fabric, plan.gauges.body
    if plan.counts.brim_grips and plan.order.brim is not None and plan.gauges.brim is not None:
        fabric, gauge = plan.order.brim.fabric, plan.gauges.brim
    return CountOrder(
        stitch_width_mm=gauge.stitch_width_mm,
        error=plan.counts.error,
        stitch_multiple=fabric.stitch_multiple,
        target=plan.counts.holding_target,
    )


def _best_fit(part: CountOrder, stitch_multiple: int) -> float:
    """Return how likely the part fits with repeats of another width."""
    return ranked_counts(replace(part, stitch_multiple=stitch_multiple), limit=1)[0].fit_probability


def _notices(plans: Sequence[HatPlan], shared: Sequence[tuple[int, ...]]) -> tuple[RunNotice, ...]:
    """Return each notice once with its sizes, first those of the plans, then sizes with equal counts.

    That a size is unlikely to fit is told by the poor fits, with what would cure it.
    """
    notices: list[Notice] = []
    sizes: list[list[int]] = []
    for number, plan in enumerate(plans, 1):
        for notice in plan.notices:
            if notice.code == "fit_unlikely":
                continue
            if notice not in notices:
                notices.append(notice)
                sizes.append([])
            sizes[notices.index(notice)].append(number)
    mine = [RunNotice(Notice("sizes_share_counts"), numbers) for numbers in shared]
    return (*map(RunNotice, notices, map(tuple, sizes)), *mine)


def run_measurements(run: SizeRun) -> tuple[Measurements, ...]:
    """Return the table of finished measurements: what the counts and rounds of each size make."""
    return tuple(_measured(number, plan) for number, plan in enumerate(run.plans, 1))


def _measured(size_number: int, plan: HatPlan) -> Measurements:
    heights = {section.name: section.height_mm for section in plan.sections}
    brim = plan.counts.chosen.brim
    return Measurements(
        size_number=size_number,
        head_mm=plan.size.head.circumference_mm,
        circumference_mm=plan.counts.chosen.count.circumference_mm,
        brim_circumference_mm=None if brim is None else brim.count.circumference_mm,
        depth_mm=plan.depth_mm,
        brim_mm=heights.get("brim", 0.0),
        crown_mm=heights.get("crown"),
    )
