"""The drawings of a hat that belong on its sheet, or why one of them is not there."""

from service.domain.errors import DrawingTooLarge
from service.domain.hats import HatPlan
from service.drawings.crown_charts import draw_crown_chart
from service.drawings.schematic import draw_schematic
from service.notation.terms import Terms
from service.patterns.lengths import both_systems
from service.sheets.paper import LEAST_SCALE, MOST_SYMBOLS, fits_paper
from service.sheets.sheet import Drawing, Paragraph
from service.sheets.sheet_words import HEADINGS, SENTENCES

__all__ = ["crown_chart", "schematic"]


def schematic(plan: HatPlan) -> Drawing:
    """Return the hat with its measurements."""
    return Drawing(draw_schematic(plan, title=HEADINGS["schematic"]))


def crown_chart(plan: HatPlan, terms: Terms) -> Drawing | Paragraph:
    """Return one repeat of the crown as a chart, or a sentence where no page can hold it.

    Parameters
    ----------
    plan
        A hat with a crown.
    terms
        The words of the key.

    Raises
    ------
    NothingToDraw
        If the hat has no crown.
    """
    try:
        chart = draw_crown_chart(
            plan,
            extent="one_repeat",
            title=HEADINGS["crown_chart"],
            terms=terms,
            most_symbols=MOST_SYMBOLS,
        )
    except DrawingTooLarge as error:
        return Paragraph(SENTENCES["chart_of_too_many"].format(count=error.symbol_count))
    if fits_paper(chart):
        return Drawing(chart)
    width, height = (both_systems(LEAST_SCALE * side) for side in (chart.width_mm, chart.height_mm))
    return Paragraph(SENTENCES["chart_too_wide"].format(width=width, height=height))
