"""The layers hold: imports point one way, modules stay small, exported names are sorted."""

import ast
import importlib
import tomllib
from pathlib import Path

import pytest

SERVICE = Path(__file__).resolve().parents[2] / "service"
MODULES = sorted(path for path in SERVICE.rglob("*.py"))

#: A layer may import itself and those after it.
LAYERS = ("application", "api", "pages", "sheets", "drawings", "patterns", "notation", "reference", "domain")
#: Modules whose functions are named after rules of the grammar, which says what they do.
GRAMMAR_RULES = (
    "notation/building.py",
    "notation/building_joins.py",
    "notation/building_parts.py",
    "notation/building_stitches.py",
)
#: Functions inside a function whose docstring says it all.
INNER = {"add", "declare"}
FRAMEWORK = {"flask", "marshmallow", "apispec", "werkzeug"}
STANDARD_LIBRARY_OF_THE_DOMAIN = {
    "__future__", "bisect", "collections", "dataclasses", "decimal", "enum", "fractions", "functools",
    "heapq", "itertools", "math", "operator", "re", "service", "statistics", "sys", "types", "typing",
}  # fmt: skip


def _imports(path: Path) -> set[str]:
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: a relative import"
            found.add(node.module or "")
    return found


def _layer(path: Path) -> str:
    return path.relative_to(SERVICE).parts[0].removesuffix(".py")


def _functions(path: Path) -> list[ast.FunctionDef]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return [node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)]


def _public_functions(path: Path) -> list[ast.FunctionDef]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    hidden = {
        inner
        for node in ast.walk(tree)
        if isinstance(node, ast.FunctionDef) or (isinstance(node, ast.ClassDef) and node.name.startswith("_"))
        for inner in ast.walk(node)
        if inner is not node
    }
    return [node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef) and node not in hidden]


def _length(function: ast.FunctionDef) -> int:
    body = function.body[1:] if ast.get_docstring(function) else function.body
    if len(body) == 1 and isinstance(body[0], ast.Return):
        # One expression is as long as the table it holds.
        return 1
    return (body[-1].end_lineno or 0) - body[0].lineno + 1 if body else 0


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(SERVICE)))
def test_imports_point_one_way(path):
    layer = _layer(path)
    if layer not in LAYERS:
        return

    allowed = set(LAYERS[LAYERS.index(layer) :]) | {"configuration"}
    for name in _imports(path):
        if name.startswith("service."):
            assert name.split(".")[1] in allowed, f"{layer} imports {name}"


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(SERVICE)))
def test_only_the_api_knows_the_framework(path):
    if _layer(path) in ("api", "application"):
        return

    assert not FRAMEWORK & {name.split(".")[0] for name in _imports(path)}


@pytest.mark.parametrize("path", sorted((SERVICE / "domain").glob("*.py")), ids=lambda path: path.stem)
def test_the_domain_is_pure(path):
    assert {name.split(".")[0] for name in _imports(path)} <= STANDARD_LIBRARY_OF_THE_DOMAIN


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(SERVICE)))
def test_modules_stay_under_400_lines(path):
    assert len(path.read_text(encoding="utf-8").splitlines()) < 400


def test_no_function_is_longer_than_40_lines_and_half_are_under_eight():
    lengths = {
        f"{path.relative_to(SERVICE)}:{function.name}": _length(function)
        for path in MODULES
        for function in _functions(path)
    }

    assert [name for name, length in lengths.items() if length > 40] == []
    assert sorted(lengths.values())[len(lengths) // 2] < 8


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(SERVICE)))
def test_exported_names_are_there_and_sorted(path):
    if path.name in ("__init__.py", "__main__.py", "wsgi.py", "demo.py"):
        return

    name = ".".join(("service", *path.relative_to(SERVICE).with_suffix("").parts))
    module = importlib.import_module(name)

    assert sorted(module.__all__, key=lambda each: (not each.isupper(), not each[0].isupper(), each)) == list(
        module.__all__
    )
    assert all(hasattr(module, exported) for exported in module.__all__)


def test_every_public_function_says_what_it_does():
    bare = [
        f"{path.relative_to(SERVICE)}:{function.name}"
        for path in MODULES
        for function in _public_functions(path)
        if not function.name.startswith("_")
        and ast.get_docstring(function) is None
        and function.name not in INNER
        and str(path.relative_to(SERVICE)) not in GRAMMAR_RULES
    ]

    assert bare == []


def test_the_top_level_is_exactly_what_it_should_be():
    top = SERVICE.parent
    allowed = {
        "README.md", "DEVELOPERS.md", "pyproject.toml", "service", "openapi", "tests", "docker", "Makefile"
    }  # fmt: skip

    found = {path.name for path in top.iterdir() if not path.name.startswith(".")}

    assert found - {"build", "mutants", "hat_pattern_math.egg-info"} == allowed


def test_every_package_is_installed():
    top = SERVICE.parent
    listed = tomllib.loads((top / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["setuptools"]
    found = {".".join(path.parent.relative_to(top).parts) for path in MODULES}

    assert set(listed["packages"]) == found | {"service.openapi"}
    assert listed["packages"] == sorted(listed["packages"])
