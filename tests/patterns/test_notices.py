"""Every notice that the domain makes has a sentence, and every sentence finds its figures."""

import ast
import inspect
import re
from collections.abc import Iterator
from pathlib import Path
from unicodedata import numeric

import pytest
from hypothesis import given
from hypothesis import strategies as st

import service.domain
from service.domain import heads
from service.domain.report import Notice
from service.patterns.lengths import inches, measured
from service.patterns.notices import NOTICE_CODES, notice_sentence, notice_severity

DOMAIN = Path(inspect.getfile(service.domain)).parent

#: Functions that make notices, with the figures they add of their own.
MAKERS: dict[str, set[str]] = {"Notice": set(), "_advised": {"width_error_percent"}}

#: Figures that are put together in a loop, where no reader of the code finds their names.
LOOPED = {"changed_in_wash": {"width_percent", "height_percent"}}

#: What whole plans say; the figures are those that they send.
OF_PLANS = {
    "crown_gathers": set[str](),
    "crown_pouches": set[str](),
    "lead_in_rounds": {"round_count"},
    "left_handed": set[str](),
    "needs_blocking": set[str](),
    "seam_leans": set[str](),
    "sizes_share_counts": set[str](),
    "too_many_to_close": {"stitch_count", "plug_mm"},
}

CHILD_CAUTIONS = ("sleep", "small_parts", "cords", "selling")


def _made_in_the_domain() -> Iterator[tuple[str, set[str]]]:
    """Yield the code of each notice that the domain makes, with the names of its figures."""
    for path in sorted(DOMAIN.glob("*.py")):
        module = ast.parse(path.read_text(encoding="utf-8"))
        for node in ast.walk(module):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in MAKERS:
                code = node.args[0]
                if isinstance(code, ast.Constant):
                    yield str(code.value), _figure_names(node, module) | LOOPED.get(str(code.value), set())


def _figure_names(call: ast.Call, module: ast.Module) -> set[str]:
    assert isinstance(call.func, ast.Name)
    names = MAKERS[call.func.id] | {word.arg for word in call.keywords if word.arg}
    for argument in call.args[1:]:
        values = _assigned(argument, module) if isinstance(argument, ast.Name) else argument
        if isinstance(values, ast.Dict):
            names |= {str(key.value) for key in values.keys if isinstance(key, ast.Constant)}
    return names


def _assigned(name: ast.Name, module: ast.Module) -> ast.expr | None:
    """Return what was last assigned to a name before it is used."""
    found: ast.expr | None = None
    for node in ast.walk(module):
        if isinstance(node, ast.Assign | ast.AnnAssign) and node.lineno < name.lineno:
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            is_it = any(isinstance(target, ast.Name) and target.id == name.id for target in targets)
            if is_it and (found is None or node.lineno > found.lineno):
                found = node.value
    return found


MADE = [*_made_in_the_domain(), *OF_PLANS.items(), *((code, set[str]()) for code in CHILD_CAUTIONS)]


def test_the_domain_makes_notices_that_this_test_finds() -> None:
    codes = {code for code, _ in _made_in_the_domain()}

    assert {"thickness_assumed", "fit_unlikely", "gauge_uncertain", "crossing_pulls_in"} <= codes


def test_the_cautions_for_children_are_those_of_the_domain() -> None:
    source = inspect.getsource(heads.child_cautions)

    assert all(f'"{code}"' in source for code in CHILD_CAUTIONS)


@pytest.mark.parametrize(("code", "figures"), MADE)
def test_every_notice_is_a_sentence_with_its_figures(code: str, figures: set[str]) -> None:
    notice = Notice(code, dict.fromkeys(figures, 12))

    sentence = notice_sentence(notice)

    assert sentence.endswith((".", "!"))
    assert "{" not in sentence
    assert notice_severity(notice) in ("info", "caution", "warning")


def test_no_sentence_stands_for_a_notice_that_nobody_makes() -> None:
    assert set(NOTICE_CODES) == {code for code, _ in MADE}


@pytest.mark.parametrize(
    ("difference_mm", "told"),
    [
        # By hand: 12 / 25.4 is 0.472, nearest eighth a half; 31.25 / 25.4 is 1.230, nearest eighth 1 1/4.
        (12.0, "the best count comes out 1.2 cm (½ in) above the target"),
        (-12.0, "the best count comes out 1.2 cm (½ in) below the target"),
        (0.4, "This time a count meets the target"),
        (-0.4, "This time a count meets the target"),
    ],
)
def test_a_difference_is_told_in_both_systems_and_by_its_side(difference_mm: float, told: str) -> None:
    figures = {"stitch_multiple": 10, "half_repeat_mm": 31.25, "difference_mm": difference_mm}

    sentence = notice_sentence(Notice("repeat_forces_size", figures))

    assert "half a repeat is 3.1 cm (1¼ in)" in sentence
    assert told in sentence


@pytest.mark.parametrize("difference_mm", [3.0, 0.0])
def test_a_repeat_of_one_stitch_is_called_a_stitch(difference_mm: float) -> None:
    figures = {"stitch_multiple": 1, "half_repeat_mm": 7.5, "difference_mm": difference_mm}

    sentence = notice_sentence(Notice("repeat_forces_size", figures))

    assert "half a stitch is 7.5 mm (¼ in)" in sentence
    assert "repeat" not in sentence


@pytest.mark.parametrize(("style", "piece"), [("headband", "headband"), ("slouch", "hat"), ("beanie", "hat")])
@pytest.mark.parametrize("code", ["sleep", "cords", "selling"])
def test_cautions_call_a_headband_one(code: str, style: str, piece: str) -> None:
    assert piece in notice_sentence(Notice(code, {"style": style}))


@pytest.mark.parametrize(("count", "told"), [(1, "1 round without"), (3, "3 rounds without")])
def test_counts_are_singular_or_plural(count: int, told: str) -> None:
    assert told in notice_sentence(Notice("lead_in_rounds", {"round_count": count}))


#: Every figure that has another unit in the other system.
MEASURED = re.compile(r"\d (cm|mm|m|g)\b(?! \([^)]+ (in|yd|oz)\))")


@pytest.mark.parametrize(("code", "figures"), MADE)
def test_every_figure_of_a_notice_stands_in_both_systems(code: str, figures: set[str]) -> None:
    sentence = notice_sentence(Notice(code, dict.fromkeys(figures, 12)))

    assert not MEASURED.search(sentence)


@given(st.floats(0, 3000), st.sampled_from(["mm", "m", "g"]))
def test_what_is_measured_stands_in_both_systems(value: float, unit: str) -> None:
    told = measured(value, unit)

    number, own, other, name = re.fullmatch(r"(\S+) (\w+) \((\S+) (\w+)\)", told).groups()  # type: ignore[union-attr]
    assert (own, name) in {("cm", "in"), ("mm", "in"), ("m", "yd"), ("g", "oz")}
    assert float(number) >= 0
    assert other


@given(st.floats(0, 3000))
def test_inches_are_right_to_half_an_eighth(length_mm: float) -> None:
    whole = inches(length_mm)
    found = re.fullmatch(r"(\d*(?:\.\d+)?)([⅛¼⅜½⅝¾⅞]?)", whole)
    assert found is not None

    told = float(found[1] or 0) + (numeric(found[2]) if found[2] else 0.0)

    assert abs(told * 25.4 - length_mm) <= 25.4 / 16 + 1e-9
