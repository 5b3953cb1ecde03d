"""Find rounds such as ``8 sc, inc around`` that can be read in two ways: all of it again, or the last of it.

Only brackets or asterisks say how much of a round is done again. Where they are left out, the words repeat
the last stitch alone, and many makers mean all stitches before it too.
"""

from collections.abc import Sequence

from service.notation.tree import Fill, Join, Piece, Place, Remark, Stitches, Times

__all__ = ["read_as_group"]


def read_as_group(pieces: Sequence[Piece]) -> Sequence[Piece] | None:
    """Return a round with all its stitches repeated, where it is written so that only the last is.

    Examples
    --------
    >>> from service.notation.reader import read_line
    >>> read_as_group(read_line("8 sc, inc around", "us").pieces)[0].__class__.__name__
    'Fill'
    >>> read_as_group(read_line("[8 sc, inc] around", "us").pieces)
    """
    end = max((index for index, piece in enumerate(pieces) if _is_repeated(piece)), default=-1)
    begin = end
    while begin > 0 and _is_plain(pieces[begin - 1]):
        begin -= 1
    rest = pieces[end + 1 :]
    if end < 0 or begin == end or any(isinstance(piece, Stitches | Times | Fill) for piece in rest):
        return None
    group = pieces[begin:end]
    match pieces[end]:
        case Stitches(stitch, amount, _, column):
            repeated: Piece = Fill((*group, Stitches(stitch, amount, None, column)), None, column)
        case Times((inner,), times, extra, column):
            repeated = Times((*group, inner), times, extra, column)
        case _:
            raise AssertionError("stitches or a repeat of one stitch")
    return [*pieces[:begin], repeated, *(piece for piece in rest if not isinstance(piece, Join | Remark))]


def _is_repeated(piece: Piece) -> bool:
    match piece:
        case Stitches(stitch, None, Place("around", leave=None)) if stitch is not None:
            return bool(stitch.change) or stitch.code.endswith("tog")
        case Times((Stitches(stitch, None, None),)) if stitch is not None:
            return True
    return False


def _is_plain(piece: Piece) -> bool:
    match piece:
        case Stitches(stitch, _, None) if stitch is not None:
            return True
        case Stitches(stitch, _, Place("next")) if stitch is not None:
            return True
    return False
