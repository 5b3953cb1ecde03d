"""How much yarn to buy, so that it lasts with a stated certainty."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import exp
from typing import Literal

from service.domain.report import Notice
from service.domain.rounding import ceil_exact
from service.domain.yarns import Yarn

__all__ = [
    "CERTAINTIES",
    "END_M",
    "GATHER_M",
    "INTERVAL_Z",
    "JOIN_M",
    "NORMAL_QUANTILES",
    "Certainty",
    "Extras",
    "Finishing",
    "YarnNeed",
    "YarnPurchase",
    "buying_notices",
    "leftover_join_count",
    "leftovers_used_m",
    "median_ball_count",
    "plan_purchase",
    "plan_purchases",
    "reckon_extras",
]

Certainty = Literal[90, 95, 99]
CERTAINTIES: tuple[Certainty, ...] = (90, 95, 99)

#: One-sided quantiles of the normal distribution, as printed in every table of it.
NORMAL_QUANTILES: Mapping[Certainty, float] = {90: 1.282, 95: 1.645, 99: 2.326}

#: Half width of a central interval of 90 %, in standard deviations.
INTERVAL_Z = NORMAL_QUANTILES[95]

#: Lengths that hands leave hanging (common practice, no source).
END_M = 0.15
JOIN_M = 0.30
GATHER_M = 0.40

#: Under this part of a ball left over, one slip of the tension empties it (convention).
TIGHT_BALL_SHARE = 0.05


@dataclass(frozen=True, slots=True)
class Finishing:
    """What a hat needs beside its stitches."""

    gathers_crown: bool = True
    has_edging: bool = False
    colour_change_count: int = 0


@dataclass(frozen=True, slots=True)
class Extras:
    """Yarn that goes into no stitch of the hat.

    ``work_end_count`` is the ends where strands begin and stop, ``join_count`` the joins of ball to ball,
    each of which leaves two ends more. ``leftover_join_count`` is how many joins more there are with the
    leftovers of earlier work, whose ends are of their own length; below 0 where a long one spares balls.
    """

    work_end_count: int
    join_count: int
    gathering_m: float
    swatch_m: float
    leftover_join_count: int = 0

    @property
    def ends_m(self) -> float:
        """Return what hangs where strands begin and stop. [m]"""
        return END_M * self.work_end_count

    @property
    def joins_m(self) -> float:
        """Return what hangs where balls are joined. [m]"""
        return JOIN_M * self.join_count

    @property
    def total_m(self) -> float:
        """Return all of it. [m]"""
        return self.ends_m + self.joins_m + self.gathering_m + self.swatch_m

    @property
    def end_count(self) -> int:
        """Return the ends to weave in: those of the work, and two for each join.

        Examples
        --------
        >>> Extras(work_end_count=2, join_count=2, gathering_m=0.4, swatch_m=0.0).end_count
        6
        """
        return self.work_end_count + 2 * (self.join_count + self.leftover_join_count)


@dataclass(frozen=True, slots=True)
class YarnNeed:
    """The yarn of the work alone, by its median and the standard deviation of its logarithm."""

    length_m: float
    length_log_sd: float
    mass_g: float
    mass_log_sd: float


@dataclass(frozen=True, slots=True)
class YarnPurchase:
    """What to buy to have enough with a certainty.

    ``length_m`` and ``mass_g`` are needed, extras included; ``from_leftovers_m`` of it is at hand already.
    ``leftover_m`` is left over in the end even if all of that is used, ``expected_leftover_m`` if the work
    takes its median. Without a ball there are no balls to count.
    """

    certainty_percent: Certainty
    ball_count: int | None
    length_m: float
    mass_g: float
    leftover_m: float | None
    expected_leftover_m: float | None
    from_leftovers_m: float


def reckon_extras(*, need: YarnNeed, yarn: Yarn, finishing: Finishing, swatch_m: float) -> Extras:
    """Return the yarn for ends, joins, gathering the crown and a swatch that is kept.

    0.15 m for each of two ends of each strand, and for two more of an edging; 0.3 m for each new ball of
    the median and, per strand, for each change of colour; 0.4 m to gather the crown.

    Parameters
    ----------
    need
        Yarn of the work.
    yarn
        The yarn; its ball says how many joins there are.
    finishing
        What the hat needs beside its stitches.
    swatch_m
        Yarn of a swatch that is not unravelled, all strands. [m, >= 0]

    Examples
    --------
    >>> need = YarnNeed(length_m=130.0, length_log_sd=0.06, mass_g=72.8, mass_log_sd=0.06)
    >>> yarn = Yarn(ball_mass_g=50, ball_length_m=90)
    >>> round(reckon_extras(need=need, yarn=yarn, finishing=Finishing(), swatch_m=0.0).total_m, 2)
    1.0

    Notes
    -----
    Common practice, no source.
    """
    end_count = 4 if finishing.has_edging else 2
    change_count = finishing.colour_change_count * yarn.strand_count
    return Extras(
        work_end_count=end_count * yarn.strand_count,
        join_count=median_ball_count(need, yarn) - 1 + change_count,
        gathering_m=GATHER_M if finishing.gathers_crown else 0.0,
        swatch_m=swatch_m,
    )


def median_ball_count(need: YarnNeed, yarn: Yarn) -> int:
    """Return the balls that the work alone takes by its median, at least one.

    Examples
    --------
    >>> need = YarnNeed(length_m=130.0, length_log_sd=0.06, mass_g=72.8, mass_log_sd=0.06)
    >>> median_ball_count(need, Yarn(ball_length_m=90)), median_ball_count(need, Yarn(tex=560))
    (2, 1)
    """
    return _ball_count(length_m=need.length_m, mass_g=need.mass_g, yarn=yarn) or 1


def _ball_count(*, length_m: float, mass_g: float, yarn: Yarn) -> int | None:
    """Return the balls that hold so much, by length, or by mass where a ball's length is not known."""
    if yarn.ball_length_m is not None:
        return ceil_exact(length_m / yarn.ball_length_m)
    if yarn.ball_mass_g is not None:
        return ceil_exact(mass_g / yarn.ball_mass_g)
    return None


def plan_purchase(
    *,
    need: YarnNeed,
    extras: Extras,
    yarn: Yarn,
    strand_tex: float,
    certainty: Certainty,
    leftovers_m: Sequence[float] = (),
) -> YarnPurchase:
    """Return what to buy: ``ceil((median * exp(z * sd) + extras - leftovers) / ball)``.

    Parameters
    ----------
    need
        Yarn of the work.
    extras
        Yarn beside the work.
    yarn
        The yarn with its ball.
    strand_tex
        Mass of one strand. [g per 1000 m, > 0]
    certainty
        Chance that it suffices. [percent]
    leftovers_m
        Lengths of the same yarn at hand, which are used first. [m, >= 0]

    Examples
    --------
    >>> need = YarnNeed(length_m=130.0, length_log_sd=0.06, mass_g=72.8, mass_log_sd=0.06)
    >>> yarn = Yarn(ball_mass_g=50, ball_length_m=90)
    >>> extras = reckon_extras(need=need, yarn=yarn, finishing=Finishing(), swatch_m=0.0)
    >>> plan = plan_purchase(need=need, extras=extras, yarn=yarn, strand_tex=560, certainty=95)
    >>> plan.ball_count, round(plan.length_m, 1), round(plan.leftover_m, 1)
    (2, 144.5, 35.5)

    Notes
    -----
    Convention: yarn use is taken as log-normal, since it is a product of factors.
    """
    z = NORMAL_QUANTILES[certainty]
    extras_g = extras.total_m * strand_tex / 1000
    length_m = need.length_m * exp(z * need.length_log_sd) + extras.total_m
    mass_g = need.mass_g * exp(z * need.mass_log_sd) + extras_g
    at_hand_m = leftovers_used_m(leftovers_m, length_m)
    at_hand_g = at_hand_m * strand_tex / 1000
    ball_count = _ball_count(length_m=length_m - at_hand_m, mass_g=mass_g - at_hand_g, yarn=yarn)
    median_m = need.length_m + extras.total_m - at_hand_m
    median_g = need.mass_g + extras_g - at_hand_g
    return YarnPurchase(
        certainty_percent=certainty,
        ball_count=ball_count,
        length_m=length_m,
        mass_g=mass_g,
        leftover_m=_left_m(
            ball_count, yarn, strand_tex, length_m=length_m - at_hand_m, mass_g=mass_g - at_hand_g
        ),
        expected_leftover_m=_left_m(ball_count, yarn, strand_tex, length_m=median_m, mass_g=median_g),
        from_leftovers_m=at_hand_m,
    )


def plan_purchases(
    *, need: YarnNeed, extras: Extras, yarn: Yarn, strand_tex: float, leftovers_m: Sequence[float] = ()
) -> tuple[YarnPurchase, ...]:
    """Return what to buy for 90, 95 and 99 % certainty, in that order; see :func:`plan_purchase`."""
    return tuple(
        plan_purchase(
            need=need,
            extras=extras,
            yarn=yarn,
            strand_tex=strand_tex,
            certainty=certainty,
            leftovers_m=leftovers_m,
        )
        for certainty in CERTAINTIES
    )


def leftovers_used_m(leftovers_m: Sequence[float], length_m: float) -> float:
    """Return how much of a length the leftovers of earlier work give, each joined to what follows it.

    The longest go first, since that makes the fewest joins. A join takes 0.3 m, so shorter ones give nothing.

    Parameters
    ----------
    leftovers_m
        Lengths at hand. [m, >= 0]
    length_m
        What is needed. [m, >= 0]

    Examples
    --------
    >>> round(leftovers_used_m([0.2, 10.0, 20.0], 100.0), 1), leftovers_used_m([10.0, 20.0], 15.0)
    (29.4, 15.0)

    Notes
    -----
    Convention: longest first; the length of a join is common practice, no source.
    """
    missing_m = length_m
    for leftover_m in sorted(leftovers_m, reverse=True):
        if leftover_m >= missing_m:
            return length_m
        missing_m -= max(leftover_m - JOIN_M, 0.0)
    return length_m - missing_m


def leftover_join_count(leftovers_m: Sequence[float], length_m: float) -> int:
    """Return how many leftovers run out within a length: each of them is joined to what follows it.

    Parameters
    ----------
    leftovers_m
        Lengths at hand, used as :func:`leftovers_used_m` does. [m, >= 0]
    length_m
        What is needed. [m, >= 0]

    Examples
    --------
    >>> leftover_join_count([0.2, 10.0, 20.0], 100.0), leftover_join_count([10.0, 20.0], 15.0)
    (2, 0)
    """
    missing_m, joined_count = length_m, 0
    for leftover_m in sorted(leftovers_m, reverse=True):
        if leftover_m >= missing_m or leftover_m <= JOIN_M:
            break
        missing_m -= leftover_m - JOIN_M
        joined_count += 1
    return joined_count


def _left_m(
    ball_count: int | None, yarn: Yarn, strand_tex: float, *, length_m: float, mass_g: float
) -> float | None:
    if ball_count is None:
        return None
    if yarn.ball_length_m is not None:
        return ball_count * yarn.ball_length_m - length_m
    assert yarn.ball_mass_g is not None
    return (ball_count * yarn.ball_mass_g - mass_g) * 1000 / strand_tex


def buying_notices(*, purchase: YarnPurchase, yarn: Yarn, strand_tex: float) -> tuple[Notice, ...]:
    """Return the advice for the shop: one dye lot, and a warning where the last ball is tight.

    Tight means that under 5 % of the last ball is left when all that was reckoned with is used; a ball more
    should then be of the same lot. One ball that is enough has one lot, and where leftovers do, nothing is
    bought: there is nothing to say.

    Parameters
    ----------
    purchase
        What is bought.
    yarn
        The yarn with its ball.
    strand_tex
        Mass of one strand. [g per 1000 m, > 0]
    """
    if purchase.ball_count == 0:
        return ()
    one_lot = Notice(
        "one_dye_lot", {} if purchase.ball_count is None else {"ball_count": purchase.ball_count}
    )
    ball_m = _ball_m(yarn, strand_tex)
    if ball_m is None or purchase.leftover_m is None or purchase.leftover_m >= TIGHT_BALL_SHARE * ball_m:
        return () if purchase.ball_count == 1 else (one_lot,)
    tight = Notice("last_ball_tight", {"leftover_m": purchase.leftover_m, "ball_length_m": ball_m})
    return (tight, one_lot)


def _ball_m(yarn: Yarn, strand_tex: float) -> float | None:
    if yarn.ball_length_m is not None:
        return yarn.ball_length_m
    return None if yarn.ball_mass_g is None else yarn.ball_mass_g * 1000 / strand_tex
