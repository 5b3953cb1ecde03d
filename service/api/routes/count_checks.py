"""Counts of written patterns."""

from flask import Response

from service.api.answers.count_checks import count_check_to_json
from service.api.operations import Resource, answer
from service.api.reading import read
from service.api.schemas.count_checks import CountCheckAnswer, CountCheckRequest

__all__ = ["count_checks"]

count_checks = Resource("count-checks", "Patterns")


@count_checks.calculation(
    "/v1/count-checks", request=CountCheckRequest, answer=CountCheckAnswer, problems=("text-too-long",)
)
def check_counts() -> Response:
    """Count a written pattern, round by round.

    Each line is read in US or UK terms, given the stitches before it: what it uses up, what it makes, what it
    declares. A fault says where the count went wrong, and a repair which one number to change. A line that
    is not understood says what was expected; nothing is guessed or skipped.

    A line makes no entry if it has no label of rounds, names no stitch or other work and does not end in a
    count: it is a heading, whatever else it says. Neither does a note behind `Gauge:`, `Materials:` or
    `Notes:`, or under such a heading where it cannot be read, nor a line that gives the name of an
    abbreviation. A round may go on over several lines; one for some sizes only is marked `(sizes 1–3 only)`.
    """
    return answer(count_check_to_json(read(CountCheckRequest)))
