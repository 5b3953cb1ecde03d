"""Which stitches of a textured crown go together from one round to the next, told without a direction.

Inward, the stitches of a part are worked together; outward, they are worked into one.
The parts of a copy lie in order, so that every stitch is worked in its own place.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise

from service.domain.crown_places import CopyRound
from service.domain.fabrics import Face

__all__ = ["ColumnChange", "CopyChange", "copy_change", "top_face"]

#: Which face shows where stitches of several are worked together: the raised leg lies on top.
_HEIGHT: dict[Face, int] = {"back": 0, "flat": 1, "front": 2}


@dataclass(frozen=True, slots=True)
class ColumnChange:
    """A column between two rounds: the faces of its stitches farther out, the sizes of its parts, its index.

    ``column`` is ``None`` where stitches of several columns have gone together.
    """

    column: int | None
    outer_faces: tuple[Face, ...]
    sizes: tuple[int, ...]

    @property
    def is_straight(self) -> bool:
        """Whether every stitch stays by itself."""
        return len(self.outer_faces) == len(self.sizes)

    @property
    def parts(self) -> tuple[tuple[Face, ...], ...]:
        """Return the faces of each part's stitches farther out."""
        bounds = pairwise(accumulate(self.sizes, initial=0))
        return tuple(self.outer_faces[begin:end] for begin, end in bounds)


@dataclass(frozen=True, slots=True)
class CopyChange:
    """A copy between two rounds, column by column, and the faces of the stitches farther in."""

    columns: tuple[ColumnChange, ...]
    inner_faces: tuple[Face, ...]


def top_face(faces: Sequence[Face]) -> Face:
    """Return the face that shows where stitches are worked together.

    Examples
    --------
    >>> top_face(["back", "front"]), top_face(["back", "flat"])
    ('front', 'flat')

    Notes
    -----
    Common practice, no source: the leg of the raised stitch is kept on top.
    """
    return max(faces, key=_HEIGHT.__getitem__)


def copy_change(
    outer: CopyRound, inner: CopyRound, *, column_faces: Sequence[Face], outer_faces: tuple[Face, ...]
) -> CopyChange:
    """Return how a copy gets from the round farther out to the one farther in.

    A column that narrows by d has d pairs, the larger half of them at its right edge, which is worked first.
    Single columns go together in pairs, a ground stitch with the raised one beside it where there is one;
    at most three stitches go into one at once.

    Parameters
    ----------
    column_faces
        The face of each column.
    outer_faces
        The faces of the stitches farther out; used once columns have been worked together.

    Examples
    --------
    >>> narrowing = copy_change(
    ...     CopyRound(8, (2, 6)), CopyRound(5, (1, 4)), column_faces=("back", "front"), outer_faces=()
    ... )
    >>> [column.sizes for column in narrowing.columns]
    [(2,), (2, 1, 1, 2)]
    """
    if not inner.widths:
        merged = ColumnChange(None, outer_faces, _part_sizes(outer_faces, inner.stitch_count))
        return CopyChange((merged,), tuple(map(top_face, merged.parts)))
    columns = []
    inner_faces: list[Face] = []
    for number, face in enumerate(column_faces):
        wide, narrow = outer.widths[number], inner.widths[number]
        columns.append(ColumnChange(number, (face,) * wide, _edge_pairs(wide, narrow)))
        inner_faces += [face] * narrow
    return CopyChange(tuple(columns), tuple(inner_faces))


def _edge_pairs(wide: int, narrow: int) -> tuple[int, ...]:
    """Return the sizes of the parts of a column that narrows."""
    pairs = wide - narrow
    first = (pairs + 1) // 2
    return (2,) * first + (1,) * (wide - 2 * pairs) + (2,) * (pairs - first)


def _part_sizes(faces: tuple[Face, ...], count: int) -> tuple[int, ...]:
    """Return the sizes of the parts that so many stitches come from."""
    if count == 1:
        return (len(faces),)
    return _best_pairs(tuple(face == "front" for face in faces), len(faces) - count)[1]


def _best_pairs(raised: tuple[bool, ...], pairs: int) -> tuple[int, tuple[int, ...]]:
    """Return the most pairs of a raised and a ground stitch, and the parts, pairs as early as may be."""
    if pairs == 0:
        return 0, (1,) * len(raised)
    mixed, sizes = _best_pairs(raised[2:], pairs - 1)
    options = [(mixed + (raised[0] != raised[1]), (2, *sizes))]
    if len(raised) > 2 * pairs:
        mixed, sizes = _best_pairs(raised[1:], pairs)
        options.append((mixed, (1, *sizes)))
    return max(options)
