"""From the values of a class's request to its order, and what is wrong with single participants."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import starmap
from typing import Any

from marshmallow import ValidationError

from service.api.orders import head_of, known_yarn_of, refuse_both
from service.api.orders_hats import hat_order_of
from service.api.pointers import faults_of
from service.api.problems import Problem
from service.api.schemas.class_kits import REFERENCE, ParticipantValues
from service.domain.class_kits import ClassOrder, Participant
from service.domain.class_yarns import ClassYarn
from service.domain.tables import ReferenceTables
from service.notation.terms import TermsId

__all__ = ["ClassRequest", "Entry", "class_request_of"]

Values = Mapping[str, Any]
Fault = dict[str, str]

_REFERENCE = re.compile(REFERENCE)

#: Why a reference is refused: the class is organized here, its people are not known.
_ADDRESS = "This could be an e-mail address. Send a mark of your own that tells nobody who it is, as seat-7."
_NAME = "This could be a name. Send a mark of your own without spaces that tells nobody who it is, as seat-7."
_FORM = "Give 1 to 64 letters, digits, dots, dashes and underscores, a letter or digit first, as seat-7."


@dataclass(frozen=True, slots=True)
class Entry:
    """A participant as they were sent: their reference where it may be told, and what is wrong if anything.

    ``terms_id`` are the terms in which they read patterns.
    """

    reference: str | None
    terms_id: TermsId
    problem: Problem | None


@dataclass(frozen=True, slots=True)
class ClassRequest:
    """What was sent: everybody in order, and the class of those who can be planned for."""

    entries: tuple[Entry, ...]
    order: ClassOrder


def class_request_of(values: Values, tables: ReferenceTables) -> ClassRequest:
    """Return the class that a request asks for.

    Raises
    ------
    PatternMathError
        Where the design itself cannot be made, whoever takes part.
    """
    design = values["design"]
    if values.get("yarns") and design.get("yarn"):
        refuse_both({"yarns": True, "design.yarn": True}, "yarns", "design.yarn")
    bounds = ParticipantValues()
    checked = [
        _checked(position, sent, values, bounds) for position, sent in enumerate(values["participants"])
    ]
    pace = values.get("pace_units_per_minute") or design.get("pace_units_per_minute")
    some_head = {"circumference_cm": 56.0}
    return ClassRequest(
        entries=tuple(entry for entry, _ in checked),
        order=ClassOrder(
            participants=tuple(
                _participant_of(loaded, tables) for entry, loaded in checked if entry.problem is None
            ),
            design=hat_order_of({**design, "head": some_head, "pace_units_per_minute": pace}, tables),
            yarns=tuple(starmap(_yarn_of, enumerate(values.get("yarns", ())))),
            class_hours=values.get("class_hours"),
        ),
    )


def _yarn_of(position: int, values: Values) -> ClassYarn:
    yarn = known_yarn_of(values, place=f"yarns.{position}")
    return ClassYarn(yarn=yarn, name=values["name"], colour=values.get("colour"))


def _participant_of(values: Values, tables: ReferenceTables) -> Participant:
    handedness = values.get("handedness")
    return Participant(
        head=head_of(values["head"], tables),
        fit=values.get("fit"),
        evenness=values.get("evenness"),
        is_left_handed=None if handedness is None else handedness == "left",
        yarn_position=values.get("yarn_choice"),
    )


def _checked(position: int, sent: Values, values: Values, bounds: ParticipantValues) -> tuple[Entry, Values]:
    """Return a participant's entry, and their values held to the bounds."""
    faults: list[Fault] = []
    try:
        loaded: Values = bounds.load(sent)
    except ValidationError as error:
        loaded = {}
        faults = _of_other_values(faults_of(error.normalized_messages()))  # type: ignore[no-untyped-call]
    reference = sent["reference"]
    is_told = _REFERENCE.fullmatch(reference) is not None
    if not is_told:
        faults.insert(0, {"pointer": "/reference", **_reference_fault(reference)})
    faults += _yarn_faults(sent.get("yarn_choice", 0), values)
    problem = _problem(position, faults) if faults else None
    terms_id: TermsId = loaded.get("terms", values["design"]["terms"])
    return Entry(reference if is_told else None, terms_id, problem), loaded


def _of_other_values(faults: Sequence[Fault]) -> list[Fault]:
    """Return the faults of everything but reference and yarn, which are refused with reasons of their own."""
    return [fault for fault in faults if fault["pointer"] not in ("/reference", "/yarn_choice")]


def _reference_fault(reference: str) -> Fault:
    if "@" in reference:
        return {"code": "personal_data", "detail": _ADDRESS}
    if any(letter.isspace() for letter in reference.strip()):
        return {"code": "personal_data", "detail": _NAME}
    return {"code": "bad_form", "detail": _FORM}


def _yarn_faults(choice: int, values: Values) -> list[Fault]:
    """Return what is wrong with the choice of a yarn; 0 is the first, or no yarn at all."""
    yarn_count = len(values.get("yarns", ()))
    if 0 <= choice < max(yarn_count, 1):
        return []
    detail = _choices(yarn_count, has_own_yarn=values["design"].get("yarn") is not None)
    return [{"pointer": "/yarn_choice", "code": "out_of_range", "detail": detail}]


def _choices(yarn_count: int, *, has_own_yarn: bool) -> str:
    """Return what there is to choose from."""
    if yarn_count > 1:
        numbers = f"Give a whole number from 0 to {yarn_count - 1}"
        return f"{numbers}: the place of a yarn among the {yarn_count} `yarns`."
    if yarn_count == 1 or has_own_yarn:
        return "Give 0 or leave it out: there is one yarn."
    return "Leave it out: there are no `yarns` to choose from."


def _problem(position: int, faults: Sequence[Fault]) -> Problem:
    told = [{**fault, "pointer": f"/participants/{position}{fault['pointer']}"} for fault in faults]
    count = f"{len(faults)} value{'s' if len(faults) > 1 else ''}"
    detail = f"{count} of this participant cannot be used; see `errors`."
    return Problem("invalid-request", detail, {"errors": told})
