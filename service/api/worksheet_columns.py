"""From the columns of a filled worksheet to a fabric of one's own, and from its faults back to fields."""

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any

from service.domain.fabrics import half_width
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
    return [_column(number, entries, value) for number in _filled_columns(entries)]


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
    filled = _filled_columns(entries)
    if len(place) < 3 or not filled:
        return column_field(1, "face")
    return column_field(filled[int(place[2])], _QUESTIONS.get(place[3:], "face"))


def _filled_columns(entries: Entries) -> list[int]:
    return [
        number
        for number, fields in zip(range(1, COLUMN_COUNT + 1), COLUMN_FIELDS, strict=True)
        if any(entries.get(field.name) for field in fields)
    ]


def _column(number: int, entries: Entries, value: Callable[[str], Any]) -> dict[str, Any]:
    def answer_to(question: str) -> Any:
        name = column_field(number, question)
        return value(name) if entries.get(name) else None

    width = answer_to("width")
    column = {"face": answer_to("face"), "width": width}
    if answer_to("cable") is not None or answer_to("round") is not None:
        over = half_width(width) if isinstance(width, float) else width
        column["crossing"] = _without_gaps(
            {"over": over, "lean": answer_to("cable"), "round": answer_to("round")}
        )
    return _without_gaps(column)


def _without_gaps(members: dict[str, Any]) -> dict[str, Any]:
    return {name: member for name, member in members.items() if member is not None}
