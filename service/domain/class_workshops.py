"""Where the hats of a class are planned: what several of them share is reckoned once, and all is weighed."""

from dataclasses import replace
from math import sqrt

from service.domain.crown_orders import CrownOrder, CrownSchedule
from service.domain.crown_reviews import closing_notices
from service.domain.crowns import plan_crown
from service.domain.errors import FabricTooComplex, PatternMathError, WorkBudgetExceeded
from service.domain.gauge import GivenGauge
from service.domain.gauge_readings import Evenness
from service.domain.hat_assembly import assemble_rounds
from service.domain.hat_counts import HatCounts, fit_hat
from service.domain.hat_gauges import HatGauges, reckon_gauges
from service.domain.hat_layouts import HatLayout, lay_out_hat
from service.domain.hat_orders import HatOrder
from service.domain.hat_yarn import HatYarn, reckon_yarn
from service.domain.hats import HatPlan, complete_plan, refuse_out_of_bounds
from service.domain.rounds import Round
from service.domain.sizing import finish_size
from service.domain.tables import ReferenceTables

__all__ = ["Workshop", "gauge_in_hand"]

#: What a hat weighs, and what each of its rounds does to lay out and to reckon the yarn of, where no hat
#: before it has the same (measured, in moves of a crown search).
_HAT_WORK, _ROUND_WORK, _YARN_WORK = 2_000, 250, 150
#: What a whole class may weigh: about 0.6 seconds (measured).
_WORK_LIMIT = 3_000_000


class Workshop:
    """Plans hats that differ in head, fit, hand, evenness and yarn, and in nothing else.

    ``yarn_position`` tells the yarns apart, and ``evenness`` the gauges.
    """

    def __init__(self, tables: ReferenceTables) -> None:
        self._tables = tables
        self._spent = 0
        self._dearest_crown = 0
        self._gauges: dict[Evenness | None, HatGauges] = {}
        self._crowns: dict[tuple[object, ...], CrownSchedule] = {}
        self._refused_crowns: dict[tuple[object, ...], PatternMathError] = {}
        self._rounds: dict[tuple[object, ...], tuple[Round, ...]] = {}
        self._yarn: dict[tuple[object, ...], HatYarn] = {}

    @property
    def work_units(self) -> int:
        """Return what the hats so far weigh."""
        return self._spent

    def plan(
        self, order: HatOrder, *, yarn_position: int | None = None, evenness: Evenness | None = None
    ) -> HatPlan:
        """Return the plan of a hat: the one that it would get alone.

        Raises
        ------
        WorkBudgetExceeded
            If all hats so far and this one weigh too much.
        PatternMathError
            Where the hat cannot be made.
        """
        self._spend(_HAT_WORK)
        size = finish_size(order.size, self._tables)
        gauges = self._gauges_of(order, evenness)
        counts = fit_hat(order, size, gauges, self._tables)
        layout = lay_out_hat(order, size, gauges, counts, self._tables, crown_planner=self._crown)
        refuse_out_of_bounds(counts, layout)
        key = _rounds_key(counts, layout)
        if key not in self._rounds:
            self._spend(_ROUND_WORK * layout.round_count)
            self._rounds[key] = assemble_rounds(order, gauges, counts, layout)
        rounds = self._rounds[key]
        if (yarn_position, key) not in self._yarn:
            self._spend(_YARN_WORK * layout.round_count)
            self._yarn[yarn_position, key] = reckon_yarn(order, gauges, rounds)
        yarn = self._yarn[yarn_position, key]
        return complete_plan(order, size, gauges, counts, layout, rounds, yarn, self._tables)

    def _spend(self, work_units: int) -> None:
        if self._spent + work_units > _WORK_LIMIT:
            raise WorkBudgetExceeded(work_units=self._spent + work_units, limit=_WORK_LIMIT)
        self._spent += work_units

    def _gauges_of(self, order: HatOrder, evenness: Evenness | None) -> HatGauges:
        if evenness not in self._gauges:
            self._gauges[evenness] = reckon_gauges(order, self._tables)
        return self._gauges[evenness]

    def _crown(self, order: CrownOrder) -> CrownSchedule:
        """Return the schedule of a crown: the same for every yarn but for what is said of drawing it shut."""
        crown = self._crown_of_any_yarn(replace(order, yarn_diameter_mm=None))
        if order.worked == "from_crown":
            return crown
        closing = closing_notices(crown.closing_stitch_count, yarn_diameter_mm=order.yarn_diameter_mm)
        others = (notice for notice in crown.notices if notice.code != "too_many_to_close")
        return replace(crown, notices=(*others, *closing))

    def _crown_of_any_yarn(self, order: CrownOrder) -> CrownSchedule:
        """Return the schedule of a crown; each is reckoned to weigh what the dearest so far did.

        Gauge and wishes are the same in the whole class: what else a crown hangs on tells crowns apart.
        """
        key = (order.start_stitch_count, order.crown_shape, order.round_count, order.depth_mm, order.fabric)
        if key in self._refused_crowns:
            raise self._refused_crowns[key]
        if key not in self._crowns:
            self._spend(self._dearest_crown)
            try:
                self._crowns[key] = self._weighed_crown(order)
            except PatternMathError as refusal:
                self._refused_crowns[key] = refusal
                raise
        return self._crowns[key]

    def _weighed_crown(self, order: CrownOrder) -> CrownSchedule:
        """Return a crown, correcting what was reckoned for it by what it did weigh."""
        try:
            crown = plan_crown(order)
        except FabricTooComplex as refusal:
            self._spent += max(0, refusal.weighed_work_units - self._dearest_crown)
            raise
        self._spent += crown.work_units - self._dearest_crown
        self._dearest_crown = max(self._dearest_crown, crown.work_units)
        return crown


def _rounds_key(counts: HatCounts, layout: HatLayout) -> tuple[object, ...]:
    """Return what tells the rounds of hats of one design apart."""
    crown = None if layout.crown is None else (layout.crown.crown_shape, layout.crown.stitch_counts)
    return (
        counts.body,
        counts.brim,
        layout.brim_round_count,
        layout.has_joining_round,
        layout.body_round_count,
        crown,
    )


def gauge_in_hand(given: GivenGauge, evenness: Evenness, tables: ReferenceTables) -> GivenGauge:
    """Return a gauge as sure as another hand makes it that works the same stitches.

    The gauge of a design is taken for a typical hand's over 10 cm, so ``s^2 + (cv^2 - cv_typical^2) / N``
    with N its stitches, or rounds, to 10 cm; an even hand does not undo how far a hat drifts from its swatch.

    Parameters
    ----------
    given
        The gauge as it was stated.
    evenness
        How alike the stitches of the hand are.
    tables
        Priors.

    Examples
    --------
    >>> from service.domain.gauge import give_gauge
    >>> from service.reference.load import load_reference_tables
    >>> tables = load_reference_tables()
    >>> given = give_gauge(
    ...     stitches_per_10cm=16, rounds_per_10cm=18, fabric_id=None,
    ...     width_error=None, height_error=None, washed=True, tables=tables,
    ... )
    >>> hands = ("steady", "typical", "beginner")
    >>> [round(gauge_in_hand(given, hand, tables).gauge.width_error, 4) for hand in hands]
    [0.0279, 0.032, 0.039]

    Notes
    -----
    Convention: an uneven hand hits the same width on average, only less surely.
    """
    gauge = given.gauge
    variance = tables.prior(f"evenness_{evenness}") ** 2 - tables.prior("evenness_typical") ** 2
    drift = tables.prior("gauge_drift")
    return replace(
        given,
        gauge=replace(
            gauge,
            width_error=_shifted(gauge.width_error, variance / gauge.stitches_per_10cm, drift),
            height_error=_shifted(gauge.height_error, variance / gauge.rounds_per_10cm, drift),
        ),
    )


def _shifted(error: float, variance: float, drift: float) -> float:
    return sqrt(max(error**2 + variance, min(error, drift) ** 2))
