"""Hat sizes of a head in four systems."""

from dataclasses import dataclass
from math import pi

from service.domain.rounding import half_up
from service.domain.units import MM_PER_INCH

__all__ = ["FRENCH_ZERO_CM", "HatSize", "hat_size"]

#: The French scale counts half sizes from here; smaller heads have none.
FRENCH_ZERO_CM = 47


@dataclass(frozen=True, slots=True, kw_only=True)
class HatSize:
    """A head's size as hatters write it; ``french`` is ``None`` for heads below that scale."""

    us: str
    uk: str
    metric_cm: int
    french: float | None


def hat_size(head_mm: float) -> HatSize:
    """Return the hat sizes of a head.

    US: circumference in inches over pi, to the nearest eighth. UK: an eighth less.
    Metric: whole centimetres. French: ``(cm - 47) / 2``.

    Parameters
    ----------
    head_mm
        Circumference of the head. [mm, >= 50]

    Examples
    --------
    >>> hat_size(590)
    HatSize(us='7 3/8', uk='7 1/4', metric_cm=59, french=6.0)

    Notes
    -----
    Published hat-size systems. Convention: a half rounds up; French sizes begin at 48 cm.
    """
    eighths = half_up(8 * head_mm / MM_PER_INCH / pi)
    metric_cm = half_up(head_mm / 10)
    return HatSize(
        us=_eighths(eighths),
        uk=_eighths(eighths - 1),
        metric_cm=metric_cm,
        french=(metric_cm - FRENCH_ZERO_CM) / 2 if metric_cm > FRENCH_ZERO_CM else None,
    )


def _eighths(count: int) -> str:
    """Return eighths as a whole number and a fraction in lowest terms."""
    whole, rest = divmod(count, 8)
    if rest == 0:
        return str(whole)
    divisor = {4: 4, 2: 2, 6: 2}.get(rest, 1)
    return f"{whole} {rest // divisor}/{8 // divisor}"
