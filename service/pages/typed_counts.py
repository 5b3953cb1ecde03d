"""Stitches as people write them down, and their way into the interface."""

import re

__all__ = ["typed_counts"]

_ONE = re.compile(r"(\d{1,7})\s*(?:x|×)?\s*([a-z][a-z0-9_ ]{0,15})")


def typed_counts(text: str) -> dict[str, int] | str:
    """Return numbers by stitch code, or the text itself where it is something else.

    Text that counts no stitches is refused later, like everything else that does not keep to the document.

    Examples
    --------
    >>> typed_counts("21 ch, 360 FPdc; 38 sl st")
    {'ch': 21, 'fpdc': 360, 'sl_st': 38}
    >>> typed_counts("a few")
    'a few'
    """
    counts: dict[str, int] = {}
    for part in filter(None, (each.strip().lower() for each in re.split("[,;]", text))):
        found = _ONE.fullmatch(part)
        code = "" if found is None else found[2].strip().replace(" ", "_")
        if found is None or code in counts:
            return text
        counts[code] = int(found[1])
    return counts
