"""Links between operations: what of one answer goes into the next request, as the document shows it.

Values that begin with a dollar are runtime expressions (OpenAPI 3.1, "Runtime Expressions").
Each link gives a whole request, so that it can be sent as it is.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

__all__ = ["LINKS", "Link"]

Json = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Link:
    """A way on from an answer: the operation that follows, and its request."""

    operation_id: str
    description: str
    request: Json | str

    def described(self) -> Json:
        """Return the link as the document has it."""
        return {
            "operationId": self.operation_id,
            "description": self.description,
            "requestBody": self.request,
        }


_WHOLE_REQUEST = "$request.body"

#: By the operation that answers, and by the link's name.
LINKS: Mapping[str, Mapping[str, Link]] = MappingProxyType(
    {
        "listHeadSizes": {
            "sizeHat": Link(
                "finishSize",
                "How large a hat is to be for one of these heads.",
                {"head": {"size_id": "$response.body#/items/0/size_id"}},
            )
        },
        "listFabrics": {
            "planHatInFabric": Link(
                "planHat",
                "A whole hat in one of these fabrics, at a gauge measured in it.",
                {
                    "head": {"size_id": "adult-m"},
                    "fabric": {"fabric_id": "$response.body#/items/0/fabric_id"},
                    "gauge": {"stitches_per_10cm": 16, "rounds_per_10cm": 14},
                },
            )
        },
        "listYarnWeights": {
            "estimateYarnOfWeight": Link(
                "estimateYarn",
                "Yarn of one of these categories for a number of stitches.",
                {
                    "yarn": {"weight_category": "$response.body#/items/0/weight_category"},
                    "stitch_counts": {"dc": 2400},
                },
            )
        },
        "finishSize": {
            "fitRepeatsToSize": Link(
                "fitRepeats",
                "Stitch counts for that size, at a gauge and for a repeat of your choice.",
                {
                    "target_circumference_cm": "$response.body#/finished_circumference_cm",
                    "gauge": {"stitches_per_10cm": 18.5, "rounds_per_10cm": 11.5},
                    "stitch_multiple": 6,
                },
            )
        },
        "measureGauge": {
            "planHatAtGauge": Link(
                "planHat",
                "A whole hat at this gauge, for a head and in a fabric of your choice.",
                {
                    "head": {"size_id": "adult-m"},
                    "fabric": {"fabric_id": "plain-dc"},
                    "gauge": {
                        "stitches_per_10cm": "$response.body#/stitches_per_10cm",
                        "rounds_per_10cm": "$response.body#/rounds_per_10cm",
                    },
                },
            )
        },
        "fitRepeats": {
            "scheduleCrown": Link(
                "scheduleCrown",
                "A crown for the best count.",
                {
                    "start_stitch_count": "$response.body#/candidates/0/stitch_count",
                    "gauge": "$request.body#/gauge",
                },
            ),
            "shapeJoiningRound": Link(
                "shapeRound",
                "The round from the brim to the body, where a brim was asked for.",
                {
                    "from_stitch_count": "$response.body#/candidates/0/brim/stitch_count",
                    "to_stitch_count": "$response.body#/candidates/0/stitch_count",
                },
            ),
        },
        "shapeRound": {
            "countRound": Link(
                "checkCounts",
                "Count the written round, if it was written in US terms.",
                {
                    "text": "$response.body#/text",
                    "start_stitch_count": "$request.body#/from_stitch_count",
                },
            )
        },
        "planSizeRun": {
            "makeSizeRunSheet": Link(
                "makeSizeRunSheet", "The same sizes as a pattern to print.", _WHOLE_REQUEST
            ),
        },
        "planClass": {
            "makeShoppingList": Link("makeShoppingList", "What to buy for the same class.", _WHOLE_REQUEST),
            "makeKitLabels": Link("makeKitLabels", "Labels for the same kits.", _WHOLE_REQUEST),
        },
        "makeShoppingList": {
            "labelKits": Link("makeKitLabels", "Labels for the kits of the same class.", _WHOLE_REQUEST),
        },
        "planHat": {
            "reviseHat": Link(
                "reviseHat",
                "The same hat on the hook, after its first round.",
                {"plan": _WHOLE_REQUEST, "state": {"round": "$response.body#/rounds/0/round"}},
            ),
            "makePatternSheet": Link(
                "makePatternSheet", "The same hat as a pattern to print.", _WHOLE_REQUEST
            ),
            "drawHat": Link(
                "drawHat",
                "A hat for the same head, in the same fabric and gauge, drawn; add the plan's other wishes.",
                {
                    "kind": "schematic",
                    "head": "$request.body#/head",
                    "gauge": "$request.body#/gauge",
                    "fabric": "$request.body#/fabric",
                },
            ),
        },
        "reviseHat": {
            "makePlannedSheet": Link(
                "makePatternSheet", "The hat as it was planned, to print.", "$request.body#/plan"
            ),
        },
    }
)
