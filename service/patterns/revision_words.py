"""Why one would go on with a hat in one way or another."""

from service.domain.hats import HatPlan
from service.domain.revision_outcomes import FELT_MM, lies_better
from service.domain.revisions import RevisionOption
from service.domain.rounding import half_up
from service.patterns.lengths import both_systems

__all__ = ["revision_reason"]


def revision_reason(option: RevisionOption, plan: HatPlan, going_on: RevisionOption) -> str:
    """Return what speaks for a way on, beside the plan that is being worked and going on with it."""
    chance = f"it fits with a chance of {half_up(100 * option.plan.counts.fit_probability)} %"
    match option.action:
        case "go_on":
            return f"Nothing changes; {chance}{_depth(option)}."
        case "adjust":
            rest = f"the rest {_changes(option, plan)}{_crown(option, going_on)}"
            return f"What is worked stays, and {rest}; {chance}{_depth(option)}."
    again = f"Rounds from {option.after_round + 1} on are worked again"
    hat = f"the hat {_changes(option, plan)}{_crown(option, going_on)}"
    return f"{again}, and {hat}; {chance}{_depth(option)}."


def _changes(option: RevisionOption, plan: HatPlan) -> str:
    """Return what is different, in order of the work."""
    now, then = option.plan, plan
    changes = [
        _difference((now.counts.brim or 0) - (then.counts.brim or 0), "stitches in the brim"),
        _difference(now.counts.body - then.counts.body, "stitches in the body"),
        *(
            _difference(_rounds(now, part) - _rounds(then, part), f"rounds of {part}")
            for part in ("brim", "body", "crown")
        ),
    ]
    told = [change for change in changes if change]
    if not told:
        return "is worked with other rounds" if option.changed_rounds else "stays as it was planned"
    return "has " + (", ".join(told[:-1]) + " and " + told[-1] if len(told) > 1 else told[0])


def _crown(option: RevisionOption, going_on: RevisionOption) -> str:
    """Return that the crown lies better, where that is seen."""
    now, before = option.outcome, going_on.outcome
    if not lies_better(now, before):
        return ""
    errors = f"its error is {now.crown_shape_error:.2f} instead of {before.crown_shape_error:.2f}"
    return f", so that the crown lies closer to its shape: {errors}"


def _rounds(plan: HatPlan, section: str) -> int:
    return sum(part.round_count for part in plan.sections if part.name == section)


def _difference(count: int, what: str) -> str:
    """Return by how many more or fewer, nothing for none."""
    if count == 0:
        return ""
    noun = what.replace("stitches", "stitch").replace("rounds", "round") if abs(count) == 1 else what
    return f"{abs(count)} {'more' if count > 0 else 'fewer'} {noun}"


def _depth(option: RevisionOption) -> str:
    plan = option.plan
    difference_mm = plan.depth_mm - plan.size.depth_mm
    if abs(difference_mm) < FELT_MM:
        return ""
    side = "deeper" if difference_mm > 0 else "shallower"
    return f", {both_systems(abs(difference_mm))} {side} than it should be"
