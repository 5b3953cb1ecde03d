"""The sentences of notices: what a maker reads for each code, as one table.

The figures in braces come with the notice. Cautions about people are worded once, here.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from service.domain.report import Notice

__all__ = ["NOTICE_CODES", "notice_sentence", "notice_severity"]

Severity = Literal["info", "caution", "warning"]


@dataclass(frozen=True, slots=True)
class _Entry:
    severity: Severity
    sentence: str


_TABLE: Mapping[str, _Entry] = MappingProxyType(
    {
        "sleep": _Entry(
            "warning",
            "Take the hat off a sleeping baby, and indoors. Overheating and a covered face are dangerous.",
        ),
        "small_parts": _Entry(
            "warning",
            "Leave off buttons, beads and pompoms, or sew them through and pull-test them: "
            "small parts can choke.",
        ),
        "cords": _Entry("warning", "No ties, drawstrings or long chin cords on a young child's hat."),
        "selling": _Entry(
            "info", "If you sell hats for children, check the product rules of your country."
        ),
        "fibre": _Entry(
            "caution", "Coarse wool can itch; try the yarn on the forehead or inner arm first."
        ),
        "hands": _Entry("info", "Take regular breaks, stretch, and vary the work."),
    }
)

NOTICE_CODES = tuple(_TABLE)


def notice_severity(notice: Notice) -> str:
    """Return how serious a notice is: ``info``, ``caution`` or ``warning``."""
    return _TABLE[notice.code].severity


def notice_sentence(notice: Notice) -> str:
    """Return a notice in words, with its figures.

    Examples
    --------
    >>> notice_sentence(Notice("hands"))
    'Take regular breaks, stretch, and vary the work.'
    """
    return _TABLE[notice.code].sentence.format_map(notice.values)
