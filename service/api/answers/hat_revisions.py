"""A hat on the hook as JSON: what the work shows, and the ways on."""

from collections.abc import Mapping
from typing import Any

from service.api.answers.common import cm, report_to_json
from service.api.answers.hat_plans import counts_to_json, proof_to_json, rounds_to_json
from service.api.answers.yarn_estimates import range_to_json
from service.api.orders import mm
from service.api.orders_hats import hat_order_of
from service.api.work import count_work
from service.domain.hats import HatPlan, plan_hat
from service.domain.hook_states import HookState, PlannedState, WorkedGauge
from service.domain.revision_yarn import YarnOutlook, weighing_notices
from service.domain.revisions import Revision, RevisionOption, revise_hat
from service.domain.rounding import printed
from service.domain.tables import ReferenceTables
from service.domain.work_units import plan_work
from service.notation.terms import TermsId
from service.patterns.plan_words import told_finishing
from service.patterns.proofs import Proof, prove_together
from service.patterns.revision_words import revision_reason

__all__ = ["hat_revision_to_json"]

Json = dict[str, Any]


def hat_revision_to_json(values: Json, tables: ReferenceTables) -> Json:
    """Return the answer to what is on the hook."""
    wishes = values["plan"]
    plan = plan_hat(hat_order_of(wishes, tables), tables)
    state = _state_of(values["state"])
    revision = revise_hat(plan, state, tables)
    count_work(sum(map(plan_work, (plan, *(option.plan for option in revision.options)))))
    proofs = prove_together([option.plan for option in revision.options])
    best = revision.options[0].plan
    return {
        "gauge_as_worked": _gauge_to_json(revision.gauge),
        "planned": _planned_to_json(revision.planned, plan, state),
        "options": [
            _option_to_json(option, proof, plan, revision, state, wishes["terms"])
            for option, proof in zip(revision.options, proofs, strict=True)
        ],
        **report_to_json(
            notices=(
                *best.notices,
                *revision.notices,
                *weighing_notices(plan, mass_left_g=state.mass_left_g),
            ),
            assumptions=(*plan.assumptions, *best.assumptions),
            working=best.working if wishes["show_working"] else None,
        ),
    }


def _state_of(values: Mapping[str, Any]) -> HookState:
    return HookState(
        round_number=values["round"],
        stitch_count=values.get("stitch_count"),
        circumference_mm=mm(values.get("circumference_cm")),
        height_mm=mm(values.get("height_cm")),
        mass_left_g=values.get("mass_left_g"),
        rip_back_to_round=values.get("rip_back_to_round"),
    )


def _gauge_to_json(gauge: WorkedGauge) -> Json:
    body, brim = gauge.body, gauge.brim
    return {
        "stitches_per_10cm": printed(body.stitches_per_10cm, 3),
        "rounds_per_10cm": printed(body.rounds_per_10cm, 3),
        "width_error_percent": printed(100 * body.width_error, 1),
        "height_error_percent": printed(100 * body.height_error, 1),
        "brim_stitches_per_10cm": None if brim is None else printed(brim.stitches_per_10cm, 3),
        "brim_rounds_per_10cm": None if brim is None else printed(brim.rounds_per_10cm, 3),
    }


def _planned_to_json(planned: PlannedState, plan: HatPlan, state: HookState) -> Json:
    return {
        "section": plan.rounds[state.round_number - 1].section,
        "stitch_count": planned.stitch_count,
        "circumference_cm": cm(planned.circumference_mm),
        "height_cm": cm(planned.height_mm),
    }


def _option_to_json(
    option: RevisionOption,
    proof: Proof,
    plan: HatPlan,
    revision: Revision,
    state: HookState,
    terms_id: TermsId,
) -> Json:
    revised = option.plan
    return {
        "action": option.action,
        "from_round": option.after_round + 1,
        "rip_back_round_count": state.round_number - option.after_round,
        "counts": counts_to_json(revised),
        "fit_probability": printed(revised.counts.fit_probability, 3),
        "depth_probability": printed(option.outcome.depth_probability, 3),
        "finished_circumference_cm": cm(revised.counts.chosen.count.circumference_mm),
        "finished_depth_cm": cm(revised.depth_mm),
        "crown_shape_error": None
        if option.outcome.crown_shape_error is None
        else printed(option.outcome.crown_shape_error, 3),
        "rounds": rounds_to_json(revised, proof.texts[terms_id], after_round=option.after_round),
        "changed_rounds": list(option.changed_rounds),
        "finishing": list(told_finishing(revised, terms_id)),
        "yarn": None if option.yarn is None else _yarn_to_json(option.yarn),
        "proof": proof_to_json(proof),
        "why": revision_reason(option, plan, revision.going_on),
    }


def _yarn_to_json(outlook: YarnOutlook) -> Json:
    check, shortening = outlook.checkpoint, outlook.shortening
    return {
        "lasts_probability": printed(check.lasts_probability, 3),
        "lasts_to_round": check.lasts_to_round,
        "remaining_g": range_to_json(check.remaining_g),
        "missing_g": printed(check.missing_g, 1),
        "shorten": None
        if shortening is None
        else {
            "section": "body",
            "round_count": shortening.round_count,
            "height_cm": cm(shortening.height_mm),
        },
    }
