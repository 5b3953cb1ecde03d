"""The body as a flat stitch chart: one stitch repeat by one vertical repeat, or all of it."""

from collections.abc import Iterator, Sequence
from itertools import groupby

from service.domain.errors import NothingToDraw
from service.domain.hats import HatPlan
from service.domain.rounds import Round
from service.drawings.chart_keys import key_entries
from service.drawings.chart_layouts import FlatLayout, flat_layout
from service.drawings.chart_pages import chart_page, round_groups
from service.drawings.chart_repeats import MOST_SYMBOLS, ChartRepeat, common_repeat, whole_rounds
from service.drawings.crown_charts import Extent
from service.drawings.dimensions import arrow_head
from service.drawings.lettering import LABEL_MM
from service.drawings.pictures import Group, Line, Mark, Picture, Text, polygon
from service.notation.terms import Terms
from service.notation.writer import write_round

__all__ = ["draw_body_chart"]


def draw_body_chart(
    plan: HatPlan, *, extent: Extent, title: str, terms: Terms, most_symbols: int = MOST_SYMBOLS
) -> Picture:
    """Return the body as a flat chart with the numbers of its rounds at the side where they begin.

    Parameters
    ----------
    plan
        The hat.
    extent
        One stitch repeat by one vertical repeat, or every stitch of the body.
    title
        The heading.
    terms
        The words of the key.
    most_symbols
        The most that the chart may hold.

    Raises
    ------
    NothingToDraw
        If the hat has no body.
    DrawingTooLarge
        If there are more symbols.
    """
    body = [worked for worked in plan.rounds if worked.section == "body"]
    if not body:
        raise NothingToDraw(what="body", kinds=("schematic", "hat_view"))
    if extent == "whole":
        shown = ChartRepeat(whole_rounds(body, most_symbols=most_symbols), 1)
    else:
        shown = _one_repeat(plan, body, most_symbols)
    layout = flat_layout(shown.rounds)
    return chart_page(
        title=title,
        description=_description(plan, shown),
        frame=tuple(_frame(layout, shown)),
        rounds=round_groups(layout, shown.rounds, is_left_handed=plan.order.is_left_handed),
        key=key_entries(shown.rounds, terms, is_left_handed=plan.order.is_left_handed),
        notes=tuple(_notes(plan, shown, body, terms)),
        is_left_handed=plan.order.is_left_handed,
    )


def _one_repeat(plan: HatPlan, body: Sequence[Round], most_symbols: int) -> ChartRepeat:
    """Return one stitch repeat of the first whole vertical repeat."""
    tall = plan.order.fabric.round_repeat_count
    lead_in = plan.layout.lead_in_round_count if plan.order.is_from_brim else 0
    return common_repeat(
        body[lead_in : lead_in + tall] or body[:tall],
        plan.counts.chosen.count.repeat_count,
        most_symbols=most_symbols,
    )


def _frame(layout: FlatLayout, shown: ChartRepeat) -> Iterator[Mark]:
    count = shown.rounds[0].made_count
    tall, wide = layout.heights_mm[-1], count * layout.pitch
    border = [(0.0, 0.0), (0.0, -tall), (-wide, -tall), (-wide, 0.0)]
    if shown.times > 1:
        yield polygon(border, "repeat_area")
        yield polygon(border, "repeat")
    yield Line((0.0, 0.0), (-wide, 0.0), "guide")
    yield Group("Round numbers", tuple(_numbers(layout, shown)))
    yield Group("Direction of work", tuple(_way(layout, wide)))


def _numbers(layout: FlatLayout, shown: ChartRepeat) -> Iterator[Mark]:
    """Yield the number of each round at the side where it begins."""
    for level, chart in enumerate(shown.rounds, start=1):
        middle = -(layout.heights_mm[level - 1] + layout.heights_mm[level]) / 2
        at = (layout.pitch + 3.0, middle + 0.36 * LABEL_MM)
        yield Text(at, f"{chart.worked.number}", LABEL_MM)


def _way(layout: FlatLayout, wide: float) -> Iterator[Mark]:
    """Yield an arrow along the first round."""
    length = max(8.0, min(16.0, wide))
    yield Line((0.0, 4.0), (-length, 4.0), "dimension")
    yield arrow_head((-length, 4.0), toward=(-1.0, 0.0))


def _description(plan: HatPlan, shown: ChartRepeat) -> str:
    first, last = shown.rounds[0].worked, shown.rounds[-1].worked
    what = "All stitches" if shown.times == 1 else f"One of {shown.times} stitch repeats"
    start = "right" if not plan.order.is_left_handed else "left"
    return (
        f"{what} of body rounds {first.number} to {last.number} as symbols: "
        f"{shown.rounds[0].made_count} stitches across, {len(shown.rounds)} rounds up. "
        f"Every round begins at the {start}."
    )


def _notes(plan: HatPlan, shown: ChartRepeat, body: Sequence[Round], terms: Terms) -> Iterator[str]:
    hand, start, end = ("left", "left", "right") if plan.order.is_left_handed else ("right", "right", "left")
    yield f"Right side of the work, for a {hand}-handed maker: read from {start} to {end}, upward."
    if shown.times > 1:
        yield f"Work the outlined repeat {shown.times} times in each round."
    numbers = [worked.number for worked in body]
    first = numbers.index(shown.rounds[0].worked.number)
    begin = numbers.index(shown.rounds[-1].worked.number) + 1
    after = _end_of_repeats(shown, body, begin)
    yield from _in_words("Before the chart", body[:first], terms)
    if after > begin:
        go = "goes" if after == begin + 1 else "go"
        yield f"{_rounds_called(body[begin:after])} {go} on in the same way, from the lowest row."
    yield from _in_words("After that", body[after:], terms)


def _end_of_repeats(shown: ChartRepeat, body: Sequence[Round], begin: int) -> int:
    """Return up to where the rounds after the chart are its rows over again."""
    steps = [chart.worked.steps for chart in shown.rounds]
    end = begin
    while end < len(body) and body[end].steps == steps[(end - begin) % len(steps)]:
        end += 1
    return end


def _in_words(when: str, rounds: Sequence[Round], terms: Terms) -> Iterator[str]:
    """Yield the rounds that the chart does not show, those alike once."""
    for _, run in groupby(rounds, key=lambda worked: worked.steps):
        first, *others = run
        yield f"{when}: {write_round(first, terms=terms)}"
        if others:
            yield f"{_rounds_called(others)} {'is' if len(others) == 1 else 'are'} the same."


def _rounds_called(rounds: Sequence[Round]) -> str:
    first, last = rounds[0].number, rounds[-1].number
    return f"Round {first}" if first == last else f"Rounds {first} to {last}"
