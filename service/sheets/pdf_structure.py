"""The logical structure of a PDF: which text is a heading, an item or a cell (ISO 32000, section 14.7)."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from fpdf.structure_tree import StructElem, StructureTreeBuilder
from fpdf.syntax import PDFObject

__all__ = ["Figure", "Group", "TaggedStructure"]


class _Element(StructElem):
    """An element that may hold others; all of them stand on one page, and learn of it together.

    ``a`` is its entry ``A``: attributes of its layout, ready to be written.
    """

    __slots__ = ("_page", "a")
    a: str | None

    @property
    def pg(self) -> Any:
        """Return the page that the element stands on."""
        return getattr(self, "_page", None)

    @pg.setter
    def pg(self, page: Any) -> None:
        self._page = page
        for kid in self.k:
            if isinstance(kid, _Element):
                kid.pg = page


@dataclass(slots=True)
class Group:
    """A list, a table or a part of one. Where a page ends, the next has another element of its kind."""

    kind: str
    parent: "Group | None" = None
    element: _Element | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """What a drawing shows in words, and the box it fills: left, bottom, right, top. [pt]"""

    words: str
    box_pt: tuple[float, float, float, float]

    @property
    def layout(self) -> str:
        """Return the attributes of its layout."""
        return f"<< /O /Layout /BBox [{' '.join(f'{side:.2f}' for side in self.box_pt)}] >>"


class TaggedStructure(StructureTreeBuilder):
    """Keeps the elements of a document in reading order, nested as they belong."""

    def __init__(self) -> None:
        super().__init__()
        self._marks: Counter[int] = Counter()

    def mark(
        self, kind: str, *, page_number: int, group: Group | None = None, figure: Figure | None = None
    ) -> int:
        """Add an element of this kind and return the number that marks its content on the page."""
        number = self._marks[page_number]
        self._marks[page_number] += 1
        element = self._add(kind, page_number, group, [number], figure)
        page_key = self.spid_per_page_number.setdefault(page_number, len(self.spid_per_page_number))
        self.struct_tree_root.parent_tree.nums[page_key].append(element)
        return number

    def _add(
        self,
        kind: str,
        page_number: int,
        group: Group | None,
        kids: list[Any],
        figure: Figure | None = None,
    ) -> _Element:
        parent = self.doc_struct_elem if group is None else self._on_page(group, page_number)
        element = _Element(f"/{kind}", parent, kids, page_number, alt=figure.words if figure else None)
        element.a = figure.layout if figure else None
        parent.k.append(element)
        return element

    def _on_page(self, group: Group, page_number: int) -> _Element:
        if group.element is None or group.element.page_number() != page_number:
            group.element = self._add(group.kind, page_number, group.parent, [])
        return group.element

    def __iter__(self) -> Iterator[PDFObject]:
        """Iterate over all objects of the tree, its root first."""
        yield self.struct_tree_root
        yield self.doc_struct_elem
        yield self.struct_tree_root.parent_tree
        yield from _below(self.doc_struct_elem)


def _below(element: StructElem) -> Iterator[StructElem]:
    for kid in element.k:
        if isinstance(kid, StructElem):
            yield kid
            yield from _below(kid)
