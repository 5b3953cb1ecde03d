"""A drawing as a PNG, where the optional resvg is installed (``pip install hat-pattern-math[png]``)."""

from contextlib import ExitStack
from importlib.resources import as_file, files
from importlib.util import find_spec

from service.drawings.pictures import Picture
from service.drawings.svg import render_svg

__all__ = ["LARGEST_SIDE_PIXELS", "png_is_available", "png_width", "render_png"]

#: The longer side of the picture: sharp on a page, and made in a third of the time that 2000 take. [pixels]
LARGEST_SIDE_PIXELS = 1200
_FACES = ("SourceSansPro-Regular.ttf", "SourceSansPro-Bold.ttf")


def png_is_available() -> bool:
    """Whether this installation can make PNG.

    Examples
    --------
    >>> isinstance(png_is_available(), bool)
    True
    """
    return find_spec("resvg_py") is not None


def png_width(picture: Picture) -> int:
    """Return the width in pixels at which the longer side just fits.

    Examples
    --------
    >>> tall = Picture(width_mm=100, height_mm=400, title="A", description="B", marks=())
    >>> png_width(tall)
    300
    """
    longer_mm = max(picture.width_mm, picture.height_mm)
    return max(1, int(LARGEST_SIDE_PIXELS * picture.width_mm / longer_mm))


def render_png(picture: Picture) -> bytes:
    """Return a picture as PNG, its longer side 1200 pixels.

    Letters are those of the font that comes with the service, so that every machine makes the same picture;
    a letter it lacks leaves a gap. An SVG shows every script that the reader's own fonts have.

    Parameters
    ----------
    picture
        What to draw.
    """
    # An optional extra, loaded only where a PNG is asked for.
    import resvg_py

    folder = files("font_source_sans_pro") / "files"
    with ExitStack() as fonts:
        return bytes(
            resvg_py.svg_to_bytes(
                svg_string=render_svg(picture),
                background="#ffffff",
                width=png_width(picture),
                skip_system_fonts=True,
                font_files=[str(fonts.enter_context(as_file(folder / name))) for name in _FACES],
            )
        )
