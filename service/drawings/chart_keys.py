"""The key of a chart: each symbol that is in it once, with its name."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate

from service.drawings.chart_layouts import PITCH_MM, FlatLayout
from service.drawings.chart_stitches import ChartRound, ChartStitch
from service.drawings.chart_symbols import chain_symbols, new_shapes, slip_symbol, stitch_symbols
from service.drawings.lettering import LABEL_MM, text_width_mm
from service.drawings.pictures import Group, Mark, Path, Placed, Text, moved, scaled
from service.notation.terms import Terms

__all__ = ["Key", "KeyEntry", "key_entries", "place_key"]

_ROW_GAP_MM = 2.5
_SAMPLE_MM = 8.0
#: Height of a sample of a crossing for each stitch that it passes over. [mm]
_CROSSED_MM = 3.0
#: A sample that is wider is drawn smaller. [mm]
_WIDEST_SAMPLE_MM = 36.0


@dataclass(frozen=True, slots=True)
class KeyEntry:
    """A symbol, drawn about the middle of its foot, and its name."""

    words: str
    symbols: tuple[Path, ...]
    width_mm: float
    height_mm: float = _SAMPLE_MM


@dataclass(frozen=True, slots=True)
class Key:
    """A key laid out in columns: its marks and the room it takes."""

    marks: tuple[Mark, ...]
    width_mm: float
    height_mm: float


def key_entries(
    rounds: Iterable[ChartRound], terms: Terms, *, is_left_handed: bool = False
) -> tuple[KeyEntry, ...]:
    """Return an entry for each symbol of the rounds, in the order they come up.

    Stitches worked in one place, together or crossed have one entry for the whole group.

    Parameters
    ----------
    rounds
        What the chart shows.
    terms
        The words for stitches.
    is_left_handed
        Whether crossings lean the other way, as a left-hander's do.

    Examples
    --------
    >>> from service.domain.rounds import Round
    >>> from service.domain.steps import Together, Work
    >>> from service.drawings.chart_stitches import chart_round
    >>> from service.notation.terms import US
    >>> steps = (Work("sc", 4), Together(("sc", "sc")))
    >>> crown = chart_round(Round(1, "crown", "decrease", "previous_round", 6, 5, None, steps, None, 5.0))
    >>> [entry.words for entry in key_entries([crown], US)]
    ['sc: single crochet', 'sc2tog: single crochet 2 stitches together']
    """
    found: dict[str, KeyEntry] = {}
    known = set()
    for chart in rounds:
        for entry in _around(chart, terms):
            found.setdefault(entry.words, entry)
        for group in _groups(chart.stitches):
            alike = (group[0].kind, group[0].group_size, tuple([stitch.legs for stitch in group]))
            if alike in known:
                continue
            known.add(alike)
            words = _group_words(group, terms, is_left_handed=is_left_handed)
            if words not in found:
                found[words] = _sample(words, group)
    return tuple(found.values())


def _around(chart: ChartRound, terms: Terms) -> Iterable[KeyEntry]:
    """Yield the entries of what begins and ends the round."""
    start = chart.worked.start
    if start is not None:
        standing = "stands for the first stitch" if start.counts_as_stitch else "no stitch of the round"
        symbols = chain_symbols((0.0, 0.0), (0.0, -_SAMPLE_MM), start.chain_count)
        words = f"{terms.abbreviation('ch')} {start.chain_count}: begins the round, {standing}"
        yield KeyEntry(words, symbols, PITCH_MM)
    if chart.worked.join is not None:
        yield KeyEntry(
            f"{terms.abbreviation('sl_st')}: {terms.name('sl_st')}, joins the round",
            (slip_symbol((0.0, -_SAMPLE_MM / 2)),),
            PITCH_MM,
        )


def _groups(stitches: Sequence[ChartStitch]) -> Iterable[tuple[ChartStitch, ...]]:
    by_group: dict[int, list[ChartStitch]] = {}
    for stitch in stitches:
        by_group.setdefault(stitch.group, []).append(stitch)
    return (tuple(group) for group in by_group.values())


def _group_words(group: Sequence[ChartStitch], terms: Terms, *, is_left_handed: bool) -> str:
    first = group[0]
    names = [terms.abbreviation(stitch.code) for stitch in group]
    if first.kind == "into_one":
        where = "around one post" if first.code[:2] in ("fp", "bp") else "in one stitch"
        return f"{_together(names)} {where}"
    if first.kind == "together":
        return _together_words(first.legs, terms)
    if first.kind in ("cross_right", "cross_left"):
        lean = "right" if (first.kind == "cross_right") != is_left_handed else "left"
        side = "behind" if first.kind == "cross_right" else "in front"
        over = first.group_size
        return f"{names[0]} crossed {over} over {over}, leaning {lean}: the skipped {side}"
    return f"{names[0]}: {terms.name(first.code)}"


def _together(names: Sequence[str]) -> str:
    return f"{len(names)} {names[0]}" if len(set(names)) == 1 else " and ".join(names)


def _together_words(legs: Sequence[str], terms: Terms) -> str:
    if len(set(legs)) == 1:
        code = f"{legs[0]}{len(legs)}tog"
        return f"{terms.abbreviation(code)}: {terms.name(code)}"
    return f"{' and '.join(terms.abbreviation(leg) for leg in legs)} worked together"


def _sample(words: str, group: Sequence[ChartStitch]) -> KeyEntry:
    """Return a group of stitches as it stands by itself, in the middle above the origin."""
    used = [parent for stitch in group for parent in stitch.parents] or [0]
    low, wide = min(used), max(len(set(used)), len(group))
    shift = (wide - len(set(used))) / 2
    places = [stitch.place - group[0].place + (wide - len(group)) / 2 for stitch in group]
    parents = [tuple(parent - low for parent in stitch.parents) for stitch in group]
    over = group[0].group_size if group[0].kind.startswith("cross") else 1
    tall_mm = max(_SAMPLE_MM, _CROSSED_MM * over)
    layout = _SampleLayout(wide=wide, shift=shift, tall_mm=tall_mm)
    stitches = [
        replace(stitch, place=place, parents=below)
        for stitch, place, below in zip(group, places, parents, strict=True)
    ]
    symbols = stitch_symbols(layout, 1, stitches, new_shapes())
    drawn = (symbol.drawn() if isinstance(symbol, Placed) else symbol for symbol in symbols)
    factor = min(1.0, _WIDEST_SAMPLE_MM / (wide * PITCH_MM))
    smaller = (each if factor == 1.0 else scaled(each, factor) for each in drawn)
    paths = tuple(each for each in smaller if isinstance(each, Path))
    return KeyEntry(words, paths, factor * wide * PITCH_MM, factor * tall_mm)


@dataclass(frozen=True, slots=True)
class _SampleLayout:
    """Two levels about the origin; the lower one is shifted so that few bases stand below many tops."""

    wide: int
    shift: float
    tall_mm: float

    def point(self, level: int, place: float, *, aside_mm: float = 0.0) -> tuple[float, float]:
        """Return the point of a place."""
        shift = self.shift if level == 0 else 0.0
        x, _ = FlatLayout((0.0, self.tall_mm)).point(level, place + shift, aside_mm=aside_mm)
        return (x + self.wide * PITCH_MM / 2, -level * self.tall_mm)

    def up(self, level: int, place: float) -> tuple[float, float]:
        """Return up the paper."""
        return (0.0, -1.0)

    def pitch_mm(self, level: int) -> float:
        """Return the room of a stitch."""
        return PITCH_MM


def place_key(entries: Sequence[KeyEntry], *, width_mm: float) -> Key:
    """Return the entries in as many columns as fit side by side, down each column first.

    Parameters
    ----------
    entries
        What the key explains.
    width_mm
        The room there is. [mm]

    Examples
    --------
    >>> place_key([KeyEntry("sc: single crochet", (), 4.2)], width_mm=100).height_mm
    10.5
    """
    symbol_mm = max((entry.width_mm for entry in entries), default=0.0) + 2.0
    words_mm = max((text_width_mm(entry.words, LABEL_MM) for entry in entries), default=0.0)
    column_mm = symbol_mm + words_mm + 9.0
    columns = max(1, min(len(entries), int((width_mm + 6.0) // column_mm)))
    rows = -(-len(entries) // columns)
    row_mm = [max(entry.height_mm for entry in entries[row::rows]) + _ROW_GAP_MM for row in range(rows)]
    tops = list(accumulate(row_mm, initial=0.0))
    marks = [
        _placed(
            entry,
            left=number // rows * column_mm,
            top=tops[number % rows],
            symbol_mm=symbol_mm,
            row_mm=row_mm[number % rows],
        )
        for number, entry in enumerate(entries)
    ]
    return Key(tuple(marks), columns * column_mm - 6.0, tops[-1])


def _placed(entry: KeyEntry, *, left: float, top: float, symbol_mm: float, row_mm: float) -> Mark:
    foot = top + (row_mm + entry.height_mm) / 2
    symbols = [moved(symbol, right_mm=left + symbol_mm / 2, down_mm=foot) for symbol in entry.symbols]
    at = (left + symbol_mm + 3.0, top + row_mm / 2 + 0.36 * LABEL_MM)
    return Group(f"Key: {entry.words}", (*symbols, Text(at, entry.words, LABEL_MM)))
