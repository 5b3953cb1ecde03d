"""Every resource of the interface, and the headings they stand under in the document."""

from service.api.operations import Resource
from service.api.routes.shaping_rounds import shaping_rounds

__all__ = ["RESOURCES", "TAGS"]

RESOURCES: tuple[Resource, ...] = (shaping_rounds,)

TAGS = {
    "Reference": "Published tables, each row with its source.",
    "Sizing": "Heads, gauges and stitch counts.",
    "Shaping": "Single rounds and crowns.",
    "Yarn": "How much to buy.",
    "Plans": "Whole hats.",
}
