"""The page of each problem type, and the list of them all: pure text in, HTML out."""

from collections.abc import Iterable, Mapping
from html import escape

import markdown
from markupsafe import Markup

from service.pages.templating import render

__all__ = ["problem_index_html", "problem_page_html"]


def problem_page_html(*, slug: str, status: int, title: str, text: str) -> str:
    """Return the page of one problem type from its Markdown.

    Examples
    --------
    >>> "<h1>Lost</h1>" in problem_page_html(slug="lost", status=404, title="Lost", text="# Lost")
    True
    """
    facts = f"<p>Status {status}, type <code>/problems/{escape(slug)}</code></p>"
    body = "\n".join([markdown.markdown(text), facts, '<p><a href="/problems/">All problem types</a></p>'])
    return render("text.html", title=title, body=Markup(body), is_private=False)


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
    body = Markup(f"<h1>Problem types</h1>\n<ul>\n{rows}\n</ul>")
    return render("text.html", title="Problem types", body=body, is_private=False)
