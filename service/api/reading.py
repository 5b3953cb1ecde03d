"""Read a request body strictly: what the document forbids is refused, nothing is corrected."""

import json
from collections.abc import Generator, Iterable
from typing import Any, NoReturn, TypeVar

from flask import Request, current_app, g, request
from gunicorn.http.body import ChunkedReader
from gunicorn.http.errors import ParseException
from marshmallow import Schema, ValidationError

from service.api.pointers import faults_of
from service.api.problems import Problem

__all__ = ["BodyRefused", "hat_pointer", "parse", "parse_bytes", "read", "read_json"]

DEEPEST_NESTING = 32
#: Chunks of a body, or parts of them as they arrive: a mebibyte in the packets of a slow line is a tenth.
MOST_PIECES = 10_000
#: Faults beyond these are counted, not told: an answer should not outgrow its request.
MOST_FAULTS_TOLD = 100
#: Members that hold a whole hat.
_HATS = ("design", "plan")
_JSON_TYPES = {"application/json"}

Body = dict[str, Any]
_Value = TypeVar("_Value")


class BodyRefused(Exception):
    """A body that cannot be read or does not keep to the document."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        super().__init__(problem.detail)


def read(schema: type[Schema], *, body_limits: int = 1) -> Body:
    """Return the body of the current request, held against a schema.

    ``body_limits`` is how many times as long as other bodies it may be.
    """
    request.max_content_length = body_limits * current_app.config["MAX_CONTENT_LENGTH"]
    body = parse(schema, read_json(request))
    g.hat_pointer = next((f"/{name}" for name in _HATS if name in body), "")
    return body


def hat_pointer() -> str:
    """Return where the hat stands in the body of the current request; empty if it is the body itself."""
    pointer: str = g.get("hat_pointer", "")
    return pointer


def parse(schema: type[Schema], value: object) -> Body:
    """Return a JSON value held against a schema, or refuse it with every fault and its pointer.

    Raises
    ------
    BodyRefused
        With ``invalid-request`` and one entry for each fault.
    """
    if not isinstance(value, dict):
        fault = {"pointer": "", "code": "wrong_type", "detail": "The body must be a JSON object."}
        raise BodyRefused(Problem("invalid-request", fault["detail"], {"errors": [fault]}))
    try:
        loaded: Body = _instance(schema).load(value)
    except ValidationError as error:
        faults = faults_of(error.normalized_messages())  # type: ignore[no-untyped-call]
        detail = f"{len(faults)} value{'s' if len(faults) > 1 else ''} cannot be used; see `errors`."
        told = faults[:MOST_FAULTS_TOLD]
        raise BodyRefused(Problem("invalid-request", detail, {"errors": told})) from None
    return loaded


def _instance(schema: type[Schema]) -> Schema:
    """Return the schema ready to load; making one is slow, so the application keeps them."""
    kept: dict[type[Schema], Schema] = current_app.extensions.setdefault("request_schemas", {})
    if schema not in kept:
        kept[schema] = schema()
    return kept[schema]


def read_json(message: Request) -> object:
    """Return the JSON value of a request's body.

    Raises
    ------
    BodyRefused
        For a wrong media type, a body that is too large, or JSON that cannot be read one way only.
    """
    _refuse_other_media_types(message)
    return parse_bytes(_body_bytes(message))


def _refuse_other_media_types(message: Request) -> None:
    charset = message.mimetype_params.get("charset", "utf-8").lower()
    coding = message.headers.get("Content-Encoding", "identity").lower()
    if message.mimetype not in _JSON_TYPES or charset not in ("utf-8", "utf8") or coding != "identity":
        detail = "Send the body as application/json in UTF-8, without Content-Encoding."
        raise BodyRefused(Problem("unsupported-media-type", detail))


def _body_bytes(message: Request) -> bytes:
    limit = message.max_content_length or 0
    if message.content_length is not None and message.content_length > limit:
        _refuse_large(limit)
    _bound_pieces(message.environ["wsgi.input"])
    try:
        body = message.get_data(cache=False)
        # A chunked body is cut at the limit without a word: one more byte tells.
        is_cut = message.content_length is None and message.environ["wsgi.input"].read(1)
    except _TooManyPieces:
        _refuse_json(f"The body comes in more than {MOST_PIECES} pieces. Send larger chunks, or no chunks.")
    except SystemExit:
        # So the server ends a worker at its time limit; the caller was still sending, no fault of ours.
        _refuse_json("The body did not arrive in time. Send it at once.")
    except (OSError, ParseException):
        # So the server tells that a caller fell silent or broke the framing, which is no fault of ours.
        _refuse_json("The body breaks off, or its chunks are not framed as HTTP has them.")
    if len(body) > limit or is_cut:
        _refuse_large(limit)
    return body


class _TooManyPieces(Exception):
    """A chunked body that is cut so small that reading it costs more than its length allows for."""


def _bound_pieces(stream: Any) -> None:
    """Bound how many pieces a chunked body may come in: each costs the server as much as 8 KiB do."""
    reader = getattr(stream, "reader", None)
    if isinstance(reader, ChunkedReader) and reader.parser is not None:
        reader.parser = _few(reader.parser)


def _few(pieces: Iterable[bytes]) -> Generator[bytes, None, None]:
    for position, piece in enumerate(pieces):
        if position == MOST_PIECES:
            raise _TooManyPieces
        yield piece


def _refuse_large(limit: int) -> NoReturn:
    detail = f"The body is larger than {limit} bytes. Send a smaller one."
    raise BodyRefused(Problem("body-too-large", detail, {"limit_bytes": limit}))


def parse_bytes(body: bytes) -> object:
    """Return the JSON value that bytes hold, where every reader reads the same.

    Raises
    ------
    BodyRefused
        With ``malformed-json``.

    Examples
    --------
    >>> parse_bytes(b'{"stitch_count": 72}')
    {'stitch_count': 72}
    >>> try:
    ...     parse_bytes(b'{"a": 1, "a": 2}')
    ... except BodyRefused as refused:
    ...     print(refused)
    An object has the same key twice. Send each key once.
    """
    try:
        value: object = json.loads(
            body.decode("utf-8"), object_pairs_hook=_unique, parse_constant=_no_constant
        )
    except UnicodeDecodeError:
        _refuse_json("The body is not UTF-8.")
    except json.JSONDecodeError as error:
        _refuse_json(f"The body is not JSON: a fault at line {error.lineno}, column {error.colno}.")
    except RecursionError:
        _refuse_json(_TOO_DEEP)
    except ValueError as error:
        _refuse_json(str(error) if isinstance(error, _NotPlain) else "A number has too many digits.")
    _refuse_deep_or_broken(value)
    return value


class _NotPlain(ValueError):
    """JSON that different readers would read differently."""


def _unique(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    members = dict(pairs)
    if len(members) != len(pairs):
        raise _NotPlain("An object has the same key twice. Send each key once.")
    return members


def _no_constant(_: str) -> NoReturn:
    raise _NotPlain("NaN and Infinity are not JSON. Send a number, or leave the field out.")


_TOO_DEEP = f"The body nests deeper than {DEEPEST_NESTING} levels."


def _refuse_deep_or_broken(value: object) -> None:
    """Refuse nesting beyond the bound and text that is no Unicode (a lone half of a surrogate pair)."""
    level, depth = [value], 0
    while level:
        if any(isinstance(item, str) and not _is_unicode(item) for item in level):
            _refuse_json("A string holds half a surrogate pair, which is no character.")
        containers = [item for item in level if isinstance(item, dict | list)]
        depth += 1
        if containers and depth > DEEPEST_NESTING:
            _refuse_json(_TOO_DEEP)
        level = [inner for item in containers for inner in _inside(item)]


def _inside(item: dict[str, Any] | list[Any]) -> list[Any]:
    return [*item.keys(), *item.values()] if isinstance(item, dict) else item


def _is_unicode(text: str) -> bool:
    return text.isascii() or not any("\ud800" <= letter <= "\udfff" for letter in text)


def _refuse_json(detail: str) -> NoReturn:
    raise BodyRefused(Problem("malformed-json", detail))
