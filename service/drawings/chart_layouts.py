"""Where the stitches of a chart stand on paper, in rings or in flat rows.

Level 0 is what the first round shown is worked into; level i holds the tops of the i-th round.
``up`` points from a stitch's base to its top: to the centre where the work goes inward.
Right-handers work from right to left with the tops up, so rounds from the centre outward run anticlockwise
and rounds from the edge inward run clockwise. The mirror image is a left-hander's.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Protocol

from service.drawings.chart_stitches import ChartRound
from service.drawings.pictures import Point

__all__ = [
    "PITCH_MM",
    "ChartLayout",
    "FlatLayout",
    "RingLayout",
    "flat_layout",
    "ring_layout",
    "row_height_mm",
]

#: Room for one stitch along the round. [mm]
PITCH_MM = 4.2
_CENTRE_MM = 9.0
_LABEL_ROOM_MM = 7.0
#: A stitch's height on paper, by its base (convention: in the order of their true heights).
_ROW_MM = {"rev_sc": 5.0, "ch": 4.0, "sc": 5.0, "hdc": 6.5, "dc": 8.0, "tr": 9.5, "dtr": 11.0}
#: Height of a crossing for each stitch that it passes over: its stems then lean by no more than they rise.
_CROSSED_MM = PITCH_MM


class ChartLayout(Protocol):
    """Where places are, and which way is up there."""

    def point(self, level: int, place: float, *, aside_mm: float = 0.0) -> Point:
        """Return the point of a place, so far aside in the direction of work."""

    def up(self, level: int, place: float) -> Point:
        """Return the direction from base to top there, of length 1."""

    def pitch_mm(self, level: int) -> float:
        """Return the room of a stitch along its round."""


def row_height_mm(chart: ChartRound) -> float:
    """Return the height on paper of a round: that of its tallest stitch, and more where wide cables cross.

    Examples
    --------
    >>> from service.domain.rounds import Round
    >>> from service.domain.steps import Work
    >>> from service.drawings.chart_stitches import chart_round
    >>> row_height_mm(chart_round(Round(1, "body", "plain", "ring", 0, 6, None, (Work("dc", 6),), None, 5.0)))
    8.0
    """
    codes = {leg for stitch in chart.stitches for leg in stitch.legs}
    tallest = max((_ROW_MM[_base(code)] for code in codes), default=_ROW_MM["dc"])
    over = max((each.group_size for each in chart.stitches if each.kind.startswith("cross")), default=0)
    return max(tallest, _CROSSED_MM * over)


def _base(code: str) -> str:
    return code if code in _ROW_MM else code[2:]


@dataclass(frozen=True, slots=True)
class RingLayout:
    """Rings about the origin, whole or a wedge of them.

    ``radii_mm`` and ``counts`` go by level; ``points`` are those of the stitches, once each.
    ``span`` is the angle of what is shown; a whole ring leaves room for its number where it is joined.
    """

    radii_mm: tuple[float, ...]
    counts: tuple[int, ...]
    span: float
    is_whole: bool
    is_inward: bool
    points: tuple[tuple[Point, ...], ...] = ()

    def point(self, level: int, place: float, *, aside_mm: float = 0.0) -> Point:
        """Return the point of a place, so far aside in the direction of work."""
        if self.points and isinstance(place, int) and not aside_mm and 0 <= place < self.counts[level]:
            return self.points[level][place]
        radius = self.radii_mm[level]
        angle = self.angle(level, place, aside_mm=aside_mm)
        return (radius * math.cos(angle), -radius * math.sin(angle))

    def up(self, level: int, place: float) -> Point:
        """Return the direction from base to top there, of length 1."""
        x, y = self.point(level, place)
        outward = self.radii_mm[level] * (-1 if self.is_inward else 1)
        return (x / outward, y / outward)

    def pitch_mm(self, level: int) -> float:
        """Return the room of a stitch along its ring."""
        return self.radii_mm[level] * self._sweep(level) / self.counts[level]

    def angle(self, level: int, place: float, *, aside_mm: float = 0.0) -> float:
        """Return the angle of a place, anticlockwise from the right."""
        turned = (place + 0.5) / self.counts[level] * self._sweep(level) + self._seam(level) / 2
        turned += aside_mm / self.radii_mm[level]
        from_middle = turned if self.is_whole else turned - self.span / 2
        return -math.pi / 2 - from_middle if self.is_inward else math.pi / 2 + from_middle

    def gap_mm(self, level: int) -> float:
        """Return the room left free where the ring is joined."""
        return self.radii_mm[level] * self._seam(level)

    def _sweep(self, level: int) -> float:
        return self.span - self._seam(level)

    def _seam(self, level: int) -> float:
        """Return the angle left free where the round is joined."""
        room_mm = _LABEL_ROOM_MM + 2.0 * PITCH_MM
        return min(room_mm / self.radii_mm[level], 1.5) if self.is_whole else 0.0


def ring_layout(rounds: Sequence[ChartRound], *, is_inward: bool) -> RingLayout:
    """Return rings wide enough for their stitches and far enough apart for their height.

    Parameters
    ----------
    rounds
        Rounds in working order, all whole or all the same part.
    is_inward
        Whether each round lies inside the one before.

    Examples
    --------
    >>> from service.domain.rounds import Round
    >>> from service.domain.steps import Work
    >>> from service.drawings.chart_stitches import chart_round
    >>> plain = chart_round(Round(1, "body", "plain", "ring", 0, 6, None, (Work("dc", 6),), None, 5.0))
    >>> layout = ring_layout([plain], is_inward=False)
    >>> layout.radii_mm[0] + 8.0 <= layout.radii_mm[1]
    True
    """
    times = rounds[0].times
    counts = (rounds[0].below_count, *(chart.made_count for chart in rounds))
    heights = [row_height_mm(chart) for chart in rounds]
    outward = list(zip(counts, [*heights, 0.0], strict=True))
    if is_inward:
        outward = list(zip(counts[::-1], [*heights[::-1], 0.0], strict=True))
    radii: list[float] = []
    below_mm = _CENTRE_MM
    for count, height_mm in outward:
        free_mm = _LABEL_ROOM_MM + 2.0 * PITCH_MM if times == 1 else 0.0
        radii.append(max(below_mm, (count * times * PITCH_MM + free_mm) / (2 * math.pi)))
        below_mm = radii[-1] + height_mm
    layout = RingLayout(
        radii_mm=tuple(radii[::-1] if is_inward else radii),
        counts=counts,
        span=2 * math.pi / times,
        is_whole=times == 1,
        is_inward=is_inward,
    )
    return replace(layout, points=tuple(_stitch_points(layout)))


def _stitch_points(layout: RingLayout) -> Iterator[tuple[Point, ...]]:
    """Yield the points of the stitches of each level: every one is asked for several times."""
    for level, count in enumerate(layout.counts):
        yield tuple(layout.point(level, place) for place in range(count))


@dataclass(frozen=True, slots=True)
class FlatLayout:
    """Rows one above the other, the first stitch at the right; the lower right corner is the origin."""

    heights_mm: tuple[float, ...]
    pitch: float = PITCH_MM

    def point(self, level: int, place: float, *, aside_mm: float = 0.0) -> Point:
        """Return the point of a place, so far aside in the direction of work."""
        return (-(place + 0.5) * self.pitch - aside_mm, -self.heights_mm[level])

    def up(self, level: int, place: float) -> Point:
        """Return the direction from base to top: up the paper."""
        return (0.0, -1.0)

    def pitch_mm(self, level: int) -> float:
        """Return the room of a stitch along its row."""
        return self.pitch


def flat_layout(rounds: Sequence[ChartRound]) -> FlatLayout:
    """Return rows as tall as their tallest stitch.

    Examples
    --------
    >>> flat_layout([]).heights_mm
    (0.0,)
    """
    heights = [0.0]
    for chart in rounds:
        heights.append(heights[-1] + row_height_mm(chart))
    return FlatLayout(tuple(heights))
