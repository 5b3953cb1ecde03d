"""What one request may have its exact crowns weigh, all of them together.

Work is counted in units: two moves of the search that are made already and are walked once more.
Every part of the work is reckoned and taken from what is left before it is done.
"""

from service.domain.errors import FabricTooComplex

__all__ = ["WORK_LIMIT", "CrownWork"]

#: What the crowns of one request may weigh (measured: at most a fifth of a second of one core).
WORK_LIMIT = 600_000


class CrownWork:
    """The work that a request may still do, and what it did.

    Parameters
    ----------
    limit
        The most that all may weigh. [units]

    Examples
    --------
    >>> work = CrownWork(100)
    >>> work.spend(60)
    >>> work.left
    40
    """

    __slots__ = ("limit", "spent")

    def __init__(self, limit: int = WORK_LIMIT) -> None:
        self.limit = limit
        self.spent = 0

    @property
    def left(self) -> int:
        """Return what may still be spent."""
        return self.limit - self.spent

    def for_an_attempt(self) -> "CrownWork":
        """Return work of its own, two thirds of what is left: for what may have to be given up."""
        return CrownWork(2 * self.left // 3)

    def leaving(self, work_units: int) -> "CrownWork":
        """Return work of its own, all that is left but for what is sure to come after.

        Examples
        --------
        >>> CrownWork(100).leaving(30).limit, CrownWork(100).leaving(130).limit
        (70, 0)
        """
        return CrownWork(max(0, self.left - work_units))

    def spend(self, work_units: int, *, reckoned: int = 0) -> None:
        """Take work from what is left, before it is done.

        Parameters
        ----------
        work_units
            What comes next. [units]
        reckoned
            What the whole search was reckoned to weigh, told where it is more. [units]

        Raises
        ------
        FabricTooComplex
            If that is more than is left.
        """
        if work_units > self.left:
            raise FabricTooComplex(
                work_units=max(self.spent + work_units, reckoned),
                limit=self.limit,
                weighed_work_units=self.spent,
            )
        self.spent += work_units
