"""From a filled worksheet to the request that a program would send, and from faults back to fields."""

import re
from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Any

from marshmallow import Schema

from service.api.fields import Choice, StrictInteger, StrictNested, StrictNumber
from service.api.pointers import Fault
from service.api.problems import problem_from_domain
from service.api.reading import Body
from service.api.schemas.pattern_sheets import PatternSheetRequest
from service.domain.errors import PatternMathError
from service.pages.typed_numbers import bounds_words, inches_beside, interface_number, units_of
from service.pages.worksheet_fields import FIELDS

__all__ = ["complaints_of", "refusals_of", "request_of"]

Entries = Mapping[str, str]
Complaints = dict[str, str]
Place = tuple[str, ...]

#: Where each field stands in the request.
_PLACES: Mapping[str, Place] = MappingProxyType(
    {
        "title": ("title",),
        "size": ("head", "size_id"),
        "head": ("head", "circumference_cm"),
        "age": ("head", "age_months"),
        "sex": ("head", "sex"),
        "style": ("style",),
        "fit": ("fit",),
        "covers": ("covers",),
        "stitches": ("gauge", "stitches_per_10cm"),
        "rounds": ("gauge", "rounds_per_10cm"),
        "measured_in": ("gauge", "fabric_id"),
        "washed": ("gauge", "washed"),
        "fabric": ("fabric", "fabric_id"),
        "brim": ("brim", "fabric_id"),
        "brim_height": ("brim", "height_cm"),
        "weight": ("yarn", "weight_category"),
        "ball_mass": ("yarn", "ball", "mass_g"),
        "ball_length": ("yarn", "ball", "length_m"),
        "fibre": ("yarn", "fibre"),
        "hook": ("hook_mm",),
        "ease": ("ease_cm",),
        "depth": ("depth_cm",),
        "cuff": ("cuff_cm",),
        "brim_stitches": ("brim_gauge", "stitches_per_10cm"),
        "brim_rounds": ("brim_gauge", "rounds_per_10cm"),
        "crown": ("crown_shape",),
        "crown_rounds": ("crown_round_count",),
        "worked": ("worked",),
        "round_style": ("round_style",),
        "hand": ("handedness",),
        "edging": ("edging",),
        "terms": ("terms",),
        "working": ("show_working",),
    }
)
_FIELD_AT: Mapping[Place, str] = MappingProxyType({place: name for name, place in _PLACES.items()})

#: The fields that say what is known of the head, by the answer that asks for them.
_HEAD_FIELDS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {"size": ("size",), "tape": ("head",), "age": ("age", "sex")}
)
_SWITCHES = ("washed", "working")
#: Lists whose values are numbers in the request.
_LISTED_NUMBERS = ("weight", "hook")

#: Which fields a refusal is about, by its problem type.
_ABOUT: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "brim-too-tall": ("brim_height",),
        "crown-cannot-close": ("crown_rounds",),
        "hat-out-of-bounds": ("stitches",),
        "no-room-for-head": ("ease",),
        "repeat-wider-than-hat": ("fabric",),
        "spiral-needs-plain-fabric": ("round_style",),
        "yarn-underdetermined": ("weight",),
    }
)
#: Refusals that name fields of the interface, in the words of the form.
_OWN_WORDS: Mapping[str, str] = MappingProxyType(
    {"yarn-underdetermined": "Choose the weight of the yarn, or say what one ball weighs and holds."}
)


def request_of(entries: Entries) -> Body:
    """Return the request that a filled form stands for; the schema refuses what cannot be used."""
    chosen = {**_first_answers(), **entries}
    body: Body = {"head": {}, "gauge": {}, "fabric": {}}
    for name in _told(chosen):
        _put(body, _PLACES[name], _value(name, chosen))
    if chosen.get("brim") == "none":
        body["brim"] = None
    return body


def _first_answers() -> Entries:
    return {name: FIELDS[name].first for name in ("head_by", "size", "fabric")}


def _told(chosen: Entries) -> Iterable[str]:
    """Return the fields that count: of the head's, those that were asked for."""
    heads = _HEAD_FIELDS.get(chosen["head_by"], ())
    asked_elsewhere = {name for names in _HEAD_FIELDS.values() for name in names} - set(heads)
    return [name for name in _PLACES if chosen.get(name) and name not in asked_elsewhere]


def _value(name: str, chosen: Entries) -> Any:
    text = chosen[name]
    if name in _SWITCHES:
        return text == "yes" or text
    if name in _LISTED_NUMBERS:
        return interface_number(text, measure="count", units="cm")
    measure = FIELDS[name].measure
    return (
        text
        if measure is None
        else interface_number(text, measure=measure, units=units_of(chosen.get("units", "")))
    )


def _put(body: Body, place: Place, value: Any) -> None:
    *folders, name = place
    for folder in folders:
        body = body.setdefault(folder, {})
    body[name] = value


def complaints_of(faults: Iterable[Fault], entries: Entries) -> Complaints:
    """Return what is wrong by the name of its field, in the units that were chosen."""
    complaints: Complaints = {}
    for fault in faults:
        place = tuple(fault["pointer"].split("/")[1:])
        complaints.setdefault(_field_at(place, entries), _words(fault, place, entries))
    return complaints


def _field_at(place: Place, entries: Entries) -> str:
    """Return the field at a place, or the first one below it; the head has a switch for it."""
    below = [name for at, name in _FIELD_AT.items() if at[: len(place)] == place]
    if place == ("head",):
        return {"tape": "head", "age": "age"}.get(entries.get("head_by", ""), "head_by")
    return below[0] if below else _FIELD_AT.get(place[:-1], "stitches")


def _words(fault: Fault, place: Place, entries: Entries) -> str:
    measure = FIELDS[_field_at(place, entries)].measure
    if fault["code"] in ("missing", "choose_variant"):
        return "Fill this in." if measure else "Choose one of these."
    if fault["code"] == "wrong_type" and measure:
        return "Write this as a number, such as 17 or 17.5."
    if fault["code"] == "not_listed":
        return "Choose one of these."
    bounds = _bounds_at(PatternSheetRequest, place) if fault["code"] == "out_of_range" else None
    if bounds is None or measure is None:
        return fault["detail"]
    units = units_of(entries.get("units", ""))
    return bounds_words(low=bounds[0], high=bounds[1], measure=measure, units=units)


def _bounds_at(schema: type[Schema], place: Place) -> tuple[float, float] | None:
    """Return the bounds of the number at a place of a request."""
    field = schema().fields.get(place[0])
    match field:
        case StrictNumber() | StrictInteger():
            return field.low, field.high
        case StrictNested() if len(place) > 1:
            return _bounds_at(field.schema_class, place[1:])
        case Choice() if len(place) > 1:
            return _bounds_at(field.variants[place[1]], place[1:])
    return None


def refusals_of(error: PatternMathError) -> Complaints:
    """Return what cannot be satisfied by the name of its field; the empty name is the whole form."""
    problem = problem_from_domain(error)
    words = _OWN_WORDS.get(problem.slug, inches_beside(problem.detail))
    if problem.slug == "choose-one":
        given = [
            _FIELD_AT[place] for place in map(_place_of, problem.extension["given"]) if place in _FIELD_AT
        ]
        labels = " or ".join(f"“{FIELDS[name].label}”" for name in given)
        return dict.fromkeys(given, f"Give {labels}, not both.") or {"": words}
    return dict.fromkeys(_ABOUT.get(problem.slug, ("",)), words)


def _place_of(name: str) -> Place:
    return tuple(re.split(r"[./]", name))
