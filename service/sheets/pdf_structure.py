"""The logical structure of a PDF: which text is a heading, an item or a cell (ISO 32000, section 14.7)."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from fpdf.structure_tree import StructElem, StructureTreeBuilder
from fpdf.syntax import PDFObject

__all__ = ["Group", "TaggedStructure"]


class _Element(StructElem):
    """An element that may hold others; all of them stand on one page, and learn of it together."""

    __slots__ = ("_page",)

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


class TaggedStructure(StructureTreeBuilder):
    """Keeps the elements of a document in reading order, nested as they belong."""

    def __init__(self) -> None:
        super().__init__()
        self._marks: Counter[int] = Counter()

    def mark(self, kind: str, *, page_number: int, group: Group | None) -> int:
        """Add an element of this kind and return the number that marks its content on the page."""
        number = self._marks[page_number]
        self._marks[page_number] += 1
        element = self._add(kind, page_number, group, [number])
        page_key = self.spid_per_page_number.setdefault(page_number, len(self.spid_per_page_number))
        self.struct_tree_root.parent_tree.nums[page_key].append(element)
        return number

    def _add(self, kind: str, page_number: int, group: Group | None, kids: list[Any]) -> _Element:
        parent = self.doc_struct_elem if group is None else self._on_page(group, page_number)
        element = _Element(struct_type=f"/{kind}", parent=parent, kids=kids, page_number=page_number)
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
