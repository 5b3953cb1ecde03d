"""Characters that free text may not have, or may not consist of, as classes of a regular expression."""

__all__ = ["FORBIDDEN_IN_LINES", "FORBIDDEN_IN_TEXT", "UNSEEN_IN_TEXT", "pattern_marks"]

#: Control characters, line and paragraph separators, and marks that turn the direction of writing.
FORBIDDEN_IN_TEXT = "\u0000-\u001f\u007f-\u009f\u061c\u200e\u200f\u2028\u2029\u202a-\u202e\u2066-\u2069"
#: As in free text, but tabs and the ends of lines may stand.
FORBIDDEN_IN_LINES = "\u0000-\u0008\u000b\u000c\u000e-" + FORBIDDEN_IN_TEXT.removeprefix("\u0000-")
#: Spaces, and characters of the basic plane that nobody sees (Unicode's Default_Ignorable_Code_Point, and the
#: empty Braille cell). Those of higher planes no pattern can name that every reader of the document takes.
UNSEEN_IN_TEXT = (
    " \u00a0\u1680\u2000-\u200a\u202f\u205f\u3000"
    "\u00ad\u034f\u115f\u1160\u17b4\u17b5\u180b-\u180f\u200b-\u200f\u202a-\u202e\u2060-\u206f\u2800"
    "\u3164\ufe00-\ufe0f\ufeff\uffa0\ufff0-\ufffb"
)


def pattern_marks(characters: str) -> str:
    """Return a class of characters as a pattern spells it, escaped.

    Examples
    --------
    >>> print(pattern_marks("\\u200b-\\u200f\\ufeff"))
    \\u200b-\\u200f\\ufeff
    """
    return "".join(mark if mark == "-" else f"\\u{ord(mark):04x}" for mark in characters)
