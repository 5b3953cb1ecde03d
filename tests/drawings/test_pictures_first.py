"""A drawing is a Picture before it is anything else: no kind of drawing knows a format."""

import ast
from pathlib import Path

import pytest

import service.drawings

FOLDER = Path(service.drawings.__file__).parent
RENDERERS = {"svg", "png"}
KINDS = sorted(path for path in FOLDER.glob("*.py") if path.stem not in RENDERERS and path.stem != "__init__")


def _imports(path: Path) -> set[str]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    named = {node.module or "" for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    plain = {name.name for node in ast.walk(tree) if isinstance(node, ast.Import) for name in node.names}
    return named | plain


@pytest.mark.parametrize("path", KINDS, ids=lambda path: path.stem)
def test_no_drawing_knows_a_format(path: Path) -> None:
    names = _imports(path)

    assert not {f"service.drawings.{renderer}" for renderer in RENDERERS} & names
    assert not any(name.startswith(("xml", "fpdf", "resvg")) for name in names)


def test_every_function_that_draws_returns_a_picture() -> None:
    drawers = [
        node
        for path in KINDS
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.FunctionDef) and (node.name == "draw" or node.name.startswith("draw_"))
    ]

    returned = {ast.unparse(node.returns) for node in drawers if node.returns is not None}
    assert drawers
    assert returned == {"Picture"}


@pytest.mark.parametrize("path", KINDS, ids=lambda path: path.stem)
def test_drawings_know_the_domain_notation_and_patterns_alone(path: Path) -> None:
    layers = {name.split(".")[1] for name in _imports(path) if name.startswith("service.")}

    assert layers <= {"domain", "notation", "patterns", "drawings"}
