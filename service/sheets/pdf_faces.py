"""A face of a font: which characters it has, how wide they are, and how text breaks into lines."""

from collections.abc import Iterator
from unicodedata import category, normalize

from fpdf.fonts import TTFFont

__all__ = ["Face"]

#: Kinds of characters that carry the sense of a word: letters, the marks on them, and numbers.
_OF_WORDS = ("L", "M", "N")


class Face:
    """One face. Widths are in parts of the font's size."""

    def __init__(self, font: TTFFont) -> None:
        self._known = font.cmap
        self._width_of = font.cw
        self._word_widths: dict[str, float] = {}

    def shown(self, text: str) -> str:
        """Return a text without the characters that the font lacks.

        The project's own words have none; a title tells what is left of it by :meth:`readable`.
        """
        if text.isascii() and text.isprintable():
            return text
        return "".join(letter for letter in normalize("NFC", text) if ord(letter) in self._known)

    def readable(self, text: str) -> str:
        """Return the words of a text that the font can show; those that it would cripple are left out.

        A sign that is no letter, such as a picture, goes without its word. Nothing is returned where most of
        the letters would go: what is left would name something else.
        """
        words = normalize("NFC", text).split()
        kept = " ".join(filter(None, (self.shown(word) for word in words if self._has_letters_of(word))))
        return kept if 2 * _letter_count(kept) >= _letter_count(text) else ""

    def _has_letters_of(self, word: str) -> bool:
        return all(ord(letter) in self._known or not _is_of_words(letter) for letter in word)

    def has_all(self, text: str) -> bool:
        """Tell whether the font shows a text to the last sign; marks of format need no showing."""
        letters = normalize("NFC", text)
        return all(ord(letter) in self._known or category(letter) == "Cf" for letter in letters)

    def width(self, text: str) -> float:
        """Return how wide a text is."""
        kept = self._word_widths.get(text)
        if kept is None:
            kept = self._word_widths[text] = sum(self._width_of[ord(letter)] for letter in text) / 1000
        return kept

    def lines(self, text: str, room: float) -> list[str]:
        """Return a text in lines, broken at spaces, and inside words that are wider than a line."""
        lines: list[str] = []
        line, used, space = "", 0.0, self.width(" ")
        for word in self._pieces(text, room):
            width = self.width(word)
            if line and used + space + width > room:
                lines.append(line)
                line, used = word, width
            else:
                used += width + (space if line else 0.0)
                line = f"{line} {word}" if line else word
        return [*lines, line]

    def _pieces(self, text: str, room: float) -> Iterator[str]:
        """Yield the words of a text, those too wide for a line in parts that are not."""
        for word in text.split(" "):
            while self.width(word) > room and len(word) > 1:
                end = self._fitting(word, room)
                yield word[:end]
                word = word[end:]
            yield word

    def _fitting(self, word: str, room: float) -> int:
        """Return how many letters of a word fit into a line, one at least."""
        used = 0.0
        for position, letter in enumerate(word):
            used += self.width(letter)
            if used > room:
                return max(1, position)
        return len(word)


def _letter_count(text: str) -> int:
    return sum(map(_is_of_words, normalize("NFC", text)))


def _is_of_words(letter: str) -> bool:
    # A variation selector is a mark that shows nothing by itself.
    return category(letter)[0] in _OF_WORDS and not "\ufe00" <= letter <= "\ufe0f"
