"""What a filled form leaves open or contradicts before any request is made of it.

A program that sends such a request gets what it asks for; a person more likely overlooked a field.
"""

from collections.abc import Iterator, Mapping

from service.pages.own_columns import COLUMN_COUNT, column_field
from service.pages.typed_numbers import typed_value
from service.pages.worksheet_fields import FIELDS

__all__ = ["overlooked"]

Entries = Mapping[str, str]

_ONE_OF_A_PAIR = 2
_OF_A_BRIM = ("brim_height", "brim_round_count", "brim_stitches", "brim_rounds")


def overlooked(entries: Entries) -> dict[str, str]:
    """Return what somebody should look at again, by the name of its field.

    Examples
    --------
    >>> overlooked({"brim": "none", "brim_height": "4"})
    {'brim_height': 'This hat has no brim. Choose one, or leave this empty.'}
    """
    return {
        **_units(entries),
        **dict(_brimless(entries)),
        **_crossing(entries),
    }


def _units(entries: Entries) -> dict[str, str]:
    known = [option.value for option in FIELDS["units"].options]
    return {} if entries.get("units", known[0]) in known else {"units": "Choose one of these."}


def _brimless(entries: Entries) -> Iterator[tuple[str, str]]:
    brim = entries.get("brim")
    for name in _OF_A_BRIM:
        if name in entries and brim == "none":
            yield name, "This hat has no brim. Choose one, or leave this empty."
    if brim is None and not entries.keys().isdisjoint(_OF_A_BRIM[:2]):
        yield "brim", "Choose the stitch pattern of the brim, to give its height or its rounds."


def _crossing(entries: Entries) -> dict[str, str]:
    """Return that a wide cable would cross on every round, where nobody said how tall a repeat is."""
    if entries.get("fabric") != "own" or "own_rounds" in entries:
        return {}
    widths = [
        typed_value(entries.get(column_field(number, "width"), ""))
        for number in range(1, COLUMN_COUNT + 1)
        if column_field(number, "cable") in entries
    ]
    widest = max((width for width in widths if width is not None), default=0)
    if widest <= _ONE_OF_A_PAIR:
        return {}
    return {
        "own_rounds": f"Fill this in: a cable of {widest} stitches crosses once in several rounds, "
        f"often in {widest}."
    }
