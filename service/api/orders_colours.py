"""From the colours and the checkpoints of a request to those of the domain."""

from collections.abc import Mapping, Sequence
from typing import Any

from service.api.orders import known_yarn_of
from service.domain.errors import ChooseOne, RoundsNeeded
from service.domain.yarn_checkpoints import YarnState
from service.domain.yarn_colourings import (
    Colouring,
    ColourSource,
    SectionColours,
    Stripe,
    StripedColours,
)

__all__ = ["colouring_of", "refuse_changes_twice", "refuse_without_rounds", "states_of"]

Values = Mapping[str, Any]


def colouring_of(values: Values | None) -> Colouring | None:
    """Return the colours that a request names.

    Raises
    ------
    ColourUnmatched
        If a colour's yarn is given that is not one of them, or is given twice.
    YarnUnderdetermined
        If nothing is known of a colour's yarn.
    """
    if values is None:
        return None
    return Colouring(
        layout=_layout_of(values),
        sources=tuple(
            (each["colour"], _source_of(each, place=f"colouring.colour_yarns.{position}"))
            for position, each in enumerate(values.get("colour_yarns", ()))
        ),
    )


def _layout_of(values: Values) -> StripedColours | SectionColours:
    if "stripes" in values:
        stripes = (Stripe(tuple(each["colours"]), each["round_count"]) for each in values["stripes"])
        return StripedColours(tuple(stripes))
    if "section_colours" in values:
        by_section = {name: tuple(colours) for name, colours in values["section_colours"].items()}
        return SectionColours(tuple(values["ground"]), by_section)
    return SectionColours(tuple(values["colours"]))


def _source_of(values: Values, *, place: str) -> ColourSource:
    leftovers = values.get("leftovers", {})
    return ColourSource(
        yarn=None if values.get("yarn") is None else known_yarn_of(values["yarn"], place=f"{place}.yarn"),
        leftovers_m=tuple(leftovers.get("lengths_m", ())),
        leftovers_g=tuple(leftovers.get("masses_g", ())),
    )


def states_of(values: Sequence[Values]) -> tuple[YarnState, ...]:
    """Return what was weighed at the checkpoints of a request."""
    return tuple(
        YarnState(
            round_number=each["round"],
            mass_left_g=each["mass_left_g"],
            mass_used_g=each.get("mass_used_g"),
            colour=each.get("colour"),
        )
        for each in values
    )


def refuse_changes_twice(order: Values) -> None:
    """Raise if colours are named and their changes counted as well.

    Raises
    ------
    ChooseOne
        With the names of both.
    """
    if order.get("colouring") is not None and order["colour_change_count"]:
        names = ("colouring", "colour_change_count")
        raise ChooseOne(fields=names, given=names)


def refuse_without_rounds(order: Values) -> None:
    """Raise if anything is told by rounds of work that is only counted.

    Raises
    ------
    RoundsNeeded
        With what it is.
    """
    colouring = order.get("colouring") or {}
    told = [f"colouring.{name}" for name in ("stripes", "section_colours") if name in colouring]
    if order.get("checkpoints") is not None:
        told.append("checkpoints")
    if told and order.get("rounds") is None:
        raise RoundsNeeded(fields=told)
