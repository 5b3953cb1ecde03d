"""How few stitches a crown comes down to at its centre, and how many may be left there."""

from dataclasses import dataclass, field

from service.domain.crown_targets import Worked
from service.domain.errors import ShapingOutOfReach
from service.domain.fabrics import BaseStitch

__all__ = ["CLOSING_STITCH_COUNT_MIN", "FIRST_RING_STITCH_COUNT_MIN", "ClosingLimits", "closing_limits"]

#: Fewest stitches of any crown round (common practice, no source).
CLOSING_STITCH_COUNT_MIN = 5
#: Fewest stitches worked into the first ring of a plain crown (common practice, no source).
FIRST_RING_STITCH_COUNT_MIN = 6

#: Most stitches drawn shut at the end, by stitch (common practice, no source).
_DRAWN_SHUT_MAX: dict[BaseStitch, int] = {"sc": 8, "hdc": 8, "dc": 12, "tr": 12, "dtr": 12}
#: Most stitches of the first ring, by stitch: a little over a flat disc's 6, 8, 12, 16 and 20 (convention).
_FIRST_RING_MAX: dict[BaseStitch, int] = {"sc": 8, "hdc": 10, "dc": 14, "tr": 18, "dtr": 22}


@dataclass(frozen=True, slots=True)
class ClosingLimits:
    """How few stitches any crown round may have, and how many the round at the centre.

    ``is_min_asked`` says that somebody asked for the fewest: then the first ring may have as few, too.
    """

    stitch_count_min: int
    stitch_count_max: int
    is_min_asked: bool = field(default=False, repr=False)

    @property
    def words(self) -> str:
        """Return the stitches of the round at the centre in words."""
        fewest, most = self.stitch_count_min, self.stitch_count_max
        if fewest == most:
            return f"{most} stitch{'es' if most > 1 else ''}"
        return f"{fewest} to {most} stitches"

    @property
    def first_ring_min(self) -> int:
        """Return the fewest stitches of the first round of a plain crown from the crown."""
        if self.is_min_asked:
            return self.stitch_count_min
        return min(max(FIRST_RING_STITCH_COUNT_MIN, self.stitch_count_min), self.stitch_count_max)


def closing_limits(
    stitch: BaseStitch, worked: Worked, *, stitch_count_min: int | None, stitch_count_max: int | None
) -> ClosingLimits:
    """Return the limits of the round at the centre, those given before the usual ones.

    The usual least is 5. The usual most is 8 for sc and hdc, 12 for taller stitches, when the last round
    is drawn shut; and 8, 10, 14, 18 and 22 for sc, hdc, dc, tr and dtr worked into a ring.
    A usual limit gives way to a given one.

    Parameters
    ----------
    stitch_count_min, stitch_count_max
        What was asked for; ``None`` where nothing was. [stitches, >= 1]

    Raises
    ------
    ShapingOutOfReach
        If the fewest that were asked for are more than the most.

    Examples
    --------
    >>> closing_limits("dc", "from_brim", stitch_count_min=None, stitch_count_max=None)
    ClosingLimits(stitch_count_min=5, stitch_count_max=12)
    >>> closing_limits("dc", "from_brim", stitch_count_min=None, stitch_count_max=4)
    ClosingLimits(stitch_count_min=4, stitch_count_max=4)
    >>> closing_limits("sc", "from_crown", stitch_count_min=9, stitch_count_max=None)
    ClosingLimits(stitch_count_min=9, stitch_count_max=9)

    Notes
    -----
    Common practice, no source, for the usual limits.
    """
    usual_max = _DRAWN_SHUT_MAX[stitch] if worked == "from_brim" else _FIRST_RING_MAX[stitch]
    if stitch_count_min is None:
        most = usual_max if stitch_count_max is None else stitch_count_max
        return ClosingLimits(min(CLOSING_STITCH_COUNT_MIN, most), most)
    most = max(usual_max, stitch_count_min) if stitch_count_max is None else stitch_count_max
    if stitch_count_min > most:
        raise ShapingOutOfReach(
            from_stitch_count=stitch_count_min,
            to_stitch_count=most,
            low=most,
            high=stitch_count_min,
            reason=f"No round has at least {stitch_count_min} and at most {most} stitches.",
        )
    return ClosingLimits(stitch_count_min, most, is_min_asked=True)
