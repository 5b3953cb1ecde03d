"""How a piece of work is coloured, and where the yarn of each colour comes from.

A round is worked in the colours of its strands, one name for each strand, or one name for all of them.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import TypeAlias

from service.domain.errors import ColourUnmatched, HatOutOfBounds, StrandColoursUnequal
from service.domain.rounds import Section
from service.domain.yarns import Yarn

__all__ = [
    "ColourSource",
    "Colouring",
    "SectionColours",
    "StrandColours",
    "Stripe",
    "StripedColours",
]

#: More colours than any hat has; each of them is bought for by itself.
MOST_COLOURS = 24

#: The colour of each strand of a stretch of work; one name stands for all strands.
StrandColours: TypeAlias = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Stripe:
    """So many rounds in the same colours. [rounds, >= 1]"""

    colours: StrandColours
    round_count: int


@dataclass(frozen=True, slots=True)
class StripedColours:
    """Stripes that follow each other again and again, at least one."""

    stripes: tuple[Stripe, ...]


@dataclass(frozen=True, slots=True)
class SectionColours:
    """A ground, and sections in colours of their own; without sections the whole is in one."""

    ground: StrandColours
    by_section: Mapping[Section, StrandColours] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class ColourSource:
    """Where a colour comes from: its yarn with its own ball, and what is left from earlier work. [m, g]

    ``yarn`` is ``None`` where it is the yarn of the whole.
    """

    yarn: Yarn | None = None
    leftovers_m: tuple[float, ...] = ()
    leftovers_g: tuple[float, ...] = ()

    def lengths_m(self, strand_tex: float) -> tuple[float, ...]:
        """Return what is left from earlier work as lengths of one strand: ``g * 1000 / tex``.

        Examples
        --------
        >>> ColourSource(leftovers_m=(12.0,), leftovers_g=(5.0,)).lengths_m(500)
        (12.0, 10.0)
        """
        return (*self.leftovers_m, *(mass_g * 1000 / strand_tex for mass_g in self.leftovers_g))


@dataclass(frozen=True, slots=True)
class Colouring:
    """The colours of a piece of work, and the sources of those that have one of their own.

    Raises
    ------
    HatOutOfBounds
        If there are more colours than any hat has.
    ColourUnmatched
        If a source is for a colour that nothing is worked in, or for one that has a source already.
    """

    layout: StripedColours | SectionColours
    sources: tuple[tuple[str, ColourSource], ...] = ()

    def __post_init__(self) -> None:
        """Refuse too many colours, and sources that would not be used."""
        named, seen = set(self.names), set()
        if len(named) > MOST_COLOURS:
            raise HatOutOfBounds(what="colours", count=len(named), limit=MOST_COLOURS)
        for position, (colour, _) in enumerate(self.sources):
            if colour not in named:
                raise ColourUnmatched(entry_kind="source", position=position, fault="not_worked")
            if colour in seen:
                raise ColourUnmatched(entry_kind="source", position=position, fault="given_twice")
            seen.add(colour)

    @property
    def names(self) -> tuple[str, ...]:
        """Return every colour once, in the order in which they are named."""
        return tuple(dict.fromkeys(name for colours in self._strands() for name in colours))

    @property
    def source_by_colour(self) -> Mapping[str, ColourSource]:
        """Return the sources by their colour."""
        return dict(self.sources)

    def refuse_unequal(self, strand_count: int) -> None:
        """Raise if anything is to be worked in more or fewer colours than there are strands, and not in one.

        Raises
        ------
        StrandColoursUnequal
            With both counts.

        Examples
        --------
        >>> striped = Colouring(StripedColours((Stripe(("red", "blue"), 2), Stripe(("white",), 3))))
        >>> striped.refuse_unequal(2)
        >>> striped.refuse_unequal(3)
        Traceback (most recent call last):
        service.domain.errors.StrandColoursUnequal: 2 colours cannot be worked at once with 3 strands ...
        """
        for colours in self._strands():
            if len(colours) not in (1, strand_count):
                raise StrandColoursUnequal(colour_count=len(colours), strand_count=strand_count)

    def _strands(self) -> Iterator[StrandColours]:
        if isinstance(self.layout, StripedColours):
            yield from (stripe.colours for stripe in self.layout.stripes)
        else:
            yield from (self.layout.ground, *self.layout.by_section.values())
