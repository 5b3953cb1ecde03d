"""A hat on the hook, planned anew: going on, adjusting what is not yet worked, or ripping back."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import partial
from math import erf, sqrt
from typing import Literal

from service.domain.crown_work import CrownWork
from service.domain.crowns import plan_crown
from service.domain.errors import PatternMathError, YarnUnderdetermined
from service.domain.hat_assembly import assemble_rounds
from service.domain.hat_counts import HatCounts, fit_hat, refit_hat
from service.domain.hat_gauges import HatGauges, reckon_gauges
from service.domain.hat_layouts import CrownPlanner, HatLayout, lay_out_hat
from service.domain.hat_orders import BrimOrder, HatOrder
from service.domain.hat_yarn import reckon_yarn
from service.domain.hats import HatPlan, complete_plan, refuse_out_of_bounds
from service.domain.hook_states import (
    HookState,
    PlannedState,
    WorkedGauge,
    gauge_as_worked,
    order_as_worked,
    planned_state,
    refuse_contradiction,
)
from service.domain.revision_yarn import YarnOutlook, yarn_outlook
from service.domain.rounding import TIE_TOLERANCE, ceil_exact, half_up
from service.domain.rounds import Round
from service.domain.tables import ReferenceTables

__all__ = ["Action", "Revision", "RevisionOption", "revise_hat"]

Action = Literal["go_on", "adjust", "rip_back"]

#: By how much another way must be likelier to come out well than going on, before it is the better one
#: (convention: what is worked is worth something).
_EFFORT: dict[Action, float] = {"go_on": 0.0, "adjust": 0.01, "rip_back": 0.05}


@dataclass(frozen=True, slots=True, kw_only=True)
class RevisionOption:
    """A way on: the whole hat as it comes out, of which the rounds after ``after_round`` are still to work.

    ``changed_rounds`` are those of them that the plan has otherwise or not at all.
    """

    action: Action
    after_round: int
    plan: HatPlan
    changed_rounds: tuple[int, ...]
    likelihood: float
    yarn: YarnOutlook | None

    @property
    def rounds(self) -> tuple[Round, ...]:
        """Return the rounds that are still to work."""
        return self.plan.rounds[self.after_round :]


@dataclass(frozen=True, slots=True, kw_only=True)
class Revision:
    """What the work shows, and the ways on, best first."""

    planned: PlannedState
    gauge: WorkedGauge
    options: tuple[RevisionOption, ...]


def revise_hat(plan: HatPlan, state: HookState, tables: ReferenceTables) -> Revision:
    """Return how a hat that is on the hook goes on from what the work itself shows.

    Going on keeps every round of the plan. Adjusting keeps what is worked and plans the rest at the gauge as
    worked: more or fewer changes in the joining round, another length of body, another crown. Ripping back
    does the same from an earlier round. They are ranked by how likely circumference and depth both come out,
    less 1 point for an adjustment and 5 for ripping back.

    Parameters
    ----------
    plan
        The hat as it was planned.
    state
        The work.
    tables
        Published tables and priors.

    Raises
    ------
    StateContradictsPlan
        If the work cannot be this plan's, with the round where it departs.
    YarnUnderdetermined
        If the yarn left was weighed and the plan knows of no yarn.
    """
    refuse_contradiction(plan, state)
    if state.mass_left_g is not None and plan.yarn.estimate is None:
        raise YarnUnderdetermined(missing=("plan.yarn",))
    gauge = gauge_as_worked(plan, state, tables)
    reviser = _Reviser(plan, state, order_as_worked(plan.order, gauge), tables)
    options = sorted(reviser.options(), key=lambda each: _EFFORT[each.action] - each.likelihood)
    return Revision(planned=planned_state(plan, state.round_number), gauge=gauge, options=tuple(options))


class _Reviser:
    """Plans the rest of one hat in several ways."""

    def __init__(self, plan: HatPlan, state: HookState, order: HatOrder, tables: ReferenceTables) -> None:
        self._plan = plan
        self._state = state
        self._order = order
        self._tables = tables
        self._gauges = self._reckoned_gauges()
        self._crowns: CrownPlanner = partial(plan_crown, work=CrownWork())

    def _reckoned_gauges(self) -> HatGauges:
        """Return the gauges as worked; cables go on crossing in the stitches that they began with."""
        return replace(
            reckon_gauges(self._order, self._tables),
            crossing_stitches=self._plan.gauges.crossing_stitches,
            brim_crossing_stitches=self._plan.gauges.brim_crossing_stitches,
        )

    def options(self) -> Iterator[RevisionOption]:
        """Yield the ways on: adjusting where it changes anything, ripping back where that helps."""
        state = self._state
        going_on = self._option("go_on", state.round_number, self._as_planned())
        yield going_on
        likeliest = going_on.likelihood
        adjusted = self._replanned(state.round_number)
        if adjusted is not None and self._changed(adjusted, state.round_number):
            adjusting = self._option("adjust", state.round_number, adjusted)
            likeliest = max(likeliest, adjusting.likelihood)
            yield adjusting
        asked = state.rip_back_to_round
        back_to = self._promising_round(going_on) if asked is None else asked
        ripped = None if back_to is None else self._replanned(back_to)
        if back_to is None or ripped is None:
            return
        ripping = self._option("rip_back", back_to, ripped)
        if asked is not None or ripping.likelihood > likeliest + TIE_TOLERANCE:
            yield ripping

    def _option(self, action: Action, after_round: int, plan: HatPlan) -> RevisionOption:
        yarn = None
        if self._state.mass_left_g is not None:
            regained_g = self._mass_g(after_round, self._state.round_number)
            yarn = yarn_outlook(
                plan, after_round=after_round, mass_left_g=self._state.mass_left_g + regained_g
            )
        return RevisionOption(
            action=action,
            after_round=after_round,
            plan=plan,
            changed_rounds=self._changed(plan, after_round),
            likelihood=plan.counts.fit_probability * self._depth_probability(plan),
            yarn=yarn,
        )

    def _mass_g(self, after_round: int, to_round: int) -> float:
        """Return the yarn of rounds that are ripped back."""
        estimate = self._plan.yarn.estimate
        if estimate is None or after_round == to_round:
            return 0.0
        numbers = range(0 if after_round == 0 else after_round + 1, to_round + 1)
        lengths_m = [part.length_m for part in estimate.parts if part.number in numbers]
        return sum(lengths_m) * estimate.tex.strand_tex / 1000

    def _depth_probability(self, plan: HatPlan) -> float:
        """Return how likely the depth lies in the range that does: normal about what the rounds make."""
        sd_mm = plan.depth_mm * self._gauges.body.height_error * sqrt(2)
        low, high = (
            erf((limit_mm - plan.depth_mm) / sd_mm)
            for limit_mm in (plan.size.depth_low_mm, plan.size.depth_high_mm)
        )
        return (high - low) / 2

    def _changed(self, plan: HatPlan, after_round: int) -> tuple[int, ...]:
        """Return the rounds still to work that the plan has otherwise; where it has more, its surplus too."""
        before = [_likeness(worked) for worked in self._plan.rounds]
        after = [_likeness(worked) for worked in plan.rounds]
        both = range(after_round, min(len(before), len(after)))
        differing = [place + 1 for place in both if before[place] != after[place]]
        surplus = range(min(len(before), len(after)) + 1, max(len(before), len(after)) + 1)
        return (*differing, *surplus)

    def _as_planned(self) -> HatPlan:
        """Return the hat with the plan's own rounds, at the gauge as worked."""
        chosen = self._plan.counts
        counts = refit_hat(
            self._order,
            self._plan.size,
            self._gauges,
            self._tables,
            body_stitch_count=chosen.body,
            brim_stitch_count=chosen.brim,
        )
        return self._finished(self._order, counts, self._plan.layout, self._worked(len(self._plan.rounds)))

    def _worked(self, round_count: int) -> tuple[Round, ...]:
        """Return the first rounds of the plan, as high as they are worked."""
        height = self._gauges.body.round_height_mm / self._plan.gauges.body.round_height_mm
        return tuple(
            replace(worked, height_mm=worked.height_mm * height) for worked in self._plan.rounds[:round_count]
        )

    def _finished(
        self, order: HatOrder, counts: HatCounts, layout: HatLayout, rounds: tuple[Round, ...]
    ) -> HatPlan:
        yarn = reckon_yarn(order, self._gauges, rounds)
        return complete_plan(order, self._plan.size, self._gauges, counts, layout, rounds, yarn, self._tables)

    def _promising_round(self, going_on: RevisionOption) -> int | None:
        """Return where ripping back may help: before the counts are chosen, or before the crown."""
        ends = self._section_ends()
        before_body = ends["brim"] if self._order.is_from_brim and not self._plan.counts.brim_grips else 0
        state, likely = self._state.round_number, self._tables.prior("fit_likely_above")
        promising = [before_body]
        if going_on.plan.counts.fit_probability >= likely:
            promising.append(ends["body"] - 1 if self._order.is_from_brim else ends["crown"])
        return max((number for number in promising if 0 <= number < state), default=None)

    def _section_ends(self) -> dict[str, int]:
        """Return the last round of each part, 0 for a part that the hat does not have."""
        return {"brim": 0, "crown": 0, "body": 0} | {
            worked.section: worked.number for worked in self._plan.rounds
        }

    def _replanned(self, after_round: int) -> HatPlan | None:
        """Return the hat with the rounds after one planned anew; ``None`` where that cannot be done."""
        try:
            if after_round == 0:
                return self._from_the_start()
            return self._from_brim(after_round) if self._order.is_from_brim else self._from_crown(after_round)
        except PatternMathError:
            # Another way that cannot be worked is no way on; going on always is.
            return None

    def _from_the_start(self) -> HatPlan:
        counts = fit_hat(self._order, self._plan.size, self._gauges, self._tables)
        layout = self._layout(self._order, counts)
        return self._spliced(self._order, counts, layout, 0)

    def _layout(self, order: HatOrder, counts: HatCounts) -> HatLayout:
        return lay_out_hat(
            order, self._plan.size, self._gauges, counts, self._tables, crown_planner=self._crowns
        )

    def _spliced(self, order: HatOrder, counts: HatCounts, layout: HatLayout, after_round: int) -> HatPlan:
        """Return the hat whose first rounds are those on the hook and whose others are new."""
        refuse_out_of_bounds(counts, layout)
        rounds = assemble_rounds(order, self._gauges, counts, layout)
        whole = (*self._worked(after_round), *rounds[after_round:])
        return self._finished(order, counts, layout, whole)

    def _with_worked_brim(self) -> HatOrder:
        """Return the order with as many brim rounds as were planned."""
        if self._order.brim is None:
            return self._order
        brim = BrimOrder(fabric=self._order.brim.fabric, round_count=self._plan.layout.brim_round_count)
        return replace(self._order, brim=brim)

    def _from_brim(self, after_round: int) -> HatPlan | None:
        ends, planned = self._section_ends(), self._plan.layout
        if after_round > ends["body"]:
            return None
        in_brim = self._order.brim is not None and after_round <= ends["brim"]
        order = self._with_worked_brim()
        counts = refit_hat(
            order,
            self._plan.size,
            self._gauges,
            self._tables,
            body_stitch_count=None if in_brim else self._plan.counts.body,
            brim_stitch_count=self._plan.counts.brim,
        )
        layout: HatLayout | None = self._layout(order, counts)
        done = after_round - (ends["body"] - planned.body_round_count)
        if layout is not None and done > 0:
            layout = _body_from(done, layout, planned, order)
        return None if layout is None else self._spliced(order, counts, layout, after_round)

    def _from_crown(self, after_round: int) -> HatPlan | None:
        ends, planned = self._section_ends(), self._plan.layout
        if after_round < ends["crown"] or planned.crown is None:
            return None
        order, in_body = self._with_worked_crown(), after_round <= ends["body"]
        counts = refit_hat(
            order,
            self._plan.size,
            self._gauges,
            self._tables,
            body_stitch_count=self._plan.counts.body,
            brim_stitch_count=None if in_body else self._plan.counts.brim,
        )
        if not in_body:
            layout = self._with_brim(planned, after_round - ends["body"] - planned.has_joining_round)
            return self._spliced(order, counts, layout, after_round)
        layout = self._layout(order, counts)
        body_round_count = max(after_round - ends["crown"], layout.body_round_count)
        layout = replace(
            layout,
            crown=planned.crown,
            body_round_count=body_round_count,
            lead_in_round_count=body_round_count % order.fabric.round_repeat_count
            if order.fabric.is_crossed
            else 0,
        )
        return self._spliced(order, counts, layout, after_round)

    def _with_worked_crown(self) -> HatOrder:
        """Return the order with the crown, and the rounds of the brim, that were planned."""
        order, crown = self._with_worked_brim(), self._plan.crown
        assert crown is not None, "a hat from the crown down that goes on has one"
        wishes = replace(order.crown, shape=crown.crown_shape, round_count=len(crown.rounds), depth_mm=None)
        return replace(order, crown=wishes)

    def _with_brim(self, layout: HatLayout, done: int) -> HatLayout:
        """Return a layout whose last part fills the depth, with at least the rounds that are done."""
        if self._gauges.brim is None:
            return layout
        crown_round_count = 0 if layout.crown is None else len(layout.crown.rounds)
        above_mm = (
            (crown_round_count + layout.body_round_count) * self._gauges.body.round_height_mm
            + layout.has_joining_round * self._gauges.joining_mm
            + layout.edging_mm
        )
        rest_mm = self._plan.size.depth_mm - above_mm
        round_count = max(1, done, half_up(rest_mm / self._gauges.brim.round_height_mm))
        return replace(layout, brim_round_count=round_count)


def _body_from(done: int, layout: HatLayout, planned: HatLayout, order: HatOrder) -> HatLayout | None:
    """Return the layout of a body that is begun; ``None`` where it would be the wrong crown's.

    A cable that has begun keeps its rhythm, so that the body grows or shrinks by whole vertical repeats.
    """
    fabric = order.fabric
    if not fabric.is_crossed:
        body_round_count = max(done, layout.body_round_count)
        is_other = body_round_count != layout.body_round_count and fabric.flip_round_count is not None
        return None if is_other else replace(layout, body_round_count=body_round_count)
    repeat = fabric.round_repeat_count
    lead_in = planned.lead_in_round_count
    if done <= lead_in:
        lead_in = layout.lead_in_round_count
        lead_in += repeat * max(0, ceil_exact((done - lead_in) / repeat))
    fewest = max(1, ceil_exact((done - lead_in) / repeat))
    repeats = max(fewest, half_up((layout.body_round_count - lead_in) / repeat))
    return replace(layout, body_round_count=lead_in + repeat * repeats, lead_in_round_count=lead_in)


def _likeness(worked: Round) -> tuple[object, ...]:
    """Return what a maker would tell rounds apart by."""
    return (worked.section, worked.kind, worked.steps, worked.stitch_count, worked.start, worked.join)
