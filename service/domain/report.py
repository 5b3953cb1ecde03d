"""What an answer says about itself: what was supposed, what to know, and how a figure was reached."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

__all__ = ["Assumption", "Confidence", "Notice", "Working"]

Confidence = Literal["H", "M", "L"]


@dataclass(frozen=True, slots=True)
class Assumption:
    """A value that stands in for a measurement nobody gave.

    ``confidence`` is H for published data or geometry, M where several weak sources agree,
    L for one source or a judgement.
    """

    name: str
    value: int | float | str
    unit: str
    confidence: Confidence
    source: str


@dataclass(frozen=True, slots=True)
class Notice:
    """Something the maker should know, by its code, with the figures its sentence needs.

    The sentence itself is data of the written language (``service/patterns/notices.py``):
    the domain makes no sentences.
    """

    code: str
    values: Mapping[str, int | float | str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Working:
    """One line of the reckoning: the figure, its formula and where the formula comes from."""

    name: str
    formula: str
    value: int | float
    unit: str
    source: str
