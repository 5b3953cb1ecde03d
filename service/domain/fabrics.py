"""Fabrics: stitch patterns as mathematics, columns across one repeat and rounds up one repeat."""

from dataclasses import dataclass, field
from typing import Literal

from service.domain.errors import CrossingOutsideRepeat, CrossingUnequal, RepeatTooWide
from service.domain.steps import Lean

__all__ = ["WIDEST_REPEAT", "BaseStitch", "Column", "Crossing", "Fabric", "Face", "half_width", "make_fabric"]

#: Stitches of the widest repeat that is planned.
WIDEST_REPEAT = 64

Face = Literal["front", "back", "flat"]
BaseStitch = Literal["sc", "hdc", "dc", "tr", "dtr"]


@dataclass(frozen=True, slots=True)
class Crossing:
    """How a column crosses: ``over`` stitches over as many, on one round of the vertical repeat.

    ``round_in_repeat`` counts from 1. ``stitch`` overrides the base stitch that is crossed.
    """

    over: int
    lean: Lean
    round_in_repeat: int = 1
    stitch: BaseStitch | None = None


@dataclass(frozen=True, slots=True)
class Column:
    """A run of neighbouring stitches of one face inside a repeat; a crossed one is a cable.

    Raises
    ------
    CrossingUnequal
        If a crossed column is not exactly twice as wide as its crossing.
    """

    face: Face
    width: int
    crossing: Crossing | None = None

    def __post_init__(self) -> None:
        """Refuse a cable whose halves differ."""
        if self.crossing is not None and self.width != 2 * self.crossing.over:
            raise CrossingUnequal(width=self.width, over=self.crossing.over)

    @property
    def is_crossed(self) -> bool:
        """Whether the column is a cable."""
        return self.crossing is not None


def half_width(width: float) -> float:
    """Return over how many stitches a cable of a width crosses: one half over the other.

    It is whole where the width is even; what is not whole is no cable.

    Examples
    --------
    >>> half_width(6), half_width(5)
    (3.0, 2.5)
    """
    return width / 2


@dataclass(frozen=True, slots=True)
class Fabric:
    """A stitch pattern: its base stitch, its columns across and its rounds up one repeat.

    ``flip_round_count`` is the number of rounds after which front and back change places,
    as in a basket weave; ``None`` where they never do.
    """

    stitch: BaseStitch
    columns: tuple[Column, ...]
    round_repeat_count: int = 1
    flip_round_count: int | None = None
    fabric_id: str | None = field(default=None, compare=False)

    @property
    def stitch_multiple(self) -> int:
        """Return the stitches of one repeat."""
        return sum(column.width for column in self.columns)

    @property
    def is_crossed(self) -> bool:
        """Whether any column is a cable."""
        return any(column.is_crossed for column in self.columns)

    @property
    def widest_over_each_round(self) -> int:
        """Return over how many stitches the widest cable that crosses on every round crosses; 0 without.

        One stitch over one can cross on every round; wider cables need straight rounds between.

        Examples
        --------
        >>> cable = Column("front", 4, Crossing(2, "right"))
        >>> Fabric("dc", (cable,)).widest_over_each_round, Fabric("dc", (cable,), 4).widest_over_each_round
        (2, 0)
        """
        if self.round_repeat_count > 1:
            return 0
        overs = [column.crossing.over for column in self.columns if column.crossing is not None]
        return max((over for over in overs if over > 1), default=0)

    @property
    def is_post(self) -> bool:
        """Whether any stitch is worked around a post."""
        return any(column.face != "flat" for column in self.columns)

    @property
    def is_textured(self) -> bool:
        """Whether the crown has columns to keep: more than flat stitches."""
        return self.is_post or self.is_crossed


def make_fabric(
    *,
    stitch: BaseStitch,
    columns: tuple[Column, ...],
    round_repeat_count: int,
    flip_round_count: int | None,
) -> Fabric:
    """Return a fabric that somebody spelled out, held to what a fabric can be.

    Parameters
    ----------
    columns
        The columns of one repeat, as they are worked. [at most 64 stitches in all]
    round_repeat_count
        Rounds of one vertical repeat, p. [>= 1]
    flip_round_count
        Rounds after which front and back change places, or ``None``.

    Raises
    ------
    RepeatTooWide
        If one repeat has more than 64 stitches.
    CrossingOutsideRepeat
        If a column crosses on round p or later: a straight round must follow. A repeat of one round
        crosses on that round.

    Examples
    --------
    >>> make_fabric(
    ...     stitch="dc", columns=(Column("back", 2), Column("front", 4, Crossing(2, "right"))),
    ...     round_repeat_count=4, flip_round_count=None,
    ... ).stitch_multiple
    6
    """
    fabric = Fabric(stitch, columns, round_repeat_count, flip_round_count)
    if fabric.stitch_multiple > WIDEST_REPEAT:
        raise RepeatTooWide(stitch_multiple=fabric.stitch_multiple, limit=WIDEST_REPEAT)
    largest_round = max(1, round_repeat_count - 1)
    for crossing in (column.crossing for column in columns if column.crossing is not None):
        if crossing.round_in_repeat > largest_round:
            raise CrossingOutsideRepeat(round_in_repeat=crossing.round_in_repeat, largest_round=largest_round)
    return fabric
