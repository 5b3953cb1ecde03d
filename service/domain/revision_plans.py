"""The same hat planned anew at the gauge as worked, with more or fewer of its rounds kept."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from service.domain.crown_orders import CrownOrder, CrownSchedule
from service.domain.crown_work import CrownWork
from service.domain.crowns import plan_crown
from service.domain.errors import PatternMathError
from service.domain.hat_assembly import assemble_rounds
from service.domain.hat_counts import HatCounts, fit_hat, refit_hat
from service.domain.hat_gauges import HatGauges, reckon_gauges
from service.domain.hat_layouts import HatLayout, lay_out_hat
from service.domain.hat_orders import BrimOrder, HatOrder
from service.domain.hat_yarn import reckon_yarn
from service.domain.hats import HatPlan, complete_plan, refuse_out_of_bounds
from service.domain.revision_outcomes import HatOutcome, foresee_hat
from service.domain.rounding import ceil_exact, half_up
from service.domain.rounds import Round
from service.domain.tables import ReferenceTables

__all__ = ["HatDraft", "LaidOutHat", "Replanner", "likeness"]

#: Other counts that are tried for one whose crown begins with the rounds on the hook.
_OTHER_COUNTS = 3


@dataclass(frozen=True, slots=True)
class HatDraft:
    """A hat whose counts are known; its rounds are worked out only where they may be wanted.

    ``lay_out`` returns ``None`` where the parts do not go together.
    """

    order: HatOrder
    counts: HatCounts
    lay_out: Callable[[], HatLayout | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidOutHat:
    """A hat whose parts are known, and with them how it comes out."""

    order: HatOrder
    counts: HatCounts
    layout: HatLayout
    outcome: HatOutcome


class _Crowns:
    """Crowns of one hat at one gauge, each planned once."""

    def __init__(self) -> None:
        self._work = CrownWork()
        self._planned: list[tuple[CrownOrder, CrownSchedule]] = []

    def plan(self, order: CrownOrder) -> CrownSchedule:
        """Return the crown that is asked for."""
        for planned, schedule in self._planned:
            if planned == order:
                return schedule
        schedule = plan_crown(order, work=self._work)
        self._planned.append((order, schedule))
        return schedule


class Replanner:
    """Plans one hat anew.

    Parameters
    ----------
    plan
        The hat as it was planned.
    order
        Its order at the gauge as worked.
    tables
        Published tables and priors.
    """

    def __init__(self, plan: HatPlan, order: HatOrder, tables: ReferenceTables) -> None:
        self._plan = plan
        self._order = order
        self._tables = tables
        self._crowns = _Crowns()
        self._counts: dict[tuple[int | None, int | None], HatCounts] = {}
        self.gauges = self._reckoned_gauges()
        height = self.gauges.body.round_height_mm / plan.gauges.body.round_height_mm
        self._planned = replace(plan.layout, edging_mm=plan.layout.edging_mm * height)
        self._rounds = plan.rounds
        if height != 1:
            self._rounds = tuple(
                replace(worked, height_mm=worked.height_mm * height) for worked in plan.rounds
            )
        self._ends: dict[str, int] = {"brim": 0, "crown": 0, "body": 0} | {
            worked.section: worked.number for worked in plan.rounds
        }

    def _reckoned_gauges(self) -> HatGauges:
        """Return the gauges as worked; cables go on crossing in the stitches that they began with."""
        return replace(
            reckon_gauges(self._order, self._tables),
            crossing_stitches=self._plan.gauges.crossing_stitches,
            brim_crossing_stitches=self._plan.gauges.brim_crossing_stitches,
        )

    def as_planned(self) -> LaidOutHat:
        """Return the hat of the plan, as it comes out at the gauge as worked."""
        chosen = self._plan.counts
        counts = self._refitted(self._order, body=chosen.body, brim=chosen.brim)
        return self._foreseen(self._order, counts, self._planned)

    def laid_out(self, draft: HatDraft) -> LaidOutHat | None:
        """Return the parts of a hat, ``None`` where they do not go together."""
        try:
            layout = draft.lay_out()
            if layout is None:
                return None
            refuse_out_of_bounds(draft.counts, layout)
            return self._foreseen(draft.order, draft.counts, layout)
        except PatternMathError:
            # Another way that cannot be worked is no way on; going on always is.
            return None

    def _foreseen(self, order: HatOrder, counts: HatCounts, layout: HatLayout) -> LaidOutHat:
        outcome = foresee_hat(order, self._plan.size, self.gauges, counts, layout)
        return LaidOutHat(order=order, counts=counts, layout=layout, outcome=outcome)

    def as_worked(self, hat: LaidOutHat) -> HatPlan:
        """Return the plan of a hat with the plan's own rounds, as high as they are worked."""
        return self._completed(hat, self._rounds)

    def finished(self, hat: LaidOutHat) -> HatPlan:
        """Return the plan of a hat with rounds of its own; where they are the plan's they are its values."""
        rounds = assemble_rounds(hat.order, self.gauges, hat.counts, hat.layout)
        shared = tuple(
            planned if _is_same(planned, worked) else worked
            for planned, worked in zip(self._rounds, rounds, strict=False)
        )
        return self._completed(hat, (*shared, *rounds[len(shared) :]))

    def drafts(self, round_number: int) -> Iterator[HatDraft]:
        """Yield the hats that keep what is worked up to a round, or part of it, the most kept first.

        From the brim: all of it; the beginning of the body; the brim; nothing. From the crown: all of it;
        brim or body anew; nothing.
        """
        for kept in self._places(round_number):
            draft = self.keeping(kept)
            if draft is not None:
                yield draft

    def _places(self, round_number: int) -> list[int]:
        """Return how many rounds to keep, each once."""
        ends = self._ends
        if not self._order.is_from_brim:
            places = [max(round_number, ends["crown"]), ends["body"], ends["crown"], 0]
        elif self._order.brim is None:
            places = [round_number, self._body_begun(), 0]
        else:
            places = [round_number, self._body_begun(), ends["brim"]]
            if self._plan.counts.brim_grips:
                places.append(0)
        first = places[0]
        return list(dict.fromkeys(place for place in places if place <= first))

    def _body_begun(self) -> int:
        """Return the round after which the body is begun, and the rhythm of its cables with it."""
        planned = self._planned
        begun = planned.lead_in_round_count + 1 if self._order.fabric.is_crossed else 1
        return self._ends["body"] - planned.body_round_count + begun

    def keeping(self, after_round: int) -> HatDraft | None:
        """Return the hat that keeps so many rounds of the plan; ``None`` where that cannot be done.

        A crown that is begun keeps its rounds from the crown, and all of the body from the brim; it may
        begin otherwise than the plan's.
        """
        try:
            if after_round == 0:
                counts = fit_hat(self._order, self._plan.size, self.gauges, self._tables)
                return self._laid_out(self._order, counts)
            return self._from_brim(after_round) if self._order.is_from_brim else self._from_crown(after_round)
        except PatternMathError:
            return None

    def other_counts(self, round_number: int) -> Iterator[HatDraft]:
        """Yield hats on the likeliest one's side of the plan: plain crowns of different hats begin alike."""
        if self._order.is_from_brim or self._order.fabric.is_textured or round_number > self._ends["crown"]:
            return
        anew = self.keeping(0)
        if anew is None:
            return
        planned, likeliest = self._plan.counts.body, anew.counts.body
        for other in anew.counts.others[:_OTHER_COUNTS]:
            if (other.count.stitch_count - planned) * (likeliest - planned) <= 0:
                continue
            try:
                counts = self._refitted(self._order, body=other.count.stitch_count, brim=None)
            except PatternMathError:
                continue
            yield self._laid_out(self._order, counts)

    def _laid_out(self, order: HatOrder, counts: HatCounts) -> HatDraft:
        return HatDraft(order, counts, lambda: self._layout(order, counts))

    def _layout(self, order: HatOrder, counts: HatCounts, *, crown: CrownSchedule | None = None) -> HatLayout:
        """Return the layout of a hat, with a crown that is worked already where there is one."""
        planner = self._crowns.plan if crown is None else lambda _: crown
        return lay_out_hat(order, self._plan.size, self.gauges, counts, self._tables, crown_planner=planner)

    def _refitted(self, order: HatOrder, *, body: int | None, brim: int | None) -> HatCounts:
        """Return the counts of a hat of which these are worked; the rounds of its brim do not matter."""
        counts = self._counts.get((body, brim))
        if counts is None:
            counts = self._counts[body, brim] = refit_hat(
                order,
                self._plan.size,
                self.gauges,
                self._tables,
                body_stitch_count=body,
                brim_stitch_count=brim,
            )
        return counts

    def _completed(self, hat: LaidOutHat, rounds: tuple[Round, ...]) -> HatPlan:
        yarn = reckon_yarn(hat.order, self.gauges, rounds)
        return complete_plan(
            hat.order, self._plan.size, self.gauges, hat.counts, hat.layout, rounds, yarn, self._tables
        )

    def _with_worked_brim(self) -> HatOrder:
        """Return the order with as many brim rounds as were planned."""
        if self._order.brim is None:
            return self._order
        brim = BrimOrder(fabric=self._order.brim.fabric, round_count=self._planned.brim_round_count)
        return replace(self._order, brim=brim)

    def _from_brim(self, after_round: int) -> HatDraft:
        ends, planned = self._ends, self._planned
        in_brim = self._order.brim is not None and after_round <= ends["brim"]
        order = self._with_worked_brim()
        counts = self._refitted(
            order, body=None if in_brim else self._plan.counts.body, brim=self._plan.counts.brim
        )
        done = min(after_round, ends["body"]) - (ends["body"] - planned.body_round_count)
        if done <= 0:
            return self._laid_out(order, counts)
        return HatDraft(order, counts, lambda: _body_from(done, self._layout(order, counts), planned, order))

    def _from_crown(self, after_round: int) -> HatDraft | None:
        ends, planned = self._ends, self._planned
        if planned.crown is None:
            return None
        order, in_body = self._with_worked_crown(planned.crown), after_round <= ends["body"]
        counts = self._refitted(
            order, body=self._plan.counts.body, brim=None if in_body else self._plan.counts.brim
        )
        if not in_body:
            done = after_round - ends["body"] - planned.has_joining_round
            return HatDraft(order, counts, lambda: self._with_brim(planned, done))
        done = max(0, after_round - ends["crown"])
        return HatDraft(order, counts, lambda: self._below_crown(order, counts, done))

    def _below_crown(self, order: HatOrder, counts: HatCounts, done: int) -> HatLayout:
        """Return the layout of a hat whose crown is worked, and so many rounds of its body."""
        layout = self._layout(order, counts, crown=self._plan.crown)
        body_round_count = max(done, layout.body_round_count)
        repeat = order.fabric.round_repeat_count if order.fabric.is_crossed else 1
        return replace(
            layout, body_round_count=body_round_count, lead_in_round_count=body_round_count % repeat
        )

    def _with_worked_crown(self, crown: CrownSchedule) -> HatOrder:
        """Return the order with the crown, and the rounds of the brim, that were planned."""
        order = self._with_worked_brim()
        wishes = replace(order.crown, shape=crown.crown_shape, round_count=len(crown.rounds), depth_mm=None)
        return replace(order, crown=wishes)

    def _with_brim(self, layout: HatLayout, done: int) -> HatLayout:
        """Return a layout whose last part fills the depth, with at least the rounds that are done."""
        if self.gauges.brim is None:
            return layout
        crown_round_count = 0 if layout.crown is None else len(layout.crown.rounds)
        above_mm = (
            (crown_round_count + layout.body_round_count) * self.gauges.body.round_height_mm
            + layout.has_joining_round * self.gauges.joining_mm
            + layout.edging_mm
        )
        rest_mm = self._plan.size.depth_mm - above_mm
        round_count = max(1, done, half_up(rest_mm / self.gauges.brim.round_height_mm))
        return replace(layout, brim_round_count=round_count)


def _is_same(planned: Round, worked: Round) -> bool:
    """Whether two rounds of one gauge and place in the work are one round."""
    return (
        planned.section == worked.section
        and planned.kind == worked.kind
        and planned.consumed_stitch_count == worked.consumed_stitch_count
        and likeness(planned) == likeness(worked)
    )


def likeness(worked: Round) -> tuple[object, ...]:
    """Return what a maker would tell rounds apart by."""
    return (worked.worked_into, worked.stitch_count, worked.start, worked.join, worked.steps)


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
