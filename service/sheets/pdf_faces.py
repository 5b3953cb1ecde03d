"""A face of a font: which characters it has, how wide they are, and how text breaks into lines."""

from collections.abc import Iterator
from unicodedata import normalize

from fpdf.fonts import TTFFont

__all__ = ["Face"]

#: Stands for a character that the font lacks, so that the reader sees that one was there.
_MISSING = "☐"


class Face:
    """One face. Widths are in parts of the font's size."""

    def __init__(self, font: TTFFont) -> None:
        self._known = font.cmap
        self._width_of = font.cw
        self._word_widths: dict[str, float] = {}

    def shown(self, text: str) -> str:
        """Return a text with a box for each character that the font lacks."""
        composed = normalize("NFC", text)
        return "".join(letter if ord(letter) in self._known else _MISSING for letter in composed)

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
