"""One worked round of a hat: the value that text, chart, yarn, heights and proof all fold over."""

from dataclasses import dataclass
from typing import Literal

from service.domain.fabrics import Face
from service.domain.steps import Step, WorkedInto

__all__ = ["ColumnState", "Kind", "Round", "Section", "Start"]

Section = Literal["brim", "joining", "body", "crown", "edging"]
Kind = Literal["plain", "rib", "joining", "pattern", "cross", "increase", "decrease", "edging"]
ColumnAction = Literal["straight", "cross", "narrow", "widen", "merge", "born"]


@dataclass(frozen=True, slots=True)
class Start:
    """The chain a joined round begins with, and whether it stands for its first stitch."""

    chain_count: int
    counts_as_stitch: bool


@dataclass(frozen=True, slots=True)
class ColumnState:
    """A column of the crown as it stands after a round, and what the round did to it.

    ``over`` is how many stitches cross over as many in this round; ``None`` where nothing crosses.
    """

    face: Face
    width: int
    over: int | None
    action: ColumnAction


@dataclass(frozen=True, slots=True)
class Round:
    """A worked round. ``stitch_count`` is what it makes, ``consumed_stitch_count`` what it uses up.

    ``start`` is ``None`` in a spiral; ``join`` is ``"sl_st"`` or ``None``.
    ``height_mm`` is the height the round adds along the fabric.
    """

    number: int
    section: Section
    kind: Kind
    worked_into: WorkedInto
    consumed_stitch_count: int
    stitch_count: int
    start: Start | None
    steps: tuple[Step, ...]
    join: str | None
    height_mm: float
