"""The worksheet: a form that keeps what was typed and says beside each field what is wrong with it."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from urllib.parse import urlencode

from markupsafe import Markup

from service.domain.tables import ReferenceTables
from service.pages.fabric_pictures import fabric_svg
from service.pages.form_fields import Field, Option
from service.pages.own_columns import COLUMN_FIELDS
from service.pages.templating import render
from service.pages.typed_numbers import unit_of
from service.pages.worksheet_fields import (
    EXAMPLE,
    FIELDS,
    FOLDED,
    LONGEST_ENTRY,
    options_of,
)

__all__ = ["link_to", "worksheet_html"]

#: Characters that a number may have, fractions included.
_LONGEST_NUMBER = 20
_NO_PICTURES: Mapping[str, Markup] = MappingProxyType({})


@dataclass(frozen=True, slots=True, kw_only=True)
class _Entry:
    """A field as the page shows it."""

    field: Field
    value: str
    complaint: str
    options: tuple[Option, ...]
    pictures: Mapping[str, Markup]

    @property
    def name(self) -> str:
        return self.field.name

    @property
    def label(self) -> str:
        return self.field.label

    @property
    def help_words(self) -> str:
        return self.field.help_words

    @property
    def is_number(self) -> bool:
        return self.field.measure is not None

    @property
    def keyboard(self) -> str:
        """Return the keyboard that a phone shows; a length may need a minus or a stroke."""
        return "text" if self.field.measure == "length" else "decimal"

    @property
    def longest(self) -> int:
        return _LONGEST_NUMBER if self.is_number else LONGEST_ENTRY

    @property
    def unit_cm(self) -> str:
        return "" if self.field.measure is None else unit_of(self.field.measure, "cm")

    @property
    def unit_in(self) -> str:
        return "" if self.field.measure is None else unit_of(self.field.measure, "in")

    @property
    def described_by(self) -> str:
        """Return the ids of what explains the field."""
        parts = (("help", self.help_words), ("complaint", self.complaint))
        return " ".join(f"{self.name}-{part}" for part, words in parts if words)


@dataclass(frozen=True, slots=True)
class _Complaint:
    """What is wrong, with the field to go to; an empty name is the whole form."""

    name: str
    label: str
    words: str


def link_to(entries: Mapping[str, str], path: str = "/") -> str:
    """Return the link that carries a filled form.

    Examples
    --------
    >>> link_to({"head": "22½", "stitches": "17"})
    '/?head=22%C2%BD&stitches=17'
    """
    return f"{path}?{urlencode(entries)}"


def worksheet_html(entries: Mapping[str, str], complaints: Mapping[str, str], tables: ReferenceTables) -> str:
    """Return the form.

    Parameters
    ----------
    entries
        What was typed or chosen, by field; the rest stands as in the empty form.
    complaints
        What is wrong, by field; the empty name is for the whole form.
    tables
        Published tables, for the lists.
    """
    fields = {name: _entry(field, entries, complaints, tables) for name, field in FIELDS.items()}
    return render(
        "worksheet.html",
        is_private=bool(entries or complaints),
        fields=fields,
        columns=[[fields[field.name] for field in column] for column in COLUMN_FIELDS],
        complaints=[_complaint(name, complaints[name]) for name in ("", *FIELDS) if name in complaints],
        opened={
            part: any(name in entries or name in complaints for name in names)
            for part, names in FOLDED.items()
        },
        example_link=link_to(EXAMPLE),
    )


def _entry(
    field: Field, entries: Mapping[str, str], complaints: Mapping[str, str], tables: ReferenceTables
) -> _Entry:
    return _Entry(
        field=field,
        value=entries.get(field.name, field.first),
        complaint=complaints.get(field.name, ""),
        options=options_of(field.name, tables),
        pictures=_pictures(tables) if field.name == "fabric" else _NO_PICTURES,
    )


def _pictures(tables: ReferenceTables) -> Mapping[str, Markup]:
    # The pictures are our own SVG, whose words are escaped where it is made.
    return {row.fabric_id: Markup(fabric_svg(row.fabric, row.name)) for row in tables.fabrics}


def _complaint(name: str, words: str) -> _Complaint:
    if not name:
        return _Complaint("", "", words)
    field = FIELDS[name]
    return _Complaint(name, f"{field.group}, {field.label.lower()}" if field.group else field.label, words)
