"""From the columns of a filled worksheet to a fabric of one's own, and from its faults back to fields."""

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any

from service.pages.own_columns import COLUMN_COUNT, COLUMN_FIELDS, column_field

__all__ = ["column_field_at", "own_columns"]

Entries = Mapping[str, str]

#: Which question a member of a column answers.
_QUESTIONS: Mapping[tuple[str, ...], str] = MappingProxyType(
    {
        ("face",): "face",
        ("width",): "width",
        ("crossing",): "cable",
        ("crossing", "lean"): "cable",
        ("crossing", "over"): "width",
        ("crossing", "round"): "round",
    }
)


def own_columns(entries: Entries, value: Callable[[str], Any]) -> list[dict[str, Any]]:
    """Return the columns of which anything was said, in the order of the form.

    Parameters
    ----------
    entries
        What was typed or chosen, by field.
    value
        From the name of a field to what stands in it, in the interface's units.
    """
    return [_column(number, entries, value) for number in _told(entries)]


def column_field_at(place: tuple[str, ...], entries: Entries) -> str | None:
    """Return the field at a place inside the columns, ``None`` for any other place.

    The columns of a request are those that somebody filled in: others on the form are passed over.

    Examples
    --------
    >>> column_field_at(("fabric", "columns", "0", "width"), {"column_3_face": "front"})
    'column_3_width'
    """
    if place[:2] != ("fabric", "columns"):
        return None
    told = _told(entries)
    if len(place) < 3 or not told:
        return column_field(1, "face")
    return column_field(told[int(place[2])], _QUESTIONS.get(place[3:], "face"))


def _told(entries: Entries) -> list[int]:
    return [
        number
        for number, fields in zip(range(1, COLUMN_COUNT + 1), COLUMN_FIELDS, strict=True)
        if any(entries.get(field.name) for field in fields)
    ]


def _column(number: int, entries: Entries, value: Callable[[str], Any]) -> dict[str, Any]:
    def told(question: str) -> Any:
        name = column_field(number, question)
        return value(name) if entries.get(name) else None

    width = told("width")
    column = {"face": told("face"), "width": width}
    if told("cable") is not None or told("round") is not None:
        # Half of a cable crosses over the other half.
        over = width / 2 if isinstance(width, float) else width
        column["crossing"] = _without_gaps({"over": over, "lean": told("cable"), "round": told("round")})
    return _without_gaps(column)


def _without_gaps(members: dict[str, Any]) -> dict[str, Any]:
    return {name: member for name, member in members.items() if member is not None}
