"""The answer of a shopping list: what an organizer buys for a class."""

from typing import Any

from marshmallow import fields

from service.api.fields import AnswerSchema
from service.api.schemas.common import CalculationAnswer

__all__ = ["ShoppingListAnswer"]


def _count(description: str, **rest: Any) -> fields.Integer:
    return fields.Integer(required=True, metadata={"description": description}, **rest)


def _number(description: str, **rest: Any) -> fields.Float:
    return fields.Float(required=True, metadata={"description": description}, **rest)


def _text(description: str, **rest: Any) -> fields.String:
    return fields.String(required=True, metadata={"description": description}, **rest)


def _rows(schema: type[AnswerSchema], description: str) -> fields.List[Any]:
    return fields.List(fields.Nested(schema), required=True, metadata={"description": description})


class ShoppingYarn(AnswerSchema):
    """What to buy of one yarn. Leftovers remain even if every kit takes all that was reckoned with."""

    position = _count("Its place among the `yarns`, from 0.")
    name = _text("Its name; null for the design's own yarn.", allow_none=True)
    colour = _text("Its colour; null where none was said.", allow_none=True)
    buy_count = _count(
        "Balls to ask for in one dye lot: by kit, and the spare ones; null where no ball is known.",
        allow_none=True,
    )
    ball_mass_g = _number("Mass of a ball, in g; null where it was not said.", allow_none=True)
    ball_length_m = _number("Length of a ball, in m; null where it was not said.", allow_none=True)
    kit_count = _count("Kits that are made of it.")
    by_kit_ball_count = _count("Balls if everybody gets whole ones; null without balls.", allow_none=True)
    pooled_ball_count = _count(
        "Balls if the yarn is wound off from one heap; null without balls.", allow_none=True
    )
    spare_ball_count = _count(
        "Balls to have beside: what makes the pool 99 percent sure, at least one; null without balls.",
        allow_none=True,
    )
    by_kit_leftover_m = _number("Left of the balls by kit, in m; null without balls.", allow_none=True)
    by_kit_leftover_yd = _number("The same in yards.", allow_none=True)
    pooled_leftover_m = _number("Left of the pooled balls, in m; null without balls.", allow_none=True)
    pooled_leftover_yd = _number("The same in yards.", allow_none=True)
    length_m = _number("Length that all kits need, extras included, in m.")
    length_yd = _number("The same in yards.")
    mass_g = _number("Mass that all kits need, extras included, in g.")
    mass_oz = _number("The same in ounces.")
    text = _text("What to ask for, in words.")


class ShoppingHook(AnswerSchema):
    """Hooks of one size."""

    buy_count = _count("How many people need one.")
    hook_mm_low = _number(
        "The smallest that usually goes with the yarn, in mm; null where none is.", allow_none=True
    )
    hook_mm_high = _number("The largest, in mm; null where there is no end.", allow_none=True)
    text = _text("The same in words, in the terms of the design.")


class ShoppingNotion(AnswerSchema):
    """Something else to have at hand."""

    name = _text("What it is. More may come.")
    buy_count = _count("How many.")
    text = _text("The same in words.")


class KitLeftOut(AnswerSchema):
    """Somebody whose kit could not be planned, so that nothing on the list is for them."""

    number = _count("Their place in the order sent, from 1.")
    reference = _text("Their reference; null where it was refused.", allow_none=True)
    problem = _text("The problem type, and the address of its page.")
    text = _text("Why, in words. `/v1/class-kits` tells it in full.")


class ShoppingTotals(AnswerSchema):
    """Sums over the kits that have a plan, as in the class itself."""

    kit_count = _count("Kits with a plan.")
    problem_count = _count("Participants without one.")
    ball_count = _count("Balls of all kits, whole ones for everybody; null without balls.", allow_none=True)
    length_m = _number("Yarn of all kits, in m; null without yarn.", allow_none=True)
    length_yd = _number("The same in yards.", allow_none=True)
    mass_g = _number("Yarn of all kits, in g; null without yarn.", allow_none=True)
    mass_oz = _number("The same in ounces.", allow_none=True)


class ShoppingListAnswer(CalculationAnswer):
    """What to buy for a class, whatever the order of its participants."""

    yarns = _rows(ShoppingYarn, "Each yarn, in the order sent.")
    hooks = _rows(ShoppingHook, "Hooks, thinnest first.")
    notions = _rows(ShoppingNotion, "What else to have at hand.")
    left_out = _rows(KitLeftOut, "Those who have no kit, in the order sent.")
    totals = fields.Nested(ShoppingTotals, required=True, metadata={"description": "Sums over all kits."})
