"""The figures of a hat as a sheet prints them: measurements, gauge, and what the size rests on."""

from collections.abc import Iterator
from unicodedata import category

from service.domain.fabrics import Fabric
from service.domain.gauge import Gauge
from service.domain.hats import HatPlan
from service.domain.report import Assumption, Working
from service.domain.rounding import half_up, printed
from service.domain.tables import ReferenceTables
from service.notation.terms import Terms
from service.patterns.lengths import both_systems, counted, inches, measured, with_inches
from service.sheets.sheet_words import FIGURES, LABELS, SENTENCES, UNITS

__all__ = [
    "fabric_words",
    "gauge_sentences",
    "measurement_rows",
    "plain_title",
    "sheet_title",
    "source_rows",
    "working_rows",
    "yarn_words",
]

#: Kinds of characters that show nothing alone: marks of format, and marks on the letter before.
_UNSEEN = ("Cf", "Mn")

_FRACTIONS = {"1/8": "⅛", "1/4": "¼", "3/8": "⅜", "1/2": "½", "5/8": "⅝", "3/4": "¾", "7/8": "⅞"}


def measurement_rows(plan: HatPlan) -> tuple[tuple[str, str], ...]:
    """Return what the finished hat measures, in both systems."""
    return tuple(_measurements(plan))


def _measurements(plan: HatPlan) -> Iterator[tuple[str, str]]:
    chosen = plan.counts.chosen
    yield LABELS["fits_head"], _range_words(plan.fits_head.low_mm, plan.fits_head.high_mm)
    yield LABELS["circumference"], both_systems(chosen.count.circumference_mm)
    if chosen.brim is not None:
        yield LABELS["brim_circumference"], both_systems(chosen.brim.count.circumference_mm)
    yield LABELS["height" if plan.crown is None else "depth"], both_systems(plan.depth_mm)
    if plan.size.cuff_mm:
        yield LABELS["folded_depth"], both_systems(plan.depth_mm - plan.size.cuff_mm)
    size = plan.size.hat_size
    told = {"us": _with_eighths(size.us), "uk": _with_eighths(size.uk), "metric": size.metric_cm}
    yield LABELS["hat_size"], SENTENCES["hat_size"].format_map(told)


def _with_eighths(size: str) -> str:
    """Return a hat size with its fraction as one character.

    Examples
    --------
    >>> _with_eighths("6 5/8"), _with_eighths("7")
    ('6⅝', '7')
    """
    whole, _, fraction = size.partition(" ")
    return whole + _FRACTIONS.get(fraction, "")


def _range_words(low_mm: float, high_mm: float) -> str:
    """Return a range in both systems, to the nearest half centimetre and eighth of an inch.

    Examples
    --------
    >>> _range_words(520, 560.4)
    '52–56 cm (20½–22⅛ in)'
    """
    low, high = half_up(low_mm / 5) / 2, half_up(high_mm / 5) / 2
    return f"{low:g}–{high:g} cm ({inches(low_mm)}–{inches(high_mm)} in)"


def gauge_sentences(plan: HatPlan, terms: Terms, fabrics: tuple[str, str | None]) -> tuple[str, ...]:
    """Return the gauge of the body, of the brim where it has one, and the advice to check it."""
    body, brim = plan.gauges.body, plan.gauges.brim
    body_fabric, brim_fabric = fabrics
    check = SENTENCES["check_gauge"].format(gauge=terms.words["gauge"])
    if brim is None or brim_fabric is None:
        return _gauge_words(body, body_fabric), check
    return (
        SENTENCES["body"] + _gauge_words(body, body_fabric),
        SENTENCES["brim"] + _gauge_words(brim, brim_fabric),
        check,
    )


def _gauge_words(gauge: Gauge, fabric: str) -> str:
    """Return a gauge to the nearest half stitch and round, as a swatch can be counted."""
    return SENTENCES["gauge"].format(
        stitches=half_up(2 * gauge.stitches_per_10cm) / 2,
        rounds=half_up(2 * gauge.rounds_per_10cm) / 2,
        fabric=fabric,
    )


def fabric_words(plan: HatPlan, terms: Terms, tables: ReferenceTables) -> tuple[str, str | None]:
    """Return what the fabrics of body and brim are called within a sentence."""
    brim = plan.order.brim
    body_words = _fabric_name(plan.order.fabric, terms, tables) or LABELS["body_fabric"]
    if brim is None:
        return body_words, None
    return body_words, _fabric_name(brim.fabric, terms, tables) or LABELS["brim_fabric"]


def _fabric_name(fabric: Fabric, terms: Terms, tables: ReferenceTables) -> str | None:
    """Return the name of a fabric; a plain one is named after its stitch, in the terms asked for."""
    if not fabric.is_textured:
        return terms.name(fabric.stitch)
    names = {row.fabric_id: row.name for row in tables.fabrics}
    name = names.get(fabric.fabric_id or "")
    return None if name is None else name[0].lower() + name[1:]


def yarn_words(plan: HatPlan, tables: ReferenceTables) -> str:
    """Return what kind of yarn the hat was planned for, in so far as it is known."""
    yarn = plan.order.yarn
    if yarn is None:
        return ""
    parts = []
    if yarn.weight_category is not None:
        row = tables.yarn_weight_by_category[yarn.weight_category]
        parts.append(SENTENCES["yarn_weight"].format(name=row.name, number=row.weight_category))
    if yarn.fibre is not None:
        parts.append(yarn.fibre.replace("_", " "))
    if yarn.ball_mass_g is not None and yarn.ball_length_m is not None:
        mass, length = measured(yarn.ball_mass_g, "g"), measured(yarn.ball_length_m, "m")
        parts.append(SENTENCES["yarn_balls"].format(mass=mass, length=length))
    return ", ".join(parts)


def sheet_title(title: str | None, plan: HatPlan, terms: Terms, tables: ReferenceTables) -> str:
    """Return the title that was given; where nothing of it can be seen, one after the fabric.

    Examples
    --------
    >>> from service.notation.terms import US
    >>> sheet_title(" The  harbour hat", None, US, None)  # type: ignore[arg-type]
    'The harbour hat'
    """
    words = (title or "").split()
    if any(category(letter) not in _UNSEEN for word in words for letter in word):
        return " ".join(words)
    return plain_title(plan, terms, tables)


def plain_title(plan: HatPlan, terms: Terms, tables: ReferenceTables) -> str:
    """Return the title of a sheet that nobody named: its fabric and its kind."""
    name = _fabric_name(plan.order.fabric, terms, tables) or LABELS["textured"]
    piece = LABELS["headband" if plan.crown is None else "hat"]
    return SENTENCES["title"].format(fabric=_capitalised(name), piece=piece)


def _capitalised(text: str) -> str:
    return text[0].upper() + text[1:]


def source_rows(plan: HatPlan) -> tuple[tuple[str, str, str], ...]:
    """Return what the size rests on: the head, and each figure that stood in for a measurement."""
    head = plan.size.head
    of_head = (
        FIGURES["head_circumference_mm"],
        both_systems(head.circumference_mm),
        _printed_source(head.source),
    )
    assumptions = (*plan.size.assumptions, *plan.gauges.assumptions)
    supposed = (_source_row(each) for each in assumptions if each.name != "head_circumference_mm")
    return (of_head, *dict.fromkeys(supposed))


def _source_row(assumption: Assumption) -> tuple[str, str, str]:
    return _figure_name(assumption.name), _value_words(assumption), _printed_source(assumption.source)


def _figure_name(name: str) -> str:
    return FIGURES.get(name) or _capitalised(name.replace("_", " "))


def _printed_source(source: str) -> str:
    """Return a source or a formula as a sheet prints it: any length in both systems."""
    return _capitalised(with_inches(source))


def _value_words(figure: Assumption | Working) -> str:
    """Return a figure with its unit, where there is another system in both."""
    value, unit = figure.value, figure.unit
    if isinstance(value, str):
        return value
    if unit in ("mm", "m", "g"):
        return measured(value, unit)
    if unit in ("stitch", "round"):
        return counted(half_up(value), unit)
    told = f"{printed(value, 1 if unit else 3):g}".replace("-", "−")
    return UNITS.get(unit, "{figure}").format(figure=told)


def working_rows(plan: HatPlan) -> tuple[tuple[str, str, str, str], ...]:
    """Return each figure with its value, its formula and where the formula comes from."""
    return tuple(
        (_figure_name(line.name), _value_words(line), with_inches(line.formula), _printed_source(line.source))
        for line in plan.working
    )
