"""Count what a text says that a stitch is: ``inc = 3 sc in one st``, ``cl: dc3tog over next 3 sts``."""

from service.domain.steps import Together, Work
from service.notation.counting import PieceCourse
from service.notation.faults import NotUnderstood
from service.notation.lexicon import SPECIAL_STITCHES
from service.notation.made_before import Realized
from service.notation.tree import Line
from service.notation.units import Unit

__all__ = ["defined"]


def defined(line: Line, size: int) -> Realized:
    """Return a definition as the unit that its name stands for.

    A cluster, a bobble and their like that make one stitch keep their name, whatever they are made of.

    Raises
    ------
    NotUnderstood
        If the line says something else than what such a stitch may be.

    Examples
    --------
    >>> from service.notation.reader import read_line
    >>> defined(read_line("inc = 3 sc in one st", "us"), 0).shells[0][1].made
    3
    """
    course = PieceCourse(None, 0, size=size)
    course.work(line.pieces)
    unit = course.unit()
    detail = "Name the stitch." if course.has_unnamed else _wrong(line.defines, unit)
    if detail or course.faults:
        raise NotUnderstood(
            column=line.pieces[0].column, code="unexpected", detail=detail or course.faults[0].detail
        )
    if line.defines in SPECIAL_STITCHES and unit.made == 1:
        unit = _named(line.defines, unit)
    return Realized("definition", shells=((line.defines, unit),))


def _wrong(name: str, unit: Unit) -> str:
    """Return what is wrong with what a stitch is said to be, nothing if it may be so."""
    if name == "dec":
        return "" if unit.used > unit.made == 1 else "A decrease makes one stitch of several."
    if name in SPECIAL_STITCHES:
        return "" if unit.used and unit.made else "This stitch makes nothing."
    if unit.used != 1:
        return "An increase goes into one stitch." if name == "inc" else "A shell goes into one stitch."
    return "An increase makes several stitches." if name == "inc" and unit.made < 2 else ""


def _named(name: str, unit: Unit) -> Unit:
    step = Work(name) if unit.used == 1 else Together((name,) * unit.used)
    return Unit((step,), unit.used, 1)
