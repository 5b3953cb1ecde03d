"""Problem documents (RFC 9457): every failure a client can see, and the one table that names them."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from flask import Response

from service.api.encoding import json_bytes
from service.domain import errors
from service.domain.rounding import printed

__all__ = [
    "PROBLEM_TYPES",
    "Problem",
    "ProblemResponse",
    "ProblemType",
    "problem_from_domain",
    "problem_response",
    "problem_to_json",
]

Extension = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class ProblemType:
    """One kind of failure. ``extension`` maps the members it adds to what they mean."""

    slug: str
    status: int
    title: str
    extension: Mapping[str, str] = field(default_factory=dict)


def _types(*rows: ProblemType) -> dict[str, ProblemType]:
    return {row.slug: row for row in rows}


_ERRORS_MEMBER = "Every fault found: `pointer` (RFC 6901) to the value, `code`, and `detail` in words."
_UNITS = "What the request would cost."
_LIMIT = "What a request may cost."

PROBLEM_TYPES = _types(
    ProblemType("malformed-json", 400, "The body is not readable JSON"),
    ProblemType("unauthorized", 401, "A valid API key is needed"),
    ProblemType("not-found", 404, "There is nothing at this address"),
    ProblemType("method-not-allowed", 405, "This address does not take that method"),
    ProblemType(
        "not-acceptable",
        406,
        "The answer is not made in that form",
        {"available": "The media types on offer."},
    ),
    ProblemType("body-too-large", 413, "The body is too large", {"limit_bytes": "The most a body may hold."}),
    ProblemType("unsupported-media-type", 415, "The body must be plain JSON"),
    ProblemType("invalid-request", 422, "The body does not keep to the document", {"errors": _ERRORS_MEMBER}),
    ProblemType(
        "choose-one",
        422,
        "Give one of these fields, not both",
        {"fields": "The fields to choose from.", "given": "Those of them that were given."},
    ),
    ProblemType(
        "fit-band-empty",
        422,
        "The fit band holds no circumference",
        {"low_cm": "The low end that was given, in cm.", "high_cm": "The high end that was given, in cm."},
    ),
    ProblemType(
        "crown-cannot-close",
        422,
        "The crown has too few rounds to close",
        {"smallest_round_count": "The fewest crown rounds that close."},
    ),
    ProblemType(
        "repeat-wider-than-hat",
        422,
        "One repeat is wider than the hat",
        {"largest_stitch_multiple": "The widest repeat that this hat can hold."},
    ),
    ProblemType(
        "shaping-out-of-reach",
        422,
        "One round cannot change that much",
        {"low": "The fewest stitches the round can have.", "high": "The most stitches the round can have."},
    ),
    ProblemType(
        "brim-too-tall",
        422,
        "The parts are taller than the hat",
        {"depth_cm": "The depth in cm that would do."},
    ),
    ProblemType(
        "crossing-unequal",
        422,
        "A crossed column must be twice as wide as its crossing",
        {"width": "The width that was given.", "over": "The stitches that cross over as many."},
    ),
    ProblemType(
        "crossing-outside-repeat",
        422,
        "A column crosses outside its vertical repeat",
        {"round": "The round that was given.", "largest_round": "The last round on which it can cross."},
    ),
    ProblemType(
        "spiral-needs-plain-fabric",
        422,
        "A spiral needs a plain fabric",
        {"stitches": "The stitches a spiral can be worked in."},
    ),
    ProblemType(
        "no-room-for-head",
        422,
        "The hat is too tight to be pulled on",
        {"inner_cm": "What it would measure inside, in cm.", "head_cm": "The head, in cm."},
    ),
    ProblemType(
        "yarn-underdetermined",
        422,
        "The yarn cannot be reckoned from this",
        {"missing": "What would do, any one of them."},
    ),
    ProblemType(
        "fabric-too-complex",
        422,
        "The exact crown of this fabric takes too long",
        {"work_units": _UNITS, "limit": _LIMIT},
    ),
    ProblemType(
        "work-budget-exceeded", 422, "The request takes too long", {"work_units": _UNITS, "limit": _LIMIT}
    ),
    ProblemType(
        "hat-out-of-bounds",
        422,
        "No hat has that many rounds, stitches or colours",
        {"count": "What the hat would have.", "limit": "The most that is planned."},
    ),
    ProblemType(
        "text-too-long",
        422,
        "The text is longer than is read at once",
        {"byte_count": "The bytes that were sent, in UTF-8.", "limit_bytes": "The most that are read."},
    ),
    ProblemType(
        "drawing-too-large",
        422,
        "The chart has too many symbols",
        {"symbol_count": "The symbols it would have.", "limit": "The most a chart may have."},
    ),
    ProblemType(
        "nothing-to-draw",
        422,
        "The hat does not have that part",
        {"kinds": "The kinds of drawing that this hat has."},
    ),
    ProblemType(
        "state-contradicts-plan",
        422,
        "The work on the hook is not this plan's",
        {"round": "The round of the plan where the work departs from it."},
    ),
    ProblemType(
        "rounds-needed",
        422,
        "Counted stitches have no rounds",
        {"fields": "What can only be told of work that is sent as `rounds`."},
    ),
    ProblemType(
        "round-beyond-end",
        422,
        "The round comes after the last one",
        {"round": "The round that was given.", "largest_round": "The last round of the work."},
    ),
    ProblemType(
        "strand-colours-unequal",
        422,
        "The colours are not as many as the strands",
        {"colour_count": "The colours that were named at once.", "strand_count": "The strands."},
    ),
    ProblemType(
        "colour-unmatched",
        422,
        "An entry is not for one colour of the work",
        {"pointer": "Where it stands in the request (RFC 6901)."},
    ),
    ProblemType("rate-limited", 429, "Too many requests"),
    ProblemType("internal-error", 500, "The service failed"),
    ProblemType("not-ready", 503, "The service is not ready"),
)


@dataclass(frozen=True, slots=True)
class Problem:
    """A failure to be sent: its type, this occurrence in words, and the members its type adds."""

    slug: str
    detail: str
    extension: Extension = field(default_factory=dict)


_Members = Callable[[Any], dict[str, Any]]


def _members(*names: str) -> _Members:
    return lambda error: {name: getattr(error, name) for name in names}


#: From what the mathematics refuses to the problem type a client sees, and the members it carries.
_DOMAIN_PROBLEMS: dict[type[errors.PatternMathError], tuple[str, _Members]] = {
    errors.ChooseOne: ("choose-one", _members("fields", "given")),
    errors.FitBandEmpty: ("fit-band-empty", _members("low_cm", "high_cm")),
    errors.CrownCannotClose: ("crown-cannot-close", _members("smallest_round_count")),
    errors.RepeatWiderThanHat: ("repeat-wider-than-hat", _members("largest_stitch_multiple")),
    errors.ShapingOutOfReach: ("shaping-out-of-reach", _members("low", "high")),
    errors.BrimTooTall: ("brim-too-tall", _members("depth_cm")),
    errors.CrossingOutsideRepeat: ("crossing-outside-repeat", _members("round", "largest_round")),
    errors.SpiralNeedsPlainFabric: ("spiral-needs-plain-fabric", _members("stitches")),
    errors.NoRoomForHead: ("no-room-for-head", _members("inner_cm", "head_cm")),
    errors.RepeatTooWide: ("fabric-too-complex", _members("work_units", "limit")),
    errors.CrossingUnequal: ("crossing-unequal", _members("width", "over")),
    errors.YarnUnderdetermined: ("yarn-underdetermined", _members("missing")),
    errors.FabricTooComplex: ("fabric-too-complex", _members("work_units", "limit")),
    errors.WorkBudgetExceeded: ("work-budget-exceeded", _members("work_units", "limit")),
    errors.TextTooLong: ("text-too-long", _members("byte_count", "limit_bytes")),
    errors.DrawingTooLarge: ("drawing-too-large", _members("symbol_count", "limit")),
    errors.NothingToDraw: ("nothing-to-draw", _members("kinds")),
    errors.StateContradictsPlan: ("state-contradicts-plan", _members("round")),
    errors.RoundsNeeded: ("rounds-needed", _members("fields")),
    errors.RoundBeyondEnd: ("round-beyond-end", _members("round", "largest_round")),
    errors.StrandColoursUnequal: ("strand-colours-unequal", _members("colour_count", "strand_count")),
    errors.ColourUnmatched: ("colour-unmatched", _members()),
    errors.HatOutOfBounds: ("hat-out-of-bounds", _members("count", "limit")),
}


#: Where a request has the entries for one colour.
_COLOUR_ENTRIES = {"source": "/colouring/colour_yarns", "state": "/checkpoints"}


def problem_from_domain(error: errors.PatternMathError, *, hat_pointer: str = "") -> Problem:
    """Return the problem that tells a client what the mathematics refused.

    ``hat_pointer`` is where the hat stands in the request.
    """
    slug, members = _DOMAIN_PROBLEMS[type(error)]
    if isinstance(error, errors.ColourUnmatched):
        place = f"{_COLOUR_ENTRIES[error.entry_kind]}/{error.position}/colour"
        return Problem(slug, str(error), {"pointer": f"{hat_pointer}{place}"})
    if error.fabric_position is not None:
        return Problem(slug, str(error), {**members(error), "pointer": f"/fabrics/{error.fabric_position}"})
    if error.size_head_mm is None or isinstance(error, errors.WorkBudgetExceeded):
        return Problem(slug, str(error), members(error))
    head_cm = printed(error.size_head_mm / 10, 2)
    where = {"size_head_cm": head_cm, "pointer": f"/heads/{error.head_position}"}
    return Problem(slug, f"For the head of {head_cm:g} cm: {error}", {**members(error), **where})


def problem_to_json(problem: Problem) -> dict[str, Any]:
    """Return a problem with the members of RFC 9457."""
    kind = PROBLEM_TYPES[problem.slug]
    return {
        "type": f"/problems/{kind.slug}",
        "title": kind.title,
        "status": kind.status,
        "detail": problem.detail,
        **problem.extension,
    }


class ProblemResponse(Response):
    """A problem as a response: media type, status and body; ``slug`` is its type."""

    def __init__(self, problem: Problem) -> None:
        self.slug = problem.slug
        super().__init__(
            json_bytes(problem_to_json(problem)),
            status=PROBLEM_TYPES[problem.slug].status,
            content_type="application/problem+json",
        )


def problem_response(problem: Problem) -> ProblemResponse:
    """Return a problem as a response."""
    return ProblemResponse(problem)
