"""From a filled worksheet to the request that a program would send, and from faults back to fields."""

import re
from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Any

from marshmallow import Schema

from service.api.fields import Choice, StrictInteger, StrictList, StrictNested, StrictNumber
from service.api.pointers import Fault
from service.api.problems import problem_from_domain
from service.api.reading import Body
from service.api.schemas.pattern_sheets import PatternSheetRequest
from service.api.worksheet_columns import column_field_at, own_columns
from service.domain.errors import PatternMathError
from service.pages.typed_counts import typed_counts
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
        "own_stitch": ("fabric", "stitch"),
        "own_rounds": ("fabric", "round_repeat_count"),
        "own_flip": ("fabric", "flip_round_count"),
        "brim_height": ("brim", "height_cm"),
        "brim_round_count": ("brim", "round_count"),
        "weight": ("yarn", "weight_category"),
        "ball_mass": ("yarn", "ball", "mass_g"),
        "ball_length": ("yarn", "ball", "length_m"),
        "fibre": ("yarn", "fibre"),
        "strands": ("yarn", "strand_count"),
        "tex": ("yarn", "tex"),
        "swatch_mass": ("swatch", "mass_g"),
        "swatch_stitches": ("swatch", "stitch_counts"),
        "hook": ("hook_mm",),
        "ease": ("ease_cm",),
        "depth": ("depth_cm",),
        "cuff": ("cuff_cm",),
        "brim_stitches": ("brim_gauge", "stitches_per_10cm"),
        "brim_rounds": ("brim_gauge", "rounds_per_10cm"),
        "crown": ("crown_shape",),
        "crown_rounds": ("crown_round_count",),
        "crown_depth": ("crown_depth_cm",),
        "placement": ("decrease_placement",),
        "sections": ("section_count",),
        "worked": ("worked",),
        "round_style": ("round_style",),
        "start_chain": ("start_chain_counts",),
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
_SWITCHES = ("washed", "start_chain", "working")
_OWN_FABRIC = ("own_stitch", "own_rounds", "own_flip")
#: Fields of words that are typed.
_TYPED_WORDS = ("title", "swatch_stitches")
#: Lists whose values are numbers in the request.
_LISTED_NUMBERS = ("weight", "hook")

#: Which fields a refusal can be about, by its problem type: those that somebody filled in, or else the last.
_ABOUT: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "brim-too-tall": (
            "brim_height",
            "brim_round_count",
            "depth",
            "crown_rounds",
            "crown_depth",
            "cuff",
            "rounds",
        ),
        "crossing-outside-repeat": ("own_rounds",),
        "crown-cannot-close": ("crown_depth", "crown_rounds"),
        "fabric-too-complex": ("fabric",),
        "hat-out-of-bounds": ("stitches",),
        "no-room-for-head": ("ease",),
        "repeat-wider-than-hat": ("fabric",),
        "spiral-needs-plain-fabric": ("round_style",),
        "yarn-underdetermined": ("weight",),
    }
)
#: Fields that no hat can do without.
_ALWAYS = ("fabric", "rounds", "stitches")

#: Refusals that name fields of the interface, in the words of the form.
_OWN_WORDS: Mapping[str, str] = MappingProxyType(
    {"yarn-underdetermined": "Choose the weight of the yarn, or say what one ball weighs and holds."}
)

#: Faults that the form tells in its own words, by the last member of their place and their code.
_FORM_WORDS = (
    (
        "over",
        "wrong_type",
        "A cable is an even number of stitches wide: half of them cross over the other half.",
    ),
    ("columns", "out_of_range", "Fill in at least one column."),
    ("stitch_counts", "wrong_type", "Write each stitch with its number, such as 21 ch, 360 fpdc."),
)


def request_of(entries: Entries) -> Body:
    """Return the request that a filled form stands for; the schema refuses what cannot be used."""
    chosen = {**_first_answers(), **entries}
    body: Body = {"head": {}, "gauge": {}, "fabric": {}}
    for name in _asked_fields(chosen):
        _put(body, _PLACES[name], _value(name, chosen))
    if chosen["fabric"] == "own":
        body["fabric"]["columns"] = own_columns(chosen, lambda name: _value(name, chosen))
    if chosen.get("brim") == "none":
        body["brim"] = None
    return body


def _first_answers() -> Entries:
    return {name: FIELDS[name].first for name in ("head_by", "size", "fabric", "own_stitch")}


def _asked_fields(chosen: Entries) -> Iterable[str]:
    """Return the fields that count: of the head's and of the fabric's, those that were asked for."""
    heads = _HEAD_FIELDS.get(chosen["head_by"], ())
    aside = {name for names in _HEAD_FIELDS.values() for name in names} - set(heads)
    aside |= {"fabric"} if chosen["fabric"] == "own" else set(_OWN_FABRIC)
    return [name for name in _PLACES if chosen.get(name) and name not in aside]


def _value(name: str, chosen: Entries) -> Any:
    text = chosen[name]
    if name in _SWITCHES:
        return text == "yes" or text
    if name in _LISTED_NUMBERS:
        return interface_number(text, measure="count", units="cm")
    if name == "swatch_stitches":
        return typed_counts(text)
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
    if place == ("head",):
        return {"tape": "head", "age": "age"}.get(entries.get("head_by", ""), "head_by")
    return column_field_at(place, entries) or _named(place) or _FIELD_AT.get(place[:-1], "stitches")


def _named(place: Place) -> str | None:
    """Return the field at a place, or the first one below it."""
    return next((name for at, name in _FIELD_AT.items() if at[: len(place)] == place), None)


def _words(fault: Fault, place: Place, entries: Entries) -> str:
    name, code = _field_at(place, entries), fault["code"]
    measure = FIELDS[name].measure
    for end, of_code, words in _FORM_WORDS:
        if place[-1] == end and code == of_code:
            return words
    if code in ("missing", "choose_variant"):
        return "Fill this in." if measure or name in _TYPED_WORDS else "Choose one of these."
    if code == "wrong_type" and measure:
        is_count = measure == "count"
        return (
            f"Write this as {'a whole number, such as 17' if is_count else 'a number, such as 17 or 17.5'}."
        )
    if code == "not_listed":
        return "Choose one of these."
    bounds = _bounds_at(PatternSheetRequest, place) if code == "out_of_range" else None
    if bounds is None or measure is None:
        return fault["detail"]
    units = units_of(entries.get("units", ""))
    return bounds_words(low=bounds[0], high=bounds[1], measure=measure, units=units)


def _bounds_at(schema: type[Schema], place: Place) -> tuple[float, float] | None:
    """Return the bounds of the number at a place of a request."""
    name, *rest = place
    field = schema().fields.get(name)
    if isinstance(field, StrictList) and rest:
        field, rest = field.inner, rest[1:]
    match field:
        case StrictNumber() | StrictInteger():
            return field.low, field.high
        case StrictNested() if rest:
            return _bounds_at(field.schema_class, tuple(rest))
        case Choice() if rest:
            variants = (each for each in field.variants.values() if rest[0] in each().fields)
            variant = next(variants, None)
            return None if variant is None else _bounds_at(variant, tuple(rest))
    return None


def refusals_of(error: PatternMathError, entries: Entries) -> Complaints:
    """Return what cannot be satisfied by the name of its field; the empty name is the whole form.

    Of the fields that a refusal can be about, those are named that somebody filled in.
    """
    problem = problem_from_domain(error)
    words = _OWN_WORDS.get(problem.slug, inches_beside(problem.detail))
    if problem.slug == "choose-one":
        named = (_named(_place_of(each)) for each in problem.extension["given"])
        given = [name for name in named if name is not None]
        labels = " or ".join(f"“{FIELDS[name].label}”" for name in given)
        return dict.fromkeys(given, f"Give {labels}, not both.") or {"": words}
    about = _ABOUT.get(problem.slug, ("",))
    return dict.fromkeys(_typed_of(about, entries) or about[-1:], words)


def _typed_of(names: tuple[str, ...], entries: Entries) -> tuple[str, ...]:
    """Return the fields that were filled in, without those that every form has where there are others."""
    typed = tuple(name for name in names if name in entries)
    return tuple(name for name in typed if name not in _ALWAYS) or typed


def _place_of(name: str) -> Place:
    return tuple(re.split(r"[./]", name))
