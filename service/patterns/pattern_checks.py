"""Check the counts of a pattern that someone sent."""

from service.domain.errors import TextTooLong
from service.notation.checked_rounds import CountCheck
from service.notation.count_checks import MOST_BYTES, check_counts
from service.notation.terms import Terms

__all__ = ["check_pattern"]


def check_pattern(text: str, *, terms: Terms, start_stitch_count: int | None) -> CountCheck:
    """Return what each line of a pattern uses up, makes and declares.

    Parameters
    ----------
    text
        The pattern, a line for each round. [at most 64 KB in UTF-8]
    terms
        The terms it is written in.
    start_stitch_count
        Stitches that the first line finds, where the text does not begin with a foundation.

    Raises
    ------
    TextTooLong
        If the text holds more bytes.

    Examples
    --------
    >>> from service.notation.terms import UK
    >>> check_pattern("Rnd 2: dc in each st around. (80)", terms=UK, start_stitch_count=80).verdict
    'agrees'
    """
    byte_count = len(text.encode())
    if byte_count > MOST_BYTES:
        raise TextTooLong(byte_count=byte_count, limit_bytes=MOST_BYTES)
    return check_counts(text, terms, start_stitch_count)
