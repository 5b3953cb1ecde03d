"""One declaration of an operation: it is the route and its entry in the document."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from flask import Blueprint, Response
from marshmallow import Schema

from service.api.encoding import json_bytes
from service.configuration import RULES_VERSION

__all__ = ["CROWN_PROBLEMS", "HAT_PROBLEMS", "READING_PROBLEMS", "Operation", "Resource", "answer"]

#: What can go wrong before a calculation begins.
READING_PROBLEMS = ("malformed-json", "body-too-large", "unsupported-media-type", "invalid-request")

#: What a crown may be refused for.
CROWN_PROBLEMS = (
    "choose-one",
    "crossing-outside-repeat",
    "crossing-unequal",
    "crown-cannot-close",
    "fabric-too-complex",
    "hat-out-of-bounds",
    "repeat-wider-than-hat",
    "shaping-out-of-reach",
)

#: What a whole hat may be refused for.
HAT_PROBLEMS = (
    *CROWN_PROBLEMS,
    "brim-too-tall",
    "colour-unmatched",
    "no-room-for-head",
    "spiral-needs-plain-fabric",
    "strand-colours-unequal",
    "yarn-underdetermined",
)

View = Callable[..., Response]


@dataclass(frozen=True, slots=True)
class Operation:
    """An operation as the document shows it."""

    path: str
    method: Literal["get", "post"]
    name: str
    summary: str
    description: str
    tag: str
    request: type[Schema] | None
    answer: type[Schema] | None
    media_types: tuple[str, ...]
    problems: tuple[str, ...]

    @property
    def operation_id(self) -> str:
        """Return the name in camel case: ``fit_repeats`` is ``fitRepeats``."""
        first, *rest = self.name.split("_")
        return first + "".join(word.capitalize() for word in rest)

    @property
    def noun(self) -> str:
        """Return the resource's noun as its path has it, which also names its examples."""
        return self.path.strip("/").rpartition("/")[2]


class Resource(Blueprint):
    """Routes of one noun that document themselves."""

    def __init__(self, noun: str, tag: str) -> None:
        super().__init__(noun, noun)
        self.tag = tag
        self.operations: list[Operation] = []

    def calculation(
        self,
        path: str,
        *,
        request: type[Schema],
        answer: type[Schema] | None,
        problems: Sequence[str] = (),
        media_types: Sequence[str] = ("application/json",),
    ) -> Callable[[View], View]:
        """Declare a POST that computes and stores nothing."""

        def declare(view: View) -> View:
            self._add(path, "post", view, request, answer, (*READING_PROBLEMS, *problems), tuple(media_types))
            return view

        return declare

    def table(self, path: str, *, answer: type[Schema]) -> Callable[[View], View]:
        """Declare a GET of a reference table."""

        def declare(view: View) -> View:
            self._add(path, "get", view, None, answer, (), ("application/json",))
            return view

        return declare

    def _add(
        self,
        path: str,
        method: Literal["get", "post"],
        view: View,
        request: type[Schema] | None,
        answer: type[Schema] | None,
        problems: tuple[str, ...],
        media_types: tuple[str, ...],
    ) -> None:
        first_line, _, rest = (view.__doc__ or "").strip().partition("\n")
        self.operations.append(
            Operation(
                path=path,
                method=method,
                name=view.__name__,
                summary=first_line.rstrip("."),
                description=" ".join(rest.split()),
                tag=self.tag,
                request=request,
                answer=answer,
                media_types=media_types,
                problems=problems,
            )
        )
        self.add_url_rule(path, view_func=view, methods=[method.upper()])


def answer(body: Mapping[str, Any]) -> Response:
    """Return a computed body as JSON, marked with the rules that computed it."""
    return Response(json_bytes({**body, "rules_version": RULES_VERSION}), content_type="application/json")
