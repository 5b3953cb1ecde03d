"""One HTML page to print: no script, nothing from outside, one style in the page."""

from base64 import b64encode
from collections.abc import Iterable
from functools import cache
from hashlib import sha256
from html import escape

__all__ = ["html_page", "style_source"]


def html_page(*, language: str, title: str, style: str, lines: Iterable[str]) -> str:
    """Return a page around lines of HTML; the title is text in any script.

    Parameters
    ----------
    language
        Of the page, a tag of BCP 47.
    title
        Its title and first heading, plain text.
    style
        Its style sheet.
    lines
        What follows the heading, escaped already.

    Examples
    --------
    >>> page = html_page(language="en", title="<b>", style="", lines=["<p>A hat</p>"])
    >>> page.splitlines()[-6:-2]
    ['<main>', '<h1 dir="auto">&lt;b&gt;</h1>', '<p>A hat</p>', '</main>']
    """
    return "\n".join(
        [
            "<!doctype html>",
            f'<html lang="{escape(language)}">',
            "<head>",
            '<meta charset="utf-8">',
            '<meta name="viewport" content="width=device-width, initial-scale=1">',
            f"<title>{escape(title)}</title>",
            f"<style>{style}</style>",
            "</head>",
            "<body>",
            "<main>",
            f'<h1 dir="auto">{escape(title)}</h1>',
            *lines,
            "</main>",
            "</body>",
            "</html>",
            "",
        ]
    )


@cache
def style_source(style: str) -> str:
    """Return the source expression that lets a page's own style apply under a strict content policy.

    Examples
    --------
    >>> style_source("")
    "'sha256-47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU='"

    Notes
    -----
    Content Security Policy Level 3, "Hash usage for style elements".
    """
    return f"'sha256-{b64encode(sha256(style.encode()).digest()).decode()}'"
