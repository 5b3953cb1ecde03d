"""How large a drawing stands on paper: no larger than drawn, and no smaller than can be read."""

from service.drawings.pictures import Picture

__all__ = ["LEAST_SCALE", "MOST_SYMBOLS", "fits_paper", "page_scale"]

#: Room for a drawing between the margins, on A4 and on US letter alike. [mm]
_WIDTH_MM, _HEIGHT_MM = 170.0, 230.0
#: Convention: letters of 3.4 mm stay at 1.9 mm or more (5.3 points), as in the small print of a pattern.
LEAST_SCALE = 0.55
#: No chart of more symbols fits on a page in letters that can be read: the fullest, flat crowns of single
#: crochet, have some 2,100 (tried out). So nobody need draw one to find out.
MOST_SYMBOLS = 2100


def page_scale(picture: Picture) -> float:
    """Return by how much a picture is made smaller to fit on a page; 1 where it fits as it is.

    Examples
    --------
    >>> page_scale(Picture(width_mm=340, height_mm=100, title="A", description="B", marks=()))
    0.5
    """
    return min(1.0, _WIDTH_MM / picture.width_mm, _HEIGHT_MM / picture.height_mm)


def fits_paper(picture: Picture) -> bool:
    """Tell whether a picture can still be read when it fits on a page."""
    return page_scale(picture) >= LEAST_SCALE
