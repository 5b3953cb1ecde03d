"""How many rounds a piece of work has at most, and how many stitches a round."""

from collections.abc import Sequence

from service.domain.errors import HatOutOfBounds
from service.domain.steps import Step, consumed_by, made_by

__all__ = ["MOST_ROUNDS", "refuse_too_many_rounds", "refuse_too_wide_round"]

#: More rounds than any hat has (convention).
MOST_ROUNDS = 400
#: A round with more stitches than this is no round of a hat (convention).
_MOST_ROUND_STITCHES = 4000


def refuse_too_many_rounds(round_count: int) -> None:
    """Raise if a piece of work has more than 400 rounds.

    Raises
    ------
    HatOutOfBounds
        With both counts.

    Examples
    --------
    >>> refuse_too_many_rounds(400)
    >>> refuse_too_many_rounds(401)
    Traceback (most recent call last):
    service.domain.errors.HatOutOfBounds: This hat would have 401 rounds; the service plans at most 400. ...
    """
    if round_count > MOST_ROUNDS:
        raise HatOutOfBounds(what="rounds", count=round_count, limit=MOST_ROUNDS)


def refuse_too_wide_round(steps: Sequence[Step]) -> None:
    """Raise if a round uses up or makes more than 4000 stitches.

    Raises
    ------
    HatOutOfBounds
        With both counts.

    Examples
    --------
    >>> from service.domain.steps import Work
    >>> refuse_too_wide_round([Work("sc", 4000)])
    >>> refuse_too_wide_round([Work("sc", 4001)])
    Traceback (most recent call last):
    service.domain.errors.HatOutOfBounds: This hat would have 4001 stitches in one round; ...
    """
    count = max(made_by(steps), consumed_by(steps))
    if count > _MOST_ROUND_STITCHES:
        raise HatOutOfBounds(what="stitches in one round", count=count, limit=_MOST_ROUND_STITCHES)
