"""Abbreviations that stand in sentences beside the stitches: found in the text, explained from one table."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from service.notation.terms import TermsId

__all__ = ["Abbreviation", "text_abbreviations"]


@dataclass(frozen=True, slots=True)
class Abbreviation:
    """An abbreviation and what it means."""

    abbreviation: str
    meaning: str


_MEANINGS: Mapping[str, str] = MappingProxyType(
    {"rem": "remaining", "rep": "repeat", "FP": "front post", "BP": "back post"}
)
_MEANINGS_OF: Mapping[TermsId, Mapping[str, str]] = MappingProxyType(
    {
        "us": MappingProxyType({**_MEANINGS, "yo": "yarn over"}),
        "uk": MappingProxyType({**_MEANINGS, "yoh": "yarn over hook"}),
    }
)
_WORD = re.compile(r"\b(?:[Rr]e[mp]|FP|BP|yoh?)\b")


def text_abbreviations(texts: Iterable[str], terms_id: TermsId) -> tuple[Abbreviation, ...]:
    """Return the abbreviations of whole words in texts, in the order of the alphabet.

    Parameters
    ----------
    texts
        Sentences, in the terms asked for.
    terms_id
        The terms: ``us`` or ``uk``.

    Examples
    --------
    >>> [each.meaning for each in text_abbreviations(["Rep Rnd 2.", "Weave through the rem 5 sts."], "us")]
    ['remaining', 'repeat']
    """
    meanings = _MEANINGS_OF[terms_id]
    found = {word if word in meanings else word.lower() for text in texts for word in _WORD.findall(text)}
    return tuple(Abbreviation(name, meanings[name]) for name in sorted(found, key=str.lower))
