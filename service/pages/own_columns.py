"""A stitch pattern of somebody's own on the form: a few columns, each with the same four questions."""

from service.pages.form_fields import Field, Option

__all__ = ["COLUMN_COUNT", "COLUMN_FIELDS", "OWN_FABRIC_FIELDS", "column_field"]

#: Columns that the form has room for; a program may send twice as many.
COLUMN_COUNT = 6

_QUESTIONS = (
    Field(
        name="face",
        label="Face",
        options=(
            Option("", "No column"),
            Option("front", "Front post"),
            Option("back", "Back post"),
            Option("flat", "Plain"),
        ),
    ),
    Field(name="width", label="Stitches", measure="count"),
    Field(
        name="cable",
        label="Crosses",
        options=(
            Option("", "Never"),
            Option("right", "To the right"),
            Option("left", "To the left"),
        ),
    ),
    Field(name="round", label="On round", measure="count"),
)


def column_field(number: int, question: str) -> str:
    """Return the name of one question about one column.

    Examples
    --------
    >>> column_field(2, "width")
    'column_2_width'
    """
    return f"column_{number}_{question}"


#: The fields of each column, the first column first.
COLUMN_FIELDS: tuple[tuple[Field, ...], ...] = tuple(
    tuple(
        Field(
            name=column_field(number, question.name),
            label=question.label,
            measure=question.measure,
            options=question.options,
            group=f"Column {number}",
        )
        for question in _QUESTIONS
    )
    for number in range(1, COLUMN_COUNT + 1)
)

#: What else a stitch pattern of somebody's own has.
OWN_FABRIC_FIELDS = (
    Field(
        name="own_stitch",
        label="Worked in",
        first="dc",
        options=(
            Option("sc", "Single crochet (UK double)"),
            Option("hdc", "Half double crochet (UK half treble)"),
            Option("dc", "Double crochet (UK treble)"),
            Option("tr", "Treble crochet (UK double treble)"),
            Option("dtr", "Double treble crochet (UK triple treble)"),
        ),
    ),
    Field(
        name="own_rounds",
        label="Rounds of one repeat",
        measure="count",
        help_words="From one crossing to the next; 1 where nothing crosses.",
    ),
    Field(
        name="own_flip",
        label="Front and back change after",
        measure="count",
        help_words="In rounds, as in a basket weave. Leave it empty where they stay.",
    ),
)
