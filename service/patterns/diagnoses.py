"""The sentences of a crown's diagnosis, as one table. The figures in braces come with it."""

from collections.abc import Mapping
from types import MappingProxyType

from service.domain.crown_reviews import Diagnosis
from service.patterns.lengths import measured

__all__ = ["diagnosis_sentence"]

_TABLE: Mapping[str, str] = MappingProxyType(
    {
        "does_not_close": "{stitch_count} stitches are left to draw shut; "
        "at most {stitch_count_max} close well.",
        "closes_too_early": "The crown is {depth} long; this shape wants at least {least_depth}.",
        "does_not_meet_body": "The last crown round has {stitch_count} stitches, the body {wanted}.",
        "is_cone": "Every round is {fullness:.2f} of a flat disc: "
        "this makes a cone with a half angle of {half_angle_degrees:.0f} degrees.",
        "rises": "The round goes up from {from_stitch_count} to {to_stitch_count} stitches.",
        "falls": "The round goes down from {from_stitch_count} to {to_stitch_count} stitches.",
        "changes_too_fast": "From {from_stitch_count} to {to_stitch_count} stitches "
        "is more than one round can do.",
        "needs_blocking": "{stitch_count} stitches where {ideal_stitch_count:.1f} would lie smooth: "
        "it will need blocking.",
        "cups": "{stitch_count} stitches where {ideal_stitch_count:.1f} would lie smooth: the round cups.",
        "ruffles": "{stitch_count} stitches where {ideal_stitch_count:.1f} would lie smooth: "
        "the round ruffles.",
        "gathers": "{stitch_count} stitches where {ideal_stitch_count:.1f} would lie smooth: "
        "the fabric gathers.",
    }
)


def diagnosis_sentence(diagnosis: Diagnosis) -> str:
    """Return a diagnosis in words, with its figures; lengths stand in both systems.

    Examples
    --------
    >>> diagnosis_sentence(Diagnosis("rises", 3, {"from_stitch_count": 60, "to_stitch_count": 64}))
    'The round goes up from 60 to 64 stitches.'
    """
    lengths = {
        name.removesuffix("_mm"): measured(float(value), "mm")
        for name, value in diagnosis.values.items()
        if name.endswith("_mm")
    }
    return _TABLE[diagnosis.code].format_map({**diagnosis.values, **lengths})
