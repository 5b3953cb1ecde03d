"""The words of sheets: one home for all of them, and a name for every figure."""

import ast
import inspect
from pathlib import Path

import pytest
from hypothesis import given, settings

import service.sheets
from service.domain.errors import PatternMathError
from service.domain.hat_orders import HatOrder
from service.domain.hats import plan_hat
from service.domain.yarn_swatches import Swatch
from service.sheets.sheet_words import FIGURES, UNITS
from tests.orders import TABLES, WORSTED, hat_order, hat_orders

SHEETS = Path(inspect.getfile(service.sheets)).parent

#: Modules that hold the marks of a form of their own (style, escapes, operators), or words.
FORMS = ("html_*", "markdown_*", "pdf_*", "*_words.py")


@settings(max_examples=40)
@given(order=hat_orders())
def test_every_figure_of_a_plan_has_a_name_in_words(order: HatOrder) -> None:
    try:
        plan = plan_hat(order, TABLES)
    except PatternMathError:
        return

    assumptions = (*plan.size.assumptions, *plan.gauges.assumptions)
    names = {each.name for each in assumptions} | {line.name for line in plan.working}

    assert names - set(FIGURES) == set()


def test_the_figures_of_a_weighed_swatch_have_names_as_well() -> None:
    plan = plan_hat(hat_order(yarn=WORSTED, swatch=Swatch(20, {"fpdc": 400})), TABLES)

    assert {line.name for line in plan.working} - set(FIGURES) == set()
    assert {line.unit for line in plan.working} - {*UNITS, "", "mm", "m", "g", "stitch", "round"} == set()


@pytest.mark.parametrize("path", sorted(SHEETS.glob("*.py")), ids=lambda path: path.name)
def test_sentences_stand_in_the_table_of_words_alone(path: Path) -> None:
    if any(map(path.match, FORMS)):
        return
    module = ast.parse(path.read_text(encoding="utf-8"))
    docstrings = {
        id(node.body[0].value)
        for node in ast.walk(module)
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef)
        and node.body
        and isinstance(node.body[0], ast.Expr)
    }

    texts = [
        node.value
        for node in ast.walk(module)
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docstrings
    ]

    assert [text for text in texts if " " in text.strip() and text.strip().replace(" ", "").isalpha()] == []
