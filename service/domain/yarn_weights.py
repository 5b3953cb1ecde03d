"""How much yarn a stitch takes, in sc units: one single crochet at the maker's tension is 1.

A weight that the maker measured wins over the published one and carries over to what derives from it:
a measured ``dc`` also moves ``fpdc`` and ``dc2tog``.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import hypot
from typing import TypeAlias

from service.domain.fabrics import BaseStitch
from service.domain.report import Assumption, Confidence
from service.domain.stitches import PLAIN_CODES, Manner, read_stitch

__all__ = [
    "LOOP_COUNTS",
    "WEIGHT_SOURCE",
    "StitchWeight",
    "Tally",
    "crossing_extra_mm",
    "crossing_factor",
    "stitch_weight",
    "tally_code",
    "tally_units",
    "together_factor",
    "weight_assumptions",
]

#: A stitch code, or the legs of stitches worked together.
Tally: TypeAlias = str | tuple[str, ...]

WEIGHT_SOURCE = "loop counts, an ideal-yarn length model and weighed swatches; common practice, no source"


@dataclass(frozen=True, slots=True)
class StitchWeight:
    """The yarn of one stitch in sc units, with its standard deviation and how sure it is."""

    sc_units: float
    sd: float
    confidence: Confidence


_PLAIN: dict[str, StitchWeight] = {
    "ch": StitchWeight(0.50, 0.05, "M"),
    "sl_st": StitchWeight(0.60, 0.10, "M"),
    "rev_sc": StitchWeight(1.15, 0.15, "M"),
    "sc": StitchWeight(1.00, 0.0, "H"),
    "hdc": StitchWeight(1.45, 0.06, "M"),
    "dc": StitchWeight(1.85, 0.15, "M"),
    "tr": StitchWeight(2.60, 0.30, "M"),
    "dtr": StitchWeight(3.30, 0.40, "M"),
}

#: What working around a post or into one loop does to a stitch: the factor and its standard deviation.
_MANNERS: dict[Manner, tuple[float, float]] = {
    "": (1.0, 0.0),
    "fp": (1.12, 0.06),
    "bp": (1.12, 0.06),
    "fl": (1.00, 0.03),
    "bl": (1.00, 0.03),
}

#: Loops drawn up in one stitch; the last of them closes it, and stitches worked together share that one.
LOOP_COUNTS: dict[BaseStitch, int] = {"sc": 2, "hdc": 3, "dc": 4, "tr": 6, "dtr": 8}


def together_factor(*, base: BaseStitch, leg_count: int) -> float:
    """Return the yarn of stitches worked together over the yarn of one such stitch.

    ``(m * (n - 1) + 1) / n`` for m legs of a stitch of n loops: each leg has all its loops but the last,
    and the last loop closes all legs at once.

    Parameters
    ----------
    base
        The stitch that each leg is.
    leg_count
        Stitches worked together, m. [>= 1]

    Examples
    --------
    >>> together_factor(base="sc", leg_count=2), together_factor(base="dc", leg_count=3)
    (1.5, 2.5)

    Notes
    -----
    Convention: derived from the loops of each stitch; no measurement of it is published.
    """
    loop_count = LOOP_COUNTS[base]
    return (leg_count * (loop_count - 1) + 1) / loop_count


@lru_cache(maxsize=512)
def stitch_weight(code: str) -> StitchWeight:
    """Return the published weight of a stitch.

    A post stitch is ``x 1.12``, a stitch into one loop ``x 1.00``, stitches worked together ``x``
    :func:`together_factor`. Relative deviations of the factors add in quadrature.

    Parameters
    ----------
    code
        A stitch code: ``ch``, ``sl_st``, ``rev_sc`` or ``(fp|bp|fl|bl)?(sc|hdc|dc|tr|dtr)([2-8]tog)?``.

    Raises
    ------
    ValueError
        If the code is none of these.

    Examples
    --------
    >>> stitch_weight("hdc").sc_units, round(stitch_weight("hdc2tog").sc_units, 2)
    (1.45, 2.42)
    >>> round(stitch_weight("fpdc2tog").sc_units, 2)
    3.63

    Notes
    -----
    Loop counts, an ideal-yarn length model and practitioners' weighed swatches agree roughly;
    hdc over sc is 1.474 in Interweave, "Yarn usage for knitting vs. crochet" (20 x 20 stitches each).
    """
    if code in PLAIN_CODES:
        return _PLAIN[code]
    stitch = read_stitch(code)
    plain = _PLAIN[stitch.base]
    factor, factor_sd = _MANNERS[stitch.manner]
    together = together_factor(base=stitch.base, leg_count=stitch.leg_count)
    return StitchWeight(
        sc_units=plain.sc_units * factor * together,
        sd=hypot(plain.sd * factor, plain.sc_units * factor_sd) * together,
        confidence=plain.confidence if code == stitch.base else "M",
    )


def tally_code(tally: Tally) -> str | None:
    """Return the one code of what is worked, or nothing where the legs differ.

    Examples
    --------
    >>> tally_code(("sc", "sc")), tally_code("fpdc"), tally_code(("bpdc", "fpdc"))
    ('sc2tog', 'fpdc', None)
    """
    if isinstance(tally, str):
        return tally
    if len(set(tally)) > 1:
        return None
    return tally[0] if len(tally) == 1 else f"{tally[0]}{len(tally)}tog"


def tally_units(tally: Tally, measured: Mapping[str, float]) -> float:
    """Return the yarn of one stitch, or of stitches worked together.

    Legs of one kind weigh what their code weighs, ``sc2tog``. Of legs that differ each gives all its loops
    but the last, and their last loops give one of average size.

    Parameters
    ----------
    tally
        A stitch code, or the codes of the legs.
    measured
        Weights that the maker measured, by stitch code. [sc units, > 0]

    Raises
    ------
    ValueError
        If a code is no stitch.

    Examples
    --------
    >>> tally_units("fpdc", {"dc": 2.0})
    2.24
    >>> round(tally_units(("bpdc", "fpdc"), {}), 2)
    3.63

    Notes
    -----
    Convention: where makers measured, their figure also moves what derives from it, by ratio.
    """
    return _tally_units(tally, measured) if measured else _published_units(tally)


@lru_cache(maxsize=1024)
def _published_units(tally: Tally) -> float:
    return _tally_units(tally, {})


def _tally_units(tally: Tally, measured: Mapping[str, float]) -> float:
    if isinstance(tally, str):
        return _code_units(tally, measured)
    code = tally_code(tally)
    if code is not None and code in measured:
        return measured[code]
    bases = {read_stitch(leg).base for leg in tally}
    if len(bases) == 1:
        single = sum([_code_units(leg, measured) for leg in tally]) / len(tally)
        return single * _measured_together_factor(bases.pop(), len(tally), measured)
    return _mixed_units(tally, measured)


def _mixed_units(legs: Sequence[str], measured: Mapping[str, float]) -> float:
    """Return the yarn of legs of different heights: all loops but the last, and one last loop for all."""
    weights = [_code_units(leg, measured) for leg in legs]
    last_loops = [
        weight / LOOP_COUNTS[read_stitch(leg).base] for weight, leg in zip(weights, legs, strict=True)
    ]
    return sum(weights) - sum(last_loops) + sum(last_loops) / len(legs)


def _code_units(code: str, measured: Mapping[str, float]) -> float:
    if code in measured:
        return measured[code]
    if code in PLAIN_CODES:
        return _PLAIN[code].sc_units
    stitch = read_stitch(code)
    single = measured.get(stitch.manner + stitch.base)
    if single is None:
        single = measured.get(stitch.base, _PLAIN[stitch.base].sc_units) * _MANNERS[stitch.manner][0]
    if stitch.leg_count == 1:
        return single
    return single * _measured_together_factor(stitch.base, stitch.leg_count, measured)


def _measured_together_factor(base: BaseStitch, leg_count: int, measured: Mapping[str, float]) -> float:
    together = measured.get(f"{base}{leg_count}tog")
    if together is None:
        return together_factor(base=base, leg_count=leg_count)
    return together / measured.get(base, _PLAIN[base].sc_units)


def crossing_extra_mm(*, over: int, stitch_width_mm: float, round_height_mm: float) -> float:
    """Return how much more yarn a stitch takes that crosses over others at unchanged height.

    ``4 * (sqrt(h**2 + (m * w)**2) - h)``: its leg leans, and four strands run along it.

    Parameters
    ----------
    over
        Stitches that it crosses over, m. [>= 1]
    stitch_width_mm, round_height_mm
        Size of a stitch. [mm, > 0]

    Examples
    --------
    >>> round(crossing_extra_mm(over=2, stitch_width_mm=6.5, round_height_mm=11.0), 2)
    24.12

    Notes
    -----
    Convention: geometry of a straight leg; no measurement of it is published.
    """
    return 4 * (hypot(round_height_mm, over * stitch_width_mm) - round_height_mm)


def crossing_factor(
    *, over: int, stitch_width_mm: float, round_height_mm: float, stitch_length_mm: float
) -> float:
    """Return by what a stitch's yarn grows when it crosses over others at unchanged height.

    ``1 + 4 * (sqrt(h**2 + (m * w)**2) - h) / L``. A crossing that is written as the next taller stitch
    takes that stitch's weight instead.

    Parameters
    ----------
    over
        Stitches that it crosses over, m. [>= 1]
    stitch_width_mm, round_height_mm
        Size of a stitch. [mm, > 0]
    stitch_length_mm
        Yarn of the same stitch uncrossed, L. [mm, > 0]

    Examples
    --------
    >>> round(crossing_factor(over=1, stitch_width_mm=6.5, round_height_mm=11, stitch_length_mm=93.5), 3)
    1.076
    """
    extra = crossing_extra_mm(over=over, stitch_width_mm=stitch_width_mm, round_height_mm=round_height_mm)
    return 1 + extra / stitch_length_mm


def weight_assumptions(codes: Sequence[str], measured: Mapping[str, float]) -> tuple[Assumption, ...]:
    """Return the published weights that stand in for a maker's own, one for each stitch, in order of code.

    Single crochet is 1 by definition and is not among them, nor is a stitch that was measured.

    Examples
    --------
    >>> [(line.name, line.value) for line in weight_assumptions(["sc", "dc", "ch"], {"dc": 2.0})]
    [('stitch_weight_ch', 0.5)]
    """
    guessed = sorted(set(codes) - set(measured) - {"sc"})
    return tuple(_weight_assumption(code, measured) for code in guessed)


def _weight_assumption(code: str, measured: Mapping[str, float]) -> Assumption:
    return Assumption(
        name=f"stitch_weight_{code}",
        value=tally_units(code, measured),
        unit="sc_unit",
        confidence=stitch_weight(code).confidence,
        source=WEIGHT_SOURCE,
    )
