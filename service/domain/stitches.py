"""Stitch codes: what a code such as ``fpdc2tog`` says, and the ladder of heights."""

import re
from dataclasses import dataclass
from functools import cache
from typing import Literal, cast

from service.domain.fabrics import BaseStitch

__all__ = [
    "HEIGHT_RATIOS",
    "PLAIN_CODES",
    "TURNING_CHAINS",
    "Manner",
    "Stitch",
    "read_stitch",
    "taller_stitches",
]

Manner = Literal["", "fp", "bp", "fl", "bl"]

PLAIN_CODES = ("ch", "sl_st", "rev_sc")

#: Height of a stitch over that of a single crochet (convention: rounded from practitioners' swatches).
HEIGHT_RATIOS: dict[BaseStitch, float] = {"sc": 1.0, "hdc": 1.4, "dc": 2.0, "tr": 2.9, "dtr": 3.8}

#: Chains that reach the height of a stitch (craft-teaching handbooks).
TURNING_CHAINS: dict[BaseStitch, int] = {"sc": 1, "hdc": 2, "dc": 3, "tr": 4, "dtr": 5}

_CODE = re.compile(r"(?P<manner>fp|bp|fl|bl)?(?P<base>sc|hdc|dc|tr|dtr)(?:(?P<legs>[2-8])tog)?")


@dataclass(frozen=True, slots=True)
class Stitch:
    """A stitch code taken apart: ``fpdc2tog`` is front post, double crochet, two legs."""

    manner: Manner
    base: BaseStitch
    leg_count: int


@cache
def read_stitch(code: str) -> Stitch:
    """Return what a stitch code of the basic stitches says.

    Raises
    ------
    ValueError
        If the code is none of ``(fp|bp|fl|bl)?(sc|hdc|dc|tr|dtr)([2-8]tog)?``.

    Examples
    --------
    >>> read_stitch("fpdc2tog")
    Stitch(manner='fp', base='dc', leg_count=2)
    """
    match = _CODE.fullmatch(code)
    if match is None:
        raise ValueError(f"{code} is no basic stitch")
    manner = cast(Manner, match["manner"] or "")
    return Stitch(manner=manner, base=cast(BaseStitch, match["base"]), leg_count=int(match["legs"] or 1))


def taller_stitches(base: BaseStitch) -> tuple[BaseStitch, ...]:
    """Return the stitch itself and those above it, shortest first.

    Examples
    --------
    >>> taller_stitches("dc")
    ('dc', 'tr', 'dtr')
    """
    ladder = tuple(HEIGHT_RATIOS)
    return ladder[ladder.index(base) :]
