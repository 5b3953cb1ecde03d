"""A sheet as a value: its title and its parts, each with blocks that every renderer knows."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TypeAlias

from service.drawings.pictures import Picture

__all__ = [
    "Block",
    "Drawing",
    "Instruction",
    "Instructions",
    "Items",
    "Paragraph",
    "Part",
    "Sheet",
    "Table",
    "sheet_texts",
]


@dataclass(frozen=True, slots=True)
class Paragraph:
    """A paragraph of plain text."""

    text: str


@dataclass(frozen=True, slots=True)
class Items:
    """A list of plain texts."""

    texts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """A table; the first cell of a row is what the row is about."""

    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Instruction:
    """A label such as ``Rnd 3:``, and what is done."""

    label: str
    text: str


@dataclass(frozen=True, slots=True)
class Instructions:
    """Rounds in working order."""

    rounds: tuple[Instruction, ...]


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing, which carries its title and says in words what it shows."""

    picture: Picture


#: What a part holds. A new kind of block needs a way to be rendered in each form, and nothing else.
Block: TypeAlias = Paragraph | Items | Table | Instructions | Drawing


@dataclass(frozen=True, slots=True)
class Part:
    """A heading and what stands under it. ``level`` is 2 for a part, 3 for a part of a part."""

    heading: str
    blocks: tuple[Block, ...]
    level: int = 2


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet. ``language`` is a tag of BCP 47; the title is free text in any.

    ``plain_title`` stands for a title in a script that a form of the sheet cannot show.
    """

    language: str
    title: str
    subtitle: str
    parts: tuple[Part, ...]
    plain_title: str = ""


def sheet_texts(parts: Iterable[Part]) -> Iterator[str]:
    """Yield the texts of parts in reading order, those of drawings left out.

    Examples
    --------
    >>> rounds = Instructions((Instruction("Rnd 1:", "6 sc in ring. (6)"),))
    >>> list(sheet_texts([Part("Crown", (Paragraph("Make a magic ring."), rounds))]))
    ['Crown', 'Make a magic ring.', 'Rnd 1: 6 sc in ring. (6)']
    """
    for part in parts:
        yield part.heading
        for block in part.blocks:
            yield from _block_texts(block)


def _block_texts(block: Block) -> Iterator[str]:
    match block:
        case Paragraph(text):
            yield text
        case Items(texts):
            yield from texts
        case Instructions(rounds):
            yield from (f"{each.label} {each.text}" for each in rounds)
        case Table(columns, rows):
            yield from columns
            yield from (text for row in rows for text in row)
        case Drawing():
            pass
