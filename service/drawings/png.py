"""A drawing as a PNG, where the optional resvg is installed (``pip install '.[png]'``)."""

import math
from contextlib import ExitStack
from importlib.resources import as_file, files
from importlib.util import find_spec

from service.drawings.pictures import Picture
from service.drawings.svg import render_svg

__all__ = ["LARGEST_SIDE_PIXELS", "MOST_SYMBOLS_PAINTED", "png_is_available", "png_width", "render_png"]

#: The longer side of the picture: sharp on a page, and made in a third of the time that 2000 take. [pixels]
LARGEST_SIDE_PIXELS = 1200
#: What a picture of many strokes can shrink to. [pixels]
_SMALLEST_SIDE_PIXELS = 600
#: Symbols of the largest chart that is painted; as SVG a chart can have four times as many (convention).
MOST_SYMBOLS_PAINTED = 2_000
#: What one picture may cost, and what each part of it does, in the units of all work.
_MOST_UNITS, _UNITS_PER_LETTER, _UNITS_PER_PIXEL = 400_000, 1.2, 0.44
_FACES = ("SourceSansPro-Regular.ttf", "SourceSansPro-Bold.ttf")


def png_is_available() -> bool:
    """Whether this installation can make PNG.

    Examples
    --------
    >>> isinstance(png_is_available(), bool)
    True
    """
    return find_spec("resvg_py") is not None


def png_width(picture: Picture, *, letter_count: int = 0) -> int:
    """Return the width in pixels: the longer side is 1200, and less where there is much to paint.

    Parameters
    ----------
    picture
        What to draw.
    letter_count
        Letters of its SVG, which grow with its strokes.

    Examples
    --------
    >>> tall = Picture(width_mm=100, height_mm=400, title="A", description="B", marks=())
    >>> png_width(tall), png_width(tall, letter_count=450_000)
    (300, 150)
    """
    shorter_mm, longer_mm = sorted((picture.width_mm, picture.height_mm))
    pixels = max(0.0, _MOST_UNITS - _UNITS_PER_LETTER * letter_count) / _UNITS_PER_PIXEL
    side = min(LARGEST_SIDE_PIXELS, max(_SMALLEST_SIDE_PIXELS, math.sqrt(pixels * longer_mm / shorter_mm)))
    return max(1, int(side * picture.width_mm / longer_mm))


def render_png(picture: Picture) -> bytes:
    """Return a picture as PNG, its longer side 1200 pixels, or less where there is much to paint.

    Letters are those of the font that comes with the service, so that every machine makes the same picture;
    a letter it lacks leaves a gap. An SVG shows every script that the reader's own fonts have.

    Parameters
    ----------
    picture
        What to draw.
    """
    # An optional extra, loaded only where a PNG is asked for.
    import resvg_py

    svg = render_svg(picture)
    folder = files("font_source_sans_pro") / "files"
    with ExitStack() as fonts:
        return bytes(
            resvg_py.svg_to_bytes(
                svg_string=svg,
                background="#ffffff",
                width=png_width(picture, letter_count=len(svg)),
                skip_system_fonts=True,
                font_files=[str(fonts.enter_context(as_file(folder / name))) for name in _FACES],
            )
        )
