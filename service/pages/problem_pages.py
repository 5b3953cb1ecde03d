"""The page of each problem type, and the list of them all: pure text in, HTML out."""

from collections.abc import Iterable, Mapping
from html import escape

import markdown

__all__ = ["problem_index_html", "problem_page_html"]

_PAGE = """<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{title}</title>
<link rel="stylesheet" href="/static/leaflet.css">
</head>
<body>
<main>
{body}
</main>
</body>
</html>
"""


def problem_page_html(*, slug: str, status: int, title: str, text: str) -> str:
    """Return the page of one problem type from its Markdown.

    Examples
    --------
    >>> "<h1>Lost</h1>" in problem_page_html(slug="lost", status=404, title="Lost", text="# Lost")
    True
    """
    facts = f"<p>Status {status}, type <code>/problems/{escape(slug)}</code></p>"
    body = "\n".join([markdown.markdown(text), facts, '<p><a href="/problems/">All problem types</a></p>'])
    return _PAGE.format(title=escape(title), body=body)


def problem_index_html(titles: Mapping[str, str], statuses: Iterable[int]) -> str:
    """Return the list of all problem types, each a link to its page.

    Examples
    --------
    >>> "/problems/lost" in problem_index_html({"lost": "Lost"}, [404])
    True
    """
    rows = "\n".join(
        f'<li>{status} <a href="/problems/{escape(slug)}">{escape(title)}</a></li>'
        for (slug, title), status in zip(titles.items(), statuses, strict=True)
    )
    return _PAGE.format(title="Problem types", body=f"<h1>Problem types</h1>\n<ul>\n{rows}\n</ul>")
