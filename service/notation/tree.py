"""What a line says, as a tree: sentences with their numbers and places, before anything is counted."""

from dataclasses import dataclass
from typing import Literal, TypeAlias

from service.notation.terms import TermsId

__all__ = [
    "ONE",
    "Again",
    "BackWork",
    "ChainNote",
    "Closing",
    "Count",
    "Counts",
    "Fill",
    "Group",
    "Into",
    "Join",
    "JoiningStitch",
    "Label",
    "Line",
    "MagicRing",
    "MakeChain",
    "Merged",
    "Named",
    "NoStartChain",
    "Numeral",
    "Piece",
    "Place",
    "PlaceKind",
    "Remark",
    "RoundsAgain",
    "SetFoundation",
    "SetLoop",
    "SkipStitches",
    "StitchWord",
    "Stitches",
    "Tally",
    "Times",
    "Uncountable",
    "Unit",
]

Unit = Literal["st", "ch", "space", "foundation_ch"]
PlaceKind = Literal[
    "next",
    "each_of_next",
    "each",
    "around",
    "alternate",
    "same",
    "first",
    "top",
    "ring",
    "from_hook",
    "skipped",
]


@dataclass(frozen=True, slots=True)
class Numeral:
    """A written number: one value for all sizes or one for each, with the column of each."""

    values: tuple[int, ...]
    columns: tuple[int, ...]


#: One, where no number is written: "next st", "counts as a st".
ONE = Numeral((1,), ())


@dataclass(frozen=True, slots=True)
class Named:
    """What something is called: a stitch, perhaps by its code, or a chain, perhaps by its length."""

    unit: Unit = "st"
    stitch: str = ""
    length: Numeral | None = None
    is_plural: bool = False


@dataclass(frozen=True, slots=True)
class Place:
    """Where stitches go. ``count`` is the places or, from the hook, the chain; ``leave`` stays unworked.

    ``stitch`` and ``length`` are the stitch or the chain space worked into, where named. ``is_over`` tells
    that one stitch may go over all, ``is_last`` that nothing is left behind.
    """

    kind: PlaceKind
    column: int
    unit: Unit = "st"
    count: Numeral | None = None
    leave: Numeral | None = None
    loop: str = ""
    counts: "Counts | None" = None
    is_between: bool = False
    is_over: bool = False
    is_last: bool = False
    stitch: str = ""
    length: Numeral | None = None


@dataclass(frozen=True, slots=True)
class StitchWord:
    """A stitch as it is named: its code, an increase or a decrease of one, a shell; and its ``legs``."""

    code: str
    change: Literal["", "inc", "dec", "shell"]
    column: int
    legs: Numeral | None = None


@dataclass(frozen=True, slots=True)
class Stitches:
    """Stitches and where they go; no stitch means the one named before."""

    stitch: StitchWord | None
    amount: Numeral | None
    place: Place | None
    column: int


@dataclass(frozen=True, slots=True)
class JoiningStitch(Stitches):
    """The first stitch of a round, where it joins the yarn."""


@dataclass(frozen=True, slots=True)
class Merged:
    """One stitch over several: its legs as stitches, over as many places as the place says."""

    pieces: tuple["Piece", ...]
    legs: Numeral | None
    place: Place | None
    column: int


@dataclass(frozen=True, slots=True)
class Group:
    """Pieces that belong together, before it is said how often."""

    pieces: tuple["Piece", ...]
    column: int


@dataclass(frozen=True, slots=True)
class Times:
    """Pieces done a number of times, and ``extra`` once more where they were done once before."""

    pieces: tuple["Piece", ...]
    times: Numeral
    extra: int
    column: int


@dataclass(frozen=True, slots=True)
class Fill:
    """Pieces done over and over until only ``leave`` stitches of the round before are left."""

    pieces: tuple["Piece", ...]
    leave: Numeral | None
    column: int


@dataclass(frozen=True, slots=True)
class Into:
    """Several stitches in one place."""

    pieces: tuple["Piece", ...]
    place: Place
    column: int


@dataclass(frozen=True, slots=True)
class SkipStitches:
    """Stitches or chain spaces left unworked, named as in a place."""

    count: Numeral
    unit: Unit
    column: int
    stitch: str = ""
    length: Numeral | None = None


@dataclass(frozen=True, slots=True)
class Counts:
    """What a chain counts as: so many stitches (0 for none), and perhaps a chain space of a length besides.

    ``stitch`` is the code of the stitch it stands for, where that is named.
    """

    count: Numeral | None
    is_throughout: bool = False
    space: Numeral | None = None
    stitch: str = ""

    @property
    def is_counting(self) -> bool:
        """Whether the chain counts as a stitch at all."""
        return self.count is not None


@dataclass(frozen=True, slots=True)
class MakeChain:
    """A chain to make, what it counts as where that is said, and where it stands if not in the first st."""

    count: Numeral
    counts: Counts | None
    column: int
    place: Place | None = None


@dataclass(frozen=True, slots=True)
class ChainNote:
    """A sentence that says what the starting chain counts as: this one, or all, or all so long."""

    counts: Counts
    is_general: bool
    column: int
    length: Numeral | None = None


@dataclass(frozen=True, slots=True)
class BackWork:
    """Stitches worked into stitches skipped before, behind or in front of those just made."""

    lean: Literal["left", "right"]
    made: Numeral | None
    stitches: Stitches
    column: int


@dataclass(frozen=True, slots=True)
class Join:
    """The round closed, or a chain closed to a ring; ``into`` tells if it goes into the starting chain.

    ``chain`` is which of its chains, where that is said.
    """

    forms_ring: bool
    into: Literal["", "start"]
    column: int
    chain: Numeral | None = None


@dataclass(frozen=True, slots=True)
class SetLoop:
    """From here on stitches go into this loop only."""

    loop: str
    column: int


@dataclass(frozen=True, slots=True)
class SetFoundation:
    """From here on stitches go into the foundation chain."""

    column: int


@dataclass(frozen=True, slots=True)
class NoStartChain:
    """The chain that follows is part of the round, no starting chain."""

    column: int


@dataclass(frozen=True, slots=True)
class MagicRing:
    """A ring of yarn to work in."""

    column: int


@dataclass(frozen=True, slots=True)
class Uncountable:
    """A sentence that leaves a count open."""

    detail: str
    column: int


@dataclass(frozen=True, slots=True)
class Remark:
    """A sentence that bears on no count."""

    kind: str
    column: int


@dataclass(frozen=True, slots=True)
class Closing:
    """The last stitches drawn shut: so many, or all there are."""

    count: Numeral | None
    column: int


@dataclass(frozen=True, slots=True)
class Tally:
    """One part of a declared count: stitches, perhaps of one kind, or chain spaces, perhaps of one length.

    ``stitch`` is ``ch`` where chains are counted.
    """

    number: Numeral
    is_spaces: bool
    stitch: str = ""
    length: Numeral | None = None


@dataclass(frozen=True, slots=True)
class Count:
    """The count that a round declares."""

    tallies: tuple[Tally, ...]
    column: int


@dataclass(frozen=True, slots=True)
class Again:
    """How often a repeat is done: ``extra`` is the once before it, unknown where the words leave it open."""

    times: Numeral
    extra: int | None
    column: int


@dataclass(frozen=True, slots=True)
class RoundsAgain:
    """Earlier rounds worked again; each span is a first and a last number.

    ``last_count`` is how many of the rounds just worked, where they have no numbers.
    """

    spans: tuple[tuple[int, int], ...]
    again: Again | None
    column: int
    last_count: int = 0


Piece: TypeAlias = (
    Stitches
    | Merged
    | Times
    | Fill
    | Into
    | SkipStitches
    | MakeChain
    | ChainNote
    | BackWork
    | Join
    | SetLoop
    | SetFoundation
    | NoStartChain
    | MagicRing
    | Uncountable
    | Remark
    | Closing
    | Count
    | RoundsAgain
)


@dataclass(frozen=True, slots=True)
class Label:
    """What stands before the colon: numbers of rounds, or that this is the next or the foundation."""

    kind: Literal["round", "next", "foundation"]
    spans: tuple[tuple[int, int], ...]
    round_count: int
    column: int
    is_row: bool = False


@dataclass(frozen=True, slots=True)
class Line:
    """A whole instruction line. A definition says what a shell is, which ``defines`` names.

    The columns of the pieces count from behind the label; ``offset`` is how many stand before.
    ``text`` is what was read behind the label, ``cost`` the number of its words, a measure of the work
    it takes to count the line once. ``sizes`` are those that the line is for, from 1,
    none where it is for all. ``names_kinds`` tells whether a stitch to work into is named, ``is_sized``
    whether any number is given for each size.
    """

    label: Label | None
    pieces: tuple[Piece, ...]
    defines: str = ""
    offset: int = 0
    cost: int = 0
    text: str = ""
    terms_id: TermsId = "us"
    sizes: tuple[int, ...] = ()
    names_kinds: bool = False
    is_sized: bool = False
