"""The yarn of a class: balls kit by kit, balls from one pool, and what to keep in reserve."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from service.domain.report import Working
from service.domain.rounding import ceil_exact, printed
from service.domain.yarn_buying import CERTAINTIES, YarnPurchase
from service.domain.yarn_orders import YarnEstimate
from service.domain.yarns import Yarn, yarn_tex

__all__ = ["ClassBalls", "ClassYarn", "YarnTotal", "total_working", "total_yarn"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ClassYarn:
    """A yarn that is offered to a class, by the name and the colour that its people read."""

    yarn: Yarn
    name: str | None = None
    colour: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ClassBalls:
    """Balls for a class. ``by_kit`` gives everybody whole balls; ``pooled`` is wound off from one heap.

    ``spare`` are to be had beside either, and ``one_lot`` is what to ask for of one dye lot.
    The leftovers are what remains of either even if every kit takes all that was reckoned with, the spare
    balls not counted.
    """

    by_kit: int
    pooled: int
    spare: int
    by_kit_leftover_m: float
    pooled_leftover_m: float

    @property
    def one_lot(self) -> int:
        """Return the balls of one dye lot: whole balls for everybody, and the spare ones."""
        return self.by_kit + self.spare


@dataclass(frozen=True, slots=True, kw_only=True)
class YarnTotal:
    """What all kits take of one yarn; ``balls`` is ``None`` where no ball is known."""

    offered: ClassYarn
    kit_count: int
    length_m: float
    mass_g: float
    balls: ClassBalls | None


def total_yarn(offered: ClassYarn, estimates: Sequence[YarnEstimate]) -> YarnTotal:
    """Return what a class takes of one yarn.

    By kit everybody gets whole balls. Pooled, the lengths that each kit needs to be sure are added up and
    divided into balls once, which never takes more. Spare are the balls by which a pool that is 99 % sure is
    larger, at least one where anything is worked.

    Parameters
    ----------
    offered
        The yarn.
    estimates
        The yarn of each kit that is worked in it.

    Examples
    --------
    >>> from service.domain.yarn_estimates import estimate_yarn
    >>> from service.domain.yarn_orders import YarnOrder
    >>> from service.domain.yarn_swatches import Swatch
    >>> from service.domain.yarn_work import work_from_counts
    >>> yarn = Yarn(ball_mass_g=50, ball_length_m=90)
    >>> hat = work_from_counts({"sc": 2400})
    >>> order = YarnOrder(yarn=yarn, work=(hat,), swatch=Swatch(9.6, {"sc": 360, "ch": 39}))
    >>> balls = total_yarn(ClassYarn(yarn=yarn), [estimate_yarn(order)] * 10).balls
    >>> balls.by_kit, balls.pooled, balls.spare, balls.by_kit_leftover_m, balls.pooled_leftover_m
    (20, 16, 1, 411.0, 51.0)

    Notes
    -----
    Convention: the needs of single kits are added as they stand. Hands that differ would even out, but a
    wrong weight of a stitch is wrong for everybody.
    """
    buys = [estimate.buy for estimate in estimates]
    return YarnTotal(
        offered=offered,
        kit_count=len(buys),
        length_m=printed(sum(printed(buy.length_m, 1) for buy in buys), 1),
        mass_g=printed(sum(printed(buy.mass_g, 1) for buy in buys), 1),
        balls=_balls(offered.yarn, estimates),
    )


def _balls(yarn: Yarn, estimates: Sequence[YarnEstimate]) -> ClassBalls | None:
    buys = [estimate.buy for estimate in estimates]
    pooled = _pooled_count(yarn, buys)
    surest = _pooled_count(yarn, [estimate.buy_by_certainty[CERTAINTIES.index(99)] for estimate in estimates])
    if pooled is None or surest is None:
        return None
    return ClassBalls(
        by_kit=sum(buy.ball_count or 0 for buy in buys),
        pooled=pooled,
        spare=max(surest - pooled, min(1, pooled)),
        by_kit_leftover_m=printed(sum(printed(buy.leftover_m or 0.0, 1) for buy in buys), 1),
        pooled_leftover_m=printed(_pooled_leftover_m(yarn, buys, pooled), 1),
    )


def _pooled_count(yarn: Yarn, buys: Sequence[YarnPurchase]) -> int | None:
    """Return the balls that hold all of it, by length, or by mass where a ball's length is not known."""
    if yarn.ball_length_m is not None:
        return ceil_exact(sum(buy.length_m for buy in buys) / yarn.ball_length_m)
    if yarn.ball_mass_g is not None:
        return ceil_exact(sum(buy.mass_g for buy in buys) / yarn.ball_mass_g)
    return None


def _pooled_leftover_m(yarn: Yarn, buys: Sequence[YarnPurchase], pooled: int) -> float:
    """Return what so many balls hold beyond the need of the kits; of a ball of known mass, by its tex."""
    if yarn.ball_length_m is not None:
        return pooled * yarn.ball_length_m - sum(buy.length_m for buy in buys)
    assert yarn.ball_mass_g is not None
    left_g = pooled * yarn.ball_mass_g - sum(buy.mass_g for buy in buys)
    return left_g * 1000 / yarn_tex(yarn).strand_tex


def total_working(totals: Sequence[YarnTotal]) -> tuple[Working, ...]:
    """Return how the sums of each yarn were reached, named by its place from 0.

    Examples
    --------
    >>> from service.domain.steps import Work
    >>> from service.domain.yarn_estimates import estimate_yarn
    >>> from service.domain.yarn_orders import YarnOrder
    >>> from service.domain.yarn_swatches import Swatch
    >>> from service.domain.yarn_work import work_from_steps
    >>> from service.domain.yarns import Yarn
    >>> yarn = Yarn(ball_mass_g=50, ball_length_m=100)
    >>> rounds = (work_from_steps([Work("sc", 3000)], number=1),)
    >>> kit = estimate_yarn(YarnOrder(yarn=yarn, work=rounds, swatch=Swatch(10.0, {"sc": 400})))
    >>> [(line.name, line.value) for line in total_working([total_yarn(ClassYarn(yarn=yarn), [kit] * 3)])][2:]
    [('yarn_0.by_kit', 6), ('yarn_0.pooled', 6), ('yarn_0.spare', 1)]
    """
    return tuple(line for place, total in enumerate(totals) for line in _working(f"yarn_{place}", total))


def _working(name: str, total: YarnTotal) -> Iterator[Working]:
    source = "Convention: the needs of single kits are added as they stand"
    yield Working(f"{name}.length", "sum of the lengths of its kits", total.length_m, "m", source)
    yield Working(f"{name}.mass", "sum of the masses of its kits", total.mass_g, "g", source)
    if total.balls is None:
        return
    measure = "mass" if total.offered.yarn.ball_length_m is None else "length"
    pooled = f"ceil(sum of the {measure}s of its kits / {measure} of a ball)"
    yield Working(f"{name}.by_kit", "sum of the balls of its kits", total.balls.by_kit, "ball", source)
    yield Working(f"{name}.pooled", pooled, total.balls.pooled, "ball", source)
    spare = "max(pooled at 99 % certainty - pooled, min(1, pooled))"
    yield Working(f"{name}.spare", spare, total.balls.spare, "ball", "Convention: a reserve for slips")
