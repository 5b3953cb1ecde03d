"""From the layout of a hat to its worked rounds, in working order."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import zip_longest

from service.domain.crown_orders import CrownRound
from service.domain.fabrics import BaseStitch, Fabric
from service.domain.hat_counts import HatCounts
from service.domain.hat_gauges import HatGauges
from service.domain.hat_layouts import HatLayout
from service.domain.hat_orders import HatOrder
from service.domain.hat_rounds import (
    RoundManner,
    begins_with_post,
    fabric_round_kind,
    fabric_round_steps,
    make_round,
    plain_base,
)
from service.domain.rounds import Kind, Round, Section
from service.domain.shaping_rounds import shaping_steps
from service.domain.steps import Step, Work, WorkedInto

__all__ = ["assemble_rounds"]


@dataclass(frozen=True, slots=True)
class _Draft:
    """A round before it has its number and its start."""

    section: Section
    kind: Kind
    steps: tuple[Step, ...]
    height_mm: float
    worked_into: WorkedInto = "previous_round"


def assemble_rounds(
    order: HatOrder, gauges: HatGauges, counts: HatCounts, layout: HatLayout
) -> tuple[Round, ...]:
    """Return every worked round of the hat once, in working order.

    From the brim: brim, joining round, body, crown; from the crown the other way about. An edging comes last:
    along the foundation, or on the last round of a hat worked from the crown.
    """
    assembly = _Assembly(order, gauges, counts, layout)
    drafts = [*(assembly.upward() if order.is_from_brim else assembly.downward())]
    return tuple(
        make_round(
            number=number,
            section=draft.section,
            kind=draft.kind,
            worked_into=_first_into(order) if number == 1 else draft.worked_into,
            steps=draft.steps,
            manner=_manner_below(above, order.manner),
            height_mm=draft.height_mm,
        )
        for number, (draft, above) in enumerate(zip_longest(drafts, drafts[1:]), start=1)
    )


def _manner_below(above: _Draft | None, wished: RoundManner) -> RoundManner:
    """Return how a round begins: its chain counts only where the next round needs no post to go around."""
    if above is None or not begins_with_post(above.steps):
        return wished
    return replace(wished, start_chain_counts=False)


def _first_into(order: HatOrder) -> WorkedInto:
    return "foundation" if order.is_from_brim else "ring"


@dataclass(frozen=True, slots=True)
class _Assembly:
    """Drafts the rounds of every part."""

    order: HatOrder
    gauges: HatGauges
    counts: HatCounts
    layout: HatLayout

    @property
    def brim_count(self) -> int:
        """Return the stitches at the lower edge."""
        return self.counts.body if self.counts.brim is None else self.counts.brim

    def upward(self) -> Iterator[_Draft]:
        """Yield the rounds from the brim to the close."""
        yield from self.first_round()
        yield from self.brim()
        yield from self.joining(self.brim_count, self.counts.body)
        yield from self.body()
        yield from self.crown()
        yield from self.edging("foundation_edge")

    def downward(self) -> Iterator[_Draft]:
        """Yield the rounds from the centre of the crown to the edge."""
        yield from self.crown()
        yield from self.body()
        yield from self.joining(self.counts.body, self.brim_count)
        yield from self.brim()
        yield from self.edging("previous_round")

    def first_round(self) -> Iterator[_Draft]:
        """Yield the plain round that gives the first post stitches a post to go around."""
        if self.layout.has_first_round:
            lowest = self.order.fabric if self.order.brim is None else self.order.brim.fabric
            steps = (Work(plain_base(lowest), self.brim_count),)
            yield _Draft("brim", "plain", steps, self.gauges.first_round_mm)

    def brim(self) -> Iterator[_Draft]:
        """Yield the rounds of the brim's fabric."""
        brim = self.order.brim
        if brim is None or self.gauges.brim is None:
            return
        work = _FabricWork(brim.fabric, self.brim_count, self.gauges.brim_crossing_stitches)
        for number in range(1, self.layout.brim_round_count + 1):
            position = (number - 1) % brim.fabric.round_repeat_count + 1
            kind = fabric_round_kind(brim.fabric, round_in_repeat=position)
            yield _Draft(
                "brim",
                "rib" if kind == "pattern" else kind,
                work.steps(round_in_repeat=position, round_in_fabric=number),
                self.gauges.brim.round_height_mm,
            )

    def joining(self, before: int, after: int) -> Iterator[_Draft]:
        """Yield the plain round between brim and body; a change of count names its kind."""
        if self.layout.has_joining_round:
            steps = shaping_steps(
                from_stitch_count=before,
                to_stitch_count=after,
                stitch=self.gauges.joining_stitch,
                staggered=False,
            )
            kind: Kind = "increase" if after > before else "decrease" if after < before else "joining"
            yield _Draft("joining", kind, steps, self.gauges.joining_mm)

    def body(self) -> Iterator[_Draft]:
        """Yield the rounds of the body: straight ones beside whole vertical repeats."""
        fabric = self.order.fabric
        work = _FabricWork(fabric, self.counts.body, self.gauges.crossing_stitches)
        for number in range(1, self.layout.body_round_count + 1):
            position = self.position_in_repeat(number)
            yield _Draft(
                "body",
                fabric_round_kind(fabric, round_in_repeat=position),
                work.steps(round_in_repeat=position, round_in_fabric=number),
                self.gauges.body.round_height_mm,
            )

    def position_in_repeat(self, number: int) -> int:
        """Return which round of the vertical repeat a body round is, 0 for a straight one beside them.

        From the brim the straight rounds come first. From the crown the first crossing keeps its distance
        from the crown's last, and the straight rounds come last.
        """
        fabric, layout = self.order.fabric, self.layout
        if self.order.is_from_brim:
            into = number - layout.lead_in_round_count
            return (into - 1) % fabric.round_repeat_count + 1 if into >= 1 else 0
        straight = max(layout.lead_in_round_count, 1 if fabric.round_repeat_count > 1 else 0)
        if number > layout.body_round_count - straight:
            return 0
        return (number - 1 + self.offset_after_crown()) % fabric.round_repeat_count + 1

    def offset_after_crown(self) -> int:
        """Return how many rounds into the vertical repeat the body begins below a crown."""
        rounds = () if self.layout.crown is None else self.layout.crown.rounds
        since = _rounds_since_crossing(rounds)
        first = next((column.crossing for column in self.order.fabric.columns if column.crossing), None)
        if since is None or first is None:
            return 0
        period = self.order.fabric.round_repeat_count
        return (first.round_in_repeat - max(1, period - since)) % period

    def crown(self) -> Iterator[_Draft]:
        """Yield the rounds of the crown."""
        if self.layout.crown is not None:
            for worked in self.layout.crown.rounds:
                yield _Draft("crown", worked.kind, worked.steps, self.gauges.body.round_height_mm)

    def edging(self, worked_into: WorkedInto) -> Iterator[_Draft]:
        """Yield the last round along the lower edge."""
        if self.order.has_edging:
            steps = (Work("rev_sc", self.brim_count),)
            yield _Draft("edging", "edging", steps, self.layout.edging_mm, worked_into)


def _rounds_since_crossing(rounds: tuple[CrownRound, ...]) -> int | None:
    """Return how many straight rounds end a crown after its last crossing, ``None`` where nothing crossed."""
    for straight, worked in enumerate(reversed(rounds)):
        if any(column.over is not None for column in worked.columns):
            return straight
    return None


class _FabricWork:
    """Steps of a fabric's rounds; equal rounds are one value, made once."""

    def __init__(
        self, fabric: Fabric, stitch_count: int, crossing_stitches: Mapping[int, BaseStitch]
    ) -> None:
        self._fabric = fabric
        self._repeat_count = stitch_count // fabric.stitch_multiple
        self._crossing_stitches = crossing_stitches
        self._made: dict[tuple[int, int], tuple[Step, ...]] = {}

    def steps(self, *, round_in_repeat: int, round_in_fabric: int) -> tuple[Step, ...]:
        """Return the steps of one round."""
        flip = self._fabric.flip_round_count
        turned = 0 if flip is None else (round_in_fabric - 1) // flip % 2
        if (round_in_repeat, turned) not in self._made:
            self._made[round_in_repeat, turned] = fabric_round_steps(
                self._fabric,
                repeat_count=self._repeat_count,
                round_in_repeat=round_in_repeat,
                round_in_fabric=round_in_fabric,
                crossing_stitches=self._crossing_stitches,
            )
        return self._made[round_in_repeat, turned]
