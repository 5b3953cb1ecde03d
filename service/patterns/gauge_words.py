"""What the terms call the gauge: tension in UK terms. The sentences are written once, with gauge."""

import re

from service.notation.terms import Terms

__all__ = ["gauge_in_terms"]

_GAUGE = re.compile(r"\b(g|G)auge\b")


def gauge_in_terms(text: str, terms: Terms) -> str:
    """Return a sentence with the gauge called as the terms call it.

    Examples
    --------
    >>> from service.notation.terms import UK, US
    >>> [gauge_in_terms("Gauge and head are known.", terms) for terms in (US, UK)]
    ['Gauge and head are known.', 'Tension and head are known.']
    """
    word = terms.words["gauge"]
    return _GAUGE.sub(lambda found: word.capitalize() if found[1] == "G" else word, text)
