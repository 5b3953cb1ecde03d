"""The words of every round of a plan, equal rounds written once: what is sent is what is proved."""

from service.domain.hats import HatPlan
from service.domain.rounds import Round
from service.notation.terms import Terms
from service.notation.writer import write_instruction, write_numbered

__all__ = ["round_texts"]


def round_texts(
    plan: HatPlan, terms: Terms, known: dict[tuple[object, ...], str] | None = None
) -> tuple[str, ...]:
    """Return each round of a plan in standard written form, in working order.

    Equal rounds share their steps as one value, so their instruction is written once.

    Parameters
    ----------
    plan
        The hat.
    terms
        The terms to write in.
    known
        What plans that are alive have written in these terms, to be added to; ``None`` for a plan by itself.
    """
    known = {} if known is None else known
    texts = []
    for worked in plan.rounds:
        key = _likeness(worked)
        if key not in known:
            known[key] = write_instruction(worked, terms=terms)
        texts.append(write_numbered(worked, known[key], terms=terms))
    return tuple(texts)


def _likeness(worked: Round) -> tuple[object, ...]:
    """Return what the instruction of a round depends on; the plan keeps its steps alive meanwhile."""
    return id(worked.steps), worked.start, worked.join, worked.worked_into
