"""One design for the people of a class: each kit, the sums of all, and what to begin at home."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import accumulate

from service.domain.class_workshops import Workshop, gauge_in_hand
from service.domain.class_yarns import ClassYarn, YarnTotal, total_yarn
from service.domain.errors import PatternMathError, WorkBudgetExceeded
from service.domain.gauge_readings import Evenness
from service.domain.hat_orders import HatOrder
from service.domain.hats import HatPlan
from service.domain.heads import Head
from service.domain.rounding import TIE_TOLERANCE, printed
from service.domain.rounds import Section
from service.domain.sizing import Fit
from service.domain.tables import ReferenceTables
from service.domain.yarns import yarn_diameter_mm, yarn_tex

__all__ = [
    "Beforehand",
    "ClassKits",
    "ClassOrder",
    "ClassTotals",
    "Kit",
    "Participant",
    "SizeCount",
    "plan_class",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Participant:
    """Somebody's head and options; ``None`` is what nobody said and leaves the design as it is.

    ``yarn_position`` is the place of the chosen yarn among those of the class, from 0.
    """

    head: Head
    fit: Fit | None = None
    evenness: Evenness | None = None
    is_left_handed: bool | None = None
    yarn_position: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ClassOrder:
    """A design, who makes it, and the yarns to choose from; without yarns the design's own is worked.

    ``class_hours`` are the hours of the class itself. The head that the design names is left out of account.
    """

    participants: tuple[Participant, ...]
    design: HatOrder
    yarns: tuple[ClassYarn, ...] = ()
    class_hours: float | None = None

    @property
    def worked_yarns(self) -> tuple[ClassYarn, ...]:
        """Return the yarns that kits are made of, in order of their places; none where none is known."""
        own = () if self.design.yarn is None else (ClassYarn(yarn=self.design.yarn),)
        return self.yarns or own


@dataclass(frozen=True, slots=True, kw_only=True)
class Beforehand:
    """What to work before the class, so that the rest can be finished in it.

    ``to_round`` is the last round of that, and ``section`` the part that it belongs to.
    """

    to_round: int
    section: Section
    hours: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Kit:
    """What one participant gets: a plan, or the refusal that says what would fit.

    ``beforehand`` is there where the hat takes longer than the class.
    """

    plan: HatPlan | None
    refusal: PatternMathError | None = None
    yarn_position: int | None = None
    fits_class: bool | None = None
    beforehand: Beforehand | None = None

    @property
    def hours(self) -> float:
        """Return the hours of the work as they are printed, so that those of a class add up."""
        return 0.0 if self.plan is None else printed(self.plan.yarn.time.hours, 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeCount:
    """How many hats are for heads of so many whole centimetres."""

    metric_cm: int
    kit_count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ClassTotals:
    """Sums over the kits that have a plan; ``None`` is what nothing is known of.

    Where yarns are known and no kit is made, their sums are 0; balls are ``None`` where no yarn has any.
    ``fits_class_count`` are the hats that can be made in the hours of the class alone.
    """

    kit_count: int
    distinct_plan_count: int
    hours: float
    length_m: float | None
    mass_g: float | None
    ball_count: int | None
    fits_class_count: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ClassKits:
    """The kits in the order of the participants, and what the organizer needs for all of them.

    ``work_units`` is what the class weighed.
    """

    kits: tuple[Kit, ...]
    yarns: tuple[YarnTotal, ...]
    size_counts: tuple[SizeCount, ...]
    totals: ClassTotals
    work_units: int


def plan_class(order: ClassOrder, tables: ReferenceTables) -> ClassKits:
    """Return a kit for every participant, and the sums of the class.

    Equal heads with equal options are planned once, and so are rounds that several heads share.
    A participant whose hat cannot be made gets the refusal, and all others their kits.

    Parameters
    ----------
    order
        The class. [1 to 500 participants]
    tables
        Published tables and priors.

    Raises
    ------
    WorkBudgetExceeded
        If the kits together weigh too much, before the work is done.
    YarnUnderdetermined
        If nothing is known of one of the yarns.

    Examples
    --------
    >>> from service.reference.examples import plain_hat_order
    >>> from service.reference.load import load_reference_tables
    >>> design = plain_hat_order()
    >>> heads = [plain_hat_order(head_mm=head_mm).size.head for head_mm in (600, 520, 600)]
    >>> people = tuple(Participant(head=head) for head in heads)
    >>> planned = plan_class(ClassOrder(participants=people, design=design), load_reference_tables())
    >>> [kit.plan.counts.body for kit in planned.kits], planned.totals.distinct_plan_count
    ([90, 78, 90], 2)
    """
    for offered in order.yarns:
        # A yarn that nothing is known of is refused for the class, not person by person.
        yarn_tex(offered.yarn)
    workshop = _ClassRoom(order, tables)
    known: dict[Participant, Kit] = {}
    for participant in order.participants:
        if participant not in known:
            known[participant] = workshop.kit(participant)
    kits = tuple(map(known.__getitem__, order.participants))
    yarns = _yarn_totals(order, kits)
    return ClassKits(
        kits=kits,
        yarns=yarns,
        size_counts=_size_counts(kits),
        totals=_totals(order, kits, yarns, sum(kit.plan is not None for kit in known.values())),
        work_units=workshop.work_units,
    )


class _ClassRoom:
    """Makes the kits of one class."""

    def __init__(self, order: ClassOrder, tables: ReferenceTables) -> None:
        self._order = order
        self._tables = tables
        self._workshop = Workshop(tables)

    @property
    def work_units(self) -> int:
        """Return what the kits so far weigh."""
        return self._workshop.work_units

    def kit(self, participant: Participant) -> Kit:
        """Return the kit of a participant, or why there is none."""
        position = self._yarn_position(participant)
        try:
            plan = self._workshop.plan(
                self._hat(participant, position), yarn_position=position, evenness=participant.evenness
            )
        except WorkBudgetExceeded:
            raise
        except PatternMathError as refusal:
            return Kit(plan=None, refusal=refusal)
        kit = Kit(plan=plan, yarn_position=position)
        return kit if self._order.class_hours is None else _timed(kit, plan, self._order.class_hours)

    def _yarn_position(self, participant: Participant) -> int | None:
        """Return the place of the yarn that is worked: the chosen one, else the first."""
        return (participant.yarn_position or 0) if self._order.worked_yarns else None

    def _hat(self, participant: Participant, position: int | None) -> HatOrder:
        """Return the design with a participant's head, options and yarn."""
        design = self._order.design
        yarn = None if position is None else self._order.worked_yarns[position].yarn
        left, evenness = participant.is_left_handed, participant.evenness
        return replace(
            design,
            size=replace(
                design.size,
                head=participant.head,
                fit=participant.fit or design.size.fit,
                ease_mm=None if participant.fit else design.size.ease_mm,
                yarn_diameter_mm=None if yarn is None else yarn_diameter_mm(yarn),
            ),
            yarn=yarn,
            is_left_handed=design.is_left_handed if left is None else left,
            gauge=design.gauge
            if evenness is None
            else replace(design.gauge, given=gauge_in_hand(design.gauge.given, evenness, self._tables)),
        )


def _timed(kit: Kit, plan: HatPlan, class_hours: float) -> Kit:
    """Return a kit that knows whether it fits into the hours of the class, and what to begin with if not."""
    if kit.hours <= class_hours + TIE_TOLERANCE:
        return replace(kit, fits_class=True)
    return replace(kit, fits_class=False, beforehand=_beforehand(plan, class_hours))


def _beforehand(plan: HatPlan, class_hours: float) -> Beforehand:
    """Return the fewest rounds from the beginning after which the rest fits into the class."""
    pace = 60 * plan.yarn.time.pace_units_per_minute
    to_round, worked = next(
        (number, units)
        for number, units in enumerate(accumulate(plan.yarn.round_units), start=1)
        if (plan.yarn.units - units) / pace <= class_hours + TIE_TOLERANCE
    )
    return Beforehand(
        to_round=to_round, section=plan.rounds[to_round - 1].section, hours=printed(worked / pace, 1)
    )


def _yarn_totals(order: ClassOrder, kits: Sequence[Kit]) -> tuple[YarnTotal, ...]:
    return tuple(
        total_yarn(
            offered,
            [
                kit.plan.yarn.estimate
                for kit in kits
                if kit.yarn_position == position and kit.plan is not None and kit.plan.yarn.estimate
            ],
        )
        for position, offered in enumerate(order.worked_yarns)
    )


def _size_counts(kits: Sequence[Kit]) -> tuple[SizeCount, ...]:
    """Return how many hats there are of each size, smallest first."""
    counts = Counter(kit.plan.size.hat_size.metric_cm for kit in kits if kit.plan is not None)
    return tuple(SizeCount(metric_cm=size, kit_count=counts[size]) for size in sorted(counts))


def _totals(
    order: ClassOrder, kits: Sequence[Kit], yarns: Sequence[YarnTotal], distinct_plan_count: int
) -> ClassTotals:
    planned = [kit for kit in kits if kit.plan is not None]
    balls = [total.balls.by_kit for total in yarns if total.balls is not None]
    return ClassTotals(
        kit_count=len(planned),
        distinct_plan_count=distinct_plan_count,
        hours=printed(sum(kit.hours for kit in planned), 1),
        length_m=_printed_sum([total.length_m for total in yarns]),
        mass_g=_printed_sum([total.mass_g for total in yarns]),
        ball_count=sum(balls) if balls else None,
        fits_class_count=None
        if order.class_hours is None
        else sum(kit.fits_class is True for kit in planned),
    )


def _printed_sum(values: Sequence[float]) -> float | None:
    """Return the sum of figures that are printed, ``None`` of none."""
    return printed(sum(values), 1) if values else None
