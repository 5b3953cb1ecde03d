"""A hat on the hook: going on, adjusting what is not yet worked, or ripping back."""

from dataclasses import dataclass
from itertools import takewhile
from typing import Literal

from service.domain.errors import YarnUnderdetermined
from service.domain.hats import HatPlan
from service.domain.hook_states import (
    HookState,
    PlannedState,
    WorkedGauge,
    gauge_as_worked,
    order_as_worked,
    planned_state,
    refuse_contradiction,
)
from service.domain.report import Notice
from service.domain.revision_outcomes import LIKELIER, HatOutcome, gains
from service.domain.revision_plans import HatDraft, LaidOutHat, Replanner, likeness
from service.domain.revision_yarn import YarnOutlook, yarn_outlook
from service.domain.rounding import TIE_TOLERANCE
from service.domain.rounds import Round
from service.domain.tables import ReferenceTables

__all__ = ["Action", "Revision", "RevisionOption", "revise_hat"]

Action = Literal["go_on", "adjust", "rip_back"]

#: By how much another way must be likelier to come out well than going on, before it is the better one
#: (convention: what is worked is worth something).
_EFFORT: dict[Action, float] = {"go_on": 0.0, "adjust": 0.01, "rip_back": 0.05}
#: A gauge that differs from the plan's by less speaks for no other hat (convention: about a millimetre).
_SAME_GAUGE = 0.002


@dataclass(frozen=True, slots=True, kw_only=True)
class RevisionOption:
    """A way on: the whole hat as it comes out, of which the rounds after ``after_round`` are still to work.

    ``changed_rounds`` are those of them that the plan has otherwise or not at all.
    """

    action: Action
    after_round: int
    plan: HatPlan
    outcome: HatOutcome
    changed_rounds: tuple[int, ...]
    yarn: YarnOutlook | None

    @property
    def rounds(self) -> tuple[Round, ...]:
        """Return the rounds that are still to work."""
        return self.plan.rounds[self.after_round :]

    @property
    def likelihood(self) -> float:
        """Return how likely circumference and depth both come out."""
        return self.outcome.likelihood


@dataclass(frozen=True, slots=True, kw_only=True)
class Revision:
    """What the work shows, and the ways on, best first."""

    planned: PlannedState
    gauge: WorkedGauge
    options: tuple[RevisionOption, ...]
    notices: tuple[Notice, ...]

    @property
    def going_on(self) -> RevisionOption:
        """Return the way on that changes nothing."""
        return next(option for option in self.options if option.action == "go_on")


def revise_hat(plan: HatPlan, state: HookState, tables: ReferenceTables) -> Revision:
    """Return how a hat that is on the hook goes on from what the work itself shows.

    Going on keeps every round of the plan. Work that shows another gauge is also planned anew: with more or
    fewer changes in the joining round, another length of body, another crown. Where such a hat begins with
    the rounds on the hook, it is an adjustment; where the two part earlier, the work is ripped back to the
    last round that they share, and no further.

    Ways that gain nothing are left out. An adjustment gains if it is likelier by a point, or no less likely
    with a depth nearer by 5 mm or a crown seen to lie better; ripping back only if it is likelier by a point.
    They are ranked by how likely circumference and depth both come out, less 1 point for an adjustment and 5
    for ripping back. Ripping back that is asked for is always a way on; where nothing but the plan comes of
    it, a notice says so.

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
    reviser = _Reviser(plan, state, Replanner(plan, order_as_worked(plan.order, gauge), tables))
    options = reviser.options()
    return Revision(
        planned=planned_state(plan, state.round_number),
        gauge=gauge,
        options=tuple(sorted(options, key=lambda each: _EFFORT[each.action] - each.likelihood)),
        notices=tuple(reviser.notices),
    )


class _Reviser:
    """Weighs the hats that what is on the hook can become, where it shows another gauge than the plan's."""

    def __init__(self, plan: HatPlan, state: HookState, replanner: Replanner) -> None:
        self._plan = plan
        self._state = state
        self._replanner = replanner
        self._likenesses = tuple(map(likeness, plan.rounds))
        hat = replanner.as_planned()
        self._going_on = self._option("go_on", state.round_number, replanner.as_worked(hat), hat.outcome)
        self._ways: dict[Action, RevisionOption] = {"go_on": self._going_on}
        self.notices: list[Notice] = []

    def options(self) -> tuple[RevisionOption, ...]:
        """Return the ways on: going on, and what gains anything beside it."""
        if not self._is_on_gauge():
            self._find_ways()
        asked = self._state.rip_back_to_round
        if asked is not None:
            self._ways["rip_back"] = self._asked(asked)
        return tuple(self._ways.values())

    def _is_on_gauge(self) -> bool:
        planned, worked = self._plan.gauges.body, self._replanner.gauges.body
        return (
            abs(worked.stitch_width_mm / planned.stitch_width_mm - 1) < _SAME_GAUGE
            and abs(worked.round_height_mm / planned.round_height_mm - 1) < _SAME_GAUGE
        )

    def _find_ways(self) -> None:
        for draft in self._replanner.drafts(self._state.round_number):
            self._weigh(draft)
        if "adjust" not in self._ways:
            # A hat of another count may begin like this one where the likeliest does not.
            for draft in self._replanner.other_counts(self._state.round_number):
                self._weigh(draft, ripped=False)
        ripping, adjusting = self._ways.get("rip_back"), self._ways.get("adjust")
        if ripping and adjusting and ripping.likelihood <= adjusting.likelihood + LIKELIER:
            del self._ways["rip_back"]

    def _weigh(self, draft: HatDraft, *, ripped: bool = True) -> None:
        """Keep the way to a hat if it gains anything beside those that undo less."""
        known = [way for action, way in self._ways.items() if ripped or action != "rip_back"]
        likely = max(way.likelihood for way in known) + LIKELIER
        # All that an adjustment may gain, a ripped one only by being likelier.
        least = likely if "adjust" in self._ways else self._going_on.likelihood - TIE_TOLERANCE
        if draft.counts.fit_probability < least:
            return
        hat = self._replanner.laid_out(draft)
        if hat is None:
            return
        is_likelier = hat.outcome.likelihood > likely
        if not is_likelier and ("adjust" in self._ways or not gains(hat.outcome, self._going_on.outcome)):
            return
        option = self._way_to(hat)
        if option is not None and (option.action == "adjust" or (is_likelier and ripped)):
            self._ways[option.action] = option

    def _way_to(self, hat: LaidOutHat) -> RevisionOption | None:
        """Return how to come to a hat, undoing no more than is needed; ``None`` for the plan itself."""
        plan, round_number = self._replanner.finished(hat), self._state.round_number
        common = self._common(plan)
        if common == len(plan.rounds) == len(self._plan.rounds):
            return None
        action: Action = "adjust" if common >= round_number else "rip_back"
        return self._option(action, min(common, round_number), plan, hat.outcome)

    def _asked(self, after_round: int) -> RevisionOption:
        """Return the best hat that keeps the rounds asked for: the plan where no other gains anything."""
        best = self._going_on
        for kept in () if self._is_on_gauge() else dict.fromkeys((after_round, 0)):
            draft = self._replanner.keeping(kept)
            hat = None if draft is None else self._replanner.laid_out(draft)
            if hat is None or not gains(hat.outcome, best.outcome):
                continue
            way = self._way_to(hat)
            if way is not None and way.after_round >= after_round:
                best = way
        if best is self._going_on:
            self._tell_as_planned(after_round)
        return self._option("rip_back", after_round, best.plan, best.outcome)

    def _tell_as_planned(self, after_round: int) -> None:
        """Say that nothing else comes of ripping back as asked, and where something would."""
        from_round, further = after_round + 1, self._ways.get("rip_back")
        if further is None or further.after_round >= after_round:
            self.notices.append(Notice("rip_back_as_planned", {"from_round": from_round}))
        else:
            figures = {"from_round": from_round, "other_from_round": further.after_round + 1}
            self.notices.append(Notice("rip_back_further", figures))

    def _option(self, action: Action, after_round: int, plan: HatPlan, outcome: HatOutcome) -> RevisionOption:
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
            outcome=outcome,
            changed_rounds=self._changed(plan, after_round),
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

    def _common(self, plan: HatPlan) -> int:
        """Return how many rounds a hat begins with as the plan does."""
        alike = zip(map(likeness, plan.rounds), self._likenesses, strict=False)
        return sum(1 for _ in takewhile(lambda pair: pair[0] == pair[1], alike))

    def _changed(self, plan: HatPlan, after_round: int) -> tuple[int, ...]:
        """Return the rounds still to work that the plan has otherwise; where it has more, its surplus too."""
        before, after = self._likenesses, [likeness(worked) for worked in plan.rounds]
        both = range(after_round, min(len(before), len(after)))
        differing = [place + 1 for place in both if before[place] != after[place]]
        surplus = range(min(len(before), len(after)) + 1, max(len(before), len(after)) + 1)
        return (*differing, *surplus)
