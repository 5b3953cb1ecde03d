"""The answer of a shopping list: what an organizer buys for a class."""

from service.api.fields import AnswerSchema
from service.api.schemas.answer_fields import (
    count_field,
    nested_field,
    nested_list_field,
    number_field,
    text_field,
)
from service.api.schemas.common import CalculationAnswer

__all__ = ["ShoppingListAnswer"]


class ShoppingYarn(AnswerSchema):
    """What to buy of one yarn. Leftovers remain even if every kit takes all that was reckoned with."""

    position = count_field("Its place among the `yarns`, from 0.")
    name = text_field("Its name; null for the design's own yarn.", allow_none=True)
    colour = text_field("Its colour; null where none was said.", allow_none=True)
    buy_count = count_field(
        "Balls to ask for in one dye lot: by kit, and the spare ones; null where no ball is known.",
        allow_none=True,
    )
    ball_mass_g = number_field("Mass of a ball, in g; null where it was not said.", allow_none=True)
    ball_length_m = number_field("Length of a ball, in m; null where it was not said.", allow_none=True)
    kit_count = count_field("Kits that are made of it.")
    by_kit_ball_count = count_field(
        "Balls if everybody gets whole ones; null without balls.", allow_none=True
    )
    pooled_ball_count = count_field(
        "Balls if the yarn is wound off from one heap; null without balls.", allow_none=True
    )
    spare_ball_count = count_field(
        "Balls to have beside: what makes the pool 99 percent sure, at least one; null without balls.",
        allow_none=True,
    )
    by_kit_leftover_m = number_field("Left of the balls by kit, in m; null without balls.", allow_none=True)
    by_kit_leftover_yd = number_field("The same in yards.", allow_none=True)
    pooled_leftover_m = number_field("Left of the pooled balls, in m; null without balls.", allow_none=True)
    pooled_leftover_yd = number_field("The same in yards.", allow_none=True)
    length_m = number_field("Length that all kits need, extras included, in m.")
    length_yd = number_field("The same in yards.")
    mass_g = number_field("Mass that all kits need, extras included, in g.")
    mass_oz = number_field("The same in ounces.")
    text = text_field("What to ask for, in words.")


class ShoppingHook(AnswerSchema):
    """Hooks of one size."""

    buy_count = count_field("How many people need one.")
    hook_mm_low = number_field(
        "The smallest that usually goes with the yarn, in mm; null where none is.", allow_none=True
    )
    hook_mm_high = number_field("The largest, in mm; null where there is no end.", allow_none=True)
    text = text_field("The same in words, in the terms of the design.")


class ShoppingNotion(AnswerSchema):
    """Something else to have at hand."""

    name = text_field("What it is. More may come.")
    buy_count = count_field("How many.")
    text = text_field("The same in words.")


class KitLeftOut(AnswerSchema):
    """Somebody whose kit could not be planned, so that nothing on the list is for them."""

    number = count_field("Their place in the order sent, from 1.")
    reference = text_field("Their reference; null where it was refused.", allow_none=True)
    problem = text_field("The problem type, and the address of its page.")
    text = text_field("Why, in words. `/v1/class-kits` tells it in full.")


class ShoppingTotals(AnswerSchema):
    """Sums over the kits that have a plan, as in the class itself."""

    kit_count = count_field("Kits with a plan.")
    problem_count = count_field("Participants without one.")
    ball_count = count_field(
        "Balls of all kits, whole ones for everybody; null without balls.", allow_none=True
    )
    length_m = number_field("Yarn of all kits, in m; null without yarn.", allow_none=True)
    length_yd = number_field("The same in yards.", allow_none=True)
    mass_g = number_field("Yarn of all kits, in g; null without yarn.", allow_none=True)
    mass_oz = number_field("The same in ounces.", allow_none=True)


class ShoppingListAnswer(CalculationAnswer):
    """What to buy for a class, whatever the order of its participants."""

    yarns = nested_list_field(ShoppingYarn, "Each yarn, in the order sent.")
    hooks = nested_list_field(ShoppingHook, "Hooks, thinnest first.")
    notions = nested_list_field(ShoppingNotion, "What else to have at hand.")
    left_out = nested_list_field(KitLeftOut, "Those who have no kit, in the order sent.")
    totals = nested_field(ShoppingTotals, "Sums over all kits.")
