"""Any drawing of a hat, by its kind."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal, get_args

from service.domain.hats import HatPlan
from service.drawings.body_charts import draw_body_chart
from service.drawings.chart_repeats import MOST_SYMBOLS
from service.drawings.crown_charts import Extent, draw_crown_chart
from service.drawings.hat_views import draw_hat_view
from service.drawings.pictures import Picture
from service.drawings.schematic import draw_schematic
from service.drawings.shaping_curves import draw_shaping_curve
from service.notation.terms import TERMS, TermsId

__all__ = ["DRAWING_KINDS", "DrawingKind", "DrawingOrder", "draw"]

DrawingKind = Literal["schematic", "crown_chart", "body_chart", "shaping_curve", "hat_view"]
DRAWING_KINDS: tuple[DrawingKind, ...] = get_args(DrawingKind)

_NAMES: Mapping[DrawingKind, str] = MappingProxyType(
    {
        "schematic": "Schematic",
        "crown_chart": "Crown chart",
        "body_chart": "Body chart",
        "shaping_curve": "Shaping of the crown",
        "hat_view": "How it looks",
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawingOrder:
    """What to draw. ``title`` is the hat's name, ``None`` where it has none.

    ``most_symbols`` is how many a chart may hold.
    """

    kind: DrawingKind
    extent: Extent = "one_repeat"
    title: str | None = None
    terms_id: TermsId = "us"
    most_symbols: int = MOST_SYMBOLS

    @property
    def heading(self) -> str:
        """Return the heading of the drawing.

        Examples
        --------
        >>> DrawingOrder(kind="schematic", title="Harbour hat").heading
        'Harbour hat: schematic'
        """
        name = _NAMES[self.kind]
        return name if self.title is None else f"{self.title}: {name[0].lower()}{name[1:]}"


def draw(plan: HatPlan, order: DrawingOrder) -> Picture:
    """Return a drawing of a hat.

    Parameters
    ----------
    plan
        The hat.
    order
        What to draw of it; ``extent`` counts for charts alone.

    Raises
    ------
    NothingToDraw
        If the hat does not have the part.
    DrawingTooLarge
        If a chart would have more symbols than it may.
    """
    drawn: Mapping[DrawingKind, Callable[[], Picture]] = {
        "schematic": lambda: draw_schematic(plan, title=order.heading),
        "crown_chart": lambda: _draw_chart(draw_crown_chart, plan, order),
        "body_chart": lambda: _draw_chart(draw_body_chart, plan, order),
        "shaping_curve": lambda: draw_shaping_curve(plan, title=order.heading),
        "hat_view": lambda: draw_hat_view(plan, title=order.heading),
    }
    return drawn[order.kind]()


def _draw_chart(draw_chart: Callable[..., Picture], plan: HatPlan, order: DrawingOrder) -> Picture:
    return draw_chart(
        plan,
        extent=order.extent,
        title=order.heading,
        terms=TERMS[order.terms_id],
        most_symbols=order.most_symbols,
    )
