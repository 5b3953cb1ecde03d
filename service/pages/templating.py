"""Templates of the pages; everything put into one is escaped unless it was made here as HTML."""

from functools import cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from service.drawings.pictures import Picture
from service.drawings.svg import render_svg

__all__ = ["drawing_markup", "render"]


@cache
def _templates() -> Environment:
    templates = Environment(
        loader=PackageLoader("service.pages"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    templates.filters["drawing"] = drawing_markup
    return templates


def drawing_markup(picture: Picture) -> Markup:
    """Return a drawing as an element of a page, as wide as it is on paper where there is room.

    Its words are escaped where it is made; a page needs no name of a namespace.

    Examples
    --------
    >>> picture = Picture(width_mm=40, height_mm=5, title="A & B", description="Empty.", marks=())
    >>> drawing_markup(picture)[:45]
    Markup('<svg width="40.0mm" viewBox="0 0 40 5" role="')
    """
    width = f'width="{picture.width_mm:.1f}mm"'
    return Markup(render_svg(picture).replace('xmlns="http://www.w3.org/2000/svg"', width, 1).rstrip())


def render(template: str, **values: Any) -> str:
    """Return a page from a template.

    Examples
    --------
    >>> "&lt;b&gt;" in render("text.html", title="<b>", body="", is_private=False)
    True
    """
    return _templates().get_template(template).render(values)
