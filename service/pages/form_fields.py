"""What a field of a form is, and an answer of a list."""

from dataclasses import dataclass

from service.pages.typed_numbers import Measure

__all__ = ["Field", "Option"]


@dataclass(frozen=True, slots=True)
class Option:
    """One answer of a list: its value in the link, its words, and perhaps a remark."""

    value: str
    words: str
    remark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """A field of the form.

    ``measure`` is what a typed number measures; a field without one is text or a list.
    ``first`` is what stands in it before anybody touched it. ``help_words`` explain it in the trade's words.
    ``group`` tells it apart from fields of the same label.
    """

    name: str
    label: str
    help_words: str = ""
    measure: Measure | None = None
    first: str = ""
    options: tuple[Option, ...] = ()
    group: str = ""
