"""Count what is worked in chains: spaces by their number, or each chain of a space."""

from dataclasses import dataclass

from service.notation.course import Course
from service.notation.faults import NotUnderstood
from service.notation.tree import Place, SkipStitches
from service.notation.units import LONGEST_LENGTH

__all__ = ["SpacesCourse"]


@dataclass(slots=True)
class SpacesCourse(Course):
    """A round that may be worked into the chain spaces of the round before."""

    def _is_space(self, place_unit: str, column: int) -> bool:
        if place_unit == "ch" and not self.has_chains:
            if self.spaces == 0:
                raise NotUnderstood(
                    column=column, code="wrong_place", detail="The round before has no chains to work into."
                )
            return True
        return place_unit == "space"

    def _spaces_of(self, count: int, place_unit: str, column: int) -> int:
        """Return how many spaces so many are: chains fill the spaces that have so many chains together.

        Raises
        ------
        NotUnderstood
            If a space is filled in part, or nobody knows how many chains the spaces have.
        """
        lengths = self.space_lengths
        if place_unit != "ch" or not self._are_chains_long() or not count:
            return count
        each = lengths[0]
        if 0 < each < LONGEST_LENGTH and lengths == lengths[:1] * len(lengths) and count % each == 0:
            return count // each
        end = self.used_spaces
        while not self.is_nested and count > 0 and end < len(lengths) and 0 < lengths[end] < LONGEST_LENGTH:
            count -= lengths[end]
            end += 1
        if count or self.is_nested:
            raise NotUnderstood(
                column=column,
                code="ambiguous",
                detail="A chain space has more than one chain here. Say 'ch-2 sp' for a space of two chains.",
            )
        return end - self.used_spaces

    def _are_chains_long(self) -> bool:
        """Return whether any chain space of the round before is known to be other than one chain."""
        return bool(self.space_lengths.strip(b"\1"))

    def _demand(self, named: Place | SkipStitches) -> bytes:
        length = 0 if named.length is None else self.number(named.length)
        return self.demand(stitch=named.stitch, length=length, column=named.column)
